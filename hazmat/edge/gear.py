"""Gear cards of a unit: its care as hands must take it, what the book knows of the work, what somebody answered."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from hazmat import rulebooks
from hazmat.core.bulk import CARE
from hazmat.core.gearcard import SUPPLIED, Card, Line, card
from hazmat.core.law import LawDay
from hazmat.core.unitnow import UnitNow
from hazmat.core.wear import Work, as_care

LEAKS: Mapping[str, str] = {"none": "no", "unknown": "unknown"}
"""What a leak on record says to the question about it; every other one says yes."""
WEIGHT = ("no", "unsaid", "unknown", "yes")
"""Answers in order of care."""


@dataclass(frozen=True, kw_only=True)
class Answers:
    """What somebody answered about the work: `said` by what is asked; `air`: PCB in the air against its limit."""

    said: Mapping[str, str] = field(default_factory=dict)
    air: str = "unknown"


def house_of(unit: UnitNow) -> LawDay:
    """The handling book as at the law day of the answer of a unit."""
    return rulebooks.house(date.fromisoformat(unit.answer["on"]))


def worse_care(*cares: str) -> str:
    """The worst of some cares of hands; one that nobody knows is the highest."""
    return max(map(as_care, cares), key=CARE.index)


def on_record(unit: UnitNow) -> dict[str, str]:
    """What the book knows of what is asked: its leak. What nothing leaks of cannot lie on a hot surface either."""
    leaking = unit.judged_line.get("state") == "leaking"
    leak = "yes" if leaking else LEAKS.get(unit.leak, "yes")
    return {"leak": leak, **({"hot_leak": "no"} if leak == "no" else {})}


def together(known: Mapping[str, str], said: Mapping[str, str]) -> dict[str, str]:
    """Answers with what the book knows, of two the more careful one. A leak that is said ends what none implied."""
    if said.get("leak") in ("yes", "unknown"):
        known = {key: one for key, one in known.items() if key != "hot_leak"}
    both = {**known, **{key: one for key, one in said.items() if key not in known}}
    return {key: max(one, said.get(key, one), key=WEIGHT.index) for key, one in both.items()}


def cards_of(
    unit: UnitNow, tasks: Iterable[str], yard: Mapping[str, Any], answers: Answers, more: Iterable[Line] = ()
) -> list[Card]:
    """The gear cards of these tasks for this unit, as at the law day of its answer. `more`: lines of others.

    A figure that nobody signed lowers no gear, and nothing is cut before a signed result shows it low. Raises KeyError
    for a task that is none.
    """
    house = house_of(unit)
    care = worse_care(str(unit.answer.get("care", "")), unit.oil.care)
    work = work_of(together(on_record(unit), answers.said), answers.air, yard, shown=unit.oil.known == "low")
    lines = tuple(more)
    return [card(house, task, care, work, lines) for task in tasks]


def work_of(said: Mapping[str, str], air: str, yard: Mapping[str, Any], *, shown: bool) -> Work:
    """How a task is done in this yard. `shown`: a signed result shows the care."""
    return Work(shown=shown, said=said, air=air, policy=yard.get("air") or SUPPLIED)
