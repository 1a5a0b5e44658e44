"""Oil spaces of a unit: one more that somebody found, and one that is taken off and gets a tag of its own."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from hazmat.actions.bottles import no_such_space, spaces
from hazmat.actions.codes import fresh_code, printed_tag
from hazmat.actions.units import current, write_assessment, write_look, write_spaces
from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.aside import words_of
from hazmat.book.canonical import instant
from hazmat.book.receipt import Receipt
from hazmat.core.extended import put_off
from hazmat.core.facts import TANK
from hazmat.core.lookin import LookIn
from hazmat.core.removing import part_line, part_sources, rest_line
from hazmat.core.unitnow import UnitNow, with_tests
from hazmat.models import PartOff, Unit

NOT_DEAD = "prove_dead"
"""The act that is asked for as long as a unit can be live."""


@verb
def add_space(order: Order, *, unit: UUID, based_on: UUID, space: Mapping[str, Any], place: str) -> Receipt:
    """Write down one more oil space, and judge the unit again. `space`: name, kind, built, sealed, as a line has it.

    Raises Refused where it is on record already, or somebody corrected the unit in the meantime.
    """
    with book(order, "add_space") as act:
        now = current(order.yard, unit)
        if now.look != str(based_on):
            raise Refused("Somebody corrected this unit in the meantime; read what stands there now and add it then.")
        name = str(space["name"])
        if name in (*spaces(now), *now.spaces_off):
            raise Refused(f"An oil space “{name}” is on record already; give this one another name.")
        look = _same_look(now, {**now.line, "spaces": [*(now.line.get("spaces") or ()), dict(space)]})
        write_look(act, unit, look, based_on)
        write_spaces(act, unit, (name,))
        results = [one.test for one in now.counting]
        write_assessment(act, unit, now.tag, now.with_rest(look.line), place, results, now)
    return act.receipt


@verb
def remove_part(order: Order, *, unit: UUID, space: str, place: str, tag: str = "") -> Receipt:
    """Take an oil space off a unit: it is a unit of its own from then on, and on hold. `tag`: of a printed tag, if any.

    What was tried on its oil goes with it, and the unit is judged again without it. Raises Refused where nobody proved
    the unit dead, for the tank, for a lot, and for a space that is not on it.
    """
    with book(order, "remove_part") as act:
        now = current(order.yard, unit)
        _refuse_removal(now, space, instant(order.happened_at))
        code = printed_tag(order.yard, tag) if tag else fresh_code(order.yard, act.seq, "unit")
        tests = [*(now.line.get("tests") or ()), *now.screened, *(one.test for one in now.counting)]
        line = part_line(put_off(now.line, now.extensions), space, tests)
        part = act.write(Unit(tag=code, arrival=now.arrival, parent_id=unit, was=space))
        write_spaces(act, part.id, (TANK,))
        seen = LookIn(
            arrival=now.arrival, line=line, sources=part_sources(now.line, line, now.sources), leak="unknown",
            note=f"Taken off {now.tag}, where it was the oil space “{space}”.",
        )  # fmt: skip
        write_look(act, part.id, seen, None)
        write_assessment(act, part.id, code, line, place)
        act.write(PartOff(unit_id=unit, space=space, part=part, tag=code))
        rest = _same_look(now, rest_line(now.line, space))
        write_look(act, unit, rest, UUID(now.look))
        stays = [one for one in now.screened if one.get("space", TANK) != space]
        results = [one.test for one in now.counting if one.test.get("space", TANK) != space]
        write_assessment(act, unit, now.tag, with_tests(put_off(rest.line, now.extensions), stays), place, results, now)
    return act.receipt


def _refuse_removal(now: UnitNow, space: str, at: str) -> None:
    if space == TANK:
        raise Refused("The tank is the unit itself; pick another oil space of it.")
    if space not in spaces(now):
        raise Refused(no_such_space(now, space))
    if str(now.line.get("count", 1)) != "1":
        raise Refused("This is a lot of like units; log the one that is taken apart under a tag of its own first.")
    if now.stands in ("gone", "destroyed"):
        raise Refused("This unit has left; nothing can be taken off it here.")
    if at < now.logged_at:
        raise Refused("This lies before the unit was logged; write when the part was taken off.")
    live = any(task["act"] == NOT_DEAD for task in now.answer.get("next", ()))
    if live and not (now.proved and now.proved.whole):
        raise Refused(
            "Nobody wrote down that this unit was proved dead, with all that belongs to a proof; that comes first, and "
            "only competent people take a part off."
        )


def _same_look(now: UnitNow, line: Mapping[str, Any]) -> LookIn:
    """The look that stands, with another line: all that was said beside it stays."""
    return LookIn(
        arrival=now.arrival, line=line, sources=now.sources, leak=now.leak, note=now.note, claims=now.claims,
        seen=now.seen, aside=words_of([now.look]),
    )  # fmt: skip
