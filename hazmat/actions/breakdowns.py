"""Breakdown tests of oil: every shot written down. They say nothing about PCB, so nothing is judged by them."""

from collections.abc import Sequence
from uuid import UUID

from hazmat.actions.screens import corrected, refuse_sample
from hazmat.actions.units import Kept, current, write_pictures
from hazmat.book.act import Order, book, verb
from hazmat.book.receipt import Receipt
from hazmat.core.shots import ShotsIn
from hazmat.models import Breakdown


@verb
def record_breakdown(
    order: Order, *, unit: UUID, told: ShotsIn, note: str = "", pictures: Sequence[Kept] = (),
    replaces: UUID | None = None, why: str = "",
) -> Receipt:  # fmt: skip
    """Write down a breakdown test. `replaces`: the one that it corrects, with the reason `why`. Raises Refused."""
    with book(order, "record_breakdown") as act:
        now = current(order.yard, unit)
        refuse_sample(now, told.space, told.bottle)
        corrected(now.breakdowns, replaces, why)
        record = Breakdown(unit_id=unit, told=told.image(), note=note, why=why.strip(), replaces_id=replaces)
        act.write(record)
        write_pictures(act, unit, pictures)
    return act.receipt
