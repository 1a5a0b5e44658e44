"""A sample of each act on partners and loads, for the tests that kill it at every statement."""

from uuid import UUID

from disposal.actions.certificates import close_load, enter_certificate
from disposal.actions.handing import receive_load, settle_arrival, sign_load
from disposal.actions.loads import change_load, number_load, plan_load, put_on_load, take_off_load
from disposal.actions.partners import add_licence, add_partner
from disposal.core.loadin import Arrived, Line, PutOn, Settling
from hazmat.book.act import Order
from hazmat.book.ids import new_id
from tests.cast import Cast
from tests.disposal.sending import Sender, now, today
from tests.faults.sampling import Act

Sampled = tuple[Order, Act]


def sender(cast: Cast) -> Sender:
    assert cast.yard_id is not None
    return Sender(cast.yard_id, cast.people["boss"].pk)


def _add_partner(cast: Cast) -> Sampled:
    one, name = sender(cast).order(), f"Firm {new_id()}"
    return one, lambda: add_partner(one, name=name, aside={"phone": "+64 0"})


def _add_licence(cast: Cast) -> Sampled:
    by = sender(cast)
    one = by.order()
    return one, lambda: add_licence(one, partner=by.carrier, what="carry", number="2", since=today())


def _plan_load(cast: Cast) -> Sampled:
    by = sender(cast)
    one = by.order()
    return one, lambda: plan_load(one, carrier=by.carrier, facility=by.facility, official="N-1")


def _change_load(cast: Cast) -> Sampled:
    by = sender(cast)
    load = by.load()
    one, seq = by.order(), now(load).seq
    told = {"carrier": by.carrier, "facility": by.facility, "note": "x"}
    return one, lambda: change_load(one, load=load, based_on=seq, **told)


def _number_load(cast: Cast) -> Sampled:
    by = sender(cast)
    load = by.load(by.unit())
    by.signed(load, "yard")
    one = by.order()
    return one, lambda: number_load(one, load=load, official="012345678 JJK")


def _put_on_load(cast: Cast) -> Sampled:
    by = sender(cast)
    load, items = by.load(), [PutOn(thing="unit", of=by.unit(), kg="9"), PutOn(thing="unit", of=by.unit())]
    one = by.order()
    return one, lambda: put_on_load(one, load=load, items=items)


def _take_off_load(cast: Cast) -> Sampled:
    by = sender(cast)
    load = by.load(by.unit())
    one, item = by.order(), UUID(now(load).items[0].id)
    return one, lambda: take_off_load(one, load=load, item=item, why="it leaks")


def _sign_load(cast: Cast) -> Sampled:
    by = sender(cast)
    load = by.load(by.unit(), by.unit())
    by.signed(load, "yard")
    one = by.order()
    return one, lambda: sign_load(one, load=load, party="carrier", inked="typed", name="Mere Example")


def _receive_load(cast: Cast) -> Sampled:
    by = sender(cast)
    load = by.load(by.unit(), by.unit())
    by.signed(load, "yard", "carrier")
    one, (first, second) = by.order(), now(load).items
    lines = [Arrived(item=UUID(first.id), arrival="yes"), Arrived(item=UUID(second.id), arrival="refused")]
    return one, lambda: receive_load(one, load=load, lines=lines)


def _enter_certificate(cast: Cast) -> Sampled:
    by = sender(cast)
    load = by.received(by.unit(), by.unit())
    one, lines = by.order(), [Line(written=item.code) for item in now(load).items]
    return one, lambda: enter_certificate(one, load=load, number="CD-1", issued_on=today(), lines=lines)


def _settle_arrival(cast: Cast) -> Sampled:
    by = sender(cast)
    load = by.received(by.unit(), by.unit(), arrivals=["refused", "refused"])
    one, lines = by.order(), [Settling(item=UUID(item.id), says="it is here") for item in now(load).items]
    return one, lambda: settle_arrival(one, load=load, lines=lines)


def _close_load(cast: Cast) -> Sampled:
    by = sender(cast)
    load = by.received(by.unit(), arrivals=["refused"])
    lines = [Settling(item=UUID(now(load).items[0].id), says="it is here")]
    settle_arrival(by.order(), load=load, lines=lines)
    one = by.order()
    return one, lambda: close_load(one, load=load)
