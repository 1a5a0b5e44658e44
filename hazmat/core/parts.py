"""An answer sorted for a page or a paper: what holds the unit, how strongly its class is known, what stands where.

Every sentence comes from the handling book; here is only decided which.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from hazmat.core.findings import Finding, finish
from hazmat.core.law import UNDETERMINED, Rulebook, Sentence
from hazmat.core.telling import NAMES
from hazmat.core.unitnow import ESTABLISHED, LOW_CARE, Known, UnitNow

Part = Literal["wear", "do_not", "take", "next"]
HEADS: tuple[Part, ...] = ("wear", "do_not", "take", "next")
STANDINGS = {
    "route": ("route_strip", "route_lifts"),
    "open": ("open_strip", "open_lifts"),
    "waits": ("waits_strip", "waits_lifts"),
    "signed_hold": ("signed_hold_strip", "signed_hold_lifts"),
    "signed_route": ("signed_route_strip", "route_lifts"),
    "released": ("released_strip", "released_lifts"),
    "gone": ("gone_strip", "gone_lifts"),
    "destroyed": ("destroyed_strip", "destroyed_lifts"),
    "disagree": ("hold_strip_disagree", "hold_lifts_disagree"),
    "close": ("hold_strip_close", "hold_lifts_close"),
    "no_law": ("hold_strip", "hold_lifts_no_law"),
    "sealed": ("hold_strip", "hold_lifts_sealed"),
    "both": ("hold_strip", "hold_lifts_both"),
    "not_proven": ("hold_strip", "hold_lifts"),
}
"""How a unit stands: the sentences of its strip, and of what would lift it."""
RESTS_ON = ("kind", "construction", "fluid", "built", "plate_words", "marks", "history", "service_records")
"""Facts on which an answer rests as long as nobody tested the oil."""
NEVER_SERVED = ("capacitor", "ballast", "drum")
"""Kinds whose liquid nobody tops up. Source: common practice, no source."""
ON_ITS_WAY = {
    "first_report": {"at_laboratory"}, "first_send": {"filled", "handed_on", "returned"}, "first_fill": {"labelled"},
}  # fmt: skip
"""What is said first while a bottle is on its way, by where it is; the furthest one counts."""
WITHOUT_LAW = ("no_rulebook", "not_in_force")
"""First reasons of an answer that no law decides."""
BASIS: Mapping[Known, str] = {"untested": "presumed", "low": ESTABLISHED, "high": ESTABLISHED}
"""As what an answer of a unit would rest on what is known of its oil."""


@dataclass(frozen=True)
class Hold:
    """What a strip says: whether the unit is held, the words, what would lift it.

    `lapsed`: that it was released and no longer is, else empty.
    """

    on: bool
    says: str
    lifts: str
    lapsed: str = ""


def part_of(act: str, house: Rulebook) -> Part:
    """Under which head an act is shown; one that the book of today no longer knows stands under what to do next."""
    return next((head for head in HEADS if head == house.parts.get(act)), "next")


def parts(tasks: Iterable[Mapping[str, str]], house: Rulebook) -> dict[str, list[Mapping[str, str]]]:
    """The next acts of an answer by head, in their order."""
    found: dict[str, list[Mapping[str, str]]] = {head: [] for head in HEADS}
    for task in tasks:
        found[part_of(task["act"], house)].append(task)
    return found


def take(unit: UnitNow, tasks: Iterable[Mapping[str, str]], house: Rulebook) -> list[Mapping[str, str]]:
    """Whether it may be taken, of these tasks; a low figure moves nothing while the unit is held."""
    told = list(tasks)
    low = unit.answer["basis"] == ESTABLISHED and unit.answer["care"] in LOW_CARE
    if not (unit.held and low) or unit.judged_line.get("state") == "leaking":
        return told
    says = finish(house.sentences["held_take"].says, {})
    return [{**task, "says": says} for task in told]


def first_step(tasks: Iterable[Mapping[str, str]], house: Rulebook) -> Mapping[str, str]:
    """The one act that comes first: by the order of the book, else the first of what to do next.

    Raises LookupError where an answer holds none.
    """
    told = list(tasks)
    for act in house.first:
        for task in told:
            if task["act"] == act:
                return task
    for task in told:
        if part_of(task["act"], house) == "next":
            return task
    raise LookupError("no act")


def first_of(unit: UnitNow, house: Rulebook, proved: bool) -> str:
    """What to do first with a unit, as a sentence: the first step of its answer, as far as nobody did it yet.

    `proved`: it was proved dead, with all that belongs to a proof. A result that waits for a signature and a bottle on
    its way stand in the place of the sample that was asked for.
    """
    tasks = open_tasks(unit.answer["next"], proved)
    step = first_step(tasks, house)
    if step["act"] in ("contain", "prove_dead"):
        return step["says"]
    name = f"first_{unit.waits}" if unit.waits else _on_its_way(unit) if step["act"] == "laboratory" else ""
    return finish(house.sentences[name].says, {}) if name else step["says"]


def open_tasks(tasks: Iterable[Mapping[str, str]], proved: bool) -> list[Mapping[str, str]]:
    """The next acts of an answer, without proving dead what is proved dead."""
    return [task for task in tasks if not (proved and task["act"] == "prove_dead")]


def _on_its_way(unit: UnitNow) -> str:
    """The sentence for the bottle that is furthest on its way to a result; empty where none is."""
    answered = {one.bottle for one in unit.counting}
    states = {one.state for one in unit.bottles if one.code not in answered}
    return next((says for says, of in ON_ITS_WAY.items() if states & of), "")


def hold(unit: UnitNow, house: Rulebook) -> Hold:
    """What holds a unit: the verdict that stands, else its answer; without a release it is held."""
    told = STANDINGS[_by_verdict(unit) or by_answer(unit.answer)]
    says, lifts = (finish(house.sentences[name].says, {}) for name in told)
    return Hold(unit.held, says, lifts, finish(house.sentences["lapsed"].says, {}) if unit.lapsed else "")


def lacking(unit: UnitNow, house: Rulebook) -> tuple[str, ...]:
    """What a release of this unit lacks, as sentences; none where it can be signed."""
    names = [] if unit.counting else ["lacks_result"]
    if unit.asks_hold:
        names.append(STANDINGS[by_answer(unit.answer)][1])
    return tuple(finish(house.sentences[name].says, {}) for name in names)


def _by_verdict(unit: UnitNow) -> str | None:
    """How it stands by what was signed, or by where it is; None where its answer says more."""
    stands, decided, waiting = unit.stands, unit.decided, unit.waiting
    if not unit.held:
        return stands
    if decided and decided.decision == "hold":
        return "signed_hold"
    if by_answer(unit.answer) == "route":
        return None
    if decided:
        return "signed_route"
    return "waits" if waiting and waiting.decision == "release" and not unit.asks_hold else None


def by_answer(answer: Mapping[str, Any]) -> str:
    """How a unit stands by its answer alone."""
    return _stands({task["act"] for task in answer["next"]}, answer["basis"], answer["because"][0]["key"])


def _stands(acts: set[str], basis: str, reason: str) -> str:
    """How it stands. `reason`: the key of the first reason of its answer."""
    if "pcb_route" in acts:
        return "route"
    if "hold" not in acts:
        return "open"
    if basis == "established":
        return "disagree" if "settle_figures" in acts else "close"
    if reason in WITHOUT_LAW:
        return "no_law"
    if "leave_sealed" in acts:
        return "both" if "laboratory" in acts else "sealed"
    return "not_proven"


def hands(answer: Mapping[str, Any], law: Rulebook | None, house: Rulebook) -> str:
    """How hands must take it, to stand beside a strength that names the class of the law alone; else empty."""
    if law is None or answer["class"] == UNDETERMINED:
        return ""
    return house.sentences["hands"].says.format_map({"class": house.class_words[answer["care"]].says})


def strength(answer: Mapping[str, Any], law: Rulebook | None, house: Rulebook) -> str:
    """How strongly which class is known, in one line: `Treat as …, not proven`.

    What no law decides is not known, and is treated as PCB; the care of hands stands beside it. The words go by the
    basis, and where the book has some for the first reason (a maker's document, somebody's word), by that.
    """
    if law is None or answer["class"] == UNDETERMINED:
        name, words = f"strength_{UNDETERMINED}", house.class_words[answer["care"]].says
    else:
        name, words = f"strength_{answer['basis']}", law.class_words[answer["class"]].says
        own = f"{name}_{answer['because'][0]['key']}"
        name = own if own in house.sentences else name
    return house.sentences[name].says.format_map({"class": words})


def oil_strength(klass: str, care: str, known: Known, law: Rulebook | None, house: Rulebook) -> str:
    """How strongly which class of oil is known, for whoever pours it or meets it in a drum or in gear."""
    return strength(oil_answer(klass, care, known), law, house)


def oil_answer(klass: str, care: str, known: Known) -> dict[str, Any]:
    """What is known of oil, as the answer of a unit would say it."""
    return {"class": klass, "care": care, "basis": BASIS[known], "because": [{"key": ""}]}


def cautions(unit: UnitNow, house: Rulebook) -> tuple[str, ...]:
    """What is said of the place, of a stain, of heights, guessed masses and screens, where it fits this unit."""
    line = unit.judged_line
    fits = {
        "found_in_place": unit.arrival == "found",
        "old_stain": unit.leak != "none",
        "fuse": line.get("mounting") == "pole",
        "estimated_mass": "gross_mass_kg" in line and unit.sources.get("gross_mass_kg") != "seen",
        "screen_only": unit.answer["basis"] != "established" and _screened(line),
    }
    return tuple(finish(house.sentences[name].says, {}) for name, fit in fits.items() if fit)


def _screened(line: Mapping[str, Any]) -> bool:
    return any(test["how"] == "screen" for test in line.get("tests", ()))


def beside(unit: UnitNow, house: Rulebook) -> tuple[Finding, ...]:
    """What stands beside the reasons of an answer as long as no laboratory showed its class.

    That nobody tested it; that nobody knows what its oil was topped up with; which of the facts it rests on nobody saw.
    """
    if unit.answer["basis"] == ESTABLISHED or not unit.answer["because"]:
        return ()
    line = unit.judged_line
    told = [(key, unit.sources.get(key)) for key in RESTS_ON]
    unseen = [f"{NAMES[key][0]} ({source})" for key, source in told if source in ("said", "guessed")]
    tested = any(one["how"] == "laboratory" for one in line.get("tests") or ())
    served = line.get("service_records") != "all" and line["kind"] not in NEVER_SERVED
    found = [
        *([] if tested else [("beside_untested", "")]),
        *([("beside_served", "")] if served else []),
        *([("beside_unseen", ", ".join(unseen))] if unseen else []),
    ]
    return tuple(_found(house.sentences[name], facts) for name, facts in found)


def _found(one: Sentence, facts: str) -> Finding:
    return Finding(one.key, finish(one.says, {"facts": facts}), one.cite.document, one.cite.basis)
