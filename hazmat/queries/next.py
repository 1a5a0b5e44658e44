"""What needs me: soonest first, each one sentence with its act."""

from dataclasses import dataclass
from datetime import date
from uuid import UUID

from hazmat.core.codes import spaced
from hazmat.core.telling import kind_word
from hazmat.models import Paper, UnitStanding

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


def lines(yard: UUID, code: str, today: date) -> list[Line]:
    """What needs somebody in this yard: leaks, papers that are not sealed, old assessments,
    signatures that are waited for, units on hold."""
    standing = UnitStanding.objects.filter(yard=yard).defer("body", "search")
    found = [
        _unit(one, code, f"{_name(one)} leaks ({one.leak}): look at it first", "leak")
        for place in LEAKING
        for one in standing.filter(leak=place).order_by("-logged")[:SIZE]
    ]
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
        _unit(one, code, f"{_name(one)} is on hold: see what would lift it", "hold")
        for one in standing.filter(held=True, waits="").exclude(leak__in=LEAKING).order_by("-logged")[:SIZE]
    ]
    return found


def _name(one: UnitStanding) -> str:
    return f"{kind_word(one.kind).capitalize()} {spaced(one.tag)}"


def _unit(one: UnitStanding, code: str, says: str, mark: str) -> Line:
    return Line(says, "unit", {"yard": code, "tag": one.tag}, mark)
