"""Firms, units and loads of these tests, each written down through its own act."""

from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.utils import timezone

from disposal.actions.certificates import enter_certificate
from disposal.actions.handing import receive_load, sign_load
from disposal.actions.loads import plan_load, put_on_load
from disposal.actions.partners import add_licence, add_partner
from disposal.core.loadin import Arrived, Line, PutOn
from disposal.core.loadnow import LoadNow, Party
from disposal.queries.loads import LOADS
from disposal.queries.partners import partner_now, partners
from hazmat.actions.units import log_unit
from hazmat.book import files
from hazmat.book.act import Order
from hazmat.conf.urls import in_one_yard
from hazmat.core.unitnow import UnitNow
from hazmat.queries.units import UNITS
from tests.cast import ZONE, Cast, look_in, order

DAY = date(2026, 3, 7)
AGO = timedelta(hours=1)
"""How long ago the acts of a sender begin."""
NOW = timedelta(0)
OPEN = {"since": date(2020, 1, 1), "until": None}


class Sender:
    """A yard with a carrier and a facility, both licensed; each act happens a second after the one before."""

    def __init__(self, yard: UUID, by: UUID, **licence: Any) -> None:
        self.yard, self.by = yard, by
        self.now = timezone.now() - AGO
        self.carrier = self.firm("Harbour Haulage", "carry", **licence)
        self.facility = self.firm("Furnace Point", "take_in", **licence)

    def order(self, **more: Any) -> Order:
        self.now += timedelta(seconds=1)
        return order(self.yard, self.by, **{"happened_at": self.now, **more})

    def firm(self, name: str, *whats: Any, **licence: Any) -> UUID:
        """A firm of this name with these licences; one that is there already stays as it is."""
        there = next((one for one in partners(self.yard) if one.name == name), None)
        if there:
            return UUID(there.id)
        firm: UUID = add_partner(self.order(), name=name, country="NZ").the("disposal.partner")
        for what in whats:
            add_licence(self.order(), partner=firm, what=what, number=f"{what}-1", **{**OPEN, **licence})
        return firm

    def unit(self, **more: Any) -> UUID:
        found: UUID = log_unit(self.order(), look=look_in(**more), place="NZ").the("hazmat.unit")
        return found

    def load(self, *units: UUID, **plan: Any) -> UUID:
        """A load with these units on it."""
        planned = {"carrier": self.carrier, "facility": self.facility, **plan}
        load: UUID = plan_load(self.order(), **planned).the("disposal.load")
        if units:
            items = [PutOn(thing="unit", of=one, kg="250") for one in units]
            put_on_load(self.order(), load=load, items=items)
        return load

    def signed(self, load: UUID, *parties: Party, **more: Any) -> None:
        for party in parties:
            sign_load(self.order(**more), load=load, party=party, inked="typed", name="Mere Example")

    def arrived(self, load: UUID, *arrivals: Any) -> None:
        items = LOADS.kept(load)
        assert items is not None
        lines = [Arrived(item=UUID(one.id), arrival=a) for one, a in zip(items.aboard, arrivals, strict=True)]
        receive_load(self.order(), load=load, lines=lines)

    def received(self, *units: UUID, arrivals: Any = None) -> UUID:
        """A load with these units that was signed for by all and taken in."""
        load = self.load(*units)
        self.signed(load, "yard", "carrier", "facility")
        self.arrived(load, *(arrivals or ["yes"] * len(units)))
        return load


def furnish(cast: Cast) -> None:
    """Give a cast a firm, and a load of two units of which one is proven and one is missing, with all its papers."""
    assert cast.yard_id is not None
    sender = Sender(cast.yard_id, cast.people["boss"].pk)
    load = sender.load(sender.unit(), sender.unit())
    picture = files.keep(b"a picture of a signature")
    drawn = sign_load(sender.order(), load=load, party="yard", inked="drawn", name="Mere Example", file=picture)
    sender.signed(load, "carrier")
    sender.arrived(load, "yes", "missing")
    item = now(load).items[0]
    copy = {"file": files.keep(b"%PDF-1.7 of no page, a certificate"), "file_kind": "pdf"}
    lines = [Line(written=item.code)]
    paper = enter_certificate(sender.order(), load=load, number="CD-1", issued_on=today(), lines=lines, **copy)
    firm = partner_now(cast.yard_id, sender.carrier)
    assert firm is not None
    cast.words |= {
        "load": now(load).number, "item": item.id, "party": "yard", "signature": drawn.the("disposal.signature"),
        "certificate": paper.the("disposal.certificate"), "partner": sender.carrier, "licence": firm.licences[0].id,
    }  # fmt: skip
    cast.entries_before = cast.entries()


def furnished(cast: Cast, address: str | None) -> Cast:
    """The cast, with a load where this address needs one."""
    pattern = next((one.pattern for one in in_one_yard if one.name == address), None)
    if pattern and not set(pattern.converters) <= set(cast.words):
        furnish(cast)
    return cast


def now(load: UUID) -> LoadNow:
    found = LOADS.kept(load)
    assert found is not None
    return found


def unit_now(unit: UUID | str) -> UnitNow:
    found = UNITS.kept(UUID(str(unit)))
    assert found is not None
    return found


def today(ago: timedelta = AGO) -> date:
    """The day in the yard of these tests on which the acts of a sender begin; it is not always that of now."""
    return (datetime.now(ZoneInfo(ZONE)) - ago).date()


def certified(sender: Sender, load: UUID, *written: str, **more: Any) -> Any:
    """A certificate of today that holds these codes."""
    told = {"number": "CD-1", "issued_on": today(), "lines": [Line(written=one) for one in written], **more}
    return enter_certificate(sender.order(), load=load, **told)


def put(sender: Sender, load: UUID, unit: UUID, kg: str = "", **more: Any) -> Any:
    """Put one unit on a load."""
    return put_on_load(sender.order(**more), load=load, items=[PutOn(thing="unit", of=unit, kg=kg)])


def sign(sender: Sender, load: UUID, party: Any, **more: Any) -> Any:
    """Sign for a load with a typed name; `at`: when."""
    told = {"inked": "typed", "name": "Mere Example", **more}
    when = {"happened_at": told.pop("at")} if "at" in told else {}
    return sign_load(sender.order(**when), load=load, party=party, **told)
