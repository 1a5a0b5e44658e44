"""Results and verdicts of a unit as a page draws them."""

from collections.abc import Sequence
from typing import Any
from uuid import UUID

from hazmat.core import telling
from hazmat.core.unitnow import UnitNow
from hazmat.edge.results import Results
from hazmat.queries.tools import Doubt
from hazmat.queries.yards import names_of

LABORATORY = "laboratory"
"""How a test was done of which a laboratory writes a report."""


def signed(unit: UnitNow) -> list[dict[str, Any]]:
    """The verdicts of a unit, the latest first: with the names of those who signed, and whether each one stands."""
    people = {one for verdict in unit.verdicts for one in (verdict.signer, verdict.second) if one}
    names = {str(key): name for key, name in names_of(UUID(one) for one in people).items()}
    results = {one.id: one for one in unit.results}
    decided, waiting, lapsed = unit.decided, unit.waiting, unit.lapsed
    return [
        {
            "verdict": one, "signer": names.get(one.signer, "somebody"), "second": names.get(one.second or "", ""),
            "evidence": [results[key] for key in one.evidence if key in results],
            "stands": one is decided, "waits": one is waiting, "lapsed": one is lapsed,
        }
        for one in reversed(unit.verdicts)
    ]  # fmt: skip


def unreported(unit: UnitNow) -> list[str]:
    """Figures of its fluid that were typed with the look, in words: no laboratory's report of them is in this book."""
    tests = [telling.test(one) for one in unit.line.get("tests") or () if one.get("how") == LABORATORY]
    return [*tests, *(telling.event(one) for one in unit.line.get("history") or () if one.get("fluid_mg_kg"))]


def tested(unit: UnitNow, said: Results, doubts: Sequence[Doubt]) -> list[dict[str, Any]]:
    """The results of a unit, the latest first: with the bottle of each, its gap, whether its filling is among what is
    in doubt of this unit, the result that amends it, and what is said of it against the lines of its law."""
    bottles = {one.code: one for one in unit.bottles}
    by_id = {one.id: one for one in unit.results}
    told = []
    for one in reversed(unit.results):
        bottle = bottles.get(one.bottle)
        gap = bool(one.test.get("composite")) or (bottle is not None and not bottle.unbroken)
        told.append({
            "result": one, "bottle": bottle, "gap": gap, "amended": by_id.get(one.amended_by or ""),
            "doubted": bottle is not None and any(doubt.use.bottle == one.bottle for doubt in doubts),
            "says": said.says.get(one.id, ()),
        })  # fmt: skip
    return told
