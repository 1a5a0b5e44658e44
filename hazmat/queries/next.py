"""What needs me: soonest first, each one sentence with its act."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import cache
from uuid import UUID

from django.conf import settings
from django.utils.module_loading import import_string

from hazmat.book.canonical import parsed
from hazmat.core.codes import spaced
from hazmat.core.telling import kind_word
from hazmat.models import Paper, PartOff, Screen, UnitStanding

SIZE = 50
"""Most lines of each sort. Source: our own choice."""
LEAKING = ("pool", "dripping", "sweating")
WAITS = {
    "second": "a verdict waits for a second person",
    "verdict": "a lab result is in, and nobody has signed a verdict on it",
}
"""For whose signature a unit can wait, in words."""
LAW_CHANGED = "rests on law that has changed since: correct what is on record, and it is judged again"


@dataclass(frozen=True)
class Line:
    """One thing to do: the sentence, and the address name with its words."""

    says: str
    link: str
    words: dict[str, str]
    mark: str


Gather = Callable[[UUID, str, date], list[Line]]
"""What another app adds for a yard (id, code) on a day."""


@cache
def further() -> list[Gather]:
    """What other apps add, as `settings.NEXT` lists it."""
    return [import_string(path) for path in settings.NEXT]


def lines(yard: UUID, code: str, today: date) -> list[Line]:
    """What needs somebody in this yard: leaks, what other apps add, papers not sealed, old assessments, signatures that
    are waited for, screens to be read a second time, holds."""
    standing = UnitStanding.objects.filter(yard=yard).defer("body", "search")
    found = [
        _unit(one, code, f"{_name(one)} leaks ({one.leak}): look at it first", "leak")
        for place in LEAKING
        for one in standing.filter(leak=place).order_by("-logged")[:SIZE]
    ]
    found += [line for gather in further() for line in gather(yard, code, today)]
    found += [
        Line(f"Paper {one.number} is not sealed: print it", "paper", {"yard": code, "paper": str(one.pk)}, "paper")
        for one in Paper.objects.filter(yard=yard, seal=None).defer("payload").order_by("entry__seq")[:SIZE]
    ]
    found += [
        _unit(one, code, f"{_name(one)} {LAW_CHANGED}", "law")
        for one in standing.filter(good_until__lt=today).order_by("good_until")[:SIZE]
    ]
    found += [
        _unit(one, code, f"{_name(one)}: {says}", "sign")
        for waits, says in WAITS.items()
        for one in standing.filter(waits=waits).order_by("-logged")[:SIZE]
    ]
    found += [
        Line(
            f"Screen of {spaced(one.unit.tag)} waits for a second person, who reads it apart", "read_screen",
            {"yard": code, "screen": str(one.pk)}, "read",
        )
        for one in _unread(yard)
    ]  # fmt: skip
    found += [
        _unit(one, code, f"{_name(one)} is on hold: see what would lift it", "hold")
        for one in standing.filter(held=True, waits="").exclude(leak__in=LEAKING).order_by("-logged")[:SIZE]
    ]
    return found


def _name(one: UnitStanding) -> str:
    return f"{kind_word(one.kind).capitalize()} {spaced(one.tag)}"


def _unit(one: UnitStanding, code: str, says: str, mark: str) -> Line:
    return Line(says, "unit", {"yard": code, "tag": one.tag}, mark)


def _unread(yard: UUID) -> list[Screen]:
    """Screens that wait for a second person, the latest first, of oil that is still on a unit that is here."""
    here = UnitStanding.objects.filter(yard=yard, left=False).values("unit")
    rows = Screen.objects.filter(yard=yard, apart=True, second=None, replaced_by=None, unit__in=here)
    waiting = list(rows.select_related("unit").order_by("-entry__seq")[:SIZE])
    off = set(PartOff.objects.filter(unit__in={one.unit_id for one in waiting}).values_list("unit", "space"))
    return [one for one in waiting if (one.unit_id, parsed(one.test)["space"]) not in off]
