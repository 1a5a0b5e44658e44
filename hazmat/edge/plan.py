"""The plan of sampling a unit of the book: what it lacks, the steps, what stands beside them, its oil spaces."""

from dataclasses import dataclass
from datetime import date

from hazmat import rulebooks
from hazmat.core import sampling
from hazmat.core.facts import TANK
from hazmat.core.findings import Finding
from hazmat.core.telling import ASKED
from hazmat.core.unitnow import UnitNow
from hazmat.edge.one import read_unit
from hazmat.edge.story import NO_SAMPLE, Tasks, proved_word, steps_of

WHOLE_ANSWER = "whole_answer"
"""The row that speaks against any sample; it stands first."""


@dataclass(frozen=True)
class SpaceLine:
    """An oil space on the plan: its name, whether it can be sampled, and the codes of bottles that wait for its oil."""

    name: str
    sealed: bool
    bottles: tuple[str, ...]


@dataclass(frozen=True)
class Plan:
    """`lacks`: what a proof of death still lacks, in words; `first`: what speaks against a sample; `beside`: the rest.

    Without a whole proof, and of what is sealed, there are no steps but the one that says so.
    """

    lacks: tuple[str, ...]
    first: tuple[Finding, ...]
    steps: Tasks
    beside: tuple[Finding, ...]
    spaces: tuple[SpaceLine, ...]

    @property
    def ready(self) -> bool:
        """Whether anything is to be sampled."""
        return not {step["act"] for step in self.steps} <= NO_SAMPLE


def plan_of(unit: UnitNow, place: str) -> Plan:
    """The plan as at the law day of the answer of a unit; `place`: the yard's own country code."""
    house = rulebooks.house(date.fromisoformat(unit.answer["on"]))
    facts = read_unit({"found_in": place, **unit.judged_line}, unit.tag, date.max)
    columns = sampling.step_facts(facts, unit.answer, proved_word(unit), house)
    told = [
        Finding(one.key, one.finished(house.words), one.cite.document, one.cite.basis)
        for one in sampling.plan(columns, facts, house)
    ]
    steps = steps_of(unit, place)
    ready = not {step["act"] for step in steps} <= NO_SAMPLE
    return Plan(
        lacks=_lacks(unit) if any(step["act"] == "not_proved" for step in steps) else (),
        first=tuple(one for one in told if one.key == WHOLE_ANSWER), steps=steps,
        beside=tuple(one for one in told if one.key != WHOLE_ANSWER) if ready else (), spaces=_spaces(unit),
    )  # fmt: skip


def _lacks(unit: UnitNow) -> tuple[str, ...]:
    """What a proof of death still lacks: everything, where nobody wrote one down."""
    proved = unit.proved
    if proved is None or proved.dead != "yes":
        return ("Proved dead by a competent person", *ASKED.values())
    return tuple(name for key, name in ASKED.items() if getattr(proved, key) is not True)


def _spaces(unit: UnitNow) -> tuple[SpaceLine, ...]:
    """Each oil space that is still on it, with its bottles that nobody filled yet."""
    sealed = {str(one["name"]) for one in unit.line.get("spaces") or () if one.get("sealed")}
    names = [name for name in dict.fromkeys((TANK, *unit.oil_spaces.values())) if name not in unit.spaces_off]
    empty = [one for one in unit.bottles if one.filled_at is None and one.unbroken]
    return tuple(
        SpaceLine(name, name in sealed, tuple(one.code for one in empty if unit.oil_spaces[one.space] == name))
        for name in names
    )
