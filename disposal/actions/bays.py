"""Bays: plain places in the yard, and what is put where."""

from uuid import UUID

from disposal.actions.times import refuse_away, refuse_before, refuse_future, the_drum
from disposal.models import Bay, Put
from disposal.queries.bays import bays
from hazmat.actions.units import current
from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.receipt import Receipt


@verb
def add_bay(order: Order, *, name: str, note: str = "", instead_of: UUID | None = None) -> Receipt:
    """Add a bay, or give one another name: `instead_of` is the record that it replaces.

    Raises Refused where another bay of the yard has that name, and where the bay was renamed in the meantime.
    """
    with book(order, "add_bay") as act:
        refuse_future(act)
        if not name.strip():
            raise Refused("Give the bay a name, such as the letters that stand over it.")
        others = [one for one in bays(order.yard) if one.record != instead_of]
        if instead_of and len(others) == len(bays(order.yard)):
            raise Refused("This bay was renamed in the meantime; read what it is called now and rename that.")
        if any(one.name.casefold() == name.casefold() for one in others):
            raise Refused(f"There is a bay “{name}” already; take another name.")
        act.write(Bay(name=name, note=note, replaces_id=instead_of))
    return act.receipt


@verb
def put_in_bay(order: Order, *, bay: UUID, drum: UUID | None = None, unit: UUID | None = None) -> Receipt:
    """Write down that a drum or a unit was put into a bay. Raises Refused where it is not here."""
    with book(order, "put_in_bay") as act:
        refuse_future(act)
        where = next((one for one in bays(order.yard) if one.bay == bay), None)
        if where is None:
            raise Refused("This yard has no such bay; choose one of the list.")
        refuse_before(order, where.since, f"bay {where.name} was added")
        if drum:
            refuse_away(order, the_drum(order.yard, drum))
        elif unit:
            now = current(order.yard, unit)
            refuse_before(order, now.logged_at, "the unit was logged")
            if now.stands in ("gone", "destroyed"):
                raise Refused("This unit is not here any more, so it stands in no bay.")
        else:
            raise Refused("Say which drum or unit it is.")
        act.write(Put(bay_id=bay, drum_id=drum, unit_id=unit))
    return act.receipt
