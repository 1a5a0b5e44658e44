"""Which clocks run in a yard, soonest first, and what has none because a day is missing."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from uuid import UUID

import msgspec

from disposal.core.clocks import Clock, Kept, Unclocked, clock_of, kept_drum, kept_unit, soonest
from disposal.core.drumnow import DrumNow
from disposal.models import DrumStanding
from disposal.queries.drums import DRUMS, KEPT_DAYS, law_on
from disposal.queries.loads import with_lost
from hazmat import rulebooks
from hazmat.core.codes import spaced
from hazmat.core.law import LawDay
from hazmat.core.measures import day_words
from hazmat.models import UnitStanding
from hazmat.queries.next import SIZE, Line
from hazmat.queries.units import UNITS, unpacked

DATED = '"decided_waste":"'
"""What the kept body of a unit holds where somebody wrote down the day."""
OUT = ("gone", "destroyed")

_drum = msgspec.json.Decoder(DrumNow).decode


@dataclass(frozen=True)
class Due:
    """The clocks of a yard as at the day `on`, soonest first, and what is listed apart since a day is missing."""

    on: date
    clocks: tuple[Clock, ...]
    apart: tuple[Unclocked, ...]


@lru_cache(KEPT_DAYS)
def house_day(on: date) -> LawDay:
    """The handling book as at one day."""
    return LawDay(rulebooks.rulebook(rulebooks.HANDLING), on)


def due(yard: UUID, on: date) -> Due:
    """Every clock of a yard as at a day, and every thing that lacks the day that its clock would count from.

    What is missing is among them.
    """
    return _counted([*_units(yard), *_drums(yard), *_lost(yard)], on)


def soon(yard: UUID, on: date) -> list[Clock]:
    """The clocks that are overdue or run out soon. Only units whose day is on record are read for it."""
    within = int(house_day(on).number("clock_soon"))
    clocks = _counted([*_units(yard, body__contains=DATED), *_drums(yard), *_lost(yard)], on).clocks
    return [one for one in clocks if one.begun and one.left <= within]


def _units(yard: UUID, **wanted: str) -> Iterator[Kept]:
    """Units that are neither released nor gone: those that are held."""
    bodies = UnitStanding.objects.filter(yard=yard, held=True, **wanted).values_list("body", flat=True)
    return (kept for body in bodies.iterator() if (kept := kept_unit(unpacked(body))))


def _drums(yard: UUID) -> Iterator[Kept]:
    bodies = DrumStanding.objects.filter(yard=yard).exclude(place__in=OUT).values_list("body", flat=True)
    return (kept for body in bodies.iterator() if (kept := kept_drum(_drum(body))))


def _lost(yard: UUID) -> Iterator[Kept]:
    """What left with a load and never arrived: nobody knows that it is gone, so its clock runs on."""
    for item in (one for load in with_lost(yard) for one in load.lost):
        key = UUID(item.of)
        if item.thing == "drum":
            kept = kept_drum(drum, lost=True) if (drum := DRUMS.kept(key)) else None
        else:
            kept = kept_unit(unit, lost=True) if (unit := UNITS.kept(key)) else None
        if kept:
            yield kept


def _counted(things: Iterable[Kept], on: date) -> Due:
    house, clocks, apart = house_day(on), [], []
    for kept in things:
        found = clock_of(kept, law_on(kept.rulebook, on), house)
        if isinstance(found, Clock):
            clocks.append(found)
        elif found is not None:
            apart.append(found)
    return Due(on, tuple(soonest(clocks)), tuple(sorted(apart, key=lambda one: (one.thing, one.code))))


def next_lines(yard: UUID, code: str, today: date) -> list[Line]:
    """What the page *Next* says of clocks: each that is overdue, or runs out soon."""
    return [
        Line(
            f"{one.thing.capitalize()} {spaced(one.code)}: {one.words}. {_last_day(one)}", "clocks", {"yard": code},
            "late" if one.overdue else "due",
        )
        for one in soon(yard, today)[:SIZE]
    ]  # fmt: skip


def _last_day(clock: Clock) -> str:
    whose = "by law" if clock.law else "by house practice, not law,"
    return f"Its last day {whose} {'was' if clock.overdue else 'is'} {day_words(clock.due)}"


def clock_of_drum(drum: DrumNow, on: date) -> Clock | None:
    """The clock of one drum as at a day; None where none runs."""
    kept = kept_drum(drum)
    found = _counted([kept], on).clocks if kept else ()
    return found[0] if found else None
