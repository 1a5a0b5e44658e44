"""Breakdown shots: against the standard library, both sides of each bound of a method, slips of the hand."""

import statistics
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.sums.breakdown import Shot, read_shots
from hazmat.core.sums.frame import CannotWork, Worked
from hazmat.rulebooks.sumbook import sums

ON = date(2026, 11, 26)
BREAKDOWN = sums()["breakdown"]
FULL = {"iec_60156": 6, "d1816_1mm": 5, "d1816_2mm": 5, "d877": 5, "jis_mineral": 10}


def told(shots: str, method: str = "iec_60156", **more: Any) -> Worked:
    return BREAKDOWN.worked({"method": method, "shots": shots, **{k: Decimal(v) for k, v in more.items()}}, ON)


def keys(found: Worked) -> set[str]:
    return {note.key for note in found.notes}


@given(st.lists(st.decimals(1, 99, places=1), min_size=2, max_size=10))
def test_mean_and_deviation_are_those_of_the_standard_library(kv: list[Decimal]) -> None:
    found = told(" ".join(map(str, kv)), "own").values
    assert found["mean"] == pytest.approx(statistics.mean(kv))
    assert float(found["sd"]) == pytest.approx(float(statistics.stdev(kv)), abs=1e-9)  # type: ignore[arg-type]
    assert (found["low"], found["high"], found["count"]) == (min(kv), max(kv), len(kv))


@given(st.lists(st.decimals(1, 99, places=1), min_size=5, max_size=5), st.permutations(range(5)))
def test_the_order_of_shots_changes_nothing_but_their_order(kv: list[Decimal], order: list[int]) -> None:
    for method in ("d1816_1mm", "d1816_2mm", "d877"):
        one, other = (told(" ".join(str(kv[n]) for n in places), method).values for places in (range(5), order))
        assert one == other


@given(st.lists(st.decimals(1, 99, places=1), min_size=1, max_size=9))
def test_what_agrees_at_2_mm_agrees_at_1_mm(kv: list[Decimal]) -> None:
    """0.92 of the mean at 2 mm is stricter than 1.20 at 1 mm (ASTM D1816)."""
    shots = " ".join(map(str, kv))
    if told(shots, "d1816_2mm").values["consistent"] == "yes":
        assert told(shots, "d1816_1mm").values["consistent"] == "yes"


@pytest.mark.parametrize(
    ("more", "method", "off"),
    [
        ({"ramp_kv_s": "2.2"}, "iec_60156", set()), ({"ramp_kv_s": "2.21"}, "iec_60156", {"ramp_off"}),
        ({"ramp_kv_s": "1.8"}, "iec_60156", set()), ({"ramp_kv_s": "1.79"}, "iec_60156", {"ramp_off"}),
        ({"ramp_kv_s": "3"}, "iec_60156", {"ramp_off"}), ({"ramp_kv_s": "3"}, "d877", set()),
        ({"gap_mm": "2.45"}, "iec_60156", set()), ({"gap_mm": "2.44"}, "iec_60156", {"gap_off"}),
        ({"gap_mm": "2.55"}, "iec_60156", set()), ({"gap_mm": "2.56"}, "iec_60156", {"gap_off"}),
        ({"gap_mm": "2"}, "d1816_1mm", {"gap_off"}), ({"gap_mm": "2"}, "d1816_2mm", set()),
        ({"pause_min": "1.5"}, "iec_60156", {"pause_off"}), ({"pause_min": "2"}, "iec_60156", set()),
        ({"pause_min": "1.5"}, "d1816_1mm", set()), ({"pause_min": "1.51"}, "d1816_1mm", {"pause_off"}),
        ({"ramp_kv_s": "0.525"}, "d1816_2mm", set()), ({"ramp_kv_s": "0.526"}, "d1816_2mm", {"ramp_off"}),
        ({"oil_c": "19.9"}, "d877", {"oil_off"}), ({"oil_c": "20"}, "d877", set()),
        ({"oil_c": "90"}, "own", set()), ({"gap_mm": "4"}, "own", set()),
    ],
)  # fmt: skip
def test_both_sides_of_each_bound_of_a_method(more: dict[str, str], method: str, off: set[str]) -> None:
    """IEC 60156: 2.50 ± 0.05 mm, 2.0 ± 0.2 kV/s, 2 min or more; D1816: 0.5 kV/s ± 5 %, 60 to 90 s; D877: 20 °C."""
    shots = " ".join(str(40 + n) for n in range(FULL.get(method, 3)))
    assert keys(told(shots, method, **more)) == off


