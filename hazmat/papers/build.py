"""Every word of a paper of a unit or of one of its bottles, frozen."""

from collections.abc import Callable, Mapping
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from hazmat.core.bulk import CARE
from hazmat.core.telling import ASKED, NOT_KNOWN, kind_word
from hazmat.core.trail import BottleNow
from hazmat.core.unitnow import UnitNow
from hazmat.edge.plan import plan_of
from hazmat.edge.story import Story, on_record, story
from hazmat.papers.frame import Made, frame, law_words, local_moment, made, owed, reasons, said, strip_words
from hazmat.papers.gearsheet import Cards, cards_in, sheet_says
from hazmat.papers.letter import owner_letter

DRUM = "drum"
"""The kind that is no electrical equipment."""
TITLES = {
    "site_sheet": "Site sheet", "notice": "Notice", "unit_tag": "Unit tag", "bottle_label": "Bottle label",
    "owner_letter": "Letter to the owner", "gear_card": "Gear cards",
    "sampling_plan": "Sampling plan",
}  # fmt: skip
PICTURES = "pictures"
"""How many photographs there were: more of them change nothing that a paper says."""
PRIVATE = {
    "site_sheet": ("where", "owner", "owner_phone", "consent", "access", "seller", "proved_by"),
    "notice": ("owner_phone", "where"),
    "unit_tag": (),
    "bottle_label": (),
    "owner_letter": ("owner", "where"),
    "gear_card": (),
    "sampling_plan": ("where", "access", "proved_by"),
}  # fmt: skip
"""Which personal words a paper carries."""


def payload(
    kind: str, unit: UnitNow, yard: Mapping[str, str], aside: Mapping[str, str], number: str, at: datetime, by: str,
    bottle: BottleNow | None = None, called: Mapping[str, str] | None = None, cards: Cards | None = None,
) -> Made:  # fmt: skip
    """A paper of a unit or of one of its bottles, as at an instant. `by`: the name of the person who issues it.

    `called`: what people are called, by id: those who signed the verdict that a letter names; `cards`: which gear
    cards stand on a sheet. Raises KeyError.
    """
    words = story(unit, yard)
    zone = ZoneInfo(yard["zone"])
    head: dict[str, Any] = {
        **frame(kind, TITLES[kind], yard, number, at),
        "tag": unit.tag, **_head(unit, words),
        "law": _law(unit, zone), "not_isolation": said("not_isolation_tag"),
    }  # fmt: skip
    private = {key: str(aside[key]) for key in _carried(kind, unit) if aside.get(key)}
    body = sheet_says(unit, yard, cards) if cards else BODIES[kind](unit, words, yard)
    if bottle:
        space = unit.oil_spaces[bottle.space]
        body |= {"bottle": bottle.code, "space": space, "labelled": local_moment(bottle.labelled_at, zone)}
    private |= {key: called[id] for key, id in body.pop("signers", {}).items() if called and id in called}
    return made({**head, **body}, private, yard, by)


def _head(unit: UnitNow, words: Story) -> dict[str, Any]:
    """What every paper says of how a unit stands."""
    return {
        "kind": kind_word(unit.line.get("kind")), "count": str(unit.line.get("count", 1)),
        "band": unit.answer["band"], "care": unit.answer["care"], "basis": unit.answer["basis"],
        "strength": words.strength, "hands": words.hands, "hold": strip_words(words.hold),
    }  # fmt: skip


def unit_says(kind: str, unit: UnitNow, yard: Mapping[str, str], frozen: Mapping[str, Any]) -> dict[str, Any]:
    """What a paper of this kind says of a unit as it stands, less what tells of its own making.

    `frozen`: the words that it was issued with, which name the gear cards of a sheet.
    """
    words = story(unit, yard)
    body = sheet_says(unit, yard, cards_in(frozen)) if "cards" in frozen else BODIES[kind](unit, words, yard)
    return {**_head(unit, words), **{key: says for key, says in body.items() if key != PICTURES}}


def _carried(kind: str, unit: UnitNow) -> tuple[str, ...]:
    """The personal words that this paper of this unit carries.

    What came through the gate stands here: that place is no address of its owner, so no letter is addressed to it.
    """
    at_gate = kind == "owner_letter" and unit.arrival == "gate"
    return tuple(key for key in PRIVATE[kind] if not (at_gate and key == "where"))


