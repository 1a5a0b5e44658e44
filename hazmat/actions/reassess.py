"""Units judged again under the law as it is held now. What was answered and decided before stays as it was written."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any
from uuid import UUID

from hazmat.actions.units import current, law_day, write_assessment
from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.receipt import Receipt
from hazmat.core.unitnow import UnitNow
from hazmat.edge.one import answer_data, judged

APART = ("on",)
"""What of an answer may differ though nothing does: the day on which it was asked."""


def again(now: UnitNow, place: str, on: date) -> dict[str, Any]:
    """The answer for a unit of the book as at this day, under the law as it is held. Raises Slip."""
    return answer_data(judged(now.judged_line, now.tag, place, on, on))


def answers_otherwise(before: Mapping[str, Any], after: Mapping[str, Any]) -> bool:
    """Whether anything of an answer differs but the day on which it was asked."""
    return {key: value for key, value in before.items() if key not in APART} != {
        key: value for key, value in after.items() if key not in APART
    }


@verb
def reassess_units(order: Order, *, units: Sequence[UUID], place: str) -> Receipt:
    """Write a new answer for each of these units that the law answers otherwise as at the day of the order.

    Raises Refused where none of them is answered otherwise, or one is none of this yard.
    """
    with book(order, "reassess_units") as act:
        on = law_day(order)
        for unit in units:
            now = current(order.yard, unit)
            if answers_otherwise(now.answer, again(now, place, on)):
                write_assessment(act, unit, now.tag, now.screened_line, place, [one.test for one in now.counting], now)
        if not act.records:
            raise Refused("None of these units is answered otherwise than before; nothing was written.")
    return act.receipt
