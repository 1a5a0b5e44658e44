"""A unit in words for its page: what holds it, what to wear, what not to do, what to do next."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from hazmat import rulebooks
from hazmat.core import parts, sampling, telling
from hazmat.core.bulk import CARE
from hazmat.core.findings import Finding
from hazmat.core.gear import worn_for
from hazmat.core.unitnow import Dead, UnitNow
from hazmat.core.weigh import as_words, weigh
from hazmat.edge.conditions import cautions_of
from hazmat.edge.one import read_unit, seen
from hazmat.edge.places import called

UNPROVED, TO_SAMPLE = "not_proved", "wear_to_sample"
"""The step that stands alone where nobody proved a unit dead; the gear that is then not yet told."""

NO_SAMPLE = frozenset((UNPROVED, "sealed"))
"""Steps that say why nothing is sampled."""

PLACES = ("found_in", "made_in")
"""Facts that are codes of countries, perhaps with a state."""

Tasks = tuple[Mapping[str, str], ...]


@dataclass(frozen=True)
class Story:
    """What the page of a unit says about it, in the order in which it is read.

    `hands`: how hands take it, empty where the strength says that already; `wear`, `do_not`, `take`, `next`: tasks of
    the answer by their part; `steps`: how to sample, or the one sentence that says why no steps are given; `first`: the
    first thing to do; `cautions`: what else is said of a unit like this; `beside`: what stands beside its reasons;
    `by_tests`: what the condition tests of its oil ask for.
    """

    strength: str
    hands: str
    hold: parts.Hold
    wear: Tasks
    do_not: Tasks
    take: Tasks
    next: Tasks
    first: str
    steps: Tasks
    cautions: tuple[str, ...]
    beside: tuple[Finding, ...]
    by_tests: tuple[str, ...]


def proved_word(unit: UnitNow) -> Dead:
    """Whether the unit was proved dead: yes, no or unknown; a proof that lacks a part of it is not known to be one."""
    if unit.proved is None or (unit.proved.dead == "yes" and not unit.proved.whole):
        return "unknown"
    return unit.proved.dead


def on_record(unit: UnitNow) -> list[dict[str, str]]:
    """Each fact of a unit as pages and papers list it: a country by its name beside its code."""
    places = [telling.NAMES[key][0] for key in PLACES]
    return [one | {"value": called(one["value"])} if one["name"] in places else one for one in telling.facts(unit)]


def steps_of(unit: UnitNow, place: str) -> Tasks:
    """How to sample this unit as at the law day of its assessment; `place`: the yard's own country code."""
    on = date.fromisoformat(unit.answer["on"])
    house = rulebooks.house(on)
    facts = read_unit({"found_in": place, **unit.judged_line}, unit.tag, date.max)
    columns = sampling.step_facts(facts, unit.answer, proved_word(unit), house)
    return tuple({"act": one.key, "says": one.finished({})} for one in sampling.steps(columns, house))


def sampling_refused(unit: UnitNow, place: str) -> str:
    """Why no steps of sampling are given for this unit, in a sentence; empty where they are."""
    steps = steps_of(unit, place)
    return steps[0]["says"] if {step["act"] for step in steps} <= NO_SAMPLE else ""


def screens_of(unit: UnitNow, place: str) -> list[dict[str, Any]]:
    """Its screens, the latest first; each that counts with what it says as at the law day of the last answer."""
    if not unit.screens:
        return []
    facts, judge = seen(unit, place)
    told = judge.test_by_test(facts)
    first = len(unit.line.get("tests") or ())
    says = {one.id: told[f"tests[{first + n}]"] for n, one in enumerate(unit.counting_screens)}
    return [{"screen": one, "says": says.get(one.id, "")} for one in reversed(unit.screens)]


def figure(told: Mapping[str, Any]) -> str:
    """The figure of a test as reported, with its uncertainty: `62 mg/kg ± 10 %`, `less than 2 mg/kg`."""
    (test,) = read_unit({"kind": "other", "tests": [told]}, "figure", date.max).tests
    weighed = weigh(test, rulebooks.house(date.max))
    return as_words(test, weighed) if weighed else "no figure and no reporting limit"


def story(unit: UnitNow, yard: Mapping[str, Any]) -> Story:
    """The words of a unit's page."""
    house = rulebooks.rulebook(rulebooks.HANDLING)
    answer = unit.answer
    law = rulebooks.law(answer.get("rulebook"))
    proved = proved_word(unit) == "yes"
    sorted_ = parts.parts(parts.open_tasks(answer["next"], proved), house)
    steps = steps_of(unit, yard["state"] or yard["country"].upper())
    if {step["act"] for step in steps} == {UNPROVED}:
        sorted_["wear"] = [task for task in sorted_["wear"] if task["act"] != TO_SAMPLE]
    return Story(
        strength=parts.strength(answer, law, house), hands=parts.hands(answer, law, house),
        hold=parts.hold(unit, house),
        wear=_wear(unit, sorted_["wear"]), do_not=tuple(sorted_["do_not"]),
        take=tuple(parts.take(unit, sorted_["take"], house)),
        next=tuple(sorted_["next"]), first=parts.first_of(unit, house, proved),
        steps=steps, cautions=parts.cautions(unit, house), beside=parts.beside(unit, house), by_tests=cautions_of(unit),
    )  # fmt: skip


def _wear(unit: UnitNow, tasks: Iterable[Mapping[str, str]]) -> Tasks:
    """What to wear, by what its oil counts as where that asks for more care: a figure nobody signed lowers no gear."""
    if CARE.index(unit.oil.care) <= CARE.index(unit.answer["care"]):
        return tuple(tasks)
    day = rulebooks.house(date.fromisoformat(unit.answer["on"]))
    return worn_for(tasks, unit.oil.care, unit.judged_line.get("state") == "leaking", day)
