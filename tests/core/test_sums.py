"""Each sum meets the values that others published, and answers or refuses in words whatever it is given."""

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.sums import WORK
from hazmat.core.sums.frame import Box, Check, Sum
from hazmat.edge.shapes import Slip
from hazmat.edge.sums import LONGEST_LIST, agrees, answer, held, read_sum, schema, work
from hazmat.rulebooks import strict, sumbook
from hazmat.rulebooks.strict import RulebookError

TODAY = date(2026, 11, 26)
SUMS = sumbook.sums()
CHECKS = [(one, check) for one in SUMS.values() for check in one.checks]


@pytest.mark.parametrize(("asked", "check"), CHECKS, ids=[f"{one.name}: {check.name}" for one, check in CHECKS])
def test_published_value(asked: Sum, check: Check) -> None:
    found = held(asked, check, TODAY)
    assert found.met, f"{found.expected}; ours {found.ours}; {check.cite.document}"


def test_every_function_has_a_sum_and_every_sum_a_subject() -> None:
    assert set(SUMS) == set(WORK)
    assert [name for held in sumbook.shelf().values() for name in held] == list(SUMS)


SAME = (
    (("allowed_always", "certainty"), ("allowed_always", "sampling"), ("spread_constant", "handling")),
    (("allowed_two", "certainty"), ("allowed_two", "sampling"), ("spread_share", "handling")),
    (("cautious_density", "certainty"), ("cautious_density", "handling")),
    (("oil_density", "identity"), ("usual_density", "handling")),
    (("oil_density_high", "identity"), ("heavy_oil", "drums")),
    *(
        ((name, "oil"), (name, "drums"))
        for name in ("lube_k1", "correction_least", "correction_most", "base_temperature")
    ),
)
"""Figures that stand in several books, since each is read by itself."""


@pytest.mark.parametrize("places", SAME)
def test_one_figure_is_the_same_in_every_book(places: tuple[tuple[str, str], ...]) -> None:
    told = {}
    for name, book in places:
        folder = sumbook.SHELF if book != "handling" else sumbook.SHELF.parent
        figure = strict.parse(folder / f"{book}.toml")["figure"][name]
        told[book] = [Decimal(one["is"]) for one in figure["values"]]
    assert len({tuple(values) for values in told.values()}) == 1, told


@pytest.mark.parametrize("asked", SUMS.values(), ids=SUMS)
def test_checks_speak_of_every_line_that_comes_out(asked: Sum) -> None:
    spoken = {key for check in asked.checks for key in check.get}
    assert {line.key for line in asked.lines} - spoken == set(), "a line that nothing outside of us checks"


def a_value(box: Box) -> st.SearchStrategy[Any]:
    """Whatever may stand in a box, written as a person would."""
    least = box.least if box.least is not None else Decimal(-1000 if box.kind == "signed" else 0)
    most = box.most if box.most is not None else Decimal(100_000)
    number = st.decimals(least, most, allow_nan=False, allow_infinity=False, places=3).map(lambda one: format(one, "f"))
    figure = st.tuples(st.sampled_from(("", "<", ">", "=")), number).map("".join)
    return {
        "number": number, "signed": number, "figure": figure, "whole": st.integers(int(least), int(min(most, 1000))),
        "list": st.lists(number, min_size=1, max_size=12), "word": st.sampled_from(sorted(box.words) or [""]),
        "truth": st.booleans(), "text": st.text(min_size=1, max_size=12).filter(str.strip),
    }[box.kind]  # fmt: skip


@given(st.data())
@pytest.mark.parametrize("asked", SUMS.values(), ids=SUMS)
def test_answers_or_refuses_in_words(asked: Sum, data: st.DataObject) -> None:
    given_now = {box.key: data.draw(a_value(box)) for box in asked.boxes if box.needed or data.draw(st.booleans())}
    try:
        worked = work(asked, given_now, TODAY)
    except Slip as slip:
        refused: Slip | None = slip
    else:
        refused = None
    if refused:
        assert refused.path in {box.key for box in asked.boxes}
        assert refused.says
        assert "{" not in refused.says
        return
    assert set(worked.values) <= {line.key for line in asked.lines}
    told = answer(asked, worked)
    assert [note["says"] for note in told["notes"]][: len(asked.always)] == [
        asked.spoken(one, {}) for one in asked.always
    ]
    assert all(note["says"] and "{" not in note["says"] for note in told["notes"])
    for line in asked.lines:
        if line.words and isinstance(worked.values.get(line.key), str):
            assert worked.values[line.key] in line.words


