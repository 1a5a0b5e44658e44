"""Whatever a valid line says, it is answered: under each law, under none, as at any day."""

import json
from datetime import date
from typing import Any

import jsonschema
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from hazmat.core.assess import Assessment
from hazmat.edge import schemas, writer
from hazmat.edge.lines import Assessor
from hazmat.edge.reader import Refused
from tests.edge.sentences import is_one_sentence
from tests.edge.strategies import FIRST, PLATES, TODAY, encoded, lines, units

days = st.sampled_from([TODAY, date(1979, 7, 2), date(1998, 8, 28), date(2004, 1, 1), FIRST]) | st.dates(FIRST, TODAY)
LONGEST_LINE = 30_000
"""Bytes of an answer: three tests with texts of 20 characters need a few thousand."""

OUT = jsonschema.Draft202012Validator(
    json.loads(schemas.text("out")), format_checker=jsonschema.Draft202012Validator.FORMAT_CHECKER
)
KEYS = [
    "id",
    "rulebook",
    "edition",
    "on",
    "class",
    "basis",
    "force",
    "band",
    "care",
    "size",
    "instrument",
    "because",
    "next",
    "duties",
    "problems",
    "good_until",
]
CLASSES = {
    "us": {"below_50", "50_to_499", "from_500", "undetermined"},
    "ca": {"below_2", "2_to_49", "50_to_499", "from_500", "undetermined"},
    "nz": {"up_to_50", "over_50", "undetermined"},
    "au": {"below_2", "2_to_49", "over_50_under_50g", "scheduled", "concentrated", "undetermined"},
    "gb": {"up_to_50", "over_50_to_500", "over_500", "undetermined"},
    "eu": {"up_to_50", "over_50_to_500", "over_500", "undetermined"},
    "treaty": {"no_tier", "tier_iii", "tier_ii", "tier_i", "undetermined"},
    None: {"undetermined"},
}
LAWS = tuple(CLASSES)


def answer(raw: bytes, law: str | None, on: date = TODAY) -> Assessment:
    """The answer under a law; under None that of a place for which no rulebook is held."""
    if law is None:
        raw = raw.rstrip()[:-1] + b',"found_in":"JP"}'
    (one,) = Assessor(law, on, TODAY).answers([raw])
    assert isinstance(one, Assessment), str(one)
    return one


def without_place(unit: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in unit.items() if key != "found_in"}


places_left_out = units().map(without_place)


def holds(unit: dict[str, Any], law: str | None, on: date) -> dict[str, Any]:
    """What every answer keeps: its shape, a reason with a source, something to do, words that are finished."""
    written = writer.JsonLines().line(answer(encoded(unit), law, on))
    assert written.endswith(b"}\n")
    assert written.count(b"\n") == 1
    assert len(written) < LONGEST_LINE
    given: dict[str, Any] = json.loads(written)
    assert list(given) == KEYS
    assert [fault.message for fault in OUT.iter_errors(given)] == []
    assert (given["id"], given["on"], given["rulebook"]) == (unit["id"], on.isoformat(), law)
    assert given["class"] in CLASSES[law]
    assert given["because"]
    assert given["next"]
    for reason in given["because"]:
        assert reason["says"].strip()
        assert reason["cite"].strip()
        assert reason["basis"] in ("read", "memory", "judgement")
    for said in [*given["because"], *given["next"], *given["duties"], *given["problems"]]:
        assert said["says"][-1] in ".!?"
    assert all(problem["field"] for problem in given["problems"])
    assert (given["force"] is not None) == (given["basis"] == "presumed")
    return given


@given(places_left_out, st.sampled_from(LAWS), days)
def test_every_valid_line_is_answered(unit: dict[str, Any], law: str | None, on: date) -> None:
    holds(unit, law, on)


@given(st.lists(lines, max_size=4), st.sampled_from(LAWS), days)
def test_a_register_is_answered_line_by_line(register: list[bytes], law: str | None, on: date) -> None:
    """An answer for each line, or a refusal for an id that came before or a place that is not given."""
    found = list(Assessor(law, on, TODAY).answers(register))
    assert len(found) == len(register)
    for one in found:
        if isinstance(one, Refused):
            assert one.path in ("id", "found_in")
            is_one_sentence(one)


@given(places_left_out, places_left_out, st.sampled_from(LAWS[:-1]))
def test_an_answer_does_not_hang_on_what_was_asked_before(
    first: dict[str, Any], second: dict[str, Any], law: str
) -> None:
    """Judgements are kept by pattern and parts of lines by identity: neither may leak from one unit to the next."""
    second = second | {"id": f"{first['id']}, the second"}
    assessor, out = Assessor(law, TODAY, TODAY), writer.JsonLines()
    both = [one for one in assessor.answers([encoded(first), encoded(second)]) if isinstance(one, Assessment)]
    assert [out.line(one) for one in both] == [
        writer.JsonLines().line(answer(encoded(unit), law)) for unit in (first, second)
    ]


