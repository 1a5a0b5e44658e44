"""The oil spaces of a unit for its page: what each counts as by itself, and what was tried on its oil."""

from collections.abc import Mapping
from dataclasses import dataclass

from hazmat import rulebooks
from hazmat.core import parts
from hazmat.core.amended import counting
from hazmat.core.care import as_care
from hazmat.core.facts import TANK
from hazmat.core.findings import Finding
from hazmat.core.law import UNDETERMINED
from hazmat.core.trail import BottleNow
from hazmat.core.unitnow import UnitNow
from hazmat.edge.one import seen

SOLID = frozenset(("transformer", "regulator", "instrument_transformer", "electromagnet", "rectifier"))
"""Kinds with a core, winding, wood or paper in their oil. Source: common practice, no source."""
LOOKED_FOR = {
    "transformer": "look_for_transformer", "regulator": "look_for_regulator", "breaker": "look_for_breaker",
    "recloser": "look_for_breaker", "switch": "look_for_breaker",
}  # fmt: skip
"""What else a kind of unit may hold oil in, as a sentence of the handling book. Source: common practice, no source."""


@dataclass(frozen=True)
class SpaceSaid:
    """One oil space. `strength`: what it counts as and how strongly that is known; `bottles`: drawn of it;
    `tried`: how many screens, breakdown and condition tests of it count; `off`: it can be taken off.
    """

    name: str
    kind: str
    sealed: bool
    strength: str
    care: str
    because: tuple[Finding, ...]
    bottles: tuple[BottleNow, ...]
    tried: int
    off: bool


def spaces_of(unit: UnitNow, place: str) -> list[SpaceSaid]:
    """Every oil space that is on a unit; `place`: the yard's own country code."""
    facts, judge = seen(unit, place)
    house = rulebooks.rulebook(rulebooks.HANDLING)
    told = {one.name: one for one in judge.part_by_part(facts)}
    names = [one for one in dict.fromkeys((*told, *unit.oil_spaces.values())) if one not in unit.spaces_off]
    found = []
    for name in names:
        one = told.get(name) or told[TANK]
        answer: Mapping[str, object] = {
            "class": one.klass, "basis": one.basis, "care": as_care(one.band),
            "because": [{"key": finding.key} for finding in one.because],
        }  # fmt: skip
        book = judge.law.book if judge.law and one.klass != UNDETERMINED else None
        found.append(
            SpaceSaid(
                name=name, kind=one.kind, sealed=one.sealed, strength=parts.strength(answer, book, house),
                care=parts.hands(answer, book, house), because=one.because,
                bottles=tuple(b for b in unit.bottles if unit.oil_spaces.get(b.space) == name),
                tried=sum(s.test.get("space", TANK) == name for s in unit.counting_screens)
                + sum(one.told["space"] == name for one in counting(unit.breakdowns))
                + sum(one.space == name for one in counting(unit.conditions)),
                off=name != TANK,
            )
        )  # fmt: skip
    return found


def core_of(unit: UnitNow) -> str:
    """What is said of the solids inside a unit, as a sentence; empty for a kind that has none of its own."""
    if unit.line.get("kind") not in SOLID:
        return ""
    return rulebooks.said("core_space")


def looked_for(unit: UnitNow) -> str:
    """Where else a unit of this kind may hold oil, as a sentence; empty where it was said, or its kind holds none."""
    name = LOOKED_FOR.get(str(unit.line.get("kind")))
    if name is None or unit.line.get("spaces") or unit.parts_off or unit.parent:
        return ""
    return rulebooks.said(name)
