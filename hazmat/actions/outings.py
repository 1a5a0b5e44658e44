"""Going out alone, with a moment to be back by, and coming back."""

from datetime import datetime
from uuid import UUID

from hazmat.actions.training import local_day
from hazmat.actions.units import current
from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.receipt import Receipt
from hazmat.core.outing import due_refusal
from hazmat.models import Back, Outing
from hazmat.queries.outings import open_outings
from hazmat.queries.training import house_on
from hazmat.queries.yards import roles_of
from hazmat.roles import OFFICE


@verb
def go_out(
    order: Order, *, due_back: datetime, where: str, phone: str = "", whom: str = "", unit: UUID | None = None,
    meant: bool = False,
) -> Receipt:  # fmt: skip
    """Whoever asks goes out alone, or puts off when to be back. `due_back`: an instant with its zone.

    `where`: in words; `phone`: by which this person is reached; `whom`: who is rung if not; `meant`: more than a day
    is meant. Raises Refused for a moment that has passed, for a long time that nobody says is meant, and for no place.
    """
    with book(order, "go_out") as act:
        if says := due_refusal(order.happened_at, due_back, meant, house_on(local_day(order))):
            raise Refused(says)
        if not where.strip():
            raise Refused("Write where you are going, so that somebody can find you.")
        if unit is not None:
            current(order.yard, unit)
        last = next(iter(open_outings(order.yard, person=order.by)), None)
        record = Outing(
            person_id=order.by, unit_id=unit, due_back=due_back, replaces_id=UUID(last.id) if last else None
        )
        act.write(record, aside={"where": where.strip(), "phone": phone.strip(), "whom": whom.strip()})
    return act.receipt


@verb
def come_back(order: Order, *, outing: UUID) -> Receipt:
    """Somebody is back. The safety officer and the manager write it down for others too, once they spoke to them.

    Raises Refused for somebody who is back already, for another person's outing, and for a moment before it began.
    """
    with book(order, "come_back") as act:
        found = next(iter(open_outings(order.yard, pk=outing)), None)
        if found is None:
            raise Refused("This person is back already, or put it off meanwhile; look at the list once more.")
        if found.person != str(order.by) and OFFICE.isdisjoint(roles_of(order.yard, order.by)):
            raise Refused("Only that person, the safety officer or the yard manager writes this down.")
        if order.happened_at < found.left_at:
            raise Refused("This lies before that person went out; look at the clock of this device.")
        act.write(Back(outing_id=outing))
    return act.receipt