def test_an_extension_of_one_unit_puts_off_nothing_of_the_next() -> None:
    """SOR/2008-273 s.17.1: an extension is granted unit by unit; days of duties are kept for all that owe alike."""
    lab = [{"how": "laboratory", "method": "IEC 61619", "value": "120", "unit": "mg/kg", "accredited": True}]
    unit = {
        "kind": "transformer", "found_in": "CA", "built": 1970, "fluid": "mineral", "role": "holder", "state": "in_use",
        "mounting": "pole", "tests": lab,
    }  # fmt: skip
    until = [None, "2029-12-31", None, "2031-06-30"]
    register = [encoded({**unit, "id": f"A{n}", "use_extended_until": day}) for n, day in enumerate(until)]
    days = [
        next(
            duty["due"] for duty in json.loads(writer.JsonLines().line(one))["duties"] if duty["name"] == "end_use_pole"
        )
        for one in Assessor("ca", TODAY, TODAY).answers(register)
        if isinstance(one, Assessment)
    ]
    assert days == ["2026-12-31", "2029-12-31", "2026-12-31", "2031-06-30"]


@given(places_left_out, st.sampled_from(LAWS[:-1]))
def test_the_order_of_keys_and_the_spelling_of_a_line_do_not_matter(unit: dict[str, Any], law: str) -> None:
    turned = dict(reversed(unit.items()))
    ways = [encoded(unit), encoded(turned), encoded(unit, escaped=True), encoded(unit, spaced=True)]
    assert len({writer.JsonLines().line(answer(raw, law)) for raw in ways}) == 1


# ---------------------------------------------------------------------- words of a register stay words


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("words", PLATES)
def test_words_of_a_plate_are_never_read_as_slots(words: str, law: str | None) -> None:
    unit = {"id": words, "kind": "transformer", "plate_words": [words, f"Pyranol {words}", f"{words} PCB"]}
    unit["spaces"] = [{"name": words}, {"name": f"{words} 2", "kind": "bushing"}]
    unit["tests"] = [
        {"how": how, "space": words, "value": 70, "unit": "mg/L", "report": words}
        for how in ("laboratory", "screen", "maker_label", "wipe", "density")
    ]
    holds(unit, law, TODAY)


def test_words_of_a_plate_stand_in_the_answer_as_they_were_read() -> None:
    words = "PCB {class} %s }{"
    given = holds({"id": "A1", "kind": "transformer", "plate_words": [words]}, "us", TODAY)
    assert given["basis"] == "plate"
    assert any(words in reason["says"] for reason in given["because"])


# ---------------------------------------------------------------------- numbers at the ends


def with_test(**keys: Any) -> dict[str, Any]:
    return {"id": "A1", "kind": "transformer", "tests": [{"how": "laboratory", "unit": "mg/kg", **keys}]}


EXTREMES = {
    "a tiny figure": with_test(value="0." + "0" * 30 + "1"),
    "a huge figure": with_test(value=10**12),
    "a huge uncertainty": with_test(value=10**12, uncertainty={"value": 10**12, "kind": "percent"}),
    "a huge absolute uncertainty": with_test(value=50, uncertainty={"value": 10**12, "kind": "absolute"}),
    "a tiny k": with_test(value=50, uncertainty={"value": 10, "kind": "percent", "k": "0." + "0" * 30 + "1"}),
    "a huge uncertainty and a tiny k": with_test(
        value=10**12, uncertainty={"value": 10**12, "kind": "percent", "k": "0.000001"}
    ),
    "a huge figure by volume": with_test(value=10**12, unit="mg/L"),
    "a huge figure by volume with density": with_test(value=10**12, unit="mg/L", density_kg_l=0.6),
    "a figure of many digits": with_test(value="49." + "9" * 200),
    "a tiny limit": with_test(reporting_limit="0." + "0" * 30 + "1"),
    "a huge limit": with_test(reporting_limit=10**12, unit="%") | {"kind": "drum"},
    "a tiny mass": {"id": "A1", "kind": "transformer", "fluid_mass_kg": "0." + "0" * 30 + "1"},
    "a huge volume": {"id": "A1", "kind": "capacitor", "fluid_volume_l": 10**12, "body_cm3": 10**12},
    "a tiny volume": {"id": "A1", "kind": "capacitor", "body_cm3": "0." + "0" * 30 + "1"},
    "a huge fluid": {"id": "A1", "kind": "drum", "history": [{"what": "refilled", "fluid_mg_kg": 10**12}]},
    "a huge set point": {
        "id": "A1",
        "kind": "drum",
        "tests": [{"how": "screen", "set_point": 10**12, "colour": "yellow"}],
    },
    "the first year": {"id": "A1", "kind": "drum", "built": "~0001", "decided_waste": "0001-01-01"},
}


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("unit", EXTREMES.values(), ids=EXTREMES.keys())
def test_numbers_at_the_ends_are_answered_or_refused(unit: dict[str, Any], law: str | None) -> None:
    raw = encoded(unit)[:-1] + b',"found_in":"JP"}'
    (one,) = Assessor(law, TODAY, TODAY).answers([raw])
    if isinstance(one, Refused):
        is_one_sentence(one)
    else:
        assert len(writer.JsonLines().line(one)) < LONGEST_LINE
        assert writer.csv_row(one)
        assert writer.table_rows(one, 120)


