"""Lots on loads, and licences that end on the way: what pages say of both."""

from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest

from disposal.actions.certificates import close_load
from disposal.actions.handing import receive_load
from disposal.core.loadin import Arrived
from disposal.core.loadnow import ItemNow
from disposal.queries.loads import LOADS, listed
from disposal.queries.open_loads import next_lines
from hazmat.book.act import Refused
from hazmat.book.prove import prove
from hazmat.core.codes import spaced
from tests.cast import ZONE, Cast
from tests.disposal.sending import Sender, now, today
from tests.disposal.test_load_pages import path, text

pytestmark = pytest.mark.django_db

LOT = {"line": {"kind": "ballast", "count": 12}}


@pytest.fixture
def sender(cast: Cast) -> Sender:
    assert cast.yard_id is not None
    return Sender(cast.yard_id, cast.people["boss"].pk)


def test_what_a_lot_is_called() -> None:
    one = ItemNow(id="i", thing="unit", of="u", code="K7M4PX")
    lot = ItemNow(id="i", thing="unit", of="u", code="K7M4PX", count=2)
    assert (one.called, one.lot) == ("K7M 4PX", "")
    assert (lot.called, lot.lot) == ("K7M 4PX (2 alike)", "2 alike")


def test_a_lot_says_how_many_it_is_wherever_it_is_told(cast: Cast, sender: Sender) -> None:
    client, load = cast.client("manager"), sender.load(sender.unit(), sender.unit(**LOT))
    lot = now(load).items[1]
    called = f"{spaced(lot.code)} (12 alike)"
    page = text(client.get(path(cast, "load", load)))
    assert "13 items on load" in page
    assert "Ballast, 12 alike" in page
    assert called in page.partition("Day book")[2]
    assert "; 13 items," in text(client.get(path(cast, "loads")))
    assert "12 alike" in text(client.get(path(cast, "take_off_load", load, item=lot.id)))
    sender.signed(load, "yard", "carrier")
    receipt = text(client.get(path(cast, "receive_load", load)))
    assert ", unit, 12 alike" in receipt
    assert f"What became of {called}?" in receipt
    sender.arrived(load, "yes", "missing")
    assert f"the facility never got {called}" in text(client.get(path(cast, "load", load)))
    assert f"{called}, unit" in text(client.get(path(cast, "enter_certificate", load)))
    assert called in next_lines(sender.yard, cast.yard, today())[0].says
    with pytest.raises(Refused, match=r"never got \w{3} \w{3} \(12 alike\)"):
        close_load(sender.order(), load=load)
    assert [one.many for one in listed(sender.yard)] == [13]
    assert [one.count for one in LOADS.fold([load])[load].items] == [1, 1]
    assert prove().faults == []


def handed_over(sender: Sender, received: datetime | None) -> UUID:
    """A load that was handed over on 7 March 2026 in Auckland."""
    sender.now = datetime(2026, 3, 7, 9, 0, tzinfo=ZoneInfo(ZONE))
    load = sender.load(sender.unit())
    sender.signed(load, "yard", "carrier")
    if received:
        item = now(load).items[0]
        lines = [Arrived(item=UUID(item.id), arrival="yes")]
        receive_load(sender.order(happened_at=received), load=load, lines=lines)
    return load


@pytest.mark.parametrize(("day", "warned"), [(9, False), (10, True)])
def test_a_licence_that_ended_before_the_receipt_is_a_warning(day: int, warned: bool, cast: Cast) -> None:
    """Its last day is 9 March in the zone of the yard: an hour before that midnight, and an hour after."""
    assert cast.yard_id is not None
    sender = Sender(cast.yard_id, cast.people["boss"].pk, until=date(2026, 3, 9))
    load = handed_over(sender, datetime(2026, 3, day, 23 if day == 9 else 1, 0, tzinfo=ZoneInfo(ZONE)))
    page = text(cast.client("manager").get(path(cast, "load", load)))
    for firm, what in (("Furnace Point", "take in"), ("Harbour Haulage", "carry")):
        says = f"{firm} has no licence to {what} on record that is in force on 10 Mar 2026, the day of the receipt."
        assert (says in page) == warned
    assert ("has no licence" in page) == warned


def test_on_the_way_the_licence_of_today_is_looked_at(cast: Cast) -> None:
    assert cast.yard_id is not None
    sender = Sender(cast.yard_id, cast.people["boss"].pk, until=date(2026, 3, 9))
    page = text(cast.client("manager").get(path(cast, "load", handed_over(sender, None))))
    assert "Furnace Point has no licence to take in on record that is in force on" in page
    assert "the day of the receipt" not in page
