"""How to sample: the rows of the handling book that what is known asks for. Without proof of death there are none."""

from collections.abc import Iterable, Mapping
from typing import Any

from hazmat.core.evidence import WATER_KG_L
from hazmat.core.facts import TANK, Unit
from hazmat.core.findings import Reason, of_act
from hazmat.core.gear import reach_of
from hazmat.core.law import LawDay
from hazmat.core.unitnow import Dead

SINKING = ("sinks", "plate_pcb", "plate_bare", "askarel_said", "plate_stays")
"""Reasons of an answer that speak for a liquid heavier than water."""
LIGHT = ("mineral", "ester", "silicone")
"""Fluids that float on water."""


def steps(facts: Mapping[str, str], house: LawDay) -> tuple[Reason, ...]:
    """The steps, in order. `facts`: a value for each column of the steps."""
    return tuple(of_act(step) for step in house.book.steps if step.wanted(facts))


def step_facts(unit: Unit, answer: Mapping[str, Any], proved: Dead, house: LawDay) -> dict[str, str]:
    """The columns of the steps, from the facts of a unit, its answer and whether it was proved dead."""
    spaces = [(space.kind or unit.kind, bool(space.sealed)) for space in unit.spaces]
    if TANK not in {space.name for space in unit.spaces}:
        spaces.append((unit.kind, False))
    return {
        "proved": proved,
        "reach": reach_of(spaces, house),
        "care": answer["care"],
        "heavy": _heavy(unit, [reason["key"] for reason in answer["because"]]),
        "state": unit.state if unit.state in ("leaking", "drained") else "other",
    }


def _heavy(unit: Unit, keys: Iterable[str]) -> str:
    """Whether the liquid is heavier than water: what was said of a first filling leaves it open."""
    dense = [unit.density_kg_l, *(test.density_kg_l for test in unit.tests)]
    if any(key.rpartition(" ")[2] in SINKING or key in SINKING for key in keys):
        return "yes"
    if any(one is not None and one > WATER_KG_L for one in dense):
        return "yes"
    changed = any(event.what != "drained" for event in unit.history)
    return "no" if unit.fluid in LIGHT and not changed else "maybe"