@pytest.mark.parametrize("written", ["1e-2000000", "0e2000000", "1e-20000"])
def test_a_number_with_a_great_exponent_does_not_fill_the_memory(written: str) -> None:
    """Eleven characters in must not become two million out."""
    raw = b'{"id":"A1","kind":"drum","tests":[{"how":"laboratory","unit":"mg/kg","value":%s}]}' % written.encode()
    (one,) = Assessor("us", TODAY, TODAY).answers([raw])
    if isinstance(one, Refused):
        is_one_sentence(one)
    else:
        assert len(writer.JsonLines().line(one)) < LONGEST_LINE


def test_a_minus_is_never_said_of_nought() -> None:
    """-0.0 is nought in JSON: refused or read, no answer prints it with its sign."""
    unit = with_test(value=5, uncertainty={"value": -0.0, "kind": "absolute"})
    (one,) = Assessor("us", TODAY, TODAY).answers([encoded(unit)])
    assert isinstance(one, Refused) or "± -" not in str(one)


@pytest.mark.parametrize("law", LAWS[:-1])
@pytest.mark.parametrize("limit", [None, 2, 50, 600])
@pytest.mark.parametrize("value", [None, 0, 1, 60])
@pytest.mark.parametrize("how", ["laboratory", "maker_label"])
def test_more_than_a_figure_is_never_read_as_less(law: str, limit: int | None, value: int | None, how: str) -> None:
    """`>` takes the worst class that it allows, and "not detected" is a limit without a value: a line that says both
    is refused, or at least never puts a unit in the lowest class."""
    test = {"how": how, "sign": ">", "value": value, "reporting_limit": limit, "unit": "mg/kg"}
    unit = {"id": "A1", "kind": "transformer", "service_records": "all", "tests": [test]}
    (one,) = Assessor(law, TODAY, TODAY).answers([encoded(unit)])
    if isinstance(one, Refused):
        is_one_sentence(one)
    else:
        assert one.klass not in ("below_50", "up_to_50"), one.because[0].says
        assert one.care == "ge500"


# ---------------------------------------------------------------------- kinds of evidence side by side

EVIDENCE: dict[str, dict[str, Any]] = {
    "low": {"how": "laboratory", "value": 1, "unit": "mg/kg"},
    "high": {"how": "laboratory", "value": 700, "unit": "mg/kg"},
    "below": {"how": "laboratory", "sign": "<", "value": 60, "unit": "mg/kg"},
    "above": {"how": "laboratory", "sign": ">", "value": 60, "unit": "mg/kg"},
    "not found": {"how": "laboratory", "reporting_limit": 2, "unit": "mg/kg"},
    "nothing": {"how": "laboratory"},
    "by volume": {"how": "laboratory", "value": 48, "unit": "mg/L"},
    "by volume, with density": {"how": "laboratory", "value": 48, "unit": "mg/L", "density_kg_l": 0.88},
    "no basis": {"how": "laboratory", "value": 48, "unit": "ppm"},
    "mixed": {"how": "laboratory", "value": 30, "unit": "mg/kg", "composite": True},
    "mixed and high": {"how": "laboratory", "value": 600, "unit": "mg/kg", "composite": True},
    "another space": {"how": "laboratory", "value": 600, "unit": "mg/kg", "space": "tap changer"},
    "label": {"how": "maker_label", "value": 50, "unit": "ppm"},
    "label, high": {"how": "maker_label", "value": 60, "unit": "%"},
    "label, nothing": {"how": "maker_label"},
    "label, contrary": {"how": "maker_label", "value": 1, "unit": "ppm", "contrary": True},
    "screen above": {"how": "screen", "colour": "yellow", "set_point": 50, "sample": "B-1"},
    "screen below": {"how": "screen", "colour": "blue_violet", "set_point": 20, "sample": "B-1"},
    "screen by figure": {"how": "screen", "value": 70, "unit": "ppm"},
    "screen void": {"how": "screen", "wet": True},
    "sinks": {"how": "density", "sinks": True},
    "floats": {"how": "density", "density_kg_l": 0.88},
    "density, nothing": {"how": "density"},
    "wipe": {"how": "wipe", "value": 12, "unit": "ug/100cm2", "matrix": "surface"},
    "similar": {"how": "similar_unit", "value": 12, "unit": "mg/kg"},
    "congeners": {"how": "laboratory", "value": 12, "unit": "mg/kg", "congener_sum": "six", "factor": 5},
}
"""One of each way in which evidence is read."""


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("first", EVIDENCE)
def test_any_two_tests_stand_side_by_side(law: str | None, first: str) -> None:
    """Pairs that contradict each other, or not, in either order: each has its sentence and every slot its word."""
    unit: dict[str, Any] = {"id": "A1", "kind": "transformer", "fluid": "mineral", "built": 1968}
    for second in EVIDENCE:
        for rest in ({}, {"service_records": "all"}, {"history": [{"what": "refilled", "on": 2000}]}):
            holds({**unit, **rest, "tests": [EVIDENCE[first], EVIDENCE[second]]}, law, TODAY)


