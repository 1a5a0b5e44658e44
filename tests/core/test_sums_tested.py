"""One condition test: signs before figures, oil drawn cold, refusals, and which test is next.

Limits of oil in service are those of the sum on condition, each with its document there; 40 CFR 279.63(c) presumes from
1000 mg/kg of halogens; below 93 °C the house calls a flash point low; water is 1 kg/L.
"""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.sums.frame import Worked
from hazmat.core.sums.tested import BANDED, NEXT, OPEN
from hazmat.edge.shapes import Slip
from tests.core.summing import SUMS, keys, worked

BANDS = {"acidity_meets", "acidity_guide", "colour_meets", "water_meets", "ift_meets", "dissipation_meets", "class"}
TESTED = SUMS["oil_tested"]


def slip(**given: Any) -> Worked:
    return worked("oil_tested", **{"fluid": "mineral", "cold": "no", **given})


LIMITS = [
    ("acidity", "acidity_meets", "0.4", {}),
    ("acidity", "acidity_guide", "0.2", {}),
    ("colour", "colour_meets", "4", {}),
    ("water", "water_meets", "35", {}),
    ("dissipation", "dissipation_meets", "0.005", {"dissipation_c": "25"}),
    ("dissipation", "dissipation_meets", "0.5", {"dissipation_c": "90"}),
]
"""Box, line, and the most that the document allows of mineral oil."""


@pytest.mark.parametrize(("box", "line", "limit", "more"), LIMITS)
def test_both_sides_of_a_limit_with_each_sign(box: str, line: str, limit: str, more: Mapping[str, str]) -> None:
    above = str(Decimal(limit) + Decimal("0.001"))
    told = {text: slip(**{box: text}, **more).values[line] for text in (limit, above, f"<{limit}", f">{limit}")}
    assert told == {limit: "met", above: "not_met", f"<{limit}": "met", f">{limit}": "not_met"}
    assert slip(**{box: f"<{above}"}, **more).values[line] == OPEN
    below = str(Decimal(limit) - Decimal("0.001"))
    assert slip(**{box: f">{below}"}, **more).values[line] == OPEN


def test_of_interfacial_tension_the_lower_one_is_the_worse() -> None:
    told = {text: slip(ift=text).values["ift_meets"] for text in ("25", "24.9", "<25", ">25", "<26", ">24")}
    assert told == {"25": "met", "24.9": "not_met", "<25": "not_met", ">25": "met", "<26": OPEN, ">24": OPEN}


@pytest.mark.parametrize(
    ("told", "apart", "category"),
    [
        ("93", "no", "cat_4"),
        ("92.9", "yes", "cat_4"),
        ("<93", "yes", OPEN),
        (">93", "no", "none"),
        ("<61", "yes", OPEN),
        ("<23", "yes", "cat_1_or_2"),
        (">60", OPEN, OPEN),
        ("146", "no", "none"),
        ("<140", OPEN, OPEN),
        ("-4", "yes", "cat_1_or_2"),
    ],
)
def test_a_flash_point_is_low_or_open_never_high_by_a_sign(told: str, apart: str, category: str) -> None:
    found = slip(flash=told, cup="closed", cold="unknown")
    assert (found.values["keep_apart"], found.values["ghs"]) == (apart, category)
    said = set(keys(found)) & {"mixed_with_solvent", "open_mixed_with_solvent"}
    assert said == {"yes": {"mixed_with_solvent"}, OPEN: {"open_mixed_with_solvent"}, "no": set()}[apart]


@pytest.mark.parametrize(
    ("told", "presumed"),
    [
        ("999", "no"),
        ("1000", "yes"),
        ("<1000", "no"),
        ("<1001", OPEN),
        (">999", OPEN),
        (">998", OPEN),
        (">1000", "yes"),
    ],
)
def test_halogens_are_presumed_from_1000_on(told: str, presumed: str) -> None:
    found = slip(halogens=told, cold="yes")
    assert found.values["halogens_presumed"] == found.values["keep_apart"] == presumed
    said = set(keys(found)) & {"halogens_presumed", "open_halogens_presumed"}
    assert said == {"yes": {"halogens_presumed"}, OPEN: {"open_halogens_presumed"}, "no": set()}[presumed]


