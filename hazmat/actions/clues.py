"""Clues to the size and year of a unit without a plate, written down. They decide no class."""

from uuid import UUID

from hazmat.actions.units import current, law_day
from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.receipt import Receipt
from hazmat.core.clues import CluesIn
from hazmat.edge.likely import likely
from hazmat.edge.shapes import Slip
from hazmat.models import Clues


@verb
def record_clues(order: Order, *, unit: UUID, told: CluesIn, note: str = "") -> Receipt:
    """Write down clues; those written down last count. Raises Refused where they come to nothing."""
    with book(order, "record_clues") as act:
        now = current(order.yard, unit)
        try:
            likely(told.asked, told.sources, now.line.get("fluid"), law_day(order))
        except Slip as slip:
            raise Refused(f"{slip.path}: {slip.says}") from None
        act.write(Clues(unit_id=unit, told=told.image(), note=note))
    return act.receipt
