"""A raw figure beside the one that was reported: the class goes by the report, hands by the stricter of the two.

40 CFR 761.3: contaminated from 50 ppm. Notice of New Zealand 2004, clause 3(2)(e): PCB is what holds more than 50 ppm.
IEC 61619:1997, clause 14: two laboratories may differ by 2 + 0.25 x; its half over 2.77 at k = 2 (ISO 5725-6).
"""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.edge.cross import contradiction
from hazmat.edge.one import read_unit
from tests.core.strategies_core import (
    LAWS,
    NEW,
    Line,
    ask,
    care_rank,
    class_fell,
    lab,
    laboratory,
    mild_units,
    units,
)
from tests.core.told import TODAY

TWO_PER_CENT = {"uncertainty": {"value": 2, "kind": "percent", "k": 2}}


def judged(law: str, *args: Any, **more: Any) -> tuple[str, str, str]:
    answer = ask({**NEW, "tests": [lab(*args, **more)]}, law)
    return answer.klass, answer.basis, answer.care


@pytest.mark.parametrize(
    ("raw", "care"),
    [(None, "2_49"), ("49.01", "2_49"), ("49.02", "50_499"), ("49.6", "50_499"), ("47", "2_49")],
)
def test_hands_go_by_the_stricter_and_the_class_by_the_report(raw: str | None, care: str) -> None:
    """48 ± 2 % reaches 48.96; 49.01 reaches 49.9902 and 49.02 reaches 50.0004. What was reported stays below 50."""
    more = {} if raw is None else {"raw": raw}
    assert judged("us", 48, **TWO_PER_CENT, **more) == ("below_50", "established", care)


def test_a_line_that_lies_above_fifty_is_met_by_the_report_alone() -> None:
    """50.4 rounded to 50 is not more than 50; with its uncertainty it is handled as more."""
    assert judged("nz", 50, **TWO_PER_CENT, raw="50.4") == ("up_to_50", "established", "50_499")
    assert judged("nz", "50.4", **TWO_PER_CENT, raw=50)[0] == "over_50"


@pytest.mark.parametrize(("raw", "care"), [("1.9", "lt2"), (2, "lt2"), ("2.1", "2_49")])
def test_below_a_reporting_limit_a_raw_figure_says_nothing(raw: Any, care: str) -> None:
    assert judged("us", 2, sign="<", raw=raw) == ("below_50", "established", care)


def test_a_raw_figure_is_turned_into_mg_kg_as_the_reported_one_is() -> None:
    """43 mg/L at 0.86 kg/L is 50 mg/kg: at the line; 42 mg/L is 48.8."""
    liquid = {"density_kg_l": "0.86", "uncertainty": {"value": "0.1", "kind": "absolute"}}
    assert judged("us", 42, "mg/L", **liquid) == ("below_50", "established", "2_49")
    assert judged("us", 42, "mg/L", **liquid, raw=43) == ("below_50", "established", "50_499")


def test_without_a_basis_by_weight_the_raw_figure_raises_too() -> None:
    """390 ppm over 0.80 is 487.5 and 410 ppm is 512.5 mg/kg."""
    assert judged("us", 390, "ppm")[2] == "50_499"
    assert judged("us", 390, "ppm", raw=410)[2] == "ge500"


def test_both_figures_are_said() -> None:
    """49 with the spread of two laboratories: 49 + 2 x 14.25 / 2.77 = 59.289, cut to 59.28."""
    said = [one.says for one in ask({**NEW, "tests": [lab(48, raw=49)]}, "us").because]
    assert "Lab says 48 mg/kg (raw 49 mg/kg) for the tank: below 50 ppm PCB." in said
    assert any(one.startswith("Handle by the raw figure for the tank") and "59.28 mg/kg" in one for one in said)


@pytest.mark.parametrize("law", LAWS)
@given(line=st.one_of(units(), mild_units()), test=laboratory(), raw=st.integers(1, 9000))
def test_a_raw_figure_never_lowers_and_never_changes_what_is_established(
    law: str, line: Line, test: Line, raw: int
) -> None:
    def told(one: Line) -> Line:
        return {**line, "tests": [*line.get("tests", []), one]}

    before, after = ask(told(test), law), ask(told({**test, "raw": raw / 10}), law)
    assert (after.klass, after.basis) == (before.klass, before.basis)
    assert care_rank(after) >= care_rank(before)
    assert not class_fell(before, after)


@pytest.mark.parametrize(
    ("test", "says"),
    [
        ({"how": "laboratory", "unit": "mg/kg", "raw": "49.6"}, "stood there alone"),
        ({"how": "screen", "unit": "mg/kg", "value": 48, "raw": "49.6"}, "goes with a laboratory's result"),
        ({"how": "laboratory", "unit": "%", "value": 48, "raw": "101"}, "no more than 100, the whole"),
    ],
)
def test_a_raw_figure_that_cannot_stand_is_refused(test: Line, says: str) -> None:
    with pytest.raises(Exception, match=says) as wrong:
        read_unit({"kind": "other", "tests": [test]}, "A1", TODAY)
    assert "tests[0].raw" in str(wrong.value)


def test_a_raw_figure_beside_a_reporting_limit_stands() -> None:
    test = {"how": "laboratory", "unit": "mg/kg", "reporting_limit": 2, "raw": "1.6"}
    assert contradiction(read_unit({"kind": "other", "tests": [test]}, "A1", TODAY)) is None
