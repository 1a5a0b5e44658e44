"""What oil reached as the tables hold it, through real acts: by hand, and whatever was written in any order."""

from datetime import timedelta
from uuid import UUID

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from disposal.core.reach import Step, back, forth
from disposal.models import Drum, Move
from disposal.queries.reach import Followed, followed
from hazmat.actions.bottles import hand_bottle, label_bottle
from hazmat.actions.spaces import remove_part
from hazmat.actions.units import prove_dead
from hazmat.book.canonical import instant
from hazmat.models import Bottle, Space, Tool
from tests.disposal.pours import Place
from tests.hazmat.gear import DEAD, Gear

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def tank(unit: UUID, space: str = "tank") -> UUID:
    return Space.objects.get(unit=unit, name=space).holder_id


def of_drum(drum: UUID) -> UUID:
    return Drum.objects.get(pk=drum).holder_id


def of_tool(tool: UUID) -> UUID:
    return Tool.objects.get(pk=tool).holder_id


def of_bottle(code: str) -> UUID:
    return Bottle.objects.get(code=code).holder_id


def hops(found: Followed) -> dict[UUID, int]:
    return {UUID(one): way.hops for one, way in found.whole.near.items()}


def oil(found: Followed) -> set[UUID]:
    return {UUID(one) for one in found.oil.near}


@pytest.fixture
def gear(place: Place) -> Gear:
    return Gear(place.yard.pk, place.boss.pk)


def test_oil_is_followed_through_drums_both_ways(place: Place) -> None:
    unit, other = place.unit("80"), place.unit("90")
    one, two, three = (place.drum() for _ in range(3))
    place.pour(other, two, minute=5)
    place.pour(unit, one, minute=10)
    place.pour(one, two, "4", minute=20)
    place.pour(two, three, "3", minute=30)
    went = followed([tank(unit)])
    assert hops(went) == {of_drum(one): 1, of_drum(two): 2, of_drum(three): 3}
    assert [step.of.litres for step in went.oil.way(str(of_drum(three)))] == ["10", "4", "3"]
    came = followed([of_drum(three)], backwards=True)
    assert hops(came) == {of_drum(two): 1, of_drum(one): 2, tank(unit): 3, tank(other): 2}
    assert hops(followed([tank(other)])) == {of_drum(two): 1, of_drum(three): 2}


def test_what_left_a_drum_before_the_oil_came_is_not_reached_however_late_it_is_written(place: Place) -> None:
    unit, other = place.unit("80"), place.unit("90")
    one, two = place.drum(), place.drum()
    place.pour(other, one, minute=5)
    place.pour(unit, one, minute=20)
    place.pour(one, two, "4", minute=10)
    assert hops(followed([tank(unit)])) == {of_drum(one): 1}
    assert hops(followed([of_drum(two)], backwards=True)) == {of_drum(one): 1, tank(other): 2}
    place.pour(one, two, "4", minute=30)
    assert hops(followed([tank(unit)])) == {of_drum(one): 1, of_drum(two): 2}


def test_gear_carries_traces_until_it_is_cleaned(gear: Gear) -> None:
    bad, other, third = gear.unit(), gear.unit(), gear.unit()
    thief = gear.tool()
    own, next_, last = gear.filled(bad, 10, thief), gear.filled(other, 20, thief), ""
    gear.cleaned(thief, 30)
    last = gear.filled(third, 40, thief)
    went = followed([tank(bad)])
    assert hops(went) == {of_bottle(own): 1, of_tool(thief): 1, tank(other): 2, of_bottle(next_): 2}
    assert oil(went) == {of_bottle(own)}
    came = followed([of_bottle(next_)], backwards=True)
    assert hops(came) == {tank(other): 1, of_tool(thief): 1, tank(bad): 2}
    assert oil(came) == {tank(other)}
    assert hops(followed([of_bottle(last)], backwards=True)) == {tank(third): 1, of_tool(thief): 1}
    assert of_bottle(last) in hops(followed([of_tool(thief)]))


def test_a_test_cell_gives_nothing_back(gear: Gear) -> None:
    bad, other, cell = gear.unit(), gear.unit(), gear.tool("cell")
    gear.shot(bad, 10, cell)
    gear.shot(other, 20, cell)
    assert hops(followed([tank(bad)])) == {of_tool(cell): 1}
    assert hops(followed([tank(other)], backwards=True)) == {}