def test_the_ends_of_the_range_rule_are_allowed() -> None:
    """Range over mean of 10 40 50: with five shots 40 60 40 60 … the bound of 0.92 and 1.20 belong to what agrees."""
    assert told("27 50 50 50 73", "d1816_2mm").values["spread"] == Decimal("0.92")
    assert told("27 50 50 50 73", "d1816_2mm").values["consistent"] == "yes"
    assert told("26.9 50 50 50 73", "d1816_2mm").values["consistent"] == "no"
    assert told("20 50 50 50 80", "d1816_1mm").values["consistent"] == "yes"
    assert told("19.9 50 50 50 80", "d1816_1mm").values["consistent"] == "no"


def test_three_times_the_range_against_the_second_lowest() -> None:
    assert told("26 30 30 30 36", "d877").values["consistent"] == "yes"
    assert told("26 30 30 30 36.1", "d877").values["consistent"] == "no"


@pytest.mark.parametrize(("method", "due"), FULL.items())
def test_fewer_shots_than_due_are_told_and_not_judged(method: str, due: int) -> None:
    few, many = (told(" ".join(str(40 + n) for n in range(due + step)), method) for step in (-1, 1))
    assert keys(few) == {"too_few"}
    assert few.values["consistent"] == "not_judged"
    assert "too_many" in keys(many)
    assert few.values["due"] == due


def test_a_shot_above_the_tester_makes_the_mean_a_least_value() -> None:
    found = told("48 55 >60 52 58 >60")
    assert found.values["at_least"] is True
    assert keys(found) == {"at_least"}
    assert "sd" not in found.values
    assert found.values["consistent"] == "not_judged"
    assert read_shots(">60 > 70") == (Shot(Decimal(60), True), Shot(Decimal(70), True))
    assert str(Shot(Decimal("60.0"), True)) == ">60"


def test_equal_shots_are_suspicious_and_one_shot_is_not() -> None:
    assert "all_equal" in keys(told("50 50 50 50 50 50"))
    assert "all_equal" not in keys(told("50 50 50 50 50 50.1"))
    assert "all_equal" not in keys(told("50"))


def test_our_own_flag_is_above_three_tenths_and_not_at_it() -> None:
    """35 50 50 50 50 65: variance 450 / 5 = 90; the deviation is 9.49, 0.19 of the mean. 20 … 80 is 0.38."""
    assert told("35 50 50 50 50 65").values["consistent"] == "not_judged"
    found = told("20 50 50 50 50 80")
    assert found.values["consistent"] == "doubtful"
    assert keys(found) == {"doubtful"}


@pytest.mark.parametrize(
    ("shots", "key"),
    [
        ("48,5 55", "shots_comma"), ("48, 55", "shots_comma"), ("48 fifty", "shots_unread"), ("48 -5", "shots_unread"),
        ("48 1e2", "shots_unread"), ("48 5555", "shots_unread"), ("48 ٥٥", "shots_unread"), ("kV", "shots_none"),
        ("48 0", "shots_nought"), ("1 " * 61, "shots_none"), ("48 <60", "shots_unread"),
    ],
)  # fmt: skip
def test_what_is_no_shot_is_said(shots: str, key: str) -> None:
    with pytest.raises(CannotWork) as caught:
        read_shots(shots)
    assert (caught.value.box, caught.value.key) == ("shots", key)


def test_shots_are_read_with_their_unit_and_with_semicolons() -> None:
    assert read_shots("48 kV; 55.5kV ;60") == tuple(Shot(Decimal(kv)) for kv in ("48", "55.5", "60"))
