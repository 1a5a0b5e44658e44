"""Sampling gear as it stands, what it touched, and what is in doubt because of that: read from the tables.

What an oil counts as is asked of its unit when it is read, so that a result that comes later clears doubt or brings it.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db.models import Exists, F, Max, OuterRef, Q, QuerySet, Subquery
from django.utils import timezone

from hazmat import rulebooks
from hazmat.book.canonical import instant
from hazmat.core import carryover, parts
from hazmat.core.telling import KNOWN_WORDS
from hazmat.core.tools import CELL, ToolIn, ToolNow
from hazmat.core.unitnow import NOTHING_PRESUMED, Oil, UnitNow
from hazmat.models import Cleaning, Tool, Touch, UnitStanding
from hazmat.queries.units import unpacked

STANDS = Q(breakdown__replaced_by=None)
"""A touch that no correction has taken back: of a filling, or of the test that counts."""
FRESH = Q(single_use=False) | Q(_touched=False)
"""Gear that was not made for one use, or was not used yet."""
IN_USE = FRESH & Q(retirement=None)
"""Gear that may touch oil again."""
NOTHING_KNOWN = Oil(klass=NOTHING_PRESUMED[0], care=NOTHING_PRESUMED[1], known="untested", rulebook="")
"""Of oil of which no unit tells."""
STILL_NAMED = timedelta(days=30)
"""How long gear out of use is offered for late entries. Source: our own choice."""
SHOWN = 50
"""Pieces out of use, and lines of a trace, that a page shows at once. Source: our own choice."""


@dataclass(frozen=True, kw_only=True)
class Use:
    """One touch, with what a page says of it: the oil, and the bottle or test in which the gear was used.

    `test`: id of the breakdown test that counts, which may be a later one that corrects the first.
    """

    id: str
    tool: str
    oil: str
    unit: str
    tag: str
    space: str
    at: str
    bottle: str = ""
    test: str = ""


@dataclass(frozen=True, kw_only=True)
class Met:
    """A use, and what its oil counts as now: how strongly which class is known, and how well."""

    use: Use
    strength: str
    how: str


@dataclass(frozen=True, kw_only=True)
class Doubt:
    """A sample or a test that is in doubt: the gear, the use that is, and other oil that it had touched before."""

    tool: ToolNow
    use: Use
    before: tuple[Met, ...]


@dataclass(frozen=True, kw_only=True)
class Cleaned:
    """A cleaning as it was written down."""

    at: str
    with_what: str
    how: str
    note: str


# ------------------------------------------------------------------ gear


def tools(
    yard: UUID, *wanted: Q, instead: UUID | None = None, most: int | None = None, **more: Any
) -> list[ToolNow]:  # fmt: skip
    """Gear of a yard, the newest first, `most` of it. `wanted`, `more`: what the mapper filters by.

    `instead`: a breakdown test that is being corrected, whose uses do not count.
    """
    touches = Touch.objects.filter(STANDS, tool=OuterRef("pk"))
    if instead:
        touches = touches.exclude(breakdown=instead)
    rows: QuerySet[Any] = Tool.objects.filter(yard=yard, **more).annotate(
        _added=F("entry__happened_at"), _retired=F("retirement__entry__happened_at"), _reason=F("retirement__reason"),
        _touched=Exists(touches), _used=Subquery(_last(touches)),
        _cleaned=Subquery(_last(Cleaning.objects.filter(tool=OuterRef("pk")))),
    )  # fmt: skip
    return [_now(one) for one in rows.filter(*wanted).order_by("-entry__seq")[:most]]


def _last(of: QuerySet[Any]) -> QuerySet[Any]:
    """The latest moment of these records, which all name one piece of gear."""
    last: QuerySet[Any] = of.order_by().values("tool").annotate(_last=Max("entry__happened_at")).values("_last")
    return last


def _now(row: Any) -> ToolNow:
    return ToolNow(
        id=str(row.pk), code=row.code, told=ToolIn(
            kind=row.kind, words=row.words, kept=row.kept, single_use=row.single_use
        ), added_at=instant(row._added), spent=row.single_use and row._touched, reason=row._reason or "",
        retired_at=_instant(row._retired), used_at=_instant(row._used), cleaned_at=_instant(row._cleaned),
    )  # fmt: skip


def _instant(found: datetime | None) -> str | None:
    return instant(found) if found else None


def tool_now(yard: UUID, code: str) -> ToolNow | None:
    """The gear of this code in this yard, None where there is none."""
    return next(iter(tools(yard, code=code)), None)


def named(yard: UUID, gear: Iterable[str]) -> list[ToolNow]:
    """These pieces of gear; without any, nothing is asked of the database."""
    keys = set(gear)
    return tools(yard, pk__in=keys) if keys else []


def at_hand(yard: UUID, *, cell: bool, instead: UUID | None = None, keep: Collection[str] = ()) -> list[ToolNow]:
    """Gear that a form offers: cells, or all that draws oil. What went out of use lately can still be named late.

    `keep`: gear that is named already; `instead`: the breakdown test that is being corrected.
    """
    lately = timezone.now() - STILL_NAMED
    offered = FRESH & (Q(retirement=None) | Q(retirement__entry__happened_at__gte=lately))
    kind = Q(kind=CELL) if cell else ~Q(kind=CELL)
    return tools(yard, kind & (offered | Q(pk__in=keep)), instead=instead)


# ------------------------------------------------------------------ what it touched


def uses_of(gear: Collection[str]) -> dict[str, list[Use]]:
    """Every use of each of these that counts, in order of time. A test that was corrected counts as long as the one in
    its place names the same gear: the correction may be written down on another day than the shots."""
    found: dict[str, list[Use]] = {one: [] for one in gear}
    rows = Touch.objects.filter(tool__in=_keys(gear)).order_by("entry__happened_at", "pk").values(
        "pk", "tool", "holder", "unit", "breakdown", tag=F("unit__tag"), space=F("holder__space__name"),
        at=F("entry__happened_at"), bottle=F("hand__bottle__code"), by=F("breakdown__replaced_by"),
    )  # fmt: skip
    named: dict[UUID, dict[UUID, UUID | None]] = defaultdict(dict)
    for row in rows:
        if row["breakdown"]:
            named[row["tool"]][row["breakdown"]] = row["by"]
    for row in rows:
        test = _counting(row["breakdown"], named[row["tool"]])
        if row["breakdown"] is None or test:
            found[str(row["tool"])].append(_use(row, test))
    return found


def _keys(gear: Collection[str]) -> list[UUID]:
    return [UUID(one) for one in gear]


def _counting(test: UUID | None, chain: Mapping[UUID, UUID | None]) -> UUID | None:
    """The test that counts in the place of this one, None where that names other gear or none."""
    while test is not None and test in chain and (by := chain[test]) is not None:
        test = by
    return test if test in chain else None


def _use(row: Mapping[str, Any], test: UUID | None) -> Use:
    return Use(
        id=str(row["pk"]), tool=str(row["tool"]), oil=str(row["holder"]), unit=str(row["unit"] or ""),
        tag=row["tag"] or "", space=row["space"] or "", at=instant(row["at"]), bottle=row["bottle"] or "",
        test=str(test or ""),
    )  # fmt: skip


def cleaned(gear: Collection[str]) -> dict[str, list[Cleaned]]:
    """Every cleaning of each of these, in order of time."""
    found: dict[str, list[Cleaned]] = {one: [] for one in gear}
    for row in (
        Cleaning.objects.filter(tool__in=_keys(gear)).select_related("entry").order_by("entry__happened_at", "pk")
    ):
        at = instant(row.entry.happened_at)
        found[str(row.tool_id)].append(Cleaned(at=at, with_what=row.with_what, how=row.how, note=row.note))
    return found


def units_of(uses: Iterable[Use]) -> dict[str, UnitNow]:
    """The units whose oil was touched, as they stand."""
    wanted = {one.unit for one in uses if one.unit}
    bodies = UnitStanding.objects.filter(unit__in=wanted).values_list("body", flat=True)
    return {unit.unit: unit for unit in map(unpacked, bodies)}


def oil_now(use: Use, units: Mapping[str, UnitNow]) -> Oil:
    """What is known now of the oil of a use; nothing where it is of no unit that is known."""
    return units[use.unit].oil_of((use.space,)) if use.unit in units else NOTHING_KNOWN


def met(use: Use, units: Mapping[str, UnitNow]) -> Met:
    """A use, with what its oil counts as now."""
    oil = oil_now(use, units)
    law, house = rulebooks.law(oil.rulebook), rulebooks.rulebook(rulebooks.HANDLING)
    strength = parts.oil_strength(oil.klass, oil.care, oil.known, law, house)
    return Met(use=use, strength=strength, how=KNOWN_WORDS[oil.known])


def touches(uses: Iterable[Use], units: Mapping[str, UnitNow]) -> list[carryover.Touch]:
    """Uses as the rule sees them."""
    return [
        carryover.Touch(id=one.id, oil=one.oil, at=one.at, low=oil_now(one, units).known == "low") for one in uses
    ]  # fmt: skip


# ------------------------------------------------------------------ doubt


def doubts_of(unit: UnitNow) -> list[Doubt]:
    """The samples and breakdown tests of a unit that are in doubt, in order of time."""
    gear = {tool for bottle in unit.bottles for step in bottle.trail for tool in step.tools}
    gear |= {tool for test in unit.breakdowns for tool in test.tools}
    if not gear:
        return []
    uses, wiped = uses_of(gear), cleaned(gear)
    units = units_of(use for found in uses.values() for use in found)
    found = [
        doubt
        for one in tools(UUID(unit.yard), pk__in=gear)
        for doubt in doubts(one, uses[one.id], wiped[one.id], units, unit.unit)
    ]
    return sorted(found, key=lambda one: (one.use.at, one.use.id))


def doubts(
    tool: ToolNow, uses: Sequence[Use], wiped: Iterable[Cleaned], units: Mapping[str, UnitNow], of: str
) -> list[Doubt]:
    """The uses of one piece of gear in the oil of this unit that are in doubt."""
    told, by_id, moments = touches(uses, units), {one.id: one for one in uses}, [one.at for one in wiped]
    asked = [one for one in told if by_id[one.id].unit == of]
    return [
        Doubt(tool=tool, use=by_id[one.id], before=tuple(met(by_id[other.id], units) for other in before))
        for one in asked
        if (before := carryover.doubt(one, told, moments))
    ]


# ------------------------------------------------------------------ traces


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of a trace: a use with what its oil counts as now and whether it is in doubt, or a cleaning."""

    at: str
    met: Met | None = None
    doubted: bool = False
    cleaned: Cleaned | None = None


