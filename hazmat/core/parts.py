"""An answer sorted for a page or a paper: what holds the unit, how strongly its class is known, what stands where.

Every sentence comes from the handling book; here is only decided which.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from hazmat.core.findings import finish
from hazmat.core.law import UNDETERMINED, Rulebook

Part = Literal["wear", "do_not", "take", "next"]
HEADS: tuple[Part, ...] = ("wear", "do_not", "take", "next")
FIRST = ("contain", "prove_dead", "leave_sealed", "pcb_route", "settle_figures", "laboratory")
"""Which act is told first, where several are to be done."""


@dataclass(frozen=True)
class Hold:
    """What a strip says: whether the unit is held, the words, and what would lift it."""

    on: bool
    says: str
    lifts: str


def part_of(act: str, house: Rulebook) -> str:
    """Under which head an act is shown; one that the book of today no longer knows stands under what to do next."""
    return house.parts.get(act, "next")


def parts(tasks: Iterable[Mapping[str, str]], house: Rulebook) -> dict[str, list[Mapping[str, str]]]:
    """The next acts of an answer by head, in their order."""
    found: dict[str, list[Mapping[str, str]]] = {head: [] for head in HEADS}
    for task in tasks:
        found[part_of(task["act"], house)].append(task)
    return found


def first_step(tasks: Iterable[Mapping[str, str]], house: Rulebook) -> Mapping[str, str]:
    """The one act that comes first. Raises LookupError where an answer holds none."""
    known = {task["act"]: task for task in reversed(list(tasks))}
    for act in FIRST:
        if act in known:
            return known[act]
    for task in known.values():
        if part_of(task["act"], house) == "next":
            return task
    raise LookupError("no act")


def hold(answer: Mapping[str, Any], house: Rulebook) -> Hold:
    """What holds a unit, from its answer: not proven, disagreeing, the PCB route, or nothing but a release."""
    acts = {task["act"] for task in answer["next"]}
    if "pcb_route" in acts:
        return Hold(True, *_said(house, "route_strip", "route_lifts"))
    if "hold" not in acts:
        return Hold(False, *_said(house, "open_strip", "open_lifts"))
    if answer["basis"] == "established":
        return Hold(True, *_said(house, "hold_strip_disagree", "hold_lifts_disagree"))
    sealed = "leave_sealed" in acts and "laboratory" not in acts
    return Hold(True, *_said(house, "hold_strip", "hold_lifts_sealed" if sealed else "hold_lifts"))


def _said(house: Rulebook, *names: str) -> tuple[str, ...]:
    return tuple(finish(house.sentences[name].says, {}) for name in names)


def strength(answer: Mapping[str, Any], law: Rulebook | None, house: Rulebook) -> str:
    """How strongly which class is known, in one line: `Treat as …, not proven`.

    What no law decides is told by the safety band: not known, treated as PCB.
    """
    if law is None or answer["class"] == UNDETERMINED:
        basis, words = UNDETERMINED, house.class_words[answer["care"]].says
    else:
        basis, words = answer["basis"], law.class_words[answer["class"]].says
    return house.sentences[f"strength_{basis}"].says.format_map({"class": words})
