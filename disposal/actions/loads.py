"""Loads: planning one, changing the plan, and what goes on it or comes off."""

from collections.abc import Sequence
from decimal import Decimal
from uuid import UUID

from disposal.actions.partners import the_partner
from disposal.actions.times import refuse_before, refuse_future
from disposal.core.drumnow import DrumNow
from disposal.core.loadin import PutOn
from disposal.core.loadnow import ItemNow, LoadNow
from disposal.models import Item, Load
from disposal.queries.drums import DRUMS
from disposal.queries.loads import LOADS, elsewhere
from hazmat.book.act import Act, Order, Refused, book, verb
from hazmat.book.canonical import instant
from hazmat.book.receipt import Receipt
from hazmat.core.codes import spaced
from hazmat.core.unitnow import UnitNow
from hazmat.queries.units import UNITS

LEFT = {"gone": "has left the yard already", "destroyed": "is proven destroyed"}


@verb
def plan_load(order: Order, *, carrier: UUID, facility: UUID, official: str = "", note: str = "") -> Receipt:
    """Plan a load. `official`: the number of the paper that the law asks for, where it is known yet."""
    with book(order, "plan_load") as act:
        refuse_future(act)
        act.write(Load(number=str(act.seq), **_plan(order.yard, carrier, facility, official, note)))
    return act.receipt


@verb
def change_load(
    order: Order, *, load: UUID, based_on: str, carrier: UUID, facility: UUID, official: str = "", note: str = ""
) -> Receipt:
    """Change who carries it, where it goes, or its official number, before anybody signed.

    `based_on`: the last entry (`seq`) that the form showed. Raises Refused where the load changed since.
    """
    with book(order, "change_load") as act:
        now = current_load(order.yard, load)
        unsigned(now)
        if now.seq != based_on:
            raise Refused("Somebody changed this load in the meantime; read what stands there now and change that.")
        after(act, now.happened_at, "the last thing that was written down of this load")
        last = Load.objects.filter(yard=order.yard, replaced_by=None).get(number=now.number)
        plan = _plan(order.yard, carrier, facility, official, note)
        act.write(Load(of_id=load, number=now.number, replaces=last, **plan))
    return act.receipt


@verb
def number_load(order: Order, *, load: UUID, official: str) -> Receipt:
    """Write down the official number of a load, or mend it; the rest of its plan stays. Raises Refused once closed."""
    with book(order, "number_load") as act:
        now = current_load(order.yard, load)
        if now.closed_at:
            raise Refused("This load is closed; nothing was changed.")
        if not official.strip():
            raise Refused("Write the number as it stands on the paper.")
        if official.strip() == now.official:
            raise Refused("This number is on record already; nothing was changed.")
        after(act, now.happened_at, "the last thing that was written down of this load")
        last = Load.objects.filter(yard=order.yard, replaced_by=None).get(number=now.number)
        plan = {"carrier_id": last.carrier_id, "facility_id": last.facility_id, "note": last.note}
        act.write(Load(of_id=load, number=now.number, replaces=last, official=official.strip(), **plan))
    return act.receipt


def _plan(yard: UUID, carrier: UUID, facility: UUID, official: str, note: str) -> dict[str, object]:
    """The columns of a plan; the firms by the records that say what they are called now."""
    return {
        "carrier_id": UUID(the_partner(yard, carrier).record), "facility_id": UUID(the_partner(yard, facility).record),
        "official": official, "note": note,
    }  # fmt: skip


@verb
def put_on_load(order: Order, *, load: UUID, items: Sequence[PutOn]) -> Receipt:
    """Put drums and units on a load that nobody has signed yet.

    A unit on hold may go, as whatever it is presumed to be. Raises Refused for what is not here, is on another load,
    was never filled, or changed after that.
    """
    with book(order, "put_on_load") as act:
        now = current_load(order.yard, load)
        unsigned(now)
        after(act, now.planned_at, "the load was planned")
        if not items:
            raise Refused("Pick at least one drum or unit to put on this load.")
        if len({one.of for one in items}) < len(items):
            raise Refused("One of these stands here twice; leave one of the two lines out.")
        for one in items:
            code = _fit(act, one)
            if one.kg and Decimal(one.kg) <= 0:
                raise Refused(f"{spaced(code)} cannot weigh nothing; weigh it, or leave the box empty.")
            named = {"drum_id": one.of} if one.thing == "drum" else {"unit_id": one.of}
            act.write(Item(load_id=load, kg=one.kg, **named))
    return act.receipt