def _law(unit: UnitNow, zone: ZoneInfo) -> dict[str, str]:
    """Rulebook, edition and day of the answer."""
    answer = unit.answer
    told = law_words(answer["rulebook"], answer["edition"], date.fromisoformat(answer["on"]))
    return {**told, "assessed": local_moment(unit.assessed_at, zone)}


def _site_sheet(unit: UnitNow, words: Story, yard: Mapping[str, str]) -> dict[str, Any]:
    zone = ZoneInfo(yard["zone"])
    return {
        "arrival": "at the gate" if unit.arrival == "gate" else "found in place",
        "met": local_moment(unit.logged_at, zone),
        "facts": on_record(unit),
        "because": reasons(unit.answer),
        "wear": _says(words.wear), "do_not": _says(words.do_not), "take": _says(words.take), "next": _says(words.next),
        "first": words.first, "steps": _says(words.steps), "proved": _proved(unit, zone),
        "duties": owed(unit.answer),
        PICTURES: str(len(unit.photographs)),
        "cautions": [*words.by_tests, *words.cautions],
        "boxes": ["Looked at by", "Told to (owner, yard)", "Read against the report by"],
    }  # fmt: skip


def _proved(unit: UnitNow, zone: ZoneInfo) -> dict[str, Any]:
    """Whether it was proved dead, in words, and what was looked at."""
    told = unit.proved
    if told is None or told.dead != "yes":
        nobody = "Nobody has written down that it was proved dead"
        return {"says": "NOT proved dead" if told and told.dead == "no" else nobody, "told": []}
    asked = [(name, getattr(told, key)) for key, name in ASKED.items()]
    answers = [f"{name}: {NOT_KNOWN if value is None else 'yes' if value else 'no'}" for name, value in asked]
    more = [f"{name}: {word}" for name, word in (("Permit", told.permit), ("Approach", told.approach)) if word]
    proved = "Proved dead" if told.whole else "Said to be proved dead"
    return {"says": f"{proved}, {local_moment(told.happened_at, zone)}: {told.how}", "told": [*answers, *more]}


def _notice(unit: UnitNow, words: Story, yard: Mapping[str, str]) -> dict[str, Any]:
    of = "_of_drum" if unit.line.get("kind") == DRUM else ""
    names = {"do_not": "", "what": of, "stay_away": of, "call": ""}
    return {name: said(f"notice_{name}{end}").rstrip(".") for name, end in names.items()}


def _unit_tag(unit: UnitNow, words: Story, yard: Mapping[str, str]) -> dict[str, Any]:
    told = {"arrival": "at the gate" if unit.arrival == "gate" else "found in place"}
    return told | ({"mark": said("mark_reminder")} if unit.oil.care == CARE[-1] else {})


def _sampling_plan(unit: UnitNow, words: Story, yard: Mapping[str, str]) -> dict[str, Any]:
    zone, plan = ZoneInfo(yard["zone"]), plan_of(unit, yard["state"] or yard["country"].upper())
    return {
        "first": [one.says for one in plan.first], "lacks": list(plan.lacks), "ready": plan.ready,
        "wear": _says(words.wear), "steps": _says(plan.steps), "proved": _proved(unit, zone),
        "beside": [{"says": one.says, "cite": one.cite} for one in plan.beside],
        "spaces": [{"name": one.name, "sealed": one.sealed, "bottles": list(one.bottles)} for one in plan.spaces],
        "do_not": said("before_oil"),
    }  # fmt: skip


def _bottle_label(unit: UnitNow, words: Story, yard: Mapping[str, str]) -> dict[str, Any]:
    return {}


def _says(tasks: tuple[Mapping[str, str], ...]) -> list[str]:
    return [task["says"] for task in tasks]


BODIES: dict[str, Callable[[UnitNow, Story, Mapping[str, str]], dict[str, Any]]] = {
    "site_sheet": _site_sheet, "notice": _notice, "unit_tag": _unit_tag, "bottle_label": _bottle_label,
    "owner_letter": owner_letter, "sampling_plan": _sampling_plan,
}  # fmt: skip
