"""Holding what the oil of a unit reached: which units, by whom, once, and only as it was read."""

from typing import Any
from uuid import UUID

import pytest

from disposal.actions.reached import hold_reached, readings
from disposal.queries.touched import to_hold, touched
from hazmat.book.act import Refused
from hazmat.book.prove import prove
from hazmat.models import Space, Unit, Verdict
from hazmat.queries.units import UNITS
from tests.browsing import at, token
from tests.cast import Cast
from tests.hazmat.gear import Gear, now

pytestmark = [pytest.mark.both, pytest.mark.django_db]


@pytest.fixture
def gear(cast: Cast) -> Gear:
    assert cast.yard_id
    return Gear(cast.yard_id, cast.people["boss"].pk)


@pytest.fixture
def spoiled(gear: Gear) -> tuple[UUID, list[UUID]]:
    """A unit, and three whose oil its thief went into afterwards: two released, one held as it came."""
    bad, others, thief = gear.unit(), [gear.unit() for _ in range(3)], gear.tool()
    for minute, unit in enumerate((bad, *others), 1):
        gear.filled(unit, minute * 10, thief)
    for unit in others[:2]:
        gear.released(unit)
    return bad, others


def hold(gear: Gear, unit: UUID, **more: Any) -> None:
    told = {"reason": "traces of its oil", "read": readings(to_hold(unit)), **more}
    hold_reached(gear.order(60 * 24 * 20 + 60), unit=unit, **told)


def test_each_unit_that_nothing_holds_is_held_and_no_other(gear: Gear, spoiled: Any) -> None:
    bad, others = spoiled
    assert {one.unit for one in to_hold(bad)} == {str(one) for one in others[:2]}
    before = Verdict.objects.count()
    hold(gear, bad)
    assert [now(one).stands for one in others] == ["hold"] * 3
    assert [now(one).verdicts[-1].decision for one in others[:2]] == ["hold", "hold"]
    assert now(others[2]).verdicts == ()
    assert Verdict.objects.count() == before + 2
    assert to_hold(bad) == []
    with pytest.raises(Refused, match="Nothing is left to hold"):
        hold(gear, bad)
    assert UNITS.fold(others) == {one: now(one) for one in others}
    assert prove().faults == []


def test_a_unit_before_it_in_time_is_not_held(gear: Gear, spoiled: Any) -> None:
    """What the thief was in first got nothing of what it was in later."""
    bad, others = spoiled
    gear.released(bad)
    assert {one.unit for one in to_hold(others[0])} == {str(others[1])}


@pytest.mark.parametrize(
    ("told", "says"),
    [({"reason": "  "}, "Write why you decide so"), ({"read": "other"}, "Something was written about this unit")],
)
def test_it_is_refused_without_a_reason_and_where_something_was_written(
    gear: Gear, spoiled: Any, told: dict[str, str], says: str
) -> None:
    bad, _ = spoiled
    before = Verdict.objects.count()
    with pytest.raises(Refused, match=says):
        hold(gear, bad, **told)
    assert Verdict.objects.count() == before


def test_the_safety_officer_does_it_from_the_page(cast: Cast, spoiled: Any) -> None:
    bad, others = spoiled
    tag = Unit.objects.get(pk=bad).tag
    seen, where = at(cast, "touched_unit", tag=tag), at(cast, "hold_reached", tag=tag)
    assert where not in cast.client("manager").get(seen).content.decode()
    assert cast.client("manager").get(where).status_code == 403
    client = cast.client("safety_officer")
    assert "Hold 2 units that its oil reached" in client.get(seen).content.decode()
    form = client.get(where).content.decode()
    read = form.split('name="read" value="')[1].split('"')[0]
    empty = client.post(where, {"act": token(form), "reason": "", "read": read})
    assert empty.status_code == 422
    assert "Write why you hold them" in empty.content.decode()
    told = {"act": token(form), "reason": "The report was amended.", "read": read}
    assert client.post(where, told)["Location"] == seen
    assert client.post(where, told)["Location"] == seen
    assert [now(one).stands for one in others] == ["hold"] * 3
    page = client.get(seen).content.decode()
    assert "A hold was signed on what the oil of another unit reached" in page
    assert where not in page
    assert "The report was amended." in client.get(at(cast, "day_book")).content.decode()
    holder = Space.objects.get(unit=bad, name="tank").holder_id
    assert touched([holder]).units == 3
