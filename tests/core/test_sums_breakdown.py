"""Shots of a breakdown test: spread beside the standard library's, lower bounds, both sides of every tolerance."""

import statistics
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.sums.breakdown import Shot, Shots, judge_shots, read_shots
from hazmat.core.sums.frame import CannotWork, Fixed, Worked
from hazmat.edge.shapes import Slip
from hazmat.edge.sums import work
from hazmat.rulebooks import sumbook

TODAY = date(2026, 11, 26)
SUMS = sumbook.sums()
FIXED = Fixed(SUMS["breakdown"].figures, TODAY)
NEAR = Decimal("1E-15")

kilovolts = st.decimals(0, 60, allow_nan=False, allow_infinity=False, places=1)
methods = st.sampled_from(["iec_60156", "d1816_1mm", "d1816_2mm", "d877", "jis_c2101", "own"])


def shots(method: str, *kv: str | Decimal, **more: Any) -> Shots:
    """A test with these shots; `>60` is a top."""
    return Shots(method, read_shots(" ".join(map(str, kv))), **more)


def keys(notes: Any) -> set[str]:
    return {note.key for note in notes}


def worked(sum: str, **given: Any) -> Worked:
    return work(SUMS[sum], given, TODAY)


# ------------------------------------------------------------------------------------------------- one test


@given(st.lists(kilovolts, min_size=2, max_size=10), methods)
def test_mean_and_spread_are_those_of_the_standard_library(kv: list[Decimal], method: str) -> None:
    told = judge_shots(shots(method, *kv), FIXED)
    exact = [Fraction(one) for one in kv]
    assert abs(Fraction(told.mean) - statistics.mean(exact)) < NEAR
    assert told.sd is not None
    assert abs(Fraction(told.sd) ** 2 - statistics.variance(exact)) < NEAR
    assert told.low <= told.mean + NEAR
    assert told.mean <= told.high + NEAR
    assert [shot.kv for shot in told.counted] == kv
    assert not told.lower_bound


@given(st.lists(kilovolts, min_size=2, max_size=10), st.randoms(use_true_random=False), methods)
def test_the_order_of_shots_changes_no_figure(kv: list[Decimal], chance: Any, method: str) -> None:
    mixed = kv.copy()
    chance.shuffle(mixed)
    one, other = (judge_shots(shots(method, *each), FIXED) for each in (kv, mixed))
    assert abs(one.mean - other.mean) < NEAR
    assert one.sd is not None
    assert other.sd is not None
    assert abs(one.sd - other.sd) < NEAR
    assert (one.consistent, one.complete, one.missing) == (other.consistent, other.complete, other.missing)


@given(st.lists(kilovolts, min_size=2, max_size=8), st.lists(st.decimals(0, 60, places=1), min_size=1, max_size=4))
def test_past_the_top_everything_told_is_a_lower_bound(below: list[Decimal], further: list[Decimal]) -> None:
    """Whatever a shot would have reached beyond the tester's top, the true figures are not below those told."""
    top = max(*below, Decimal(1))
    told = judge_shots(shots("own", *below, *(f">{top}" for _ in further)), FIXED)
    true = judge_shots(shots("own", *below, *(min(top + more, Decimal(120)) for more in further)), FIXED)
    assert told.lower_bound
    assert not true.lower_bound
    for figure in ("mean", "high", "sd", "cv", "range_share"):
        least, found = getattr(told, figure), getattr(true, figure)
        assert least is not None
        assert least <= found + NEAR


@given(st.lists(kilovolts, min_size=4, max_size=4), st.decimals(0, 60, places=1), st.integers(1, 4))
def test_a_verdict_with_a_top_holds_whatever_lies_beyond(below: list[Decimal], more: Decimal, how: int) -> None:
    top = max(*below, Decimal(1))
    method, fillings = [("d1816_1mm", 1), ("d1816_2mm", None), ("d877", 1), ("iec_60156", 1)][how - 1]
    told = judge_shots(shots(method, *below, f">{top}", fillings=fillings), FIXED)
    true = judge_shots(shots(method, *below, min(top + more, Decimal(120)), fillings=fillings), FIXED)
    assert told.consistent in ("not_judged", true.consistent)
    assert told.consistent != "yes"


