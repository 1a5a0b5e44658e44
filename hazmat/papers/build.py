"""Every word of a paper, frozen: plain data that can be hashed, printed and read again without any rulebook.

People's words (names, telephones, places) stand apart, in the aside; the payload names only which there are.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from typing import Any
from zoneinfo import ZoneInfo

from hazmat import rulebooks
from hazmat.book.canonical import canonical
from hazmat.core.codes import code_of
from hazmat.core.findings import finish
from hazmat.core.measures import day_words, moment_words
from hazmat.core.telling import ASKED, HOW_KNOWN, NOT_KNOWN, facts, kind_word
from hazmat.core.trail import BottleNow
from hazmat.core.unitnow import UnitNow
from hazmat.edge.story import Story, story

DRUM = "drum"
"""The kind that is no electrical equipment."""
FORM = "1"
"""The shape of a payload. Another shape would get another number. Source: our own."""
TITLES = {"site_sheet": "Site sheet", "notice": "Notice", "unit_tag": "Unit tag", "bottle_label": "Bottle label"}
LETTER = ("us",)
"""Countries whose paper is letter and not A4. Source: common practice, no source."""
PRIVATE = {
    "site_sheet": ("where", "owner", "owner_phone", "consent", "access", "seller", "proved_by"),
    "notice": ("owner_phone", "where"),
    "unit_tag": (),
    "bottle_label": (),
}  # fmt: skip
"""Which personal words a paper carries."""


@dataclass(frozen=True)
class Made:
    """A paper's payload, and the personal words that go with it."""

    payload: dict[str, Any]
    aside: dict[str, str]


def code(payload: Mapping[str, Any]) -> str:
    """The check code of a payload: ten characters of its SHA-256 and a check character."""
    return code_of(sha256(canonical(payload)).hexdigest())


def payload(
    kind: str, unit: UnitNow, yard: Mapping[str, str], aside: Mapping[str, str], number: str, at: datetime, by: str,
    bottle: BottleNow | None = None,
) -> Made:  # fmt: skip
    """A paper of a unit or of one of its bottles, as at an instant. `by`: the name of the person who issues it.

    Raises KeyError for a kind.
    """
    words = story(unit, yard)
    zone = ZoneInfo(yard["zone"])
    head: dict[str, Any] = {
        "form": FORM, "paper": kind, "title": TITLES[kind], "number": number,
        "made": _moment(at.isoformat(), zone), "zone": yard["zone"],
        "size": "letter" if yard["country"] in LETTER else "A4",
        "yard": {key: yard[key] for key in ("name", "code", "country", "state", "keeps")},
        "tag": unit.tag, "kind": kind_word(unit.line.get("kind")), "count": str(unit.line.get("count", 1)),
        "band": unit.answer["band"], "care": unit.answer["care"], "basis": unit.answer["basis"],
        "strength": words.strength, "hands": words.hands,
        "hold": {"on": words.hold.on, "says": words.hold.says, "lifts": _lifts(words)},
        "law": _law(unit, zone), "not_isolation": _said("not_isolation_tag"), "caution": _said("sheet_caution"),
    }  # fmt: skip
    private = {key: str(aside[key]) for key in PRIVATE[kind] if aside.get(key)}
    body = BODIES[kind](unit, words, yard)
    if bottle:
        space = unit.oil_spaces[bottle.space]
        body |= {"bottle": bottle.code, "space": space, "labelled": _moment(bottle.labelled_at, zone)}
    private |= {"by": by, **({"phone": yard["phone"]} if yard.get("phone") else {})}
    return Made({**head, **body, "private": sorted(private)}, private)


def _moment(instant: str, zone: ZoneInfo) -> str:
    """An instant as the clock of the yard shows it: `7 Mar 2026, 14:30`."""
    return moment_words(datetime.fromisoformat(instant).astimezone(zone))


def _lifts(words: Story) -> str:
    """What would lift its hold; before that, that it was released and no longer is."""
    return " ".join(filter(None, (words.hold.lapsed, words.hold.lifts)))


def _said(name: str) -> str:
    return finish(rulebooks.rulebook(rulebooks.HANDLING).sentences[name].says, {})


def _law(unit: UnitNow, zone: ZoneInfo) -> dict[str, str]:
    """Rulebook, edition and day of the answer."""
    answer = unit.answer
    on = datetime.fromisoformat(answer["on"]).date()
    return {
        "rulebook": answer["rulebook"] or "none held for this place", "edition": answer["edition"] or "none",
        "on": day_words(on), "assessed": _moment(unit.assessed_at, zone),
    }  # fmt: skip


def _site_sheet(unit: UnitNow, words: Story, yard: Mapping[str, str]) -> dict[str, Any]:
    zone = ZoneInfo(yard["zone"])
    return {
        "arrival": "at the gate" if unit.arrival == "gate" else "found in place",
        "met": _moment(unit.logged_at, zone),
        "facts": facts(unit),
        "because": [
            {"says": one["says"], "cite": one["cite"], "basis": HOW_KNOWN[one["basis"]]}
            for one in unit.answer["because"]
        ],
        "wear": _says(words.wear), "do_not": _says(words.do_not), "take": _says(words.take), "next": _says(words.next),
        "first": words.first, "steps": _says(words.steps), "proved": _proved(unit, zone),
        "duties": [
            {"says": one["says"], "due": day_words(datetime.fromisoformat(one["due"]).date()) if one["due"] else ""}
            for one in unit.answer["duties"]
        ],
        "pictures": str(len(unit.photographs)),
        "cautions": list(words.cautions),
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
    said = "Proved dead" if told.whole else "Said to be proved dead"
    return {"says": f"{said}, {_moment(told.happened_at, zone)}: {told.how}", "told": [*answers, *more]}


def _notice(unit: UnitNow, words: Story, yard: Mapping[str, str]) -> dict[str, Any]:
    of = "_of_drum" if unit.line.get("kind") == DRUM else ""
    names = {"do_not": "", "what": of, "stay_away": of, "call": ""}
    return {name: _said(f"notice_{name}{end}").rstrip(".") for name, end in names.items()}


def _unit_tag(unit: UnitNow, words: Story, yard: Mapping[str, str]) -> dict[str, Any]:
    return {"arrival": "at the gate" if unit.arrival == "gate" else "found in place"}


def _bottle_label(unit: UnitNow, words: Story, yard: Mapping[str, str]) -> dict[str, Any]:
    return {}


def _says(tasks: tuple[Mapping[str, str], ...]) -> list[str]:
    return [task["says"] for task in tasks]


BODIES: dict[str, Callable[[UnitNow, Story, Mapping[str, str]], dict[str, Any]]] = {
    "site_sheet": _site_sheet, "notice": _notice, "unit_tag": _unit_tag, "bottle_label": _bottle_label,
}  # fmt: skip
