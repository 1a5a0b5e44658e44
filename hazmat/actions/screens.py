"""Screens in the yard: written down and the unit judged by them, in one act. An above counts at once."""

from collections.abc import Sequence
from uuid import UUID

from hazmat.actions.amending import amended
from hazmat.actions.bottles import spaces
from hazmat.actions.units import Kept, current, law_day, write_assessment, write_pictures
from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.receipt import Receipt
from hazmat.core.amended import counting
from hazmat.core.screened import ScreenIn
from hazmat.core.unitnow import UnitNow, with_tests
from hazmat.models import Screen


@verb
def record_screen(
    order: Order, *, unit: UUID, told: ScreenIn, place: str, pictures: Sequence[Kept] = (),
    replaces: UUID | None = None, why: str = "",
) -> Receipt:  # fmt: skip
    """Write down a screen and judge the unit by it. `replaces`: the one that it corrects, with the reason `why`.

    Raises Refused for a space or bottle that is not of this unit, one that is corrected already, or no reason.
    """
    with book(order, "record_screen") as act:
        now = current(order.yard, unit)
        refuse_sample(now, told.space, told.bottle)
        old = amended(now.screens, replaces, why, "screen")
        test = told.test(law_day(order).isoformat())
        record = Screen(
            unit_id=unit, test=test, colours=list(told.colours), lot=told.lot, note=told.note, why=why.strip(),
            replaces_id=replaces,
        )  # fmt: skip
        act.write(record)
        write_pictures(act, unit, pictures)
        others = [one.test for one in counting(now.screens) if one is not old]
        line = with_tests(now.line, [*others, test])
        write_assessment(act, unit, now.tag, line, place, [one.test for one in now.counting], now)
    return act.receipt


def refuse_sample(now: UnitNow, space: str, bottle: str) -> None:
    """Raise Refused for a space that is not on record, or a bottle of another unit or space, or one never filled."""
    if space not in spaces(now):
        raise Refused(f"This unit has no oil space “{space}” on record; correct the unit first.")
    of = {one.code: now.oil_spaces[one.space] for one in now.bottles if one.filled_at}
    if bottle and bottle not in of:
        raise Refused("This bottle is not of this unit, or nobody wrote down that it was filled; look at its label.")
    if bottle and of[bottle] != space:
        raise Refused(f"This bottle is of “{of[bottle]}” and not of “{space}”; look at its label and pick that space.")
