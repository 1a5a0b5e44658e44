"""Every word of the emergency sheet of a yard and of the list of a job, frozen; names and numbers are in the aside."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Protocol
from zoneinfo import ZoneInfo

from hazmat import rulebooks
from hazmat.core import accident
from hazmat.core.codes import spaced
from hazmat.core.measures import day_words, moment_words
from hazmat.core.training import WORDS, Let
from hazmat.core.unitnow import UnitNow
from hazmat.edge.story import story
from hazmat.papers.frame import Made, frame, law_of_yard, made, said

SHEET, LIST = "emergency_sheet", "toolbox_list"
TITLES = {SHEET: "Emergency sheet", LIST: "List of a job"}
BOXES = {
    "numbers": "Emergency number", "assembly": "Where we meet", "hospital": "Nearest hospital",
    "network": "Electricity network", "regulator": "Regulator, by day and night", "first_aiders": "First-aiders",
}  # fmt: skip
"""The boxes of the sheet, in order, each printed empty where nothing was typed."""
SECTIONS = {
    "shock": "Electric shock", "fire": "Fire with oil", "spill": "Spill", "splash": "Eye, skin, mouth, breath",
    "missing": "Somebody is not back",
}  # fmt: skip
PARTS = {"works": "works", "looks_on": "looks on"}
READ = {"self": "read the card", "leader": "read the card, ticked by the leader"}


@dataclass(frozen=True, kw_only=True)
class Card:
    """What a yard wrote down for an emergency: id of the record, and the words by box."""

    id: str
    words: Mapping[str, str] = field(default_factory=dict)


class Signed(Protocol):
    """Somebody at a job, as a list prints it."""

    @property
    def person(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def part(self) -> str: ...
    @property
    def read(self) -> str: ...
    @property
    def at(self) -> datetime: ...
    @property
    def left_at(self) -> datetime | None: ...


class Job(Protocol):
    """A job, as a list prints it."""

    @property
    def id(self) -> str: ...
    @property
    def work(self) -> str: ...
    @property
    def on(self) -> Any: ...
    @property
    def first_aid(self) -> bool: ...
    @property
    def signed(self) -> Sequence[Signed]: ...


def emergency_sheet(card: Card | None, yard: Mapping[str, str], number: str, at: datetime, by: str) -> Made:
    """The emergency sheet as at an instant. `by`: the name of the person who issues it."""
    on = at.astimezone(ZoneInfo(yard["zone"])).date()
    payload = {
        **frame(SHEET, TITLES[SHEET], yard, number, at), "of": {"what": "yard"},
        **sheet_says(card, yard, at), "law": law_of_yard(yard, on),
    }  # fmt: skip
    return made(payload, {f"box_{key}": word for key, word in (card.words if card else {}).items()}, yard, by)


def sheet_says(card: Card | None, yard: Mapping[str, Any], at: datetime) -> dict[str, Any]:
    """What a sheet says; where any of it no longer holds, it is to be printed anew."""
    house = rulebooks.house(at.astimezone(ZoneInfo(yard["zone"])).date())
    sections = [
        {"title": title, "says": [one.says for one in found], "cite": "; ".join(dict.fromkeys(o.cite for o in found))}
        for key, title in SECTIONS.items()
        for found in (accident.listed(f"emergency_{key}_", house),)
    ]
    boxes = [{"key": f"box_{key}", "name": name} for key, name in BOXES.items()]
    first, after = said("emergency_first"), said("emergency_after")
    return {"card": card.id if card else "", "boxes": boxes, "first": first, "sections": sections, "after": after}


def toolbox_list(
    job: Job, unit: UnitNow, let: Mapping[str, Sequence[Let]], yard: Mapping[str, str], number: str, at: datetime,
    by: str,
) -> Made:  # fmt: skip
    """The list of a job as at an instant: the unit, the card, who is there, and lines for hands.

    `let`: by id of a person what was let go ahead that day although training had run out.
    """
    zone, words = ZoneInfo(yard["zone"]), story(unit, yard)
    rows, private = [], {}
    for place, one in enumerate(job.signed, 1):
        private[f"name_{place}"] = one.name
        own = let.get(one.person, [])
        rows.append({
            "key": f"name_{place}", "part": PARTS[one.part], "read": READ[one.read],
            "at": moment_words(one.at.astimezone(zone)),
            "left": moment_words(one.left_at.astimezone(zone)) if one.left_at else "",
            "let": f"training had run out; let go ahead today: {own[-1].why}" if own else "",
        })  # fmt: skip
    payload = {
        **frame(LIST, TITLES[LIST], yard, number, at), "of": {"what": "crew", "crew": job.id, "tag": unit.tag},
        "work": WORDS[job.work], "on": day_words(job.on), "unit": spaced(unit.tag),
        "strength": words.strength, "hands": words.hands, "wear": [one["says"] for one in words.wear],
        "do_not": [one["says"] for one in words.do_not], "rows": rows, "list": said("crew_list"),
        "card": said("crew_card"), "first_aid": "" if job.first_aid else said("crew_first_aid"),
        "law": law_of_yard(yard, at.astimezone(zone).date()),
    }  # fmt: skip
    return made(payload, {key: word for key, word in private.items() if word}, yard, by)