@pytest.mark.parametrize(
    ("told", "heavier"),
    [
        ("0.88", "no"),
        ("1", "no"),
        ("1.001", "yes"),
        ("1.5", "yes"),
        ("<1", "no"),
        ("<1.2", OPEN),
        (">1", "yes"),
        (">0.9", OPEN),
    ],
)
def test_what_is_heavier_than_water_is_treated_as_askarel(told: str, heavier: str) -> None:
    found = slip(density=told)
    assert found.values["heavier"] == heavier
    assert ("heavier" in keys(found), "open_heavier" in keys(found)) == (heavier == "yes", heavier == OPEN)


WHOLE = {
    "water": "60",
    "acidity": "0.6",
    "ift": "10",
    "dissipation": "0.9",
    "dissipation_c": "90",
    "colour": "7",
    "flash": "61",
    "cup": "closed",
    "halogens": "2400",
    "density": "0.88",
}


@pytest.mark.parametrize("cold", ["yes", "unknown"])
def test_oil_drawn_cold_is_held_against_no_band_and_warned_of_all_the_same(cold: str) -> None:
    warm, found = slip(**WHOLE), slip(**WHOLE, cold=cold)
    assert set(warm.values) >= BANDS
    assert not BANDS & set(found.values)
    assert found.values["keep_apart"] == "yes"
    assert {"mixed_with_solvent", "halogens_presumed"} <= set(keys(found))
    assert {"yes": "cold", "unknown": "cold_unknown"}[cold] in keys(found)
    assert not {"cold", "cold_unknown"} & set(keys(warm))


def test_nobody_said_is_cold() -> None:
    assert worked("oil_tested", fluid="mineral", acidity="0.6").values == {}


def test_a_limit_that_is_remembered_says_so_and_one_that_was_read_does_not() -> None:
    assert "from_memory_ieee" in keys(slip(water="60"))
    assert "from_memory_iec" in keys(slip(dissipation="0.9", dissipation_c="90"))
    assert not {"from_memory_ieee", "from_memory_iec"} & set(keys(slip(colour="5")))


@pytest.mark.parametrize(
    ("celsius", "held"), [("25", True), ("25.0", True), ("90", True), ("89.9", False), ("20", False)]
)
def test_a_dissipation_factor_is_held_against_limits_of_its_own_temperature_alone(celsius: str, held: bool) -> None:
    found = slip(dissipation="0.9", dissipation_c=celsius)
    assert ("dissipation_meets" in found.values) == held
    assert ("dissipation_elsewhere" in keys(found)) != held


def test_an_open_cup_never_shows_that_no_category_applies() -> None:
    found = slip(flash=">93", cup="open")
    assert found.values["ghs"] == "not_settled"
    assert "open_cup" in keys(found)


# ------------------------------------------------------------------------------------------- which test is next


def following(**given: Any) -> list[str]:
    return [key.removeprefix("next_") for key in keys(slip(**given)) if key.startswith("next_")]


def test_pcb_comes_first_of_all_then_halogens_then_the_flash_point() -> None:
    """40 CFR 761.60(a): PCB decides under which law the oil goes."""
    assert following(density="0.88") == ["pcb", "halogens", "flash", "water", "acidity", "ift", "dissipation", "metals"]
    assert following(density="0.88", pcb_tested="false")[0] == "pcb"
    assert following(density="0.88", pcb_tested="true")[0] == "halogens"


@pytest.mark.parametrize("box", [one for one in NEXT if one != "pcb"])
def test_what_was_tested_is_not_asked_for_again(box: str) -> None:
    more = {"flash": {"cup": "closed"}, "dissipation": {"dissipation_c": "90"}}.get(box, {})
    assert box not in following(**{box: WHOLE[box]}, **more)
    assert following(**{box: WHOLE[box]}, **more)[0] == "pcb"


# ------------------------------------------------------------------------------------------------------ refusals