@dataclass(frozen=True, kw_only=True)
class Trace:
    """A piece of gear with what it touched. `clings`: oil that is not known low and was not cleaned off.

    `shared`: untested oil was shot in a cell that is not kept for it, and was not cleaned off; `lines`: the last uses
    and cleanings in order of time; `left_out`: how many come before those.
    """

    tool: ToolNow
    clings: tuple[Met, ...]
    shared: bool
    lines: tuple[Line, ...] = ()
    left_out: int = 0


def traces(gear: Sequence[ToolNow], most: int | None = 0) -> list[Trace]:
    """Each of these with what clings to it, and `most` of its last uses and cleanings; None for all of them."""
    keys = [one.id for one in gear]
    uses, wiped = uses_of(keys), cleaned(keys)
    last = {key: max((one.at for one in found), default="") for key, found in wiped.items()}
    units = units_of(use for key, found in uses.items() for use in found if most != 0 or use.at >= last[key])
    return [_trace(one, uses[one.id], wiped[one.id], units, most) for one in gear]


def _trace(
    tool: ToolNow, uses: Sequence[Use], wiped: Sequence[Cleaned], units: Mapping[str, UnitNow], most: int | None
) -> Trace:
    by_id, moments = {one.id: one for one in uses}, [one.at for one in wiped]
    told = touches(uses, units)
    found = carryover.clinging(told, moments)
    both: list[carryover.Touch | Cleaned] = sorted([*told, *wiped], key=lambda one: one.at)
    shown = both if most is None else both[max(0, len(both) - most) :]
    lines = [
        Line(at=one.at, cleaned=one)
        if isinstance(one, Cleaned)
        else Line(at=one.at, met=met(by_id[one.id], units), doubted=bool(carryover.doubt(one, told, moments)))
        for one in shown
    ]
    return Trace(
        tool=tool, clings=tuple(met(by_id[one.id], units) for one in found),
        shared=tool.told.kind == CELL and not tool.told.kept and any(
            oil_now(by_id[one.id], units).known == "untested" for one in found
        ), lines=tuple(lines), left_out=len(both) - len(shown),
    )  # fmt: skip
