"""What *Next* says of loads, and no longer says of what left with one."""

from datetime import date
from uuid import UUID

import pytest

from disposal.queries.open_loads import WAITS, next_lines
from hazmat.models import UnitStanding
from hazmat.queries.next import lines
from tests.cast import Cast, make_cast
from tests.disposal.sending import Sender, now

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def cast() -> Cast:
    return make_cast()


def says(cast: Cast) -> list[str]:
    assert cast.yard_id is not None
    return [one.says for one in next_lines(cast.yard_id, cast.yard, date(2026, 11, 26))]


def test_each_load_that_is_not_closed_says_what_it_waits_for(cast: Cast) -> None:
    assert cast.yard_id is not None
    sender = Sender(cast.yard_id, cast.people["boss"].pk)
    assert says(cast) == []
    load = sender.load(sender.unit())
    number = now(load).number
    assert says(cast) == [f"Load {number} {WAITS['planned']}"]
    sender.signed(load, "yard")
    assert says(cast) == [f"Load {number} {WAITS['signed']}"]
    sender.signed(load, "carrier")
    assert says(cast) == [f"Load {number} {WAITS['handed_over']}"]


def test_a_unit_that_left_sends_nobody_to_its_leak(cast: Cast) -> None:
    assert cast.yard_id is not None
    sender = Sender(cast.yard_id, cast.people["boss"].pk)
    unit: UUID = sender.unit(leak="sweating")
    leaks = [one for one in lines(cast.yard_id, cast.yard, date(2026, 11, 26)) if one.mark == "leak"]
    assert len(leaks) == 1
    load = sender.load(unit)
    sender.signed(load, "yard", "carrier")
    assert UnitStanding.objects.get(unit=unit).leak == "none"
    assert [one for one in lines(cast.yard_id, cast.yard, date(2026, 11, 26)) if one.mark == "leak"] == []
