"""Sample bottles: labelling one before or at filling, and each hand through which it goes."""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from hazmat.actions.codes import fresh_code
from hazmat.actions.tools import refuse_gear, write_touches
from hazmat.actions.units import OIL_SPACE, current
from hazmat.book.act import Act, Order, Refused, book, verb
from hazmat.book.canonical import instant
from hazmat.book.receipt import Receipt
from hazmat.core.codes import spaced
from hazmat.core.facts import TANK
from hazmat.core.trail import BottleNow, Hand, refusal
from hazmat.core.unitnow import UnitNow
from hazmat.edge.story import sampling_refused
from hazmat.models import Bottle, Holder, Space
from hazmat.models import Hand as HandRecord

BOTTLE = "bottle"


@verb
def label_bottle(order: Order, *, unit: UUID, space: str) -> Receipt:
    """Give a bottle its code, for one oil space of a unit. Raises Refused for a space that is not on record."""
    with book(order, "label_bottle") as act:
        now = current(order.yard, unit)
        if order.happened_at < datetime.fromisoformat(now.logged_at):
            raise Refused("This lies before the unit was logged; look at both times and write when it was.")
        if space not in spaces(now):
            raise Refused(no_such_space(now, space))
        bottle = Bottle(unit_id=unit, space=space_of(act, unit, space), code=fresh_code(order.yard, act.seq, BOTTLE))
        bottle.holder = act.write(Holder(kind=BOTTLE))
        act.write(bottle)
    return act.receipt


@verb
def hand_bottle(
    order: Order, *, bottle: UUID, what: Hand, place: str, names: dict[str, str] | None = None, point: str = "",
    note: str = "", gear: Sequence[UUID] = (),
) -> Receipt:  # fmt: skip
    """Write down what happened to a bottle. `names`: who gave it and who took it; `place`: the yard's country code.

    `gear`: what the oil went through on its way into the bottle. Raises Refused where it cannot follow what happened
    before, for filling where no sampling steps are given, and for gear that cannot have been used.
    """
    with book(order, "hand_bottle") as act:
        found = Bottle.objects.select_related("space").filter(pk=bottle, yard=order.yard).first()
        if found is None:
            raise Refused("This yard has no such bottle; open it from the page of its unit.")
        now = current(order.yard, found.unit_id)
        kept = the_bottle(now, found.code)
        says = refusal(kept, what, instant(order.happened_at))
        if says:
            raise Refused(says)
        if what == "filled":
            _refuse_unsafe(now, place)
        elif gear:
            raise Refused("Gear is named where a bottle is filled; untick it, or pick that the bottle was filled.")
        refuse_gear(order, gear)
        record = HandRecord(unit_id=found.unit_id, bottle=found, what=what, point=point, note=note)
        act.write(record, aside=names or {})
        write_touches(act, gear, found.space, record)
    return act.receipt


def spaces(unit: UnitNow) -> tuple[str, ...]:
    """The names of the oil spaces that are on it: the tank, and those that somebody named, less what was taken off."""
    named = (str(one["name"]) for one in unit.line.get("spaces") or ())
    return tuple(
        name for name in dict.fromkeys((TANK, *unit.oil_spaces.values(), *named)) if name not in unit.spaces_off
    )


def no_such_space(unit: UnitNow, name: str) -> str:
    """Why nothing is written down of this oil space, as a sentence."""
    off = next((one for one in unit.parts_off if one.space == name), None)
    if off:
        return f"“{name}” was taken off and is unit {spaced(off.tag)} now; write it down there."
    return f"This unit has no oil space “{name}” on record; add it first."


def the_bottle(unit: UnitNow, code: str) -> BottleNow:
    """The bottle of this code. Raises LookupError."""
    return next(one for one in unit.bottles if one.code == code)


def space_of(act: Act, unit: UUID, name: str) -> Space:
    """The oil space of this name; one that a correction brought gets its holder now."""
    found = Space.objects.filter(unit=unit, name=name).first()
    return found or act.write(Space(unit_id=unit, holder=act.write(Holder(kind=OIL_SPACE)), name=name))


def may_sample(unit: UnitNow, place: str) -> bool:
    """Whether sampling steps are given: somebody proved the unit dead, and there is something to sample."""
    return not sampling_refused(unit, place)


def _refuse_unsafe(unit: UnitNow, place: str) -> None:
    """Refuse a filling for which no steps are given."""
    if why := sampling_refused(unit, place):
        raise Refused(f"{why} What is true of this unit is written on its page.")