# ---------------------------------------------------------------------- law and day


@pytest.mark.parametrize(("place", "law"), [("US", "us"), ("US-WA", "us"), ("NZ", "nz"), ("NZ-AUK", "nz")])
def test_the_law_is_that_of_the_place(place: str, law: str) -> None:
    (one,) = Assessor(None, TODAY, TODAY).answers([f'{{"id":"A1","kind":"drum","found_in":"{place}"}}'.encode()])
    assert isinstance(one, Assessment)
    assert one.rulebook == law


def test_the_law_that_is_named_beats_the_place() -> None:
    (one,) = Assessor("nz", TODAY, TODAY).answers([b'{"id":"A1","kind":"drum","found_in":"US"}'])
    assert isinstance(one, Assessment)
    assert one.rulebook == "nz"


@pytest.mark.parametrize("place", ["JP", "JP-13", "CH", "BR-SP"])
def test_a_country_without_a_rulebook_is_undetermined_with_the_reason(place: str) -> None:
    unit = {"id": "A1", "kind": "transformer", "found_in": place, "built": 1968}
    (one,) = Assessor(None, TODAY, TODAY).answers([encoded(unit)])
    assert isinstance(one, Assessment)
    assert (one.klass, one.basis, one.force, one.rulebook) == ("undetermined", "undetermined", None, None)
    assert place in one.because[0].says
    assert "rulebook" in one.because[0].says


@pytest.mark.parametrize("place", ['"built":1968', '"found_in":null'])
def test_a_line_that_names_no_law_is_refused(place: str) -> None:
    stream = [b'{"id":"A0","kind":"drum","found_in":"NZ"}', f'{{"id":"A1","kind":"drum",{place}}}'.encode()]
    first, second = Assessor(None, TODAY, TODAY).answers(stream)
    assert isinstance(first, Assessment)
    assert isinstance(second, Refused)
    assert (second.line, second.path) == (2, "found_in")
    assert "--rulebook" in second.says
    is_one_sentence(second)


@pytest.mark.parametrize("law", [law for law in LAWS if law not in ("au", None)])
@given(unit=places_left_out)
@example(unit={"id": "A1", "kind": "transformer", "built": 1968})
def test_before_there_was_a_law_it_is_undetermined_with_the_reason(law: str, unit: dict[str, Any]) -> None:
    """No country had a law on PCB before the second world war: whatever the line says, the class is undetermined.

    That Australia presumes nothing was read without a day, so there the reason names none.
    """
    given = holds(unit, law, date(1939, 9, 1))
    assert (given["class"], given["basis"]) == ("undetermined", "undetermined")
    assert "1 Sep 1939" in given["because"][0]["says"]


def test_two_units_of_one_class_and_role_owe_what_each_owes_itself() -> None:
    """Code de l'environnement, R.543-20 to 22 (France): the last day of holding goes by the year of building."""
    told = {"kind": "transformer", "found_in": "FR", "role": "holder", "tests": [LAB_120]}
    lines = [json.dumps({"id": str(year), "built": year, **told}).encode() for year in (1974, 1979, 1985)]
    found = [one for one in Assessor(None, TODAY, TODAY).answers(lines) if not isinstance(one, Refused)]
    by_year = {one.id: {duty.due for duty in one.duties if duty.name.startswith("fr_")} for one in found}
    assert by_year == {
        "1974": {date(2016, 12, 31)}, "1979": {date(2019, 12, 31)}, "1985": {date(2022, 12, 31)},
    }  # fmt: skip


LAB_120 = {"how": "laboratory", "value": 120, "unit": "mg/kg"}
