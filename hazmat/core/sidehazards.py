"""What is dangerous in an old unit besides its oil, what was looked for, and whether hot work may be done on it. Pure.

What nobody looked for counts as there, where units of that kind may have it. It only ever asks for more care.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import NamedTuple

from hazmat.core.findings import Finding, finish
from hazmat.core.law import Decision, LawDay
from hazmat.core.unitnow import UnitNow
from hazmat.core.walked import PaintUnit, Seen, Walk

TABLE, GATE = "side_hazard", "hot_work"
NOT_ASKED, NONE_SEEN, MAYBE, THERE = "not_asked", "none_seen", "treat_as_there", "there"
MG_KG_PER_CENT = Decimal(10_000)
"""mg/kg in one per cent by weight. Source: arithmetic."""
NAMES_PCB = frozenset(("plate_pcb", "plate_bare", "plate_stays", "askarel_said", "pcb_mark", "sinks"))
"""Reasons of an answer that name a PCB fluid, or show one."""
SHUT = ("nitrogen", "gas")
"""Hazards that a unit is not free of gas with."""


class Hazard(NamedTuple):
    """One hazard of a unit: its key, how it stands, and what is done about it."""

    key: str
    stands: str
    finding: Finding


@dataclass(frozen=True)
class Gate:
    """Whether hot work may be done. `answer`: of the table; `asked`: its columns."""

    answer: str
    finding: Finding
    asked: Mapping[str, str] = field(default_factory=dict)


def hazards_of(kinds: Iterable[str], walk: Walk | None, house: LawDay) -> list[Hazard]:
    """Every hazard that one of these kinds may have, in the order of the table; the most careful row of them counts."""
    asked, table = list(kinds), house.tables[TABLE]
    found = []
    for key in table.table.columns["hazard"]:
        seen = paint_seen(walk, house) if key == "lead_paint" else walk.seen.get(key, "unknown") if walk else "unknown"
        rows = [_decided(house, TABLE, {"hazard": key, "raw_kind": kind, "seen": seen}) for kind in asked]
        worst = max(rows, key=lambda row: table.table.answers.index(row.then))
        if worst.then != NOT_ASKED:
            found.append(Hazard(key, worst.then, _finding(worst, key, house)))
    return found


def paint_seen(walk: Walk | None, house: LawDay) -> Seen:
    """Whether its paint holds lead: by a test where there is one, else by what somebody says; a *no* without a test is
    no answer. At the line counts as lead."""
    if walk is None:
        return "unknown"
    if walk.lead:
        return "yes" if _lead(Decimal(walk.lead), walk.unit, house) else "no"
    return "yes" if walk.seen.get("lead_paint") == "yes" else "unknown"


def _lead(value: Decimal, unit: PaintUnit, house: LawDay) -> bool:
    if unit == "mg/cm2":
        return value >= house.number("lead_paint_area")
    share = value / MG_KG_PER_CENT if unit == "mg/kg" else value
    return share >= house.number("lead_paint_share")


def gate_of(now: UnitNow, walk: Walk | None, house: LawDay) -> Gate:
    """Whether hot work may be done on a unit. A low result that nobody signed opens nothing."""
    oil = now.oil
    keys = {reason["key"] for reason in now.answer.get("because", ())}
    paint = {"yes": "lead", "no": "no_lead", "unknown": "not_tested"}[paint_seen(walk, house)]
    shut = walk is None or walk.gas_free != "yes" or any(walk.seen.get(key) == "yes" for key in SHUT)
    asked = {
        "care": oil.care, "named": "no" if keys.isdisjoint(NAMES_PCB) else "yes",
        "shown": "low" if oil.known == "low" else "not_low",
        "drained": "yes" if now.judged_line.get("state") == "drained" else "no",
        "gas": "not_shown" if shut else "free", "paint": paint,
    }  # fmt: skip
    decision = _decided(house, GATE, asked)
    return Gate(decision.then, _finding(decision, GATE, house), asked)


def _decided(house: LawDay, name: str, asked: Mapping[str, str]) -> Decision:
    table = house.tables[name]
    decision = table.decide(tuple(asked[column] for column in table.columns))
    if decision is None:
        raise LookupError(f"the table {name} has no row in force")
    return decision


def _finding(decision: Decision, key: str, house: LawDay) -> Finding:
    row = decision.rows[0]
    return Finding(key, finish(row.says, house.words), row.cite.document, row.cite.basis)
