"""What *Next* says of loads, and no longer says of what left with one."""

from datetime import date
from uuid import UUID

import pytest

from disposal.actions.papers import issue_drum_label
from disposal.models import Drum
from disposal.queries.open_loads import WAITS, next_lines
from disposal.queries.papers import next_lines as label_lines
from hazmat.actions.results import enter_result
from hazmat.core.codes import spaced
from hazmat.models import Paper, Unit, UnitStanding
from hazmat.queries.next import lines
from hazmat.queries.units import UNITS
from tests.book.whole import poured
from tests.cast import Cast, make_cast, order, reported
from tests.disposal.sending import Sender, now

SAYS = "says what no longer holds: print a new one, and take the old one away"

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


def test_a_label_that_no_longer_holds_is_to_be_printed_anew(cast: Cast) -> None:
    """Printed while the oil was untested; then the laboratory says 62 and somebody signs: class and strip moved."""
    assert cast.yard_id is not None
    boss, yard, unit = cast.people["boss"].pk, cast.yard_id, Unit.objects.get(tag=cast.words["tag"]).pk
    drum = Drum.objects.get(code=cast.words["drum"]).pk

    def labels() -> list[str]:
        return [one.says for one in label_lines(yard, cast.yard, date(2026, 11, 26))]

    poured(cast, unit)
    assert labels() == []
    issue_drum_label(order(yard, boss), drum=drum)
    assert labels() == []
    now_ = UNITS.kept(unit)
    assert now_ is not None
    old = UUID(now_.counting[-1].id)
    enter_result(order(yard, boss), unit=unit, told=reported("62"), place="NZ", replaces=old, why="a later report")
    number = Paper.objects.get(kind="drum_label").number
    assert labels() == [f"Drum {spaced(cast.words['drum'])}: Drum label {number} {SAYS}"]
    page = cast.client("boss").get(f"/{cast.yard}/drums/{cast.words['drum']}/").content.decode()
    assert f"Drum label {number} {SAYS}." in page
    issue_drum_label(order(yard, boss), drum=drum)
    assert labels() == []
