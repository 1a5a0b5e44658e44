"""What one more pour is held against: all that came out of its unit, what weighs what, and where its oil went on to."""

from datetime import date
from decimal import Decimal

import pytest

from hazmat import rulebooks
from hazmat.book.act import Refused
from hazmat.core.law import LawDay
from tests.disposal.pours import DEAD, Place, same_from_records

pytestmark = [pytest.mark.both, pytest.mark.django_db]
MINERAL = {"kind": "transformer", "mounting": "pole", "built": "1968", "fluid": "mineral", "fluid_volume_l": "75"}


# ------------------------------------------------------------------ oil that changed since


def test_oil_that_is_untested_again_meets_the_oil_of_others_anew(place: Place) -> None:
    """Two units shown to be high stand in one drum; one of them is refilled, and nobody knows what is in it now."""
    one, other, drum, own, on = place.unit("80"), place.unit("120"), place.drum(), place.drum(), place.drum()
    for minute, unit in enumerate((one, other), 10):
        place.pour(unit, drum, minute=minute)
    place.pour(one, own, minute=12)
    place.pour(own, on, "1", minute=40)
    place.pour(other, on, "1", minute=41)
    place.correct(one)
    with pytest.raises(Refused, match="not poured into untested oil of other units"):
        place.pour(one, drum, minute=20)
    with pytest.raises(Refused, match=r"Oil went on from there into drum .*not poured into untested oil"):
        place.pour(one, own, minute=20)
    place.pour(one, own, minute=50)
    same_from_records(drum, own, on)


# ------------------------------------------------------------------ how much


def test_a_unit_yields_no_more_into_all_drums_than_it_held(place: Place) -> None:
    unit = place.unit("80", proved=DEAD, **MINERAL)
    first, second, third = place.drum(), place.drum(), place.drum()
    place.pour(unit, first, "40", minute=20)
    place.pour(unit, second, "34.9", minute=30)
    place.pour(first, third, "40", minute=40)
    with pytest.raises(Refused, match=r"this unit held 75 L, and 74.9 L came out already; 0.2 L more cannot be"):
        place.pour(unit, third, "0.2", minute=50)
    with pytest.raises(Refused, match=r"held 75 L, and 74.9 L came out already; 0.2 L more"):
        place.pour(unit, third, "0.2", minute=10)
    place.pour(unit, third, "0.1", minute=50, all_out=True)
    same_from_records(first, second, third)


@pytest.mark.parametrize(("kg", "fits"), [("150", True), ("150.1", False)])
def test_what_was_weighed_takes_the_room_of_the_heaviest_oil(place: Place, kg: str, fits: bool) -> None:
    """75 L of the heaviest oil, 2.0 kg/L, weigh 150 kg."""
    unit, drum = place.unit("80", proved=DEAD, **MINERAL), place.drum()
    if fits:
        place.pour(unit, drum, "", kg=kg)
        return
    with pytest.raises(Refused, match=r"this unit held 75 L, and 0 L came out already; 75.05 L more cannot be"):
        place.pour(unit, drum, "", kg=kg)


@pytest.mark.parametrize(
    ("litres", "kg", "says"),
    [
        ("10", "20.1", "10 L of oil do not weigh 20.1 kg: no oil is heavier than 2 kg/L"),
        ("10", "5.9", "10 L of oil do not weigh 5.9 kg: no oil is lighter than 0.6 kg/L"),
        ("10", "20", ""),
        ("10", "6", ""),
    ],
)
def test_litres_and_kg_of_one_pour_are_of_one_oil(place: Place, litres: str, kg: str, says: str) -> None:
    drum = place.drum()
    if not says:
        place.pour(place.unit("80"), drum, litres, kg=kg)
        return
    with pytest.raises(Refused, match=says):
        place.pour(place.unit("80"), drum, litres, kg=kg)


def test_kg_are_held_against_litres(place: Place) -> None:
    """Out of 10 L come at most 20 kg; out of 6 kg at most 10 L; into 50 L go at most 100 kg."""
    unit, litres, kg, small = place.unit("80"), place.drum(), place.drum(), place.drum("50")
    place.pour(unit, litres, "10")
    with pytest.raises(Refused, match=r"was 10 L at that time; 1000 kg, which are at least 500 L, cannot have come"):
        place.pour(litres, kg, "", kg="1000", minute=20)
    place.pour(litres, small, "", kg="20", minute=20)
    place.pour(unit, kg, "", kg="6")
    with pytest.raises(Refused, match=r"was 10 L at that time; 10.1 L cannot have come out"):
        place.pour(kg, small, "10.1", minute=21)
    with pytest.raises(
        Refused, match=r"and 10 L was in it at that time; 80.2 kg, which are at least 40.1 L, more does"
    ):
        place.pour(unit, small, "", kg="80.2", minute=22)
    place.pour(unit, small, "", kg="80", minute=22)
    same_from_records(litres, kg, small)


def test_figures_of_the_house() -> None:
    """Ours, with room on both sides: the lightest oil of equipment is near 0.8 kg/L, the heaviest near 1.6 kg/L."""
    house = LawDay(rulebooks.rulebook("handling"), date(2026, 11, 26))
    for name, value in (("lightest_oil", "0.6"), ("heaviest_oil", "2.0")):
        assert house.number(name) == Decimal(value)
        assert house.book.figures[name].unit == "kg/L"
        assert house.figures[name].cite.basis == "judgement"


def test_what_is_left_when_nothing_more_ran_out_is_told(place: Place) -> None:
    unit, drum, other = place.unit("80"), place.drum(), place.drum()
    place.pour(unit, drum, "150")
    says = r"In drum .* was 150 L at that time and 10 L came out of it; if nothing more ran out, write as a note where"
    for note in ("", " "):
        with pytest.raises(Refused, match=says):
            place.pour(drum, other, minute=20, all_out=True, note=note)
    place.pour(drum, other, "149", minute=20, all_out=True, note="About a litre is a sludge on its floor.")
    late = place.drum()
    place.pour(unit, late, "30", minute=20)
    place.pour(late, other, "30", minute=40, all_out=True)
    with pytest.raises(Refused, match=r"more would have been in drum .* than came out of it when nothing more ran out"):
        place.pour(unit, late, "5", minute=30)
    weighed = place.drum()
    place.pour(unit, weighed, "", kg="30")
    with pytest.raises(Refused, match="was 30 kg at that time and 10 kg came out"):
        place.pour(weighed, late, "", kg="10", minute=50, all_out=True)
    place.pour(weighed, late, "", kg="30", minute=50, all_out=True)
    same_from_records(drum, other, late, weighed)
