"""A walk round a unit for what is dangerous besides its oil, written down. It decides no class and lifts no hold."""

from decimal import Decimal, InvalidOperation
from uuid import UUID

from hazmat.actions.units import current
from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.canonical import instant
from hazmat.book.receipt import Receipt
from hazmat.core.walked import Walk
from hazmat.models import SideHazards


@verb
def walk_hazards(order: Order, *, unit: UUID, walk: Walk) -> Receipt:
    """Write down a walk; the one written down last counts.

    Raises Refused where it lies before the unit was logged, and for a result of paint that is no number of 0 or more.
    """
    with book(order, "walk_hazards") as act:
        now = current(order.yard, unit)
        if instant(order.happened_at) < now.logged_at:
            raise Refused("This lies before the unit was logged; write when you walked round it.")
        if walk.lead and not _number(walk.lead):
            raise Refused(f"“{walk.lead}” is no amount of lead; write the number of the test, or leave it empty.")
        act.write(SideHazards(unit_id=unit, told=walk.image(), note=walk.note))
    return act.receipt


def _number(text: str) -> bool:
    try:
        value = Decimal(text)
    except InvalidOperation:
        return False
    return value.is_finite() and value >= 0