def test_a_test_that_was_corrected_to_another_cell_no_longer_counts(gear: Gear) -> None:
    bad, cell, right = gear.unit(), gear.tool("cell"), gear.tool("cell")
    first = gear.shot(bad, 10, cell)
    gear.shot(bad, 11, right, replaces=first, why="another cell")
    assert hops(followed([tank(bad)])) == {of_tool(right): 1}


def test_a_part_takes_its_oil_along(gear: Gear) -> None:
    unit = gear.unit(("tap changer",))
    bottle = gear.filled(unit, 10, space="tap changer")
    part = remove_part(gear.order(20), unit=unit, space="tap changer", place="NZ").the("hazmat.unit")
    prove_dead(gear.order(24), unit=part, proved=DEAD)
    label = label_bottle(gear.order(25), unit=part, space="tank").the("hazmat.bottle")
    hand_bottle(gear.order(30), bottle=label, what="filled", place="NZ", names={"gave": "M"}, gear=())
    later = Bottle.objects.get(pk=label).code
    went = followed([tank(unit, "tap changer")])
    assert hops(went) == {of_bottle(bottle): 1, tank(part): 1, of_bottle(later): 2}
    assert hops(followed([tank(unit)])) == {}
    assert hops(followed([of_bottle(later)], backwards=True)) == {tank(part): 1, tank(unit, "tap changer"): 2}


def test_what_does_not_matter_is_not_read(place: Place) -> None:
    """Other units and drums beside it, pours into one of its drums, and whatever left that drum before."""
    unit, first, second, third = place.unit("80"), place.drum(), place.drum("2000"), place.drum("2000")
    place.pour(unit, first, "20", minute=10)
    place.pour(first, second, "10", minute=20)
    here, wanted = [tank(unit)], {of_drum(first): 1, of_drum(second): 2}
    with CaptureQueriesContext(connection) as few:
        assert hops(followed(here)) == wanted
    for other in [place.unit("80") for _ in range(6)]:
        place.pour(other, second, minute=5)
        place.pour(second, third, "3", minute=6)
        place.pour(other, place.drum(), minute=30)
        place.pour(other, second, minute=40)
    with CaptureQueriesContext(connection) as many:
        found = followed(here)
    assert hops(found) == wanted
    assert len(found.whole.steps) == 2
    assert len(many) == len(few) <= 6 * (1 + len(wanted))


pours = st.lists(
    st.tuples(st.integers(0, 5), st.integers(0, 5), st.integers(2, 9)).filter(lambda one: one[0] != one[1]),
    min_size=4, max_size=14,
)  # fmt: skip


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(pours)
def test_any_pours_are_read_as_if_the_whole_yard_were(place: Place, told: list[tuple[int, int, int]]) -> None:
    unit, drums = place.unit("80"), [place.drum("5000") for _ in range(6)]
    for drum in drums:
        place.pour(unit, drum, "500", minute=1)
    for source, into, minute in told:
        place.pour(drums[source], drums[into], "1", minute=minute)
    rows = Move.objects.select_related("entry").filter(into_drum__in=drums)
    every = [Step(instant(one.entry.happened_at), str(one.source_id), str(one.target_id)) for one in rows]
    for drum in drums:
        key = of_drum(drum)
        for backwards, follow in ((False, forth), (True, back)):
            right = follow(every, [str(key)])
            found = followed([key], backwards=backwards).whole
            assert {one: way.hops for one, way in found.near.items()} == {
                one: way.hops for one, way in right.near.items()
            }
            assert found.first == right.first


def test_pours_by_kilograms_and_by_nobody_knows_whom(place: Place) -> None:
    unit, drum = place.unit("80", density_kg_l="0.88"), place.drum()
    place.pour(unit, drum, "", kg="8.8", tool="hose 2")
    (step,) = followed([tank(unit)]).oil.way(str(of_drum(drum)))
    assert (step.of.kg, step.of.litres, step.of.tool) == ("8.8", "", "hose 2")
    assert step.at.startswith((place.begun + timedelta(minutes=10)).strftime("%Y-%m-%d"))