def _fit(act: Act, one: PutOn) -> str:
    """The code of what can go on a load now. Raises Refused."""
    yard = act.order.yard
    now: DrumNow | UnitNow | None = DRUMS.kept(one.of) if one.thing == "drum" else UNITS.kept(one.of)
    if now is None or now.yard != str(yard):
        raise Refused(f"This yard has no such {one.thing}; look at its code once more.")
    code = spaced(now.code if isinstance(now, DrumNow) else now.tag)
    has, since = elsewhere(one.thing, one.of)
    if has:
        load = the_load(has)
        if load.handed_over_at:
            raise Refused(f"{code} left with load {load.number}; only what is here goes on a load.")
        raise Refused(f"{code} is on load {load.number} already; take it off there first.")
    if since and act.order.happened_at < since:
        raise Refused(f"This lies before {code} came off its last load; look at both times and write when it was.")
    where = now.place if isinstance(now, DrumNow) else now.stands
    if where in LEFT:
        raise Refused(f"{code} {LEFT[where]}; only what is here goes on a load.")
    if isinstance(now, UnitNow):
        after(act, now.logged_at, f"{code} was logged")
        return now.tag
    if not now.sources:
        raise Refused(f"Nothing was ever poured into {code}; a drum that was never used goes on no load.")
    after(act, max(now.made_at, *(one.at for one in now.moves)), f"the last pour into or out of {code}")
    return now.code


@verb
def take_off_load(order: Order, *, load: UUID, item: UUID, why: str) -> Receipt:
    """Take an item off a load before the carrier has signed: by the yard, or because the driver refuses it.

    What the yard signed for is then the shorter list. Raises Refused without a reason.
    """
    with book(order, "take_off_load") as act:
        now = current_load(order.yard, load)
        if "carrier" in now.signed or now.closed_at:
            raise Refused(
                "The carrier has signed for this load, so nothing comes off it; what the facility refuses is written "
                "down with what arrived."
            )
        found = item_of(now, item)
        if found.off:
            raise Refused(f"{found.called} is off this load already; nothing was changed.")
        if not why.strip():
            raise Refused("Write why it comes off; the reason stays with the load.")
        first = Item.objects.select_related("entry").get(pk=item)
        after(act, instant(first.entry.happened_at), f"{found.called} was put on")
        act.write(Item(load_id=load, drum_id=first.drum_id, unit_id=first.unit_id, off=why.strip(), replaces_id=item))
    return act.receipt


def current_load(yard: UUID, load: UUID) -> LoadNow:
    """The load as it stands, under the lock of its yard. Raises Refused where the yard has no such load."""
    now = LOADS.kept(load)
    if now is None or now.yard != str(yard):
        raise Refused("This yard has no such load; open it from the list of loads.")
    return now


def the_load(load: UUID) -> LoadNow:
    """A load that some record of the yard names. Raises LookupError."""
    found = LOADS.kept(load)
    if found is None:
        raise LookupError(f"no load {load}")
    return found


def item_of(load: LoadNow, item: UUID) -> ItemNow:
    """The item of this id. Raises Refused where the load has none."""
    found = next((one for one in load.items if one.id == str(item)), None)
    if found is None:
        raise Refused("This load has no such item; open it again from the page of the load.")
    return found


def unsigned(load: LoadNow) -> None:
    """Refuse where somebody has signed, or the load is closed."""
    if load.closed_at:
        raise Refused("This load is closed; plan another one.")
    if load.signed:
        raise Refused(
            "The yard has signed this list, so nothing goes on it and nothing of the plan changes; plan another load."
        )


def after(act: Act, moment: str, what: str) -> None:
    """Refuse what has not happened yet, and what would lie before a moment (ISO, UTC). `what`: what happened then."""
    refuse_future(act)
    refuse_before(act.order, moment, what)