@pytest.mark.parametrize(
    ("given_now", "path", "says"),
    [
        ({}, "water", "write down at least one figure"),
        ({"water_c": "20", "acidity": "0.1"}, "water", "write the figure too"),
        ({"density_c": "20", "acidity": "0.1"}, "density", "write the figure too"),
        ({"cup": "open", "acidity": "0.1"}, "flash", "write the figure too"),
        ({"flash": "140"}, "cup", "closed or open"),
        ({"dissipation": "0.01"}, "dissipation_c", "at which temperature"),
        ({"water": "0.002"}, "water", "0.002 % is 20 mg/kg"),
        ({"water": "<0.9"}, "water", "write it in mg/kg"),
        ({"water": "-3"}, "water", "cannot be"),
        ({"water": "100001"}, "water", "from 1 to 100000"),
        ({"acidity": "0"}, "acidity", "before the least"),
        ({"acidity": "20.1"}, "acidity", "mg KOH for a gram"),
        ({"ift": "0.04"}, "ift", "0.04 N/m is 40 mN/m"),
        ({"ift": "75.1"}, "ift", "from 1 to 75"),
        ({"dissipation": "1.1", "dissipation_c": "90"}, "dissipation", "0.5 % is 0.005"),
        ({"flash": "401", "cup": "closed"}, "flash", "275 °F is 135 °C"),
        ({"flash": "-51", "cup": "closed"}, "flash", "in °C"),
        ({"halogens": "0.1"}, "halogens", "0.1 % is 1000 mg/kg"),
        ({"halogens": "1000001"}, "halogens", "more than all of it"),
        ({"density": "880"}, "density", "880 kg/m³ is 0.88 kg/L"),
        ({"density": "0.59"}, "density", "from 0.6 to 2"),
        ({"colour": "8.1"}, "colour", "from 0 to 8"),
        ({"acidity": "~0.2"}, "acidity", "perhaps with < or > before it"),
        ({"acidity": "<"}, "acidity", "perhaps with < or > before it"),
        ({"acidity": "<<1"}, "acidity", "stood there"),
    ],
)
def test_what_cannot_be_is_refused_with_its_mend(given_now: Mapping[str, str], path: str, says: str) -> None:
    with pytest.raises(Slip) as caught:
        slip(**given_now)
    assert caught.value.path == path
    assert says in caught.value.says


@pytest.mark.parametrize(
    "given_now",
    [
        {"water": "1"},
        {"water": "100000"},
        {"acidity": "0.001"},
        {"acidity": "20"},
        {"ift": "1"},
        {"ift": "75"},
        {"dissipation": "1", "dissipation_c": "90"},
        {"flash": "400", "cup": "open"},
        {"flash": "-50", "cup": "closed"},
        {"halogens": "1"},
        {"halogens": "1000000"},
        {"density": "0.6"},
        {"density": "2"},
        {"colour": "0"},
        {"colour": ">8"},
        {"acidity": "< 0.01"},
        {"acidity": "=0.01"},
    ],
)
def test_bounds_include_their_ends(given_now: Mapping[str, str]) -> None:
    assert slip(**given_now)


# ---------------------------------------------------------------------------------------- whatever is drawn


def figure(least: int, most: int) -> st.SearchStrategy[Decimal]:
    return st.decimals(least, most, allow_nan=False, allow_infinity=False, places=2)


BOUNDS = {
    "water": (1, 200),
    "acidity": (1, 2),
    "ift": (1, 75),
    "colour": (0, 8),
    "flash": (-50, 200),
    "halogens": (1, 3000),
}


@given(st.sampled_from(sorted(BOUNDS)), st.data())
def test_what_is_settled_holds_for_each_figure_that_the_sign_allows(box: str, data: st.DataObject) -> None:
    """Held against the sum on condition, worked out for the true figure: a sign never settles more than it allows."""
    least, most = BOUNDS[box]
    told, true = data.draw(figure(least, most)), data.draw(figure(least, most))
    sign = "=" if told == true else "<" if true < told else ">"
    more = {"cup": "closed"} if box == "flash" else {}
    found = slip(**{box: f"{sign}{told}"}, **more).values
    exact = worked("oil_condition", fluid="mineral", **{box: true}, **more).values
    words = {True: "yes", False: "no"}
    for line in found.keys() & exact.keys():
        want = exact[line]
        assert found[line] in (OPEN, words[want] if isinstance(want, bool) else want)


@given(
    st.dictionaries(st.sampled_from(BANDED[:3]), st.decimals(1, 20, places=1), min_size=1),
    st.sampled_from(("yes", "unknown")),
)
def test_no_figure_of_cold_oil_meets_or_fails_anything(figures: dict[str, Decimal], cold: str) -> None:
    assert slip(**figures, cold=cold).values == {}
