"""Two breakdown tests beside each other, and a breakdown voltage against limits: both sides of each, and refusals."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.sums.frame import Worked
from hazmat.edge.shapes import Slip
from tests.core.test_sums_breakdown import SUMS, keys, kilovolts, methods, worked


def pair(first: Any, second: Any, method: str = "d1816_1mm", who: str = "same_operator", **more: Any) -> Worked:
    given_now = {"first": str(first), "second": str(second), "first_method": method, "second_method": method}
    return worked("breakdown_pair", **given_now, who=who, **more)


@given(kilovolts, kilovolts, methods, st.sampled_from(["same_operator", "two_laboratories"]))
def test_which_test_was_first_changes_nothing(first: Decimal, second: Decimal, method: str, who: str) -> None:
    if first + second == 0:
        return
    gaps = {"first_gap_mm": "2", "second_gap_mm": "2"} if method == "own" else {}
    assert pair(first, second, method, who, **gaps) == pair(second, first, method, who, **gaps)


@pytest.mark.parametrize(
    ("method", "who", "within", "beyond"),
    [
        ("d1816_1mm", "same_operator", ("40", "60"), ("39.9", "60.1")),
        ("d1816_1mm", "two_laboratories", ("38.25", "61.75"), ("38.2", "61.8")),
        ("d1816_2mm", "same_operator", ("42.5", "57.5"), ("42.4", "57.6")),
        ("d1816_2mm", "two_laboratories", ("40", "60"), ("39.9", "60.1")),
    ],
)
def test_the_figure_for_two_tests_on_both_sides(method: str, who: str, within: Any, beyond: Any) -> None:
    assert pair(*within, method, who).values["differ"] == "no"
    assert pair(*beyond, method, who).values["differ"] == "yes"


def test_a_lower_bound_beside_another_mean() -> None:
    assert pair(60, 30, first_at_least=True).values["differ"] == "yes"
    assert pair(60, 30, second_at_least=True).values["differ"] == "not_judged"
    assert pair(60, 30, first_at_least=True, second_at_least=True).values["differ"] == "not_judged"
    assert pair(60, 55, first_at_least=True).values["differ"] == "not_judged"
    assert pair(60, 60, first_at_least=True).values["differ"] == "not_judged"
    assert pair(60, 40, first_at_least=True).values["differ"] == "not_judged"
    assert pair("60.1", "39.9", first_at_least=True).values["differ"] == "yes"
    assert "share" not in pair(60, 30, first_at_least=True).values


@pytest.mark.parametrize("method", ["iec_60156", "d877", "jis_c2101"])
def test_no_figure_no_verdict(method: str) -> None:
    assert pair(1, 100, method).values["differ"] == "not_judged"


@pytest.mark.parametrize(
    ("more", "box", "says"),
    [
        ({"second_method": "d1816_2mm"}, "second_method", "no factor turns one into the other"),
        ({"first_gap_mm": "2"}, "first_gap_mm", "0.95 to 1.05 mm"),
        ({"second_gap_mm": "1.06"}, "second_gap_mm", "0.95 to 1.05 mm"),
        ({"first_method": "own", "second_method": "own"}, "first_gap_mm", "write the gap"),
        ({"first_method": "own", "second_method": "own", "first_gap_mm": "2"}, "second_gap_mm", "write the gap"),
        ({"first_method": "own", "second_method": "own", "first_gap_mm": "2", "second_gap_mm": "2.5"},
         "second_gap_mm", "two gaps"),
        ({"first": "0", "second": "0"}, "first", "nought"),
    ],
)  # fmt: skip
def test_what_cannot_be_held_against_each_other_is_refused(more: Mapping[str, Any], box: str, says: str) -> None:
    both = {"first": "30", "second": "31", "first_method": "d1816_1mm", "second_method": "d1816_1mm"}
    with pytest.raises(Slip) as caught:
        worked("breakdown_pair", **{**both, "who": "same_operator", **more})
    assert caught.value.path == box
    assert says in caught.value.says


def test_a_gap_within_the_method_is_one_gap() -> None:
    assert pair(30, 31, "iec_60156", first_gap_mm="2.45", second_gap_mm="2.55").values["differ"] == "not_judged"
    assert pair(30, 31, first_gap_mm="1.05", second_gap_mm="0.95").values["differ"] == "no"


IEC = {"method": "iec_60156", "limits": "iec_60422_2013", "fluid": "mineral", "unit_state": "in_service"}
US = {"method": "d877", "limits": "us_service_manual", "fluid": "mineral", "unit_state": "in_service"}
NEW = {**US, "limits": "us_new_equipment", "unit_state": "new"}


def band(kv: Any, **more: Any) -> str:
    return str(worked("breakdown_band", kv=str(kv), **more).values["band"])


@pytest.mark.parametrize(
    ("category", "high", "low"),
    [("o", 60, 50), ("a", 60, 50), ("b", 50, 40), ("c", 40, 30), ("d", 60, 50), ("e", 50, 40)],
)
def test_bands_of_2013_on_both_sides(category: str, high: int, low: int) -> None:
    step = Decimal("0.1")
    words = [band(kv, category=category, **IEC) for kv in (high + step, high, low, low - step)]
    assert words == ["good", "fair", "fair", "poor"]


@pytest.mark.parametrize(
    ("more", "limit"),
    [
        ({**IEC, "category": "f_star"}, 30), ({**IEC, "category": "f_line"}, 40), ({**IEC, "category": "g"}, 30),
        (US, 22), ({**US, "fluid": "silicone"}, 26), ({**US, "fluid": "high_molecular"}, 26), (NEW, 26),
    ],
)  # fmt: skip
def test_one_limit_on_both_sides(more: Mapping[str, Any], limit: int) -> None:
    assert [band(kv, **more) for kv in (limit, limit - Decimal("0.1"))] == ["met", "not_met"]


@given(kilovolts, kilovolts, st.sampled_from("oabcde"))
def test_more_kilovolts_are_never_a_worse_band(one: Decimal, other: Decimal, category: str) -> None:
    order = ["poor", "fair", "good"]
    low, high = sorted((one, other))
    assert order.index(band(low, category=category, **IEC)) <= order.index(band(high, category=category, **IEC))


@given(st.sampled_from([IEC, US, NEW]), methods, st.sampled_from(["mineral", "silicone", "unknown"]), kilovolts)
def test_a_cold_unit_gets_no_word_ever(limits: dict[str, str], method: str, fluid: str, kv: Decimal) -> None:
    cold = {**limits, "method": method, "fluid": fluid, "unit_state": "stood_cold", "category": "c"}
    found = worked("breakdown_band", kv=str(kv), **cold)
    assert (found.values["band"], found.values["reason"]) == ("no_band", "cold_unit")
    assert keys(found.notes) == {"no_band_cold_unit"}


@given(st.sampled_from([IEC, US, NEW]), methods, kilovolts)
def test_a_reading_by_another_method_gets_no_word_ever(limits: dict[str, str], method: str, kv: Decimal) -> None:
    given_now = {**limits, "method": method, "category": "c"}
    assert (band(kv, **given_now) == "no_band") == (method != limits["method"])


@pytest.mark.parametrize(
    ("more", "reason"),
    [
        ({**IEC}, "category_unknown"), ({**IEC, "fluid": "silicone", "category": "c"}, "fluid_mismatch"),
        ({**US, "fluid": "other"}, "fluid_mismatch"), ({**US, "fluid": "unknown"}, "fluid_unknown"),
        ({**US, "unit_state": "unknown"}, "state_unknown"), ({**US, "unit_state": "new"}, "state_mismatch"),
        ({**NEW, "unit_state": "in_service"}, "state_mismatch"), ({**NEW, "fluid": "silicone"}, "fluid_mismatch"),
        ({**IEC, "category": "c", "at_least": True}, "lower_bound"), ({**US, "kv": "21", "at_least": True},
        "lower_bound"),
    ],
)  # fmt: skip
def test_why_there_is_no_word(more: Mapping[str, Any], reason: str) -> None:
    found = worked("breakdown_band", **{"kv": "40", **more})
    assert found.values == {"band": "no_band", "reason": reason}
    assert keys(found.notes) == {f"no_band_{reason}"}


@pytest.mark.parametrize(
    ("kv", "more", "said"),
    [
        ("29", {**IEC, "category": "c"}, True),
        ("30", {**IEC, "category": "c"}, False),
        ("21", US, True),
        ("22", US, False),
    ],
)
def test_below_the_line_it_is_said_what_helps(kv: str, more: Mapping[str, Any], said: bool) -> None:
    assert ("not_met" in keys(worked("breakdown_band", kv=kv, **more).notes)) == said


def test_a_lower_bound_in_the_best_band_has_its_word() -> None:
    assert band("40.1", category="c", at_least=True, **IEC) == "good"
    assert band("22", at_least=True, **US) == "met"


def test_what_is_remembered_is_told_as_memory() -> None:
    asked = SUMS["breakdown_band"]
    said = asked.said(worked("breakdown_band", kv="35", category="c", **IEC))
    assert any(cite.basis == "memory" and "from memory" in says for says, cite in said)
    assert all("from memory" not in says for says, _ in asked.said(worked("breakdown_band", kv="22", **US)))
