"""Spills of a yard as they stand, read from the tables; what is known of what leaked is asked when it is read."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db.models import Exists, OuterRef, Q, Subquery
from django.utils import timezone
from django.utils.module_loading import import_string

from hazmat import rulebooks
from hazmat.book.aside import words_of
from hazmat.book.canonical import instant, parsed
from hazmat.core.law import LawDay
from hazmat.core.spill import Judged, Leaked, judge, soonest
from hazmat.core.spillnow import (
    AccountNow,
    EndNow,
    SpillNow,
    StepNow,
    ToldNow,
    left_words,
    read,
    read_step,
    still_open,
)
from hazmat.core.unitnow import Photo, UnitNow
from hazmat.edge.leaks import leaked_unit
from hazmat.models import Paper, Photograph, Spill, SpillAccount, SpillEnd, SpillStep, SpillTold
from hazmat.queries.next import SIZE, Line
from hazmat.queries.units import UNITS, unit_now
from hazmat.queries.yards import particulars


@dataclass(frozen=True, kw_only=True)
class Leaker:
    """A thing that can leak: `unit` where it is one, else the `holder` of a drum; `spaces`: its oil spaces."""

    code: str
    leaked: Leaked
    unit: UUID | None = None
    holder: UUID | None = None
    spaces: tuple[str, ...] = ()


Find = Callable[[UUID, str, UUID | None], Leaker | None]
"""How another app finds what leaked in a yard, by its code or by its holder."""


@cache
def finders() -> list[Find]:
    """What other apps find, as `settings.LEAKS` lists it."""
    return [import_string(path) for path in settings.LEAKS]


def leaker(yard: UUID, code: str = "", holder: UUID | None = None, space: str = "") -> Leaker | None:
    """The unit of this tag, or whatever else has this code or holder; None where the yard has no such thing."""
    if code and (unit := unit_now(yard, code)):
        return _of_unit(unit, space)
    return next((found for find in finders() if (found := find(yard, code, holder))), None)


def _of_unit(unit: UnitNow, space: str) -> Leaker:
    place = particulars(UUID(unit.yard)).place
    names = tuple(name for name in unit.oil_spaces.values() if name not in unit.spaces_off)
    return Leaker(code=unit.tag, leaked=leaked_unit(unit, space, place), unit=UUID(unit.unit), spaces=names)


# ------------------------------------------------------------------ what is on record


def _is_ended() -> Exists:
    """A spill whose end was signed, and that nobody corrected after that."""
    accounts = SpillAccount.objects.filter(spill=OuterRef("spill")).order_by("-entry__seq")
    last = Subquery(accounts.values("entry__seq")[:1])
    return Exists(SpillEnd.objects.filter(spill=OuterRef("pk"), entry__seq__gt=last))


def ended(yard: UUID, most: int | None = None) -> list[SpillNow]:
    """Spills of a yard that ended, the newest first, `most` of them."""
    return spills(yard, Q(_is_ended()), most=most)


def spills(yard: UUID, *wanted: Q, most: int | None = None, **more: Any) -> list[SpillNow]:
    """Spills of a yard, the newest first, `most` of them. `wanted`, `more`: what the mapper filters by."""
    rows = list(Spill.objects.filter(*wanted, yard=yard, **more).order_by("-entry__seq")[:most])
    keys = [one.pk for one in rows]
    accounts, told, steps, ends, photos = (_by_spill(find(keys)) for find in (_accounts, _told, _steps, _ends, _photos))
    return [
        SpillNow(
            id=str(one.pk), yard=str(yard), number=one.number, old=one.old, accounts=tuple(accounts[one.pk]),
            told=tuple(told[one.pk]), steps=tuple(steps[one.pk]), ends=tuple(ends[one.pk]),
            photographs=tuple(photos[one.pk]),
        )
        for one in rows
    ]  # fmt: skip


def spill_now(yard: UUID, spill: UUID) -> SpillNow | None:
    """One spill of this yard as it stands, None where there is none."""
    return next(iter(spills(yard, pk=spill)), None)


def spills_of(unit: UnitNow) -> list[SpillNow]:
    """The spills that came out of a unit, by what is on record now, the newest first."""
    keys = SpillAccount.objects.filter(unit=UUID(unit.unit), replaced_by=None).values("spill")
    return spills(UUID(unit.yard), pk__in=keys)


def _by_spill(found: Iterable[tuple[UUID, Any]]) -> Mapping[UUID, list[Any]]:
    kept: dict[UUID, list[Any]] = defaultdict(list)
    for key, one in found:
        kept[key].append(one)
    return kept


def _base(row: Any) -> dict[str, Any]:
    """What everything that can be amended has in common."""
    by = row.replaced_by.pk if hasattr(row, "replaced_by") else None
    return {
        "id": str(row.pk), "why": row.why, "seq": str(row.entry.seq),
        "amends": str(row.replaces_id) if row.replaces_id else None, "amended_by": str(by) if by else None,
    }  # fmt: skip


def _rows(kind: Any, keys: Collection[UUID], *more: str) -> Iterable[Any]:
    rows: Iterable[Any] = (
        kind.objects.filter(spill__in=keys)
        .select_related("entry", *more)
        .defer("entry__body")
        .order_by("entry__happened_at", "entry__seq")
    )
    return rows


def _accounts(keys: Collection[UUID]) -> Iterable[tuple[UUID, AccountNow]]:
    rows = SpillAccount.objects.filter(spill__in=keys).select_related("entry", "unit", "replaced_by")
    for row in rows.defer("entry__body").order_by("entry__seq"):
        yield row.spill_id, AccountNow(
            **_base(row), told=read(parsed(row.told), row.note), found_at=instant(row.entry.happened_at),
            unit=str(row.unit_id or ""), tag=row.unit.tag if row.unit else "", space=row.space,
            holder=str(row.source_id or ""), code=row.code,
        )  # fmt: skip


def _told(keys: Collection[UUID]) -> Iterable[tuple[UUID, ToldNow]]:
    for row in _rows(SpillTold, keys, "replaced_by"):
        yield row.spill_id, ToldNow(
            **_base(row), at=instant(row.entry.happened_at), office=row.office, duties=tuple(parsed(row.duties)),
            reference=row.reference, note=row.note,
        )  # fmt: skip


def _steps(keys: Collection[UUID]) -> Iterable[tuple[UUID, StepNow]]:
    for row in _rows(SpillStep, keys, "replaced_by"):
        told = read_step(row.what, parsed(row.told), row.note)
        yield row.spill_id, StepNow(**_base(row), at=instant(row.entry.happened_at), told=told)


def _ends(keys: Collection[UUID]) -> Iterable[tuple[UUID, EndNow]]:
    rows = SpillEnd.objects.filter(spill__in=keys).select_related("entry").defer("entry__body").order_by("entry__seq")
    for row in rows:
        yield row.spill_id, EndNow(
            id=str(row.pk), at=instant(row.entry.happened_at), seq=str(row.entry.seq), reached=row.reached,
            statement=row.statement, signer=str(row.signer_id), reason=row.reason,
        )  # fmt: skip


def _photos(keys: Collection[UUID]) -> Iterable[tuple[UUID, Photo]]:
    for row in _rows(Photograph, keys):
        yield row.spill_id, Photo(
            id=str(row.pk), sha256=row.sha256, thumb=row.thumb, shows=row.shows, width=row.width, height=row.height,
            taken_at=row.taken_at or None, words=row.words,
        )  # fmt: skip


def private_of(spill: SpillNow) -> dict[str, str]:
    """The personal words of a spill: where it is, who found it, who signed its end; none where they were erased."""
    ids = [spill.account.id, *([spill.end.id] if spill.end else [])]
    return {key: str(word) for key, word in words_of(ids).items()}


def papers_of(spill: UUID) -> list[Paper]:
    """The papers of a spill, in the order in which they were issued."""
    rows = Paper.objects.filter(of_spill__spill=spill).select_related("seal", "entry")
    return list(rows.defer("payload", "entry__body").order_by("entry__seq"))


# ------------------------------------------------------------------ what is asked


def leaked_of(spill: SpillNow) -> Leaked:
    """What is known now of the thing that leaked; nothing where it is none of this yard."""
    account, yard = spill.account, UUID(spill.yard)
    found = None
    if account.unit and (unit := UNITS.kept(UUID(account.unit))):
        return _of_unit(unit, account.space).leaked
    if account.holder:
        found = leaker(yard, holder=UUID(account.holder))
    return found.leaked if found else Leaked()


def judged(spill: SpillNow, place: str) -> Judged:
    """All that is asked of a spill, by what is known now and by the law of the day on which it was found.

    `place`: the yard's own country code, whose law it is where what leaked is under none.
    """
    leaked = leaked_of(spill)
    found = datetime.fromisoformat(spill.found_at).astimezone(ZoneInfo(particulars(UUID(spill.yard)).zone))
    name = leaked.rulebook or rulebooks.law_of(place)
    house = LawDay(rulebooks.rulebook(rulebooks.HANDLING), found.date())
    return judge(spill.account.told, leaked, found, rulebooks.law_day(name, place, found.date()), house, old=spill.old)


def open_words(spill: SpillNow, found: Judged, now: datetime) -> tuple[str, datetime | None]:
    """What is open of a spill in words, and its soonest last moment, None where no time is set."""
    left = soonest(still_open(spill, found.asked))
    due = next((one.due for one in left if one.due), None)
    at_once = sum(one.due is None for one in left)
    told = [f"{at_once} to be told at once"] if at_once else []
    told += [f"soonest deadline: {left_words(due, now)}"] if due else []
    return ", ".join(told) or "nothing more is asked: sign its end", due


def open_first(yard: UUID, place: str) -> list[tuple[SpillNow, str]]:
    """The spills of a yard that are open, the soonest deadline first, each with what is open of it in words."""
    now = timezone.now()
    rows = [(one, *open_words(one, judged(one, place), now)) for one in spills(yard, ~Q(_is_ended()))]
    rows.sort(key=lambda row: (row[2] is None, row[2] or now))
    return [(one, says) for one, says, _ in rows]


def next_lines(yard: UUID, code: str, today: date) -> list[Line]:
    """What the page *Next* says of spills: each that is open, the one whose time ends first before the others."""
    return [
        Line(
            f"{'Old stain' if one.old else 'Spill'} {one.number} is open: {says}", "spill",
            {"yard": code, "spill": one.id}, "spill",
        )
        for one, says in open_first(yard, particulars(yard).place)[:SIZE]
    ]  # fmt: skip
