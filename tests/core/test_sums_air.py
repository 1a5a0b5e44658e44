"""Vapour over oil and over askarel, the air of a room, ppm: values worked by hand, both sides of each end.

Raoult's law and the gas law with the figures of the NIOSH Pocket Guide (42 % chlorine: 0.001 mmHg, 258 g/mol) and of
profiles (54 %: 7.71e-5 mmHg, 328 g/mol; 60 %: 4.05e-5, 357.7); oil at 280 g/mol; 80 kJ/mol.
"""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.sums.frame import Fixed
from hazmat.core.sums.vapour import ROOM, over_oil
from hazmat.edge.shapes import Slip
from hazmat.edge.sums import value_words
from tests.core.summing import SUMS, TODAY, keys, number, worked

MIXTURES = ("1221", "1232", "1016", "1242", "1248", "1254", "1260")
AMOUNT = st.decimals("0.1", "1000000", places=1)
DEGREES = st.decimals("0", "80", places=1)


def over(mixture: str, celsius: str = "25", **amount: Any) -> Decimal:
    """µg/m3 over the oil."""
    return number(worked("vapour", mixture=mixture, celsius=celsius, **amount), "ug_m3")


def refused(name: str, **given: Any) -> Slip:
    with pytest.raises(Slip) as caught:
        worked(name, **given)
    return caught.value


# ------------------------------------------------------------------ vapour over oil


@pytest.mark.parametrize(
    ("pcb", "of_42", "of_54", "of_60"),
    [
        ("2", "0.0301", "0.0023", "0.0012"),
        ("20", "0.301", "0.0232", "0.0122"),
        ("50", "0.753", "0.0581", "0.0305"),
        ("500", "7.53", "0.581", "0.305"),
        ("1000", "15.1", "1.16", "0.610"),
        ("10000", "150", "11.6", "6.11"),
    ],
)
def test_a_table_worked_by_hand(pcb: str, of_42: str, of_54: str, of_60: str) -> None:
    for mixture, told in (("1242", of_42), ("1254", of_54), ("1260", of_60)):
        want = Decimal(told)
        half = Decimal(5) * Decimal(1).scaleb(int(want.as_tuple().exponent) - 1)
        assert abs(over(mixture, pcb=pcb) - want) <= half * Decimal("1.1"), mixture


@pytest.mark.parametrize(("mixture", "told"), [("1242", "13880"), ("1254", "1360"), ("1260", "779")])
def test_the_mixture_itself(mixture: str, told: str) -> None:
    assert abs(over(mixture, neat=True) - Decimal(told)) < 5
    assert over(mixture, neat=True) == over(mixture, pcb="1000000")


@pytest.mark.parametrize(("mixture", "pcb"), [("1242", "66"), ("1254", "861"), ("1260", "1639")])
def test_the_oil_over_which_air_just_reaches_a_microgram(mixture: str, pcb: str) -> None:
    assert abs(over(mixture, pcb=pcb) - 1) < Decimal("0.01")


@pytest.mark.parametrize(
    ("celsius", "times"),
    [("10", "0.181"), ("20", "0.577"), ("30", "1.70"), ("40", "4.69"), ("60", "29.7"), ("80", "152")],
)
def test_the_pressure_follows_the_heat_of_vaporisation(celsius: str, times: str) -> None:
    there, here = (
        number(worked("vapour", mixture="1254", celsius=one, pcb="1"), "pressure") for one in (celsius, "25")
    )
    assert abs(there / here / Decimal(times) - 1) < Decimal("0.005")


@given(AMOUNT, AMOUNT, DEGREES, DEGREES, st.sampled_from((*MIXTURES, "unknown")))
def test_more_pcb_and_more_heat_never_give_less(
    one: Decimal, other: Decimal, cool: Decimal, warm: Decimal, mixture: str
) -> None:
    (low, high), (cold, hot) = sorted((one, other)), sorted((cool, warm))
    assert over(mixture, str(cold), pcb=low) <= over(mixture, str(hot), pcb=high)


@given(AMOUNT, DEGREES, st.sampled_from(MIXTURES))
def test_a_mixture_that_nobody_knows_gives_off_no_less_than_any(pcb: Decimal, celsius: Decimal, mixture: str) -> None:
    unknown = worked("vapour", mixture="unknown", celsius=celsius, pcb=pcb)
    assert number(unknown, "ug_m3") >= over(mixture, str(celsius), pcb=pcb)
    assert "mixture_is_worst" in keys(unknown)
    assert "mixture_is_worst" not in keys(worked("vapour", mixture=mixture, celsius=celsius, pcb=pcb))


@given(AMOUNT, DEGREES)
def test_the_spread_lies_on_both_sides_and_meets_at_25(pcb: Decimal, celsius: Decimal) -> None:
    found = worked("vapour", mixture="1242", celsius=celsius, pcb=pcb)
    assert number(found, "low") <= number(found, "ug_m3") <= number(found, "high")
    assert (number(found, "low") == number(found, "high")) is (celsius == ROOM)


