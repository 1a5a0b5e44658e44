"""Acts on loads and partners are written once, stay as they were written, and are corrected by new records."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any
from uuid import UUID

import pytest
from django.db import connection

from disposal.actions.certificates import close_load, enter_certificate
from disposal.actions.handing import receive_load, settle_arrival, sign_load
from disposal.actions.loads import change_load, plan_load, put_on_load, take_off_load
from disposal.actions.partners import add_licence, add_partner
from disposal.core.loadin import Arrived, Line, PutOn, Settling
from disposal.models import LoadStanding, Partner
from disposal.queries.loads import LOADS
from disposal.queries.partners import partner_now, partners
from hazmat.book.act import Refused
from hazmat.book.entry import Entry
from hazmat.book.ids import new_id
from hazmat.book.prove import prove
from tests.disposal.sending import DAY, Sender, now, sign, today, unit_now

pytestmark = [pytest.mark.both, pytest.mark.django_db]


# ------------------------------------------------------------------ once, and as it was written


def test_a_double_post_gives_the_first_receipt(sender: Sender) -> None:
    """Each act of the thread, asked for twice: one entry, the same receipt."""
    unit = sender.unit()

    def twice(act: Callable[[Any], Any]) -> Any:
        asked, before = sender.order(), Entry.objects.count()
        first, again = act(asked), act(asked)
        assert (again.seq, again.again, Entry.objects.count()) == (first.seq, True, before + 1)
        return first

    load = twice(lambda o: plan_load(o, carrier=sender.carrier, facility=sender.facility)).the("disposal.load")
    twice(lambda o: put_on_load(o, load=load, items=[PutOn(thing="unit", of=unit)]))
    first = UUID(now(load).items[0].id)
    twice(lambda o: take_off_load(o, load=load, item=first, why="x"))
    twice(lambda o: put_on_load(o, load=load, items=[PutOn(thing="unit", of=unit)]))
    item = UUID(now(load).aboard[0].id)
    seq = now(load).seq
    twice(lambda o: change_load(o, load=load, based_on=seq, carrier=sender.carrier, facility=sender.facility))
    for party in ("yard", "carrier", "facility"):
        twice(lambda o, party=party: sign_load(o, load=load, party=party, inked="typed", name="x"))  # type: ignore[misc]
    twice(lambda o: receive_load(o, load=load, lines=[Arrived(item=item, arrival="yes")], extra="a tray"))
    twice(lambda o: settle_arrival(o, load=load, lines=[Settling(says="it came back")]))
    lines = [Line(written=unit_now(unit).tag)]
    twice(lambda o: enter_certificate(o, load=load, number="1", issued_on=today(), lines=lines))
    twice(lambda o: close_load(o, load=load))
    twice(lambda o: add_partner(o, name="Third"))
    twice(lambda o: add_licence(o, partner=sender.carrier, what="carry", number="9", since=today()))
    assert prove().faults == []


@pytest.mark.parametrize(("column", "value"), [("state", "closed"), ("body", "{}"), ("number", "99")])
def test_prove_names_a_tampered_standing(sender: Sender, column: str, value: str) -> None:
    load = sender.load(sender.unit())
    assert prove().faults == []
    table = LoadStanding._meta.db_table
    with connection.cursor() as cursor:
        cursor.execute(f"UPDATE {table} SET {column} = %s", [value])
    faults = prove().faults
    assert any(f"({load}) differs in {column}" in says and "the standing of load" in says for says in faults), faults


def test_prove_names_a_standing_that_is_lost_and_one_without_a_load(sender: Sender) -> None:
    load = sender.load(sender.unit())
    LoadStanding.objects.update(load=new_id())
    faults = prove().faults
    assert any(f"the standing of load {load} is missing" in says for says in faults), faults
    assert any("has no load behind it" in says for says in faults), faults
    LOADS.rebuild(sender.yard)
    assert prove().faults == []


# ------------------------------------------------------------------ partners


def test_firms_and_licences_are_corrected_by_new_records(sender: Sender) -> None:
    firm = partner_now(sender.yard, sender.carrier)
    assert firm is not None
    with pytest.raises(Refused, match="of this name is written down already"):
        add_partner(sender.order(), name="harbour haulage")
    with pytest.raises(Refused, match="what the firm is called"):
        add_partner(sender.order(), name=" ")
    fresh = add_partner(sender.order(), name="Harbour Haulage Ltd", corrects=sender.carrier, aside={"phone": "+64 0"})
    with pytest.raises(Refused, match="corrected this firm in the meantime"):
        add_partner(sender.order(), name="Something", corrects=sender.carrier)
    again = partner_now(sender.yard, fresh.the("disposal.partner"))
    assert again == partner_now(sender.yard, sender.carrier)
    assert again is not None
    assert (again.id, again.name, again.licences) == (str(sender.carrier), "Harbour Haulage Ltd", firm.licences)
    assert len(partners(sender.yard)) == 2
    with pytest.raises(Refused, match="ends before it begins"):
        add_licence(
            sender.order(), partner=sender.carrier, what="carry", number="1", since=DAY, until=DAY - timedelta(1)
        )
    (old,) = firm.licences
    told = {"partner": sender.carrier, "what": "carry", "number": "carry-2", "corrects": UUID(old.id)}
    add_licence(sender.order(), since=DAY, until=DAY, **told)
    with pytest.raises(Refused, match="corrected in the meantime"):
        add_licence(sender.order(), since=DAY, **told)
    (new,) = partner_now(sender.yard, sender.carrier).licences  # type: ignore[union-attr]
    assert (new.number, new.since, new.until) == ("carry-2", DAY, DAY)
    with pytest.raises(Refused, match="to carry or to take in"):
        add_licence(sender.order(), partner=sender.carrier, what="burn", number="1", since=DAY)  # type: ignore[arg-type]
    with pytest.raises(Refused, match="number of the licence"):
        add_licence(sender.order(), partner=sender.carrier, what="carry", number="", since=DAY)
    load = sender.load(sender.unit())
    assert now(load).carrier_name == "Harbour Haulage Ltd"
    sender.signed(load, "yard")
    with pytest.raises(Refused, match="Harbour Haulage Ltd has no licence to carry"):
        sign(sender, load, "carrier")
    assert Partner.objects.count() == 3
    assert prove().faults == []


def test_what_left_is_not_said_to_be_taken_off(sender: Sender) -> None:
    unit = sender.unit()
    load = sender.load(unit)
    sender.signed(load, "yard", "carrier")
    with pytest.raises(Refused, match=rf"left with load {now(load).number}; only what is here goes on a load"):
        sender.load(unit)
