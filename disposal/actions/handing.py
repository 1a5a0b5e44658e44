"""Handing over: who signs for a load, in which order, and what the facility says arrived."""

from collections.abc import Sequence
from typing import Any, get_args
from uuid import UUID

from disposal.actions.loads import after, current_load, item_of
from disposal.actions.partners import the_partner
from disposal.core.loadin import Arrived, Settling
from disposal.core.loadnow import PARTIES, SIGNING, Arrival, Inked, ItemNow, LoadNow, Party
from disposal.core.odd import unsettled
from disposal.core.partnernow import What
from disposal.models import Extra, Move, Received, Settled, Signature
from disposal.queries.afresh import placed
from disposal.queries.flows import moves_of
from disposal.queries.loads import said_last
from hazmat.actions.units import law_day
from hazmat.book.act import Act, Order, Refused, book, verb
from hazmat.book.canonical import instant
from hazmat.book.receipt import Receipt
from hazmat.core.codes import spaced
from hazmat.core.measures import day_words
from hazmat.models import Fate
from hazmat.queries.units import UNITS

INKED: tuple[Inked, ...] = get_args(Inked)
ARRIVALS: tuple[Arrival, ...] = get_args(Arrival)
RUNNING = ("dripping", "pool")
"""Leaks that let no unit on the road; one that sweats is wrapped. Source: house rule of care."""
LICENCE: dict[What, str] = {"carry": "to carry", "take_in": "to take in"}


@verb
def sign_load(
    order: Order, *, load: UUID, party: Party, inked: Inked, name: str, file: str = "", vehicle: str = ""
) -> Receipt:
    """Somebody signs for a load: the yard, then the carrier, then the facility.

    `file`: SHA-256 of the kept picture of the signed sheet or of what was drawn; `name`, `vehicle` stand in the aside.
    When the carrier signs, the units on the load are gone. Raises Refused out of order, for an empty load, and where a
    licence is not in force on the day of the hand-over.
    """
    with book(order, "sign_load") as act:
        now = current_load(order.yard, load)
        _refuse_unsigned(now, party, inked, name, file)
        for one in now.signatures:
            after(act, one.at, f"{PARTIES[one.party]} signed")
        if party != "facility":
            after(act, now.happened_at, "the last thing that was written down of this load")
            _refuse_before_pours(act, now)
        if party == "carrier":
            _refuse_unlicensed(act, now)
            _refuse_leaking(now)
        record = Signature(load_id=load, party=party, inked=inked, file=file)
        act.write(record, aside={"name": name.strip(), "vehicle": vehicle})
        if file:
            act.name_file(file, f"signature-{party}.jpg")
        if party == "carrier":
            for item in now.aboard:
                write_fate(act, item, "gone", now, firm=now.carrier_name)
    return act.receipt


def _refuse_unsigned(now: LoadNow, party: Party, inked: Inked, name: str, file: str) -> None:
    """Refuse a signature out of order, of an empty load, or without what its kind asks for."""
    if party not in SIGNING or inked not in INKED:
        raise Refused("Pick who signs, and how; open this form again from the page of the load.")
    if party in now.signed:
        raise Refused(f"{PARTIES[party].capitalize()} has signed for this load already; nothing was changed.")
    if now.closed_at and party != "facility":
        raise Refused("This load is closed; plan another one.")
    first = next(one for one in SIGNING if one not in now.signed)
    if party != first:
        raise Refused(f"Before {PARTIES[party]} signs, {PARTIES[first]} has to; take the signatures in this order.")
    if not now.aboard:
        raise Refused("Nothing is on this load; put on what goes before anybody signs.")
    if not name.strip():
        raise Refused("Write the name of whoever signs.")
    if inked == "ink" and not file:
        raise Refused("Photograph the signed sheet and add the picture, or take a drawn or a typed name instead.")
    if inked == "drawn" and not file:
        raise Refused("Nothing was drawn; draw the name in the box, or take a typed name instead.")


def _refuse_before_pours(act: Act, now: LoadNow) -> None:
    """Refuse a signature that would lie before oil last came into or out of what it signs for."""
    drums = moves_of([UUID(one.of) for one in now.aboard if one.thing == "drum"], None, None)
    units = placed(Move, None, None, unit__in=[UUID(one.of) for one in now.aboard if one.thing == "unit"])
    last = max((moment.happened_at for _, moment in (*drums, *units)), default=None)
    if last:
        after(act, instant(last), "the last pour into or out of what is on this load")


def _refuse_leaking(now: LoadNow) -> None:
    """Refuse to send a unit on the road of which the record says that it drips, or stands in a pool."""
    for item in now.aboard:
        unit = UNITS.kept(UUID(item.of)) if item.thing == "unit" else None
        if unit and unit.leak in RUNNING:
            raise Refused(
                f"{spaced(unit.tag)} leaks ({unit.leak}), and a leaking unit never goes on the road: take it off the "
                "load, or contain the leak and correct its record, then sign."
            )