def test_a_remembered_pressure_says_so() -> None:
    assert "pressure_remembered" in keys(worked("vapour", mixture="1254", celsius="25", pcb="50"))
    assert "pressure_remembered" not in keys(worked("vapour", mixture="1242", celsius="25", pcb="50"))


@pytest.mark.parametrize("celsius", ["0", "80"])
def test_the_ends_of_the_formula_belong_to_it(celsius: str) -> None:
    assert over("1242", celsius, pcb="50") > 0


@pytest.mark.parametrize("celsius", ["-0.1", "80.1"])
def test_beyond_them_it_is_refused_in_one_sentence(celsius: str) -> None:
    slip = refused("vapour", mixture="1242", celsius=celsius, pcb="50")
    assert slip.path == "celsius"
    assert "from 0 to 80 °C only" in slip.says


@pytest.mark.parametrize("given_now", [{}, {"pcb": "50", "neat": True}])
def test_either_an_amount_or_the_mixture_itself(given_now: dict[str, Any]) -> None:
    assert refused("vapour", mixture="1242", celsius="25", **given_now).path == "pcb"
    assert over("1242", neat=False, pcb="50") > 0


@pytest.mark.parametrize("mixture", ["1262", "1268"])
def test_a_mixture_without_a_pressure_is_refused_with_its_mend(mixture: str) -> None:
    slip = refused("vapour", mixture=mixture, celsius="25", pcb="50")
    assert slip.path == "mixture"
    assert "take 1260" in slip.says


def test_what_fails_is_always_said() -> None:
    always = [SUMS["vapour"].spoken(key, {}) for key in SUMS["vapour"].always]
    for word in ("mist", "film of oil on hot metal", "trichlorobenzene", "skin", "clears nobody"):
        assert any(word in says for says in always), word


# ------------------------------------------------------------------ trichlorobenzene


@given(st.decimals("1", "100", places=1), st.decimals("1", "100", places=1))
def test_more_trichlorobenzene_gives_off_more(one: Decimal, other: Decimal) -> None:
    low, high = sorted((one, other))
    less, more = (worked("vapour_tcb", share=share, mixture="1260") for share in (low, high))
    assert number(less, "low_ppm") <= number(more, "low_ppm") <= number(more, "high_ppm")


def test_any_common_blend_lies_far_above_its_ceiling() -> None:
    """Ceiling 5 ppm (NIOSH): a capacitor blend with a quarter, transformer blends with 30 and 40 per cent."""
    for share, mixture in (("25", "1254"), ("30", "1254"), ("40", "1260")):
        assert number(worked("vapour_tcb", share=share, mixture=mixture), "low_ppm") > 20 * 5


def test_it_is_told_as_a_range_in_two_figures() -> None:
    found, lines = worked("vapour_tcb", share="40", mixture="1260"), {one.key: one for one in SUMS["vapour_tcb"].lines}
    told = [value_words(lines[key], found.values[key]) for key in ("low_ppm", "high_ppm", "low_mg_m3", "high_mg_m3")]
    assert told == ["220 ppm", "750 ppm", "1600 mg/m3", "5500 mg/m3"]


# ------------------------------------------------------------------ a room

SPLASH = {"litres": "200", "minutes": "10", "saturated": "14.11", "room": "200", "changes": "5", "mixing": "1"}


def room(**given: Any) -> Any:
    return worked("room_air", **given)


def test_changes_and_flow_are_two_ways_to_say_one_thing() -> None:
    by_changes = room(mg_min="3", room="120", changes="2", mixing="0.5", minutes="7")
    by_flow = room(mg_min="3", room="120", flow="4", mixing="0.5", minutes="7")
    assert by_changes.values == by_flow.values


def test_grams_are_a_thousand_milligrams() -> None:
    assert number(room(g_min="0.003", room="9", flow="1", mixing="1"), "steady") == number(
        room(mg_min="3", room="9", flow="1", mixing="1"), "steady"
    )


def test_poor_mixing_asks_for_more_and_what_nobody_said_is_the_worst() -> None:
    said = {share: room(mg_min="3", room="9", flow="1", mixing=share) for share in ("0.1", "0.3", "1")}
    levels = [number(said[share], "steady") for share in ("0.1", "0.3", "1")]
    assert levels == [30, 10, 3]
    unsaid = room(mg_min="3", room="9", flow="1")
    assert number(unsaid, "steady") == 30
    assert "mixing_unsaid" in keys(unsaid)
    assert "mixing_unsaid" not in keys(said["1"])


def test_without_air_it_fills_until_the_air_is_full() -> None:
    """1 mg/min into 10 m3: 0.1 mg/m3 a minute, full at 2 mg/m3 after 20 minutes."""
    levels = [
        number(room(mg_min="1", room="10", changes="0", saturated="2", minutes=minutes), "level")
        for minutes in ("10", "19", "20", "21", "5000")
    ]
    assert levels == [1, Decimal("1.9"), 2, 2, 2]
    full = room(mg_min="1", room="10", changes="0", saturated="2", clear_to="0.1", minutes="20")
    assert {"no_air", "saturated_air"} <= set(keys(full))
    assert not {"clear_level", "clear_steady", "near"} & set(full.values)


