"""Screens in the yard: written down and the unit judged by them, in one act. An above counts at once."""

from collections.abc import Sequence
from uuid import UUID

from hazmat.actions.amending import amended
from hazmat.actions.bottles import no_such_space, spaces
from hazmat.actions.units import Kept, current, law_day, write_assessment, write_pictures
from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.canonical import instant
from hazmat.book.receipt import Receipt
from hazmat.core.extended import put_off
from hazmat.core.facts import TANK
from hazmat.core.screened import ABOVE, BELOW, UNCLEAR, ScreenIn
from hazmat.core.unitnow import UnitNow, with_tests
from hazmat.models import Screen, SecondReading


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
            apart=told.apart or None, replaces_id=replaces,
        )  # fmt: skip
        act.write(record)
        write_pictures(act, unit, pictures)
        others = [one.test for one in now.counting_screens if one is not old]
        line = with_tests(put_off(now.line, now.extensions), [*others, test])
        write_assessment(act, unit, now.tag, line, place, [one.test for one in now.counting], now)
    return act.receipt


@verb
def read_screen(order: Order, *, screen: UUID, colour: str, place: str, pictured: bool = False) -> Receipt:
    """Write down what a second person saw, and judge the unit by both. `pictured`: on a photograph of the tube.

    Raises Refused for whoever read it first, for a screen that waits for nobody, and for no colour.
    """
    with book(order, "read_screen") as act:
        found = Screen.objects.select_related("entry").filter(pk=screen, yard=order.yard).first()
        if found is None:
            raise Refused("This yard has no such screen; open it from the page of its unit.")
        now = current(order.yard, found.unit_id)
        one = next(kept for kept in now.screens if kept.id == str(screen))
        if not one.waits:
            raise Refused("This screen waits for nobody: it was read a second time, or corrected.")
        if (space := str(one.test.get("space", TANK))) in now.spaces_off:
            raise Refused(no_such_space(now, space))
        if found.entry.by_id == order.by:
            raise Refused("You read this screen first; the second person has to be somebody else.")
        if colour not in (ABOVE, BELOW, UNCLEAR):
            raise Refused("Pick the colour that you see; where it is none of them, pick the last one.")
        at = instant(order.happened_at)
        if at < one.at:
            raise Refused("This lies before the screen was made; write when you read it.")
        act.write(SecondReading(unit_id=found.unit_id, screen=found, colour=colour, pictured=pictured or None))
        others = [kept.read_again(colour, at) if kept is one else kept for kept in now.counting_screens]
        line = with_tests(put_off(now.line, now.extensions), [kept.test for kept in others])
        write_assessment(act, found.unit_id, now.tag, line, place, [result.test for result in now.counting], now)
    return act.receipt


def refuse_sample(now: UnitNow, space: str, bottle: str) -> None:
    """Raise Refused for a space that is not on record, or a bottle of another unit or space, or one never filled."""
    if space not in spaces(now):
        raise Refused(no_such_space(now, space))
    of = {one.code: now.oil_spaces[one.space] for one in now.bottles if one.filled_at}
    if bottle and bottle not in of:
        raise Refused("This bottle is not of this unit, or nobody wrote down that it was filled; look at its label.")
    if bottle and of[bottle] != space:
        raise Refused(f"This bottle is of “{of[bottle]}” and not of “{space}”; look at its label and pick that space.")
