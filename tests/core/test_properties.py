"""What holds for every unit, whatever is known of it: harm never lowers, hope never lowers, nothing leaks."""

from typing import Any

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from hazmat import rulebooks
from hazmat.core.bulk import CARE
from hazmat.core.law import UNDETERMINED
from tests.core.strategies_core import (
    HARM,
    IDLE,
    LAWS,
    Line,
    ask,
    care_rank,
    class_fell,
    fresh_judge,
    harm,
    idle,
    law_day,
    mild_units,
    units,
)  # fmt: skip

EVERY_LAW = pytest.mark.parametrize("law", LAWS)
NEW_OIL = {"kind": "transformer", "built": 2005, "fluid": "mineral", "found_in": "CH"}
YELLOW = {"how": "screen", "set_point": 500, "colour": "yellow"}


@EVERY_LAW
@given(line=st.one_of(units(), mild_units()), added=harm())
@example(line={**NEW_OIL, "tests": [{**YELLOW}]}, added="a liquid that sinks")
@example(
    line={**NEW_OIL, "tests": [{"how": "laboratory", "sign": "<", "value": 600, "unit": "mg/kg"}]},
    added="a top-up that nobody measured",
)
@example(
    line={**NEW_OIL, "tests": [{"how": "laboratory", "reporting_limit": 60, "unit": "mg/kg"}]}, added="a retrofill"
)
@example(line={**NEW_OIL, "tests": [{**YELLOW}]}, added="an old sealed bushing")
def test_more_evidence_of_harm_never_lowers_care_or_class(law: str, line: Line, added: str) -> None:
    before, after = ask(line, law), ask(HARM[added](line), law)
    assert care_rank(after) >= care_rank(before), added
    assert not class_fell(before, after), (added, before.klass, after.klass)


@EVERY_LAW
@given(
    line=st.one_of(units(tests=2), mild_units()), figure=st.integers(1, 900), more=st.integers(1, 900), data=st.data()
)
def test_a_higher_laboratory_figure_never_lowers_care_or_class(
    law: str, line: Line, figure: int, more: int, data: st.DataObject
) -> None:
    extra = data.draw(
        st.sampled_from([{"unit": "mg/kg"}, {"unit": "mg/L"}, {"unit": "mg/L", "density_kg_l": "0.88"}, {"unit": "%"}])
    )
    when = data.draw(st.sampled_from([{}, {"on": "2019-02-28"}, {"composite": True}]))

    def with_figure(value: int) -> Line:
        written = f"{value / 10000:.4f}" if extra["unit"] == "%" else value
        test = {"how": "laboratory", "value": written, **extra, **when}
        return {**line, "tests": [*line.get("tests", []), test]}

    before, after = ask(with_figure(figure), law), ask(with_figure(figure + more), law)
    assert care_rank(after) >= care_rank(before)
    assert not class_fell(before, after), (before.klass, after.klass)


@EVERY_LAW
@given(line=st.one_of(units(), mild_units()), added=idle())
def test_what_no_rulebook_names_never_lowers_a_class_and_establishes_nothing(law: str, line: Line, added: str) -> None:
    assume(line.get("service_records") != "all")
    before, after = ask(line, law), ask(IDLE[added](line), law)
    assert not class_fell(before, after), (added, before.klass, after.klass)
    assert care_rank(after) >= care_rank(before) or before.band == "unknown", added
    if before.basis != "established":
        assert after.basis != "established", added


@EVERY_LAW
@given(line=st.one_of(units(), mild_units()), added=idle())
def test_two_screens_or_hopes_of_one_sample_never_touch_another_sample(law: str, line: Line, added: str) -> None:
    """Idle evidence of one bottle says nothing about a yellow screen of another."""
    yellow = {**line, "tests": [*line.get("tests", []), {**YELLOW, "sample": "yellow bottle"}]}
    before, after = ask(yellow, law), ask(IDLE[added](yellow), law)
    assume(line.get("service_records") != "all")
    assert not class_fell(before, after), added
    assert care_rank(after) >= care_rank(before), added


