"""Screens: a tube never lowers by more than it saw, other chlorine reads as PCB, a chance stays a chance."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.sums import screening
from hazmat.edge.shapes import Slip
from hazmat.edge.sums import held
from tests.core.summing import SUMS, TODAY, keys, worked

MIXTURES = ("1221", "1232", "1016", "1242", "1248", "1254", "1260", "1262", "1268")
"""From least to most chlorine. Source: the per cent in their numbers, 41 for 1016."""
SET_POINTS = ("20", "50", "100", "500")
OF_HOMOLOGUES = (18.79, 31.78, 41.30, 48.57, 54.30, 58.94, 62.77, 65.99, 68.73, 71.10)
"""Per cent of chlorine of C12H9Cl to C12Cl10. Source: atomic weights, by an unrelated program of molar masses."""
BETWEEN = {1221: 1, 1232: 2, 1016: 2, 1242: 3, 1248: 3, 1254: 4, 1260: 6, 1262: 6, 1268: 8}
"""Between how many chlorine atoms and one more each mixture lies on average."""

set_points = st.sampled_from(SET_POINTS)
mixtures = st.sampled_from((*MIXTURES, "unknown"))
amounts = st.decimals("0.001", "20000", places=3, allow_nan=False)
chances = st.decimals("0.01", "0.99", places=4, allow_nan=False)


def shares() -> Iterator[Decimal]:
    for name in MIXTURES:
        found = worked("chlorine", pcb="100", mixture=name).values["chlorine"]
        assert isinstance(found, Decimal)
        yield found


def test_shares_rise_in_their_order_and_lie_between_their_homologues() -> None:
    found = list(shares())
    assert all(low < high for low, high in pairwise(found))
    for name, share in zip(MIXTURES, found, strict=True):
        atoms = BETWEEN[int(name)]
        assert OF_HOMOLOGUES[atoms - 1] <= share <= OF_HOMOLOGUES[atoms]
        assert name == "1016" or str(share) == f"{name[-2:]}.00"[: len(str(share))]


@given(mixtures, amounts)
def test_chlorine_goes_there_and_back(mixture: str, pcb: Decimal) -> None:
    there = worked("chlorine", pcb=pcb, mixture=mixture).values["chlorine"]
    assert isinstance(there, Decimal)
    back = SUMS["chlorine"].worked({"chlorine": there, "mixture": mixture}, TODAY).values["pcb"]
    assert isinstance(back, Decimal)
    assert abs(back - pcb) <= pcb * Decimal("1E-20")


@given(st.sampled_from(MIXTURES), amounts)
def test_not_known_is_never_less_than_any_mixture(mixture: str, found: Decimal) -> None:
    unknown = worked("chlorine", chlorine=found).values["pcb"]
    known = worked("chlorine", chlorine=found, mixture=mixture).values["pcb"]
    assert isinstance(unknown, Decimal)
    assert isinstance(known, Decimal)
    assert unknown >= known


@pytest.mark.parametrize(
    ("asked", "box"),
    [
        ({}, "chlorine"),
        ({"chlorine": "1", "pcb": "1"}, "chlorine"),
        ({"chlorine": "0"}, "chlorine"),
        ({"pcb": "0"}, "pcb"),
        ({"chlorine": "210000.001", "mixture": "1221"}, "chlorine"),
        ({"chlorine": "600001", "mixture": "1260"}, "chlorine"),
    ],
)
def test_chlorine_that_cannot_be(asked: dict[str, str], box: str) -> None:
    with pytest.raises(Slip) as caught:
        worked("chlorine", **asked)
    assert caught.value.path == box


def test_pure_pcb_is_the_most_there_can_be() -> None:
    assert worked("chlorine", chlorine="600000", mixture="1260").values["pcb"] == 1_000_000


# ---------------------------------------------------------------------------------------------------- the tube

COLOURS = ("yellow", "blue_violet", "unclear")
GOOD = {"fluid": "hydrocarbon", "wet": False, "expired": False, "control_ok": True}


def by_hand(first: tuple[str, str], second: tuple[str, str]) -> str:
    """What two good tubes say, written out pair by pair."""
    clear = sorted({(int(set_point), colour) for set_point, colour in (first, second) if colour != "unclear"})
    if not clear:
        return "void"
    said = [colour for _, colour in clear]
    if "blue_violet" not in said:
        return "above"
    if "yellow" not in said:
        return "below"
    (low, colour), (high, _) = clear
    return "bracket" if low < high and colour == "yellow" else "contradictory"


@pytest.mark.parametrize("pair", [*product(product(SET_POINTS, COLOURS), repeat=2)], ids=str)
def test_two_tubes_say_what_each_pair_says(pair: tuple[tuple[str, str], tuple[str, str]]) -> None:
    (set_point, colour), (set_point_2, colour_2) = pair
    found = worked("screen", set_point=set_point, colour=colour, set_point_2=set_point_2, colour_2=colour_2, **GOOD)
    assert found.values["reading"] == by_hand(*pair)
    above = [int(s) for s, c in pair if c == "yellow"]
    assert found.values.get("low") == (max(above) if above else None), "a yellow tube always counts"
    assert ("above_counts" in keys(found)) == bool(above)


@given(set_points, st.sampled_from(COLOURS), st.sampled_from(COLOURS), set_points)
def test_the_order_of_two_tubes_is_of_no_matter(one: str, colour: str, other_colour: str, other: str) -> None:
    forth = worked("screen", set_point=one, colour=colour, set_point_2=other, colour_2=other_colour, **GOOD)
    back = worked("screen", set_point=other, colour=other_colour, set_point_2=one, colour_2=colour, **GOOD)
    assert forth.values == back.values


@pytest.mark.parametrize("set_point", SET_POINTS)
def test_below_is_worth_twice_its_set_point_at_worst_and_lowers_nothing(set_point: str) -> None:
    found = worked("screen", set_point=set_point, colour="blue_violet", **GOOD)
    assert found.values == {"reading": "below", "high": int(set_point), "worst": 2 * int(set_point)}
    assert keys(found) == ["below_lowers_nothing"]
    assert any("lowers nothing" in says for says, _ in SUMS["screen"].said(found))


@pytest.mark.parametrize("colour", COLOURS)
@pytest.mark.parametrize(
    ("spoilt", "why"),
    [({"wet": True}, "void_wet"), ({"expired": True}, "void_expired"), ({"control_ok": False}, "void_control")],
)
def test_a_spoilt_tube_is_void_and_a_yellow_one_still_asks_for_care(
    colour: str, spoilt: dict[str, bool], why: str
) -> None:
    found = worked("screen", set_point="50", colour=colour, **{**GOOD, **spoilt})
    assert found.values == {"reading": "void"}
    assert why in keys(found)
    assert ("yellow_all_the_same" in keys(found)) == (colour == "yellow")


@pytest.mark.parametrize("fluid", ["silicone", "ester", "askarel"])
@pytest.mark.parametrize("wet", [True, False, None])
def test_other_fluids_are_not_read_whatever_else(fluid: str, wet: bool | None) -> None:
    found = worked("screen", set_point="50", colour="blue_violet", fluid=fluid, wet=wet)
    assert found.values == {"reading": "not_for_this_fluid"}
    assert ("askarel_is_worst" in keys(found)) == (fluid == "askarel")


def test_a_fluid_not_known_and_what_is_not_said_are_told() -> None:
    found = worked("screen", set_point="50", colour="yellow")
    assert found.values == {"reading": "above", "low": 50}
    assert keys(found) == ["above_counts", "fluid_not_known", "not_said"]


def test_a_tube_without_a_set_point_says_nothing_but_the_other_one_does() -> None:
    found = worked("screen", set_point="unknown", colour="yellow", **GOOD)
    assert found.values == {"reading": "void"}
    assert keys(found) == ["void_set_point", "void_again", "yellow_all_the_same"]
    second = {"set_point_2": "20", "colour_2": "yellow"}
    assert worked("screen", set_point="unknown", colour="blue_violet", **second, **GOOD).values["low"] == 20


@pytest.mark.parametrize(
    ("half", "box"), [({"colour_2": "yellow"}, "set_point_2"), ({"set_point_2": "20"}, "colour_2")]
)
def test_half_a_second_tube_is_refused_at_the_half_that_lacks(half: dict[str, str], box: str) -> None:
    with pytest.raises(Slip) as caught:
        worked("screen", set_point="50", colour="yellow", **half)
    assert caught.value.path == box


# ----------------------------------------------------------------------------------------------------- trips_at

TABLE = {
    "1221": ("40.0", "100.0", "200.0", "1000.0"), "1232": ("26.2", "65.6", "131.2", "656.2"),
    "1016": ("20.5", "51.2", "102.4", "512.2"), "1242": ("20.0", "50.0", "100.0", "500.0"),
    "1248": ("17.5", "43.8", "87.5", "437.5"), "1254": ("15.6", "38.9", "77.8", "388.9"),
    "1260": ("14.0", "35.0", "70.0", "350.0"), "1262": ("13.5", "33.9", "67.7", "338.7"),
    "1268": ("12.4", "30.9", "61.8", "308.8"),
}  # fmt: skip
"""Real mg/kg that trip tubes of 20, 50, 100 and 500, worked by hand from the shares of the numbers."""


@pytest.mark.parametrize("mixture", MIXTURES)
def test_where_each_tube_trips(mixture: str) -> None:
    for set_point, trips in zip(SET_POINTS, TABLE[mixture], strict=True):
        found = worked("trips_at", set_point=set_point, mixture=mixture)
        ours = found.values["trips"]
        assert isinstance(ours, Decimal)
        assert abs(ours - Decimal(trips)) <= Decimal("0.051")
        low, high = int(mixture[-2:]) < 42 or mixture == "1016", int(mixture[-2:]) > 42 and mixture != "1016"
        assert ("reads_low" in keys(found), "reads_high" in keys(found)) == (low, high)


@given(set_points, mixtures)
def test_what_just_trips_a_tube_reads_as_its_set_point(set_point: str, mixture: str) -> None:
    trips = worked("trips_at", set_point=set_point, mixture=mixture).values["trips"]
    read = SUMS["chlorine"].worked({"pcb": trips, "mixture": mixture}, TODAY).values["as_42"]
    assert isinstance(read, Decimal)
    assert abs(read - int(set_point)) < Decimal("1E-20")


@pytest.mark.parametrize(
    ("salt", "trips"),
    [("34.61", False), ("34.62", True)],
)
def test_salt_trips_from_the_chlorine_of_the_set_point_up(salt: str, trips: bool) -> None:
    """21 mg/kg of chlorine over 0.60661 are 34.619 mg/kg of salt."""
    assert worked("trips_at", set_point="50", salt=salt).values["alone"] is trips


def test_salt_and_trichlorobenzene_together_trip_what_neither_does() -> None:
    one = worked("trips_at", set_point="50", salt="20")
    other = worked("trips_at", set_point="50", trichlorobenzene="20")
    both = worked("trips_at", set_point="50", salt="20", trichlorobenzene="20")
    assert (one.values["alone"], other.values["alone"], both.values["alone"]) == (False, False, True)
    assert "other_chlorine" in keys(both)
    assert "alone" not in worked("trips_at", set_point="50").values


# ---------------------------------------------------------------------------------------------------------- sink

oils = st.decimals("0.8", "0.95", places=3)
heavies = st.decimals("1.2", "1.8", places=3)


@given(oils, heavies)
def test_the_mixture_that_hangs_weighs_as_much_as_water(oil: Decimal, heavy: Decimal) -> None:
    found = worked("sink", oil=oil, askarel=heavy).values["share"]
    assert isinstance(found, Decimal)
    share = Fraction(found) / 100
    volume = (1 - share) / Fraction(oil) + share / Fraction(heavy)
    assert abs(1 / volume - 1) < Fraction(1, 10**20)
    assert 0 < share < 1


@given(oils, heavies, st.decimals("0.001", "0.04", places=3))
def test_lighter_oil_and_lighter_askarel_hide_more(oil: Decimal, heavy: Decimal, less: Decimal) -> None:
    def share(oil: Decimal, heavy: Decimal) -> Decimal:
        found = worked("sink", oil=oil, askarel=heavy).values["share"]
        assert isinstance(found, Decimal)
        return found

    assert share(oil - less, heavy) > share(oil, heavy)
    assert share(oil, heavy - less) > share(oil, heavy)


@pytest.mark.parametrize("seen", ["floats", "unsure"])
def test_floating_says_nothing_and_tells_how_much_may_hide(seen: str) -> None:
    found = worked("sink", seen=seen, oil="0.88", askarel="1.549")
    assert found.values["verdict"] == "says_nothing"
    assert any("167000 mg/kg" in says and "class stays" in says for says, _ in SUMS["sink"].said(found))


def test_no_drop_no_verdict() -> None:
    found = worked("sink")
    assert "verdict" not in found.values
    assert found.notes == ()


# ----------------------------------------------------------------------------------------------------- detection


@given(chances, chances, chances)
def test_the_two_readings_together_give_back_the_chance_before(
    prior: Decimal, sensitivity: Decimal, specificity: Decimal
) -> None:
    """The law of total probability, with exact fractions."""
    total = Fraction(0)
    for result in ("above", "below"):
        found = worked("detection", prior=prior, sensitivity=sensitivity, specificity=specificity, result=result).values
        assert isinstance(found["posterior"], Decimal)
        assert isinstance(found["chance"], Decimal)
        assert 0 <= found["posterior"] <= 1
        total += Fraction(found["posterior"]) * Fraction(found["chance"])
    assert abs(total - Fraction(prior)) < Fraction(1, 10**20)


@given(chances, chances)
def test_a_test_that_guesses_changes_nothing(prior: Decimal, rate: Decimal) -> None:
    found = worked("detection", prior=prior, sensitivity=rate, specificity=1 - rate, result="above").values["posterior"]
    assert isinstance(found, Decimal)
    assert abs(found - prior) < Decimal("1E-20")


PUBLISHED = {"0.01": ("0.0002", "0.090"), "0.05": ("0.0012", "0.340"), "0.10": ("0.0025", "0.521"),
             "0.333": ("0.0110", "0.830"), "0.645": ("0.0388", "0.947")}  # fmt: skip
"""Chances after below and after above at 0.98 and 0.90, worked by hand with a table of fractions."""


@pytest.mark.parametrize("prior", PUBLISHED)
def test_chances_worked_by_hand(prior: str) -> None:
    for result, want in zip(("below", "above"), PUBLISHED[prior], strict=True):
        found = worked("detection", prior=prior, sensitivity="0.98", specificity="0.90", result=result)
        assert isinstance(found.values["posterior"], Decimal)
        assert abs(found.values["posterior"] - Decimal(want)) <= Decimal("0.0006")
        assert ("above_to_laboratory" in keys(found)) == (result == "above")
        assert any("clears no unit" in says for says, _ in SUMS["detection"].said(found))


def test_a_reading_that_cannot_happen_is_refused_and_one_that_can_is_not() -> None:
    rates = {"prior": "1", "specificity": "0.9", "result": "below"}
    with pytest.raises(Slip, match="cannot happen"):
        worked("detection", sensitivity="1", **rates)
    assert worked("detection", sensitivity="0.999", **rates).values["posterior"] == 1


# ------------------------------------------------------------------------------------------------ planted errors


def test_a_share_of_the_wrong_mixture_would_be_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    """1016 read by its number, as 16 %."""
    right = screening.share_of
    monkeypatch.setattr(screening, "share_of", lambda m, fixed: Decimal("0.16") if m == "1242" else right(m, fixed))
    asked = SUMS["trips_at"]
    assert not all(held(asked, check, TODAY).met for check in asked.checks)


def test_a_contradiction_read_as_a_bracket_would_be_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(screening, "_read", lambda tubes: ("bracket", Decimal(20), Decimal(50)))
    asked = SUMS["screen"]
    assert not all(held(asked, check, TODAY).met for check in asked.checks)