def test_five_of_which_four_reached_the_top_are_not_called_inconsistent() -> None:
    """The second lowest is not known there: 3 x (60 - 30) = 90 is above 60, yet the shot may have held 90 and more."""
    told = judge_shots(shots("d877", "30", ">60", ">60", ">60", ">60", fillings=1), FIXED)
    assert told.consistent == "not_judged"
    assert judge_shots(shots("d877", "30", "60", "60", "60", "60", fillings=1), FIXED).consistent == "no"


def test_all_at_the_top_tell_no_spread() -> None:
    told = judge_shots(shots("iec_60156", *[">60"] * 6), FIXED)
    assert (told.mean, told.sd, told.cv, told.range_share) == (60, None, None, None)
    assert keys(told.notes) == {"all_above"}


@pytest.mark.parametrize(
    ("count", "missing", "complete", "key"),
    [(1, 5, False, "too_few"), (5, 1, False, "too_few"), (6, 0, True, None), (7, 0, True, "too_many")],
)
def test_six_are_due(count: int, missing: int, complete: bool, key: str | None) -> None:
    told = judge_shots(shots("iec_60156", *range(41, 41 + count)), FIXED)
    assert (told.missing, told.complete, told.due) == (missing, complete, 6)
    assert keys(told.notes) & {"too_few", "too_many"} == ({key} if key else set())


@pytest.mark.parametrize(
    ("method", "fillings", "due"),
    [
        ("d877", None, (5, 5)), ("d877", 1, (1, 5)), ("d877", 2, (2, 2)), ("d877", 5, (5, 5)), ("d877", 10, (10, 10)),
        ("jis_c2101", None, (2, 10)), ("jis_c2101", 5, (5, 5)), ("d1816_2mm", None, (1, 5)), ("own", 3, (None, None)),
    ],
)  # fmt: skip
def test_how_many_are_due(method: str, fillings: int | None, due: tuple[int | None, int | None]) -> None:
    told = judge_shots(shots(method, "40", "41", fillings=fillings), FIXED)
    assert (told.fillings_due, told.due) == due
    assert (told.complete is None) == (method == "own")


def test_fillings_that_no_plan_has_are_said() -> None:
    assert "fillings_other" in keys(judge_shots(shots("iec_60156", "40", fillings=2), FIXED).notes)
    assert "fillings_other" not in keys(judge_shots(shots("iec_60156", "40", fillings=1), FIXED).notes)
    assert "fillings_other" not in keys(judge_shots(shots("own", "40", fillings=2), FIXED).notes)


@pytest.mark.parametrize(
    ("fillings", "key"), [(None, "d877_say_fillings"), (1, None), (2, "d877_fillings"), (5, "d877_fillings")]
)
def test_rules_of_d877_go_by_fillings(fillings: int | None, key: str | None) -> None:
    found = keys(judge_shots(shots("d877", "40", "41", fillings=fillings), FIXED).notes)
    assert found & {"d877_say_fillings", "d877_fillings"} == ({key} if key else set())


BOUNDS = [
    ("iec_60156", "gap_mm", "2.45", "2.55", "0.01", "iec_60156_gap_off"),
    ("iec_60156", "ramp_kv_s", "1.8", "2.2", "0.01", "iec_60156_ramp_off"),
    ("iec_60156", "pause_min", "2", None, "0.1", "iec_60156_pause_off"),
    ("iec_60156", "stand_min", "5", None, "0.1", "iec_60156_stand_off"),
    ("iec_60156", "oil_temperature_c", "15", "25", "0.1", "iec_60156_temperature_off"),
    ("d1816_1mm", "gap_mm", "0.95", "1.05", "0.01", "d1816_gap_off"),
    ("d1816_2mm", "gap_mm", "1.95", "2.05", "0.01", "d1816_gap_off"),
    ("d1816_2mm", "ramp_kv_s", "0.475", "0.525", "0.001", "d1816_ramp_off"),
    ("d1816_2mm", "pause_min", "1", "1.5", "0.01", "d1816_pause_off"),
    ("d1816_1mm", "stand_min", "3", "5", "0.1", "d1816_stand_off"),
    ("d1816_1mm", "oil_temperature_c", "20", "30", "0.1", "d1816_temperature_off"),
    ("d877", "gap_mm", "2.49", "2.59", "0.01", "d877_gap_off"),
    ("d877", "ramp_kv_s", "2.85", "3.15", "0.01", "d877_ramp_off"),
    ("d877", "pause_min", "1", None, "0.01", "d877_pause_off"),
    ("d877", "stand_min", "3", None, "0.1", "d877_stand_off"),
    ("d877", "oil_temperature_c", "20", None, "0.1", "d877_temperature_off"),
]


