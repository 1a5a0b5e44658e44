"""Breakdown tests of oil: every shot written down. They say nothing about PCB, so nothing is judged by them."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any
from uuid import UUID

from hazmat.actions.amending import amended
from hazmat.actions.bottles import space_of
from hazmat.actions.screens import refuse_sample
from hazmat.actions.tools import refuse_gear, write_touches
from hazmat.actions.units import Kept, current, law_day, write_pictures
from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.receipt import Receipt
from hazmat.core.shots import ShotsIn
from hazmat.edge.shapes import Slip
from hazmat.edge.sums import work
from hazmat.models import Breakdown
from hazmat.rulebooks.sumbook import sums


@verb
def record_breakdown(
    order: Order, *, unit: UUID, told: ShotsIn, note: str = "", pictures: Sequence[Kept] = (),
    replaces: UUID | None = None, why: str = "", cell: UUID | None = None,
) -> Receipt:  # fmt: skip
    """Write down a breakdown test. `replaces`: the one that it corrects, with the reason `why`.

    `cell`: the test cell, where it has a code. Raises Refused where nothing can be worked out from the shots, so that
    its page can always be read, and for a cell that cannot have been used.
    """
    with book(order, "record_breakdown") as act:
        now = current(order.yard, unit)
        refuse_sample(now, told.space, told.bottle)
        refuse_unread("breakdown", told.asked, law_day(order))
        amended(now.breakdowns, replaces, why, "test")
        gear = [cell] if cell else []
        if gear and told.cell:
            raise Refused("A cell with a code says itself what it is kept for; leave the other answer at “Not said”.")
        refuse_gear(order, gear, cell=True, instead=replaces)
        record = Breakdown(unit_id=unit, told=told.image(), note=note, why=why.strip(), replaces_id=replaces)
        act.write(record)
        if gear:
            write_touches(act, gear, space_of(act, unit, told.space), record)
        write_pictures(act, unit, pictures)
    return act.receipt


def refuse_unread(name: str, asked: Mapping[str, Any], on: date) -> None:
    """Raise Refused for a test that the sum of this name cannot be worked out from."""
    try:
        work(sums()[name], asked, on)
    except Slip as slip:
        raise Refused(f"{slip.path}: {slip.says}") from None