@EVERY_LAW
@given(line=units())
def test_every_answer_has_a_cited_reason_and_care_is_the_worst_of_all(law: str, line: Line) -> None:
    answer = ask(line, law)
    assert answer.because
    assert answer.next
    for finding in answer.because:
        assert finding.says
        assert finding.cite
        assert finding.basis in ("read", "memory", "judgement")
    band = "ge500" if answer.band == "unknown" else answer.band
    assert care_rank(answer) >= CARE.index(band)
    if law != "none" and answer.klass != UNDETERMINED:
        assert care_rank(answer) >= CARE.index(law_day(law).book.class_words[answer.klass].band)
    if law == "none":
        assert (answer.klass, answer.basis, answer.force) == (UNDETERMINED, UNDETERMINED, None)


@EVERY_LAW
@given(line=units())
def test_the_band_is_unknown_only_where_nothing_but_the_kind_other_is_given(law: str, line: Line) -> None:
    elsewhere = {"kind", "found_in", "role", "decided_waste"}
    bare = line["kind"] == "other" and not set(line) - elsewhere
    assert (ask(line, law).band == "unknown") == bare


@EVERY_LAW
@given(line=units(), data=st.data())
def test_the_order_of_a_line_does_not_matter(law: str, line: Line, data: st.DataObject) -> None:
    turned = dict(line)
    for key in ("tests", "marks", "plate_words", "spaces", "history"):
        if len(line.get(key, [])) > 1:
            turned[key] = data.draw(st.permutations(line[key]))
    one, other = ask(line, law), ask(turned, law)
    assert decided(one) == decided(other)
    assert [task.says for task in one.next] == [task.says for task in other.next]


def decided(answer: Any) -> tuple[Any, ...]:
    return answer.klass, answer.basis, answer.force, answer.band, answer.care, answer.size


# ---------------------------------------------------------------------------------------------- nothing leaks


def like(line: Line, data: st.DataObject) -> Line:
    """A unit of much the same pattern with figures, names and places of its own."""
    other = dict(line)
    other["found_in"] = data.draw(st.sampled_from(["CH", "BR", "ZA"]))
    names = {"bushing H1": "bushing H7", "tap changer": "selector", "cable box": "pot head"}
    if data.draw(st.booleans()):
        other["spaces"] = [{**s, "name": names.get(s["name"], s["name"])} for s in line.get("spaces", [])]
        other["tests"] = [
            {**t, **({"space": names.get(t["space"], t["space"])} if "space" in t else {})}
            for t in line.get("tests", [])
        ]
    words = {"PYRANOL": "CLOPHEN", "CONTAINS PCB": "PCB INSIDE", "NON-PCB": "NO PCB", "DK": "THERMINOL"}
    other["plate_words"] = [words.get(word, word) for word in line.get("plate_words", [])]
    step = data.draw(st.sampled_from([0, 1, 100]))
    other["tests"] = [
        {**t, **({"value": int(float(t["value"])) + step} if "value" in t and step else {})}
        for t in other.get("tests", line.get("tests", []))
    ]
    return other


@EVERY_LAW
@given(line=units(), data=st.data())
def test_units_of_one_pattern_keep_their_own_words(law: str, line: Line, data: st.DataObject) -> None:
    other, judge = like(line, data), fresh_judge(law)
    first, second, third = (ask(one, law, judge) for one in (line, other, line))
    assert first == third == ask(line, law, fresh_judge(law))
    assert second == ask(other, law, fresh_judge(law))


@EVERY_LAW
@given(lines=st.lists(units(tests=2), min_size=2, max_size=8))
def test_one_judge_over_a_stream_answers_as_a_fresh_one_for_each(law: str, lines: list[Line]) -> None:
    judge = fresh_judge(law)
    assert [ask(line, law, judge) for line in lines] == [ask(line, law, fresh_judge(law)) for line in lines]


@given(line=units())
def test_the_band_is_the_same_in_every_country(line: Line) -> None:
    """The safety band asks nothing about the law, so only the plate's reading could part the three."""
    assert len({ask(line, law).band for law in LAWS}) == 1


@pytest.mark.parametrize("law", rulebooks.laws())
@given(line=units())
def test_good_until_never_lies_before_the_day(law: str, line: Line) -> None:
    answer = ask(line, law)
    assert answer.good_until is None or answer.good_until >= answer.on