def _refuse_unlicensed(act: Act, now: LoadNow) -> None:
    """Refuse where the carrier may not carry, or the facility not take in, on the day of the hand-over."""
    on = law_day(act.order)
    asked: tuple[tuple[str, What], ...] = ((now.carrier, "carry"), (now.facility, "take_in"))
    for firm, what in asked:
        partner = the_partner(act.order.yard, UUID(firm))
        if not partner.may(what, on):
            raise Refused(
                f"{partner.name} has no licence {LICENCE[what]} on record that is in force on {day_words(on)}; see its "
                "papers and write the licence down under Partners, or do not hand over."
            )


@verb
def receive_load(order: Order, *, load: UUID, lines: Sequence[Arrived], extra: str = "") -> Receipt:
    """Write down what the facility took in, refused or never got: all items at once, and later what was missing.

    `extra`: what it got that stands on no list, said once with the first receipt. A refused unit is back here, and
    whatever is refused is free for another load. Raises Refused before the carrier signed, and where an
    item is left out.
    """
    with book(order, "receive_load") as act:
        now = current_load(order.yard, load)
        if "carrier" not in now.signed:
            raise Refused("The carrier has not signed for this load yet, so nothing of it can have arrived.")
        if now.closed_at:
            raise Refused("This load is closed; nothing was changed.")
        after(act, now.handed_over_at, "the carrier signed")
        before = said_last(load)
        if before:
            after(act, max(moment for _, moment in before.values()), "the facility said so the first time")
        _refuse_incomplete(now, lines)
        for one in lines:
            item = item_of(now, one.item)
            first = before.get(one.item)
            named = {f"{item.thing}_id": UUID(item.of)}
            act.write(
                Received(
                    load_id=load, item_id=one.item, arrival=one.arrival, kg=one.kg, note=one.note,
                    replaces_id=first[0] if first else None, **named,
                )
            )  # fmt: skip
            if one.arrival == "refused":
                write_fate(act, item, "back", now, firm=now.facility_name)
        if extra.strip() and not now.received_at:
            act.write(Extra(load_id=load, says=extra.strip()))
    return act.receipt


@verb
def settle_arrival(order: Order, *, load: UUID, lines: Sequence[Settling]) -> Receipt:
    """Write down how it was settled that something arrived otherwise than it was sent.

    Raises Refused for what did not, for what is missing or settled already, and without words.
    """
    with book(order, "settle_arrival") as act:
        now = current_load(order.yard, load)
        if now.closed_at:
            raise Refused("This load is closed; nothing was changed.")
        if not now.received_at:
            raise Refused("Write down first what the facility took in; what differs is settled after that.")
        after(act, now.received_at, "the facility took it in")
        open_now = {one.item for one in unsettled(now) if not one.lost}
        named = [str(one.item or "") for one in lines]
        if not named or len(set(named)) < len(named):
            raise Refused("Say of at least one difference how it was settled, and of each only once.")
        for one in lines:
            if str(one.item or "") not in open_now:
                raise Refused("This did not arrive otherwise than it was sent, is missing, or is settled already.")
            if not one.says.strip():
                raise Refused("Write how it was settled; the words stay with the load.")
            act.write(Settled(load_id=load, item_id=one.item, says=one.says.strip()))
    return act.receipt


def waiting(now: LoadNow) -> tuple[ItemNow, ...]:
    """The items of which the facility has yet to say something: all that went, and later what is missing."""
    if now.received_at:
        return now.lost
    return now.aboard if "carrier" in now.signed else ()


def _refuse_incomplete(now: LoadNow, lines: Sequence[Arrived]) -> None:
    """Refuse a receipt that leaves an item out, names a foreign one, or says something that cannot be."""
    wanted = {one.id: one for one in waiting(now)}
    if not wanted:
        raise Refused("What arrived of this load is written down already, and nothing is missing.")
    for one in lines:
        code = item_of(now, one.item).called
        if one.arrival not in ARRIVALS:
            raise Refused(f"Say of {code} whether it arrived, was refused or is missing.")
        if str(one.item) not in wanted:
            raise Refused(f"What became of {code} is written down already; leave it out.")
        if one.arrival == "missing" and one.kg:
            raise Refused(f"{code} is missing, so nobody weighed it; take the kg out, or say that it arrived.")
        if now.received_at and one.arrival == "missing":
            raise Refused(f"{code} is missing already; leave it out until somebody knows where it is.")
    named = [str(one.item) for one in lines]
    if len(set(named)) < len(named):
        raise Refused("One item stands here twice; leave one of the two lines out.")
    left = [one.called for id, one in wanted.items() if id not in named]
    if left and not now.received_at:
        raise Refused(f"Say of each item what became of it; left out: {', '.join(left)}.")
    if not named:
        raise Refused("Say what became of at least one item that is missing.")


def write_fate(act: Act, item: ItemNow, what: str, now: LoadNow, **more: Any) -> None:
    """What became of a unit among the items; a drum has no page of its own in the book of units."""
    if item.thing == "unit":
        act.write(Fate(unit_id=UUID(item.of), what=what, load=now.number, **more))