def test_no_level_ever_passes_what_the_air_can_hold() -> None:
    found = room(mg_min="1000", room="10", flow="1", mixing="1", saturated="2", minutes="60")
    assert number(found, "steady") == number(found, "level") == 2
    assert "saturated_air" in keys(found)


def test_a_pool_in_still_air_ends_full_and_in_much_air_low() -> None:
    pool = {"pool": "0.5", "transfer": "3", "saturated": "14.11", "room": "200", "mixing": "1"}
    assert abs(number(room(**pool, changes="0"), "steady") - Decimal("14.11")) < Decimal("1E-20")
    assert number(room(**pool, changes="100"), "steady") < number(room(**pool, changes="5"), "steady")


def test_what_stood_there_before_falls_without_a_source() -> None:
    """e-fold in one air change: 1 mg/m3 becomes 0.3679 in the time that one room of air takes."""
    found = room(mg_min="0", room="60", changes="1", mixing="1", start="1", minutes="60", clear_to="0.5", exposed="480")
    assert abs(number(found, "level") - Decimal("0.36788")) < Decimal("0.00001")
    assert number(found, "steady") == 0
    assert number(found, "shift_ug") == 1000
    assert number(found, "clear_level") == 0


@pytest.mark.parametrize(
    ("given_now", "path"),
    [
        ({"room": "9", "flow": "1"}, "mg_min"),
        ({"room": "9", "flow": "1", "mg_min": "1", "g_min": "1"}, "g_min"),
        ({"room": "9", "mg_min": "1"}, "changes"),
        ({"room": "9", "mg_min": "1", "flow": "1", "changes": "1"}, "changes"),
        ({"room": "9", "flow": "1", "pool": "1", "transfer": "3"}, "saturated"),
        ({"room": "9", "flow": "1", "pool": "1", "saturated": "3"}, "transfer"),
        ({"room": "9", "flow": "1", "litres": "1", "saturated": "3"}, "minutes"),
        ({"room": "9", "flow": "1", "litres": "1", "saturated": "3", "minutes": "0"}, "minutes"),
        ({"room": "9", "flow": "0", "mg_min": "1"}, "saturated"),
        ({"room": "9", "flow": "1", "mg_min": "1", "saturated": "3", "start": "3.01"}, "start"),
        ({"room": "9", "flow": "1", "mg_min": "1", "mixing": "0"}, "mixing"),
        ({"room": "0", "flow": "1", "mg_min": "1"}, "room"),
    ],
)
def test_what_is_missing_or_too_much_is_said_of_its_box(given_now: dict[str, Any], path: str) -> None:
    assert refused("room_air", **given_now).path == path


@given(st.decimals("0.1", "900", places=1), st.decimals("0.1", "900", places=1))
def test_longer_never_means_less_while_the_source_runs(one: Decimal, other: Decimal) -> None:
    first, later = (
        number(room(**{**SPLASH, "litres": None, "mg_min": "0.3", "minutes": at}), "level")
        for at in sorted((one, other))
    )
    assert first <= later <= number(room(**SPLASH | {"litres": None, "mg_min": "0.3"}), "steady")


# ------------------------------------------------------------------ ppm


@given(st.decimals("0.001", "10000", places=3), st.decimals("2", "500", places=1), st.decimals("-20", "80", places=1))
def test_there_and_back(ppm: Decimal, molar: Decimal, celsius: Decimal) -> None:
    there = worked("ppm_mgm3", ppm=ppm, molar=molar, celsius=celsius)
    back = worked("ppm_mgm3", mg_m3=format(round(number(there, "mg_m3"), 12), "f"), molar=molar, celsius=celsius)
    assert abs(number(back, "ppm") / ppm - 1) < Decimal("1E-6")


@pytest.mark.parametrize("given_now", [{}, {"ppm": "1", "mg_m3": "1"}])
def test_one_of_the_two(given_now: dict[str, Any]) -> None:
    assert refused("ppm_mgm3", molar="100", **given_now).path == "ppm"


def test_a_line_is_told_with_as_many_figures_as_tell() -> None:
    lines = {line.key: line for line in SUMS["vapour"].lines}
    for value, told in (
        ("0.00058063", "0.000581 mg/m3"),
        ("13875.7", "13900 mg/m3"),
        ("0", "0 mg/m3"),
        ("1", "1 mg/m3"),
    ):
        assert value_words(lines["mg_m3"], Decimal(value)) == told


def test_of_one_mixture_the_neat_one_is_the_end_of_its_oils() -> None:
    fixed = Fixed(SUMS["vapour"].figures, TODAY)
    assert over_oil(Decimal(1000000), "1242", ROOM, fixed).share == 1
    assert over_oil(Decimal(0), "1242", ROOM, fixed).share == 0
