"""Holding what the oil of a unit reached: one act that signs a hold on each unit that nothing holds yet."""

from collections.abc import Iterable
from uuid import UUID

from disposal.queries.touched import to_hold
from hazmat.actions.units import current
from hazmat.actions.verdicts import CHANGED, reading, refuse_unsigned, verdict_on
from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.receipt import Receipt
from hazmat.core.unitnow import UnitNow


def readings(units: Iterable[UnitNow]) -> str:
    """What somebody who holds these has read of each: it goes out with a form and comes back."""
    return ";".join(f"{one.unit} {reading(one)}" for one in units)


@verb
def hold_reached(order: Order, *, unit: UUID, reason: str, read: str) -> Receipt:
    """Sign a hold on each unit on site that the oil of this one reached and that nothing holds; `read`: their readings.

    Raises Refused without a reason, where nothing is left to hold, and where something was written since it was read.
    """
    with book(order, "hold_reached") as act:
        current(order.yard, unit)
        units = to_hold(unit)
        if not units:
            raise Refused("Nothing is left to hold: each unit that its oil reached is held already, or has left.")
        if read != readings(units):
            raise Refused(CHANGED)
        for one in units:
            refuse_unsigned(order, one, reason)
            act.write(verdict_on(order, one, "hold", reason))
    return act.receipt
