"""Which clocks run in a yard, soonest first, and what has none because a day is missing."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import msgspec

from disposal.core.clocks import (
    Clock,
    Kept,
    Sent,
    Unclocked,
    certificate_due,
    clock_of,
    kept_drum,
    kept_unit,
    report_of,
    said_by,
    soonest,
)
from disposal.core.drumnow import DrumNow
from disposal.core.loadnow import CertificateNow, ItemNow, LoadNow, Thing
from disposal.models import DrumStanding
from disposal.queries.drums import DRUMS, KEPT_DAYS, law_on
from disposal.queries.loads import handed_over, with_lost
from hazmat import rulebooks
from hazmat.core.codes import spaced
from hazmat.core.findings import Finding
from hazmat.core.law import LawDay
from hazmat.core.measures import day_words
from hazmat.models import UnitStanding
from hazmat.queries.next import SIZE, Line
from hazmat.queries.units import UNITS, unpacked
from hazmat.queries.yards import particulars

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


@dataclass(frozen=True)
class Late:
    """A certificate that is dated late: the last day, and what the law says."""

    last: date
    says: Finding


@lru_cache(KEPT_DAYS)
def house_day(on: date) -> LawDay:
    """The handling book as at one day."""
    return rulebooks.house(on)


def due(yard: UUID, on: date) -> Due:
    """Every clock of a yard as at a day, and every thing that lacks the day that its clock would count from.

    What is missing is among them.
    """
    return _joined(_counted([*_units(yard), *_drums(yard), *_lost(yard)], on), _reports(yard, on))


def soon(yard: UUID, on: date) -> list[Clock]:
    """The clocks that are overdue or run out soon. Only units whose day is on record are read for it."""
    within = int(house_day(on).number("clock_soon"))
    kept = _counted([*_units(yard, body__contains=DATED), *_drums(yard), *_lost(yard)], on)
    clocks = _joined(kept, _reports(yard, on)).clocks
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


def _reports(yard: UUID, on: date) -> list[Clock | Unclocked]:
    """The reports after a year, of everything that left with a load that is not closed and did not come back."""
    zone, house = ZoneInfo(particulars(yard).zone), house_day(on)
    found = (
        report_of(sent, law_on(sent.rulebook, on), house)
        for load in handed_over(yard)
        for item in load.aboard
        if item.arrival != "refused" and (sent := _sent(load, item, zone))
    )
    return [one for one in found if one is not None]


def _sent(load: LoadNow, item: ItemNow, zone: ZoneInfo) -> Sent | None:
    """An item that left, as its reports see it; None where its drum or unit is not kept."""
    key, certificate = UUID(item.of), next((one for one in load.certificates if item.id in one.items), None)
    days: dict[str, Any] = {"handed": _day_of(load.handed_over_at, zone)}
    if certificate:
        days |= {"certified": _day_of(certificate.at, zone), "disposed": date.fromisoformat(item.proven_on)}
    if item.thing == "drum":
        drum = DRUMS.kept(key)
        return _as_sent("drum", drum.code, drum.klass, drum.rulebook, drum.date, days) if drum else None
    unit = UNITS.kept(key)
    decided = str(unit.line.get("decided_waste") or "") if unit else ""
    return _as_sent("unit", unit.tag, unit.oil.klass, unit.oil.rulebook, decided, days) if unit else None


def _as_sent(thing: Thing, code: str, klass: str, rulebook: str, removed: str, days: dict[str, Any]) -> Sent:
    """`removed`: the day of removal as ISO text, empty where nobody wrote it down."""
    day = date.fromisoformat(removed) if removed else None
    return Sent(thing=thing, code=code, klass=klass, rulebook=rulebook, removed=day, **days)


def _day_of(moment: str, zone: ZoneInfo) -> date:
    return datetime.fromisoformat(moment).astimezone(zone).date()


def late_by(certificate: CertificateNow, place: str) -> Late | None:
    """How a certificate is dated after the last day on which the law of a place has it sent; None where it is not."""
    name, issued = rulebooks.law_of(place), date.fromisoformat(certificate.issued_on)
    law = law_on(name, issued) if name else None
    last = certificate_due(date.fromisoformat(certificate.done_on), law) if certificate.done_on else None
    return Late(last, said_by(law, "certificate_late")) if law and last and issued > last else None


def _joined(kept: Due, reports: Iterable[Clock | Unclocked]) -> Due:
    """The clocks of what is here together with those of reports on what left; a thing is listed apart once."""
    listed = list(reports)
    clocks = soonest([*kept.clocks, *(one for one in listed if isinstance(one, Clock))])
    known = {(one.thing, one.code) for one in kept.apart}
    more = [one for one in listed if isinstance(one, Unclocked) and (one.thing, one.code) not in known]
    apart = sorted([*kept.apart, *more], key=lambda one: (one.thing, one.code))
    return Due(kept.on, tuple(clocks), tuple(apart))


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
