"""Condition tests of oil: each figure of one slip written down. They say nothing about PCB, so nothing is judged."""

from collections.abc import Sequence
from uuid import UUID

from hazmat.actions.amending import amended
from hazmat.actions.breakdowns import refuse_unread
from hazmat.actions.screens import refuse_sample
from hazmat.actions.units import Kept, current, law_day, write_pictures
from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.receipt import Receipt
from hazmat.core.condition import ConditionIn
from hazmat.models import Condition


@verb
def record_condition(
    order: Order, *, unit: UUID, told: ConditionIn, note: str = "", pictures: Sequence[Kept] = (),
    replaces: UUID | None = None, why: str = "",
) -> Receipt:  # fmt: skip
    """Write down a condition test. `replaces`: the one that it corrects, with the reason `why`.

    Raises Refused where nothing can be worked out from it, or a method is named for a figure that is not there.
    """
    with book(order, "record_condition") as act:
        now = current(order.yard, unit)
        refuse_sample(now, told.space, told.bottle)
        refuse_unread("oil_tested", told.asked, law_day(order))
        if told.stray:
            raise Refused(f"A method is named and no figure: {', '.join(told.stray)}; write the figure, or no method.")
        amended(now.conditions, replaces, why, "test")
        record = Condition(unit_id=unit, told=told.image(), note=note, why=why.strip(), replaces_id=replaces)
        act.write(record)
        write_pictures(act, unit, pictures)
    return act.receipt
