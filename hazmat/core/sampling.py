"""How to sample: the rows of the handling book that what is known asks for. Without proof of death there are none."""

from collections.abc import Collection, Mapping
from typing import Any

from hazmat.core.bulk import put_in
from hazmat.core.facts import TANK, Unit
from hazmat.core.findings import Reason, of_act
from hazmat.core.gear import reach_of
from hazmat.core.law import LawDay
from hazmat.core.unitnow import Dead

HEAVY = ("sinks", "plate_pcb", "askarel_said")
"""Reasons of an answer that speak for a liquid heavier than water; a density above that of water is `sinks`."""
MAYBE_HEAVY = ("plate_bare", "plate_stays", "pcb_mark", "contaminated_mark")
"""Reasons that leave it open: a mark or a name that may be of an earlier filling, or of a light oil with PCB in it."""
LIGHT = ("mineral", "ester", "silicone")
"""Fluids that float on water."""
STATES = ("leaking", "drained")


def steps(facts: Mapping[str, str], house: LawDay) -> tuple[Reason, ...]:
    """The steps, in order. `facts`: a value for each column of the steps."""
    return tuple(of_act(step) for step in house.book.steps if step.wanted(facts))


def plan(facts: Mapping[str, str], unit: Unit, house: LawDay) -> tuple[Reason, ...]:
    """What stands beside the steps on the plan that goes along to the unit. `facts`: the columns of the steps."""
    changed = any(put_in(event) for event in unit.history)
    asked = {"reach": facts["reach"], "heavy": facts["heavy"], "filled": "changed" if changed else "as_made"}
    return tuple(of_act(row) for row in house.book.plan if row.wanted(asked))


def step_facts(unit: Unit, answer: Mapping[str, Any], proved: Dead, house: LawDay) -> dict[str, str]:
    """The columns of the steps, from the facts of a unit, its answer and whether it was proved dead."""
    spaces = [(space.kind or unit.kind, bool(space.sealed)) for space in unit.spaces]
    if TANK not in {space.name for space in unit.spaces}:
        spaces.append((unit.kind, False))
    return {
        "proved": proved,
        "reach": reach_of(spaces, house),
        "care": answer["care"],
        "heavy": _heavy(unit, {reason["key"] for reason in answer["because"]}),
        "state": unit.state if unit.state in STATES else "other",
    }


def _heavy(unit: Unit, reasons: Collection[str]) -> str:
    """Whether the liquid is heavier than water; whatever was put in since leaves it open, and so does a doubt."""
    if any(put_in(event) for event in unit.history):
        return "maybe"
    if any(one in reasons for one in HEAVY):
        return "yes"
    light = unit.fluid in LIGHT and not any(one in reasons for one in MAYBE_HEAVY)
    return "no" if light else "maybe"