@pytest.mark.parametrize("asked", SUMS.values(), ids=SUMS)
def test_schema_names_every_box(asked: Sum) -> None:
    assert set(schema(asked)["$defs"]["in"]["properties"]) == {box.key for box in asked.boxes}


def test_what_is_missing_unknown_or_of_another_kind_is_said() -> None:
    density = SUMS["density"]
    for raw, path, says in (
        ({}, "to", "nothing stood there"),
        ({"to": "40", "litre": 1}, "litre", "nobody knows this key"),
        ({"to": "4O"}, "to", "“4O” stood there"),
        ({"to": "-50.1"}, "to", "from -50 to 150 °C"),
        ({"to": "40", "density_15": "2.01"}, "density_15", "from 0.5 to 2 kg/L"),
    ):
        with pytest.raises(Slip) as caught:
            read_sum(density, raw)
        assert caught.value.path == path
        assert says in caught.value.says


def test_bounds_include_their_ends() -> None:
    density = SUMS["density"]
    assert read_sum(density, {"to": "-50", "density_15": "2"})["to"] == -50
    assert read_sum(density, {"to": 150, "density_15": "0.5"})["to"] == 150


def test_a_list_is_not_without_end() -> None:
    box = Box("shots", "shots", "list")
    asked = SUMS["density"]
    with pytest.raises(Slip):
        read_sum(Sum("x", "x", "x", (box,), (), (), (), (), {}, {}, asked.work), {"shots": ["1"] * (LONGEST_LIST + 1)})


def test_agreement_is_to_within_and_no_further() -> None:
    assert agrees(Decimal("1.02"), "1", Decimal("0.02"))
    assert not agrees(Decimal("1.021"), "1", Decimal("0.02"))
    assert not agrees(None, "1", Decimal(5))
    assert not agrees((Decimal(1),), ["1", "2"], Decimal(0))


BROKEN = (
    ("cite = \"house\"\n\n[sum", "cite = \"hearsay\"\n\n[sum", "sentence.not_for_trade.cite"),
    ("sum.density", "sum.densities", "sum.densities"),
    ('kind = "signed", least = "-50", most = "150" }\nlitres', 'kind = "sign" }\nlitres', "sum.density.give.to.kind"),
    ('get    = { factor = "0.982073" }', 'get = { factors = "0.982073" }', "sum.density.check[1].get.factors"),
    ('always  = ["not_for_trade"]', 'always = ["nothing"]', "sum.density.always"),
    ('refuses = "outside_correction"', "", "sum.density.check[7].get"),
    ('is = "15", cite = "table 54D"', 'is = "15"', "figure.base_temperature.values[1].cite"),
    ('always  = ["not_for_trade"]', 'draws = { box = "to", lines = ["litres"] }', "sum.density.draws.box"),
    ('says = "write the density', 'says = "{write the density', "sentence.density_missing"),
)  # fmt: skip


@pytest.mark.parametrize(("old", "new", "key"), BROKEN, ids=[key for _, _, key in BROKEN])
def test_one_mistake_is_refused_with_file_key_and_mend(tmp_path: Path, old: str, new: str, key: str) -> None:
    text = (sumbook.SHELF / "oil.toml").read_text("utf-8")
    assert old in text
    file = tmp_path / "oil.toml"
    file.write_text(text.replace(old, new), "utf-8")
    with pytest.raises(RulebookError) as caught:
        sumbook.load_sums(file)
    assert (caught.value.file, caught.value.key) == ("oil.toml", key)
    assert caught.value.mend


def test_a_sum_of_two_files_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = (sumbook.SHELF / "oil.toml").read_text("utf-8")
    for name, says in (("oil", "Oil"), ("other", "Other")):
        (tmp_path / f"{name}.toml").write_text(
            text.replace('says    = "Oil: density', f'says    = "{says}: density'), "utf-8"
        )
    monkeypatch.setattr(sumbook, "SHELF", tmp_path)
    with pytest.raises(RulebookError, match="another file has it too"):
        sumbook.shelf.__wrapped__()
