"""Extensions of use: what an authority's letter allows is written down, and the unit judged by it, in one act."""

from uuid import UUID

from hazmat.actions.amending import amended
from hazmat.actions.units import current, law_day, write_assessment
from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.receipt import Receipt
from hazmat.core.extended import ExtensionIn, ExtensionNow, put_off
from hazmat.core.measures import day_words
from hazmat.core.unitnow import with_tests
from hazmat.models import Extension


@verb
def extend_use(
    order: Order, *, unit: UUID, told: ExtensionIn, place: str, replaces: UUID | None = None, why: str = ""
) -> Receipt:
    """Write down an extension and judge the unit by it. `replaces`: the one that it corrects.

    Raises Refused for one that was given on a day to come or ends before it was given, and for a correction without a
    reason.
    """
    with book(order, "extend_use") as act:
        now = current(order.yard, unit)
        today = law_day(order, act)
        if told.given_on > today:
            raise Refused(f"It cannot have been given after today, {day_words(today)}; read the day off the letter.")
        if told.until < told.given_on:
            raise Refused("It would end before it was given; read both days off the letter.")
        old = amended(now.extensions, replaces, why, "extension")
        made = act.write(
            Extension(
                unit_id=unit, until=told.until, given_on=told.given_on, by=told.by, number=told.number, note=told.note,
                why=why.strip(), replaces_id=replaces,
            )
        )  # fmt: skip
        others = [one for one in now.extensions if one is not old]
        one = ExtensionNow(
            id=str(made.id), until=told.until.isoformat(), given_on=told.given_on.isoformat(), by=told.by, at=""
        )
        line = with_tests(put_off(now.line, [*others, one]), now.screened)
        write_assessment(act, unit, now.tag, line, place, [result.test for result in now.counting], now)
    return act.receipt
