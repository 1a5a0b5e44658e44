"""Every unit of a yard judged again, a handful at a time: what changed, why, and what had been decided before."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.utils import timezone

from hazmat.actions.reassess import again, answers_otherwise, reassess_units
from hazmat.book.act import Order
from hazmat.book.ids import new_id
from hazmat.core.unitnow import UnitNow
from hazmat.edge.one import Slip
from hazmat.models import Particulars, UnitStanding
from hazmat.queries.units import LEFT, UNITS, unpacked

HANDFUL = 100
"""How many units one entry judges again at most. Source: our own choice."""
TOLD = ("class", "basis", "force", "band", "care")
"""Keys of an answer that are told when they differ, in this order."""
WHY = "The law was read again"


@dataclass(frozen=True, slots=True)
class Rejudged:
    """One unit that answers otherwise: its tag, each key that differs with both values, the reasons then and now.

    `decided`: what somebody had signed, `stands` whether it still does; `wrong`: why it could not be judged.
    """

    tag: str
    changes: tuple[tuple[str, str, str], ...] = ()
    was: str = ""
    now: str = ""
    editions: tuple[str, str] = ("", "")
    decided: str = ""
    stands: bool = True
    wrong: str = ""

    @property
    def changed(self) -> bool:
        """Whether more differs than the edition and the words."""
        return bool(self.changes or self.wrong)


def rejudge(named: Particulars, by: UUID, write: bool, tell: Callable[[int], None]) -> Iterator[Rejudged]:
    """Judge every unit of a yard that is here again; `write`: keep what answers otherwise, an entry a handful.

    Each handful is written whole or not at all, and what is written answers no otherwise the next time: stopped
    anywhere, it goes on where it was. `tell` is given how many units were looked at.
    """
    zone, seen, last = ZoneInfo(named.zone), 0, UUID(int=0)
    while rows := list(_after(named.yard_id, last)):
        moment = timezone.now()
        on = moment.astimezone(zone).date()
        found = [(unit, _looked_at(unpacked(body), named.place, on)) for unit, body in rows]
        otherwise = {unit: seen_so for unit, seen_so in found if seen_so}
        units = [unit for unit, one in otherwise.items() if not one.wrong]
        if write and units:
            order = Order(yard=named.yard_id, by=by, act=new_id(), happened_at=moment, zone=named.zone, said=WHY)
            reassess_units(order, units=units, place=named.place)
        for unit, one in otherwise.items():
            yield _with_verdict(unit, one) if write and not one.wrong else one
        seen, last = seen + len(rows), rows[-1][0]
        tell(seen)


def _after(yard: UUID, last: UUID) -> Any:
    """The next units of a yard, by key, each with its standing as text."""
    kept = UnitStanding.objects.filter(yard=yard, unit__gt=last)
    return kept.order_by("unit").values_list("unit", "body")[:HANDFUL]


def _looked_at(now: UnitNow, place: str, on: date) -> Rejudged | None:
    """What differs for a unit that is here; None where nothing does, or where it has left."""
    if now.stands in LEFT:
        return None
    try:
        after = again(now, place, on)
    except Slip as slip:
        return Rejudged(now.tag, wrong=f"{slip.path}: {slip.says}")
    if not answers_otherwise(now.answer, after):
        return None
    before = now.answer
    changes = tuple(
        (key, _word(before.get(key)), _word(after.get(key))) for key in TOLD if before.get(key) != after.get(key)
    )
    owed = tuple(
        (f"owed: {name}", was, then)
        for name, was, then in _owed(before.get("duties") or (), after["duties"])
    )  # fmt: skip
    decided = now.decided.decision if now.decided else ""
    return Rejudged(
        now.tag, changes + owed, _first(before), _first(after),
        (_word(before.get("edition")), _word(after.get("edition"))), decided,
    )  # fmt: skip


def _with_verdict(unit: UUID, one: Rejudged) -> Rejudged:
    """The same, with whether what had been decided still stands."""
    after = UNITS.kept(unit)
    stands = not one.decided or (after is not None and after.decided is not None)
    return Rejudged(one.tag, one.changes, one.was, one.now, one.editions, one.decided, stands)


def _owed(before: Any, after: Any) -> Iterator[tuple[str, str, str]]:
    """Each duty that is new, gone, or has another last day."""
    was, now = ({duty["name"]: _day(duty) for duty in duties} for duties in (before, after))
    for name in dict.fromkeys([*was, *now]):
        if was.get(name) != now.get(name):
            yield name.replace("_", " "), was.get(name, "not owed"), now.get(name, "not owed")


def _day(duty: Mapping[str, Any]) -> str:
    return f"by {duty['due']}" if duty.get("due") else "without a last day"


def _word(value: Any) -> str:
    return "none" if value is None else str(value)


def _first(answer: Mapping[str, Any]) -> str:
    reasons = answer.get("because") or ()
    return str(reasons[0]["says"]) if reasons else ""
