"""Condition and fate of oil: both sides of each limit, the order of the decision, and that more is never better."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.sums.frame import Worked
from hazmat.edge.shapes import Slip
from hazmat.edge.sums import work
from hazmat.rulebooks import sumbook

TODAY = date(2026, 11, 26)
SUMS = sumbook.sums()


def worked(sum: str, **given: Any) -> Worked:
    return work(SUMS[sum], given, TODAY)


def keys(found: Worked) -> set[str]:
    return {note.key for note in found.notes}


def condition(fluid: str = "mineral", **given: Any) -> Mapping[str, Any]:
    return worked("oil_condition", fluid=fluid, **given).values


# ------------------------------------------------------------------------------------------------- condition

LIMITS = [
    ("mineral", "acidity", "acidity_meets", "0.4", "0.401", {}),
    ("high_molecular", "acidity", "acidity_meets", "0.5", "0.501", {}),
    ("silicone", "acidity", "acidity_meets", "0.01", "0.011", {}),
    ("mineral", "acidity", "acidity_guide", "0.2", "0.201", {}),
    ("mineral", "colour", "colour_meets", "4", "4.1", {}),
    ("high_molecular", "colour", "colour_meets", "1.5", "1.6", {}),
    ("mineral", "water", "water_meets", "35", "35.1", {}),
    ("mineral", "ift", "ift_meets", "25", "24.9", {}),
    ("mineral", "dissipation", "dissipation_meets", "0.005", "0.0051", {"dissipation_at": "c25"}),
    ("mineral", "dissipation", "dissipation_meets", "0.5", "0.51", {"dissipation_at": "c90"}),
]


@pytest.mark.parametrize(("fluid", "box", "line", "met", "not_met", "more"), LIMITS)
def test_both_sides_of_each_limit(fluid: str, box: str, line: str, met: str, not_met: str, more: Any) -> None:
    assert condition(fluid, **{box: met}, **more)[line] == "met"
    assert condition(fluid, **{box: not_met}, **more)[line] == "not_met"


@pytest.mark.parametrize("box", ["acidity", "colour", "water", "ift"])
@pytest.mark.parametrize("fluid", ["other", "unknown"])
def test_an_unknown_liquid_is_held_against_nothing(fluid: str, box: str) -> None:
    found = worked("oil_condition", fluid=fluid, **{box: "0"})
    assert set(found.values.values()) == {"no_limit", "no_class"}
    assert "no_limits_for_fluid" in keys(found)


def test_classes_are_for_mineral_oil_alone() -> None:
    silicone = worked("oil_condition", fluid="silicone", acidity="0.02", breakdown_fails=True)
    assert silicone.values["class"] == "no_class"
    assert "manual_not_met" in keys(silicone)
    assert "not_scrap" not in keys(silicone)


@pytest.mark.parametrize(
    ("given_now", "klass", "key"),
    [
        ({"breakdown_fails": True}, "class_ii", "not_scrap"), ({"water": "36"}, "class_ii", "not_scrap"),
        ({"ift": "24"}, "class_iii", "not_scrap"), ({"ift": "24", "breakdown_fails": True}, "class_iii", "both_fail"),
        ({"acidity": "0.41", "water": "36"}, "class_iii", "both_fail"),
        ({"acidity": "0.3"}, "class_iii", "acidity_between"), ({"acidity": "0.2"}, "none_failed", "none_failed"),
        ({"breakdown_fails": False}, "none_failed", "none_failed"), ({"colour": "4"}, "unknown", None),
        ({"colour": "5"}, "colour_alone", "not_scrap"), ({"colour": "5", "water": "1"}, "colour_alone", "not_scrap"),
        ({"colour": "5", "water": "36"}, "class_ii", "not_scrap"),
        ({}, "unknown", None),
    ],
)  # fmt: skip
def test_class_by_what_fails(given_now: Mapping[str, Any], klass: str, key: str | None) -> None:
    found = worked("oil_condition", fluid="mineral", **given_now)
    assert found.values["class"] == klass
    assert key is None or key in keys(found)
    assert ("both_fail" in keys(found)) == (key == "both_fail")


def test_no_class_says_that_the_oil_is_fit() -> None:
    """A limit that is remembered gates no clearance: the best word there is says only that nothing tested failed."""
    (line,) = (line for line in SUMS["oil_condition"].lines if line.key == "class")
    assert "class_i" not in line.words
    best = {"breakdown_fails": False, "water": "1", "acidity": "0.01", "ift": "45", "colour": "0.5"}
    assert condition(**best)["class"] == "none_failed"


@pytest.mark.parametrize(
    ("given_now", "remembered"),
    [
        ({"water": "1"}, {"from_memory_ieee"}), ({"water": "1", "ift": "40"}, {"from_memory_ieee"}),
        ({"colour": "1"}, set()), ({"breakdown_fails": True}, set()),
        ({"dissipation": "0.1", "dissipation_at": "c90"}, {"from_memory_iec"}),
        ({"dissipation": "0.1", "dissipation_at": "c25"}, {"from_memory_ieee"}),
    ],
)  # fmt: skip
def test_what_is_remembered_is_told_as_memory(given_now: Mapping[str, Any], remembered: set[str]) -> None:
    found = worked("oil_condition", fluid="mineral", **given_now)
    assert {key for key in keys(found) if key.startswith("from_memory")} == remembered
    for key in remembered:
        assert SUMS["oil_condition"].sentences[key].cite.basis == "memory"


def test_a_dissipation_factor_needs_its_temperature() -> None:
    with pytest.raises(Slip) as caught:
        condition(dissipation="0.005")
    assert caught.value.path == "dissipation_at"


@pytest.mark.parametrize(
    ("flash", "category", "apart"),
    [
        ("135", "none", False), ("93.1", "none", False), ("93", "cat_4", False), ("92.9", "cat_4", True),
        ("60.1", "cat_4", True), ("60", "cat_3", True), ("23", "cat_3", True), ("22.9", "cat_1_or_2", True),
        ("-20", "cat_1_or_2", True),
    ],
)  # fmt: skip
def test_flash_points_on_both_sides(flash: str, category: str, apart: bool) -> None:
    closed = condition(flash=flash, cup="closed")
    assert (closed["ghs"], closed["keep_apart"]) == (category, apart)
    for more, key in (({"cup": "open"}, "open_cup"), ({}, "cup_unknown")):
        found = worked("oil_condition", fluid="mineral", flash=flash, **more)
        assert found.values["ghs"] == ("not_settled" if category == "none" else category)
        assert key in keys(found)
        assert ("mixed_with_solvent" in keys(found)) == apart


@given(st.decimals(-50, 400, places=1), st.decimals(-50, 400, places=1))
def test_a_lower_flash_point_is_never_a_milder_category(one: Decimal, other: Decimal) -> None:
    order = ["cat_1_or_2", "cat_3", "cat_4", "none"]
    low, high = sorted((one, other))
    found = [order.index(str(condition(flash=str(each), cup="closed")["ghs"])) for each in (low, high)]
    assert found == sorted(found)


def test_without_a_flash_point_no_cup_is_asked_for() -> None:
    assert keys(worked("oil_condition", fluid="mineral", colour="1")) == set()


def test_halogens_on_both_sides() -> None:
    for halogens, presumed in (("999.9", False), ("1000", True)):
        found = worked("oil_condition", fluid="unknown", halogens=halogens)
        assert found.values["halogens_presumed"] is presumed
        assert found.values["keep_apart"] is presumed
        assert ("halogens_of_pcb" in keys(found)) == presumed


# ------------------------------------------------------------------------------------------------------ fate

BURN = {"pcb": "1", "arsenic": "1", "cadmium": "0.5", "chromium": "2", "lead": "20", "flash_f": "280",
        "halogens": "300", "wanted": "burn"}  # fmt: skip
REUSE = {"pcb": "1", "halogens": "50", "water_breakdown_ok": True, "acidity_ift_ok": True, "corrosive_sulphur": False,
         "wanted": "reuse"}  # fmt: skip


def fate(given_now: Mapping[str, Any], **more: Any) -> str:
    together = {key: value for key, value in {**given_now, **more}.items() if value is not None}
    return str(worked("oil_fate", **together).values["fate"])


truths = st.sampled_from([True, False, None])
amounts = st.none() | st.decimals(0, 6000, places=1).map(str)


@given(st.fixed_dictionaries({
    "part_from_50": truths, "presumption_rebutted": truths, "water_breakdown_ok": truths, "acidity_ift_ok": truths,
    "corrosive_sulphur": truths, "halogens": amounts, "lead": amounts, "wanted": st.sampled_from(["burn", "reuse"]),
}))  # fmt: skip
def test_without_a_laboratory_it_is_always_pcb_first(given_now: dict[str, Any]) -> None:
    assert fate(given_now) == "pcb_first"


def test_pcb_first_says_that_nothing_is_bulked() -> None:
    (line,) = (line for line in SUMS["oil_fate"].lines if line.key == "fate")
    assert line.words["pcb_first"] == "PCB first: laboratory before anything is bulked"


@pytest.mark.parametrize(
    ("more", "found"),
    [
        ({"pcb": "1.9"}, "on_spec"), ({"pcb": "2"}, "on_spec_limited"), ({"pcb": "49.9"}, "on_spec_limited"),
        ({"pcb": "50"}, "tsca_regulated"), ({"part_from_50": True}, "tsca_regulated"),
        ({"part_from_50": False}, "on_spec"),
        ({"halogens": "999.9"}, "on_spec"), ({"halogens": "1000"}, "presumed_hazardous"),
        ({"halogens": "4000", "presumption_rebutted": True}, "on_spec"),
        ({"halogens": "4000.1", "presumption_rebutted": True}, "off_spec"),
        ({"halogens": "4000", "presumption_rebutted": False}, "presumed_hazardous"),
        ({"arsenic": "5"}, "on_spec"), ({"arsenic": "5.1"}, "off_spec"), ({"cadmium": "2"}, "on_spec"),
        ({"cadmium": "2.1"}, "off_spec"), ({"chromium": "10"}, "on_spec"), ({"chromium": "10.1"}, "off_spec"),
        ({"lead": "100"}, "on_spec"), ({"lead": "100.1"}, "off_spec"), ({"flash_f": "100"}, "on_spec"),
        ({"flash_f": "99.9"}, "off_spec"), ({"arsenic": None}, "tests_missing"), ({"halogens": None}, "tests_missing"),
        ({"flash_f": None, "lead": "101"}, "off_spec"), ({"pcb": "12", "lead": "101"}, "off_spec"),
        ({"pcb": "50", "halogens": "5000"}, "tsca_regulated"),
    ],
)  # fmt: skip
def test_what_becomes_of_oil_to_be_burned(more: Mapping[str, Any], found: str) -> None:
    assert fate(BURN, **more) == found


@pytest.mark.parametrize(
    ("more", "found"),
    [
        ({}, "reuse"), ({"pcb": "1.9"}, "reuse"), ({"pcb": "2"}, "ask_authority"),
        ({"pcb": "2", "water_breakdown_ok": False}, "ask_authority"), ({"pcb": "50"}, "tsca_regulated"),
        ({"water_breakdown_ok": False}, "recondition"), ({"acidity_ift_ok": False}, "reclaim"),
        ({"water_breakdown_ok": False, "acidity_ift_ok": False}, "reclaim"), ({"corrosive_sulphur": True}, "no_reuse"),
        ({"water_breakdown_ok": None}, "tests_missing"), ({"corrosive_sulphur": None}, "tests_missing"),
        ({"acidity_ift_ok": None}, "tests_missing"), ({"halogens": None}, "tests_missing"),
        ({"halogens": None, "water_breakdown_ok": False}, "tests_missing"),
        ({"halogens": "1000"}, "presumed_hazardous"),
        ({"corrosive_sulphur": None, "water_breakdown_ok": False}, "recondition"),
    ],
)  # fmt: skip
def test_what_becomes_of_oil_to_be_used_again(more: Mapping[str, Any], found: str) -> None:
    assert fate(REUSE, **more) == found


ORDER = ["on_spec", "on_spec_limited", "off_spec", "presumed_hazardous", "tsca_regulated"]
GRAVER = st.sampled_from(["pcb", "arsenic", "cadmium", "chromium", "lead", "halogens"])


@given(GRAVER, st.decimals(0, 6000, places=1), st.decimals(0, 6000, places=1), st.decimals(0, 60, places=1))
def test_more_of_anything_is_never_a_milder_fate(box: str, one: Decimal, other: Decimal, pcb: Decimal) -> None:
    low, high = sorted((one, other))
    found = [ORDER.index(fate({**BURN, "pcb": str(pcb)}, **{box: str(each)})) for each in (low, high)]
    assert found == sorted(found)


@given(st.sampled_from([BURN, REUSE]), st.sampled_from(sorted({*BURN, *REUSE} - {"wanted"})))
def test_leaving_a_test_out_never_opens_a_way(given_now: dict[str, Any], left_out: str) -> None:
    asked = worked("oil_fate", **{key: value for key, value in given_now.items() if key != left_out})
    if left_out in given_now:
        assert asked.values["fate"] == ("pcb_first" if left_out == "pcb" else "tests_missing")
        assert left_out == "pcb" or asked.values["missing"] == (left_out,)


@pytest.mark.parametrize(
    ("more", "has", "has_not"),
    [
        ({"pcb": "499.9", "part_from_50": False}, {"boiler"}, {"incinerator", "part_unknown"}),
        ({"pcb": "500"}, {"incinerator", "part_unknown"}, {"boiler"}),
        ({"pcb": "4", "part_from_50": True}, {"part_counts"}, {"boiler", "incinerator", "part_unknown"}),
        ({"pcb": "2"}, {"pcb_traces", "part_unknown"}, {"boiler"}),
        ({"pcb": "1.9", "part_from_50": False}, set(), {"pcb_traces", "part_unknown", "part_counts"}),
        ({"pcb": "2", "wanted": "reuse"}, {"reuse_floor"}, {"pcb_traces"}),
        ({"pcb": "2", "lead": "101"}, {"pcb_traces"}, set()),
        ({"halogens": "1000"}, {"halogens_presumed", "halogens_of_pcb"}, set()),
    ],
)
def test_what_is_said_beside_a_fate(more: Mapping[str, Any], has: set[str], has_not: set[str]) -> None:
    found = keys(worked("oil_fate", **{**BURN, **more}))
    assert has <= found
    assert not has_not & found


def test_whose_rule_it_is_stands_beside_every_fate() -> None:
    asked = SUMS["oil_fate"]
    said = " ".join(says for says, _ in asked.said(worked("oil_fate", wanted="burn")))
    assert "United States' rule. Other places have rules of their own" in said
    assert "Nothing is put together before the laboratory has told the PCB of each" in said


# ------------------------------------------------------------------------------------------------- expansion


@given(st.decimals(0, 10000, places=1), st.decimals(25, 100, places=1), st.decimals(25, 100, places=1))
def test_swelling_there_is_shrinking_back(litres: Decimal, one: Decimal, other: Decimal) -> None:
    there = worked("oil_expansion", litres=str(litres), from_c=str(one), to_c=str(other)).values
    back = worked("oil_expansion", litres=str(litres), from_c=str(other), to_c=str(one)).values
    for key, change in there.items():
        assert isinstance(change, Decimal)
        assert change == -back[key]  # type: ignore[operator]  # every line is a number
        assert (change > 0) == (other > one and litres > 0)


@pytest.mark.parametrize(("box", "value"), [("from_c", "24.9"), ("to_c", "100.1")])
def test_outside_of_what_was_published_it_is_refused(box: str, value: str) -> None:
    assert worked("oil_expansion", litres="1", from_c="25", to_c="100").values["change_least"] == Decimal("0.0525")
    with pytest.raises(Slip) as caught:
        worked("oil_expansion", **{"litres": "1", "from_c": "25", "to_c": "100", box: value})
    assert caught.value.path == box