@pytest.mark.parametrize(("method", "what", "least", "most", "step", "key"), BOUNDS)
def test_both_sides_of_what_a_method_sets(
    method: str, what: str, least: str, most: str | None, step: str, key: str
) -> None:
    def said(value: Decimal) -> bool:
        notes = judge_shots(shots(method, "40", **{what: value}), FIXED).notes
        assert all("{" not in SUMS["breakdown"].spoken(note.key, note.slots) for note in notes)
        return key in keys(notes)

    low, high = Decimal(least), Decimal(most) if most else Decimal(1000)
    assert (said(low - Decimal(step)), said(low), said(high)) == (True, False, False)
    assert said(high + Decimal(step)) == bool(most)


@pytest.mark.parametrize("what", ["gap_mm", "ramp_kv_s", "pause_min", "stand_min", "oil_temperature_c"])
def test_an_own_method_is_held_to_nothing(what: str) -> None:
    for value in ("0.1", "50"):
        assert keys(judge_shots(shots("own", "40", "41", **{what: Decimal(value)}), FIXED).notes) == set()


@pytest.mark.parametrize(
    ("method", "stirred", "key"),
    [
        ("iec_60156", False, "iec_60156_not_stirred"), ("iec_60156", True, None), ("d1816_1mm", False,
        "d1816_not_stirred"), ("d1816_2mm", True, None), ("d877", True, "d877_stirred"), ("d877", False, None),
        ("own", False, None), ("own", True, None),
    ],
)  # fmt: skip
def test_stirring(method: str, stirred: bool, key: str | None) -> None:
    found = {one for one in keys(judge_shots(shots(method, "40", stirred=stirred), FIXED).notes) if "stirred" in one}
    assert found == ({key} if key else set())


def test_range_of_d1816_on_both_sides() -> None:
    """1 mm: 100 - 40 = 60 over a mean of 50 is 1.20; 2 mm: 73 - 27 = 46 over a mean of 50 is 0.92."""
    for method, kv, wider in (
        ("d1816_1mm", ("90", "30", "40", "45", "45"), "90.1"),
        ("d1816_2mm", ("73", "27", "50", "50", "50"), "73.1"),
    ):
        assert judge_shots(shots(method, *kv), FIXED).consistent == "yes"
        assert judge_shots(shots(method, wider, *kv[1:]), FIXED).consistent == "no"
        assert judge_shots(shots(method, *kv[:4]), FIXED).consistent == "not_judged"
        assert judge_shots(shots(method, *kv, fillings=2), FIXED).consistent == "not_judged"


def test_three_times_the_range_of_d877_on_both_sides() -> None:
    """3 x (36 - 26) = 30: the second lowest at 30 passes, at 29.9 not; it is said that the rule is remembered."""
    for second, verdict in (("30", "yes"), ("29.9", "no")):
        told = judge_shots(shots("d877", "26", second, "31", "32", "36", fillings=1), FIXED)
        assert told.consistent == verdict
        (key,) = (key for key in keys(told.notes) if key.startswith("d877_one_filling"))
        assert SUMS["breakdown"].sentences[key].cite.basis == "memory"
    assert judge_shots(shots("d877", "26", "29.9", "31", "32", "36"), FIXED).consistent == "not_judged"


def test_our_own_flag_on_both_sides() -> None:
    """7 10 13 has a deviation of 3 over a mean of 10, 0.30; a little wider is flagged, and called our own."""
    assert "spread_wide" not in keys(judge_shots(shots("own", "7", "10", "13"), FIXED).notes)
    assert "spread_wide" in keys(judge_shots(shots("own", "6.9", "10", "13.1"), FIXED).notes)
    assert SUMS["breakdown"].sentences["spread_wide"].cite.basis == "judgement"


def test_all_the_same_is_suspicious() -> None:
    assert "all_equal" in keys(judge_shots(shots("iec_60156", *["50"] * 6), FIXED).notes)
    assert "all_equal" not in keys(judge_shots(shots("iec_60156", *["50"] * 5, "50.1"), FIXED).notes)
    assert "all_equal" not in keys(judge_shots(shots("iec_60156", "50"), FIXED).notes)
    assert "all_nought" in keys(judge_shots(shots("iec_60156", "0", "0"), FIXED).notes)


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("48 55", [(48, False), (55, False)]),
        ("48;55;", [(48, False), (55, False)]),
        (" 48.5 ;  55\n> 60", [(Decimal("48.5"), False), (55, False), (60, True)]),
        ("≥60 >=60", [(60, True), (60, True)]),
    ],
)
def test_shots_are_read(line: str, found: list[tuple[Any, bool]]) -> None:
    assert read_shots(line) == tuple(Shot(Decimal(kv), above) for kv, above in found)


@pytest.mark.parametrize(
    ("line", "key"),
    [
        ("48,5", "comma"), ("48,55,60", "comma"), ("48, 55", "comma"), ("48，5", "not_a_shot"), ("; ;", "no_shots"),
        ("48 kV", "not_a_shot"), ("60+", "not_a_shot"), ("-48", "not_a_shot"), ("<48", "not_a_shot"),
        ("48/55", "not_a_shot"), ("1e2", "not_a_shot"), ("٤٨", "not_a_shot"), ("4855", "not_a_shot"),
        (">", "not_a_shot"), ("485", "shot_too_high"), ("120.1", "shot_too_high"), (">50 58", "top_below_shot"),
        (">50 >60", "top_below_shot"), (" ".join(["40"] * 101), "no_shots"), ("48.5.5", "not_a_shot"),
    ],
)  # fmt: skip
def test_a_line_that_can_be_misread_is_refused(line: str, key: str) -> None:
    with pytest.raises(CannotWork) as caught:
        judge_shots(Shots("iec_60156", read_shots(line)), FIXED)
    assert (caught.value.box, caught.value.key) == ("shots", key)
    assert "{" not in SUMS["breakdown"].spoken(key, caught.value.slots)


def test_a_comma_is_told_what_to_write_in_its_place() -> None:
    with pytest.raises(Slip) as caught:
        worked("breakdown", method="iec_60156", shots="48,5 55")
    assert "write a point for the decimal" in caught.value.says


def test_no_shot_at_all_is_refused() -> None:
    with pytest.raises(CannotWork):
        judge_shots(Shots("own", ()), FIXED)
    with pytest.raises(CannotWork):
        read_shots(" ; ")
    assert judge_shots(shots("own", "120"), FIXED).high == 120


@pytest.mark.parametrize(
    ("more", "fits", "key"),
    [
        ({"method": "d877", "viscosity": "900"}, True, None),
        ({"method": "d877", "viscosity": "900.1"}, False, "d877_too_thick"),
        ({"method": "d877", "vacuum_filled": False}, True, None),
        ({"method": "d877", "viscosity": "900", "vacuum_filled": True}, False, "d877_vacuum_filled"),
        ({"method": "d1816_1mm", "vacuum_filled": True, "viscosity": "9000"}, None, None),
        ({"method": "iec_60156"}, None, None),
    ],
)
def test_what_a_method_is_for(more: Mapping[str, Any], fits: bool | None, key: str | None) -> None:
    found = worked("breakdown", shots="40 41", **more)
    assert found.values.get("in_scope") is fits
    assert key is None or key in keys(found.notes)


@pytest.mark.parametrize(
    ("method", "edition", "says"),
    [
        ("iec_60156", None, "recommended"), ("iec_60156", "60156:2017", "optional"), ("iec_60156", "3", "recommended"),
        ("d1816_1mm", "1990", "always"), ("d877", None, "none"), ("own", None, None),
    ],
)  # fmt: skip
def test_what_a_method_says_of_stirring(method: str, edition: str | None, says: str | None) -> None:
    given_now = {"method": method, "shots": "40 41", **({"edition": edition} if edition else {})}
    assert worked("breakdown", **given_now).values.get("stirring") == says


def test_beside_every_answer_stands_that_it_says_nothing_of_pcb() -> None:
    asked = SUMS["breakdown"]
    said = [says for says, _ in asked.said(worked("breakdown", method="own", shots="80 81"))]
    assert any("says nothing about PCB" in says for says in said)
    assert any("Test for PCB first" in says for says in said)
