"""Every word of a spill note, frozen: what was found, the sum, who was told, what was done, boxes for the end."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from hazmat import rulebooks
from hazmat.core.amended import counting
from hazmat.core.codes import spaced
from hazmat.core.findings import Finding
from hazmat.core.measures import moment_words
from hazmat.core.spill import Asked, Ground, Judged, Place
from hazmat.core.spillnow import STEP_WORDS, SpillNow, StepIn, late
from hazmat.papers.frame import Made, frame, law_words, local_moment, made, said

NOTE = "spill_note"
TITLES = {NOTE: "Spill note"}
GROUND_WORDS: dict[Ground, str] = {
    "unknown": "not known", "concrete": "concrete or tar", "indoors": "a floor or wall indoors", "gravel": "gravel",
    "soil": "bare soil", "grass": "grass or planted ground", "water": "water", "drain": "a drain or drinking water",
    "grazing": "grazing land", "garden": "a vegetable garden", "other": "something else",
}  # fmt: skip
PLACE_WORDS: dict[Place, str] = {
    "unknown": "not known", "restricted": "fenced or walled, away from homes and shops", "open": "open to people",
    "substation": "outdoor substation",
}  # fmt: skip


def spill_note(
    spill: SpillNow, judged: Judged, yard: Mapping[str, str], number: str, at: datetime, by: str,
    private: Mapping[str, str], told: Mapping[str, str],
) -> Made:  # fmt: skip
    """A spill note as at an instant. `private`: place, finder, signer; `told`: who was told, by the id of the line."""
    zone = ZoneInfo(yard["zone"])
    name = judged.law or None
    book = rulebooks.law(name)
    found = datetime.fromisoformat(spill.found_at).astimezone(zone)
    payload = {
        **frame(NOTE, TITLES[NOTE], yard, number, at),
        "of": {"what": "spill", "id": spill.id, "number": spill.number, "old": "old" if spill.old else ""},
        "found": moment_words(found), "facts": facts_of(spill),
        "sum": _says(judged.sum.says), "because": _says(judged.because),
        "asked": [_ask(one, spill, zone) for one in judged.asked if one.owed],
        "levels": _says(one.says for one in judged.of("level")), "keep": _says(one.says for one in judged.of("keep")),
        "told": [
            {"at": local_moment(one.at, zone), "office": one.office, "reference": one.reference, "key": f"told_{n}"}
            for n, one in enumerate(counting(spill.told), 1)
        ],
        "steps": [{"at": local_moment(one.at, zone), "says": step_words(one.told)} for one in counting(spill.steps)],
        "end": _end(spill, zone), "law": law_words(name, book.stamp if book else None, found.date()),
        "pictures": str(len(spill.photographs)), "sign": said("spill_note_sign"),
        "boxes": ["Person answerable for the cleanup", "Safety officer", "Owner of the ground, or authority"],
    }  # fmt: skip
    names = {f"told_{n}": told[one.id] for n, one in enumerate(counting(spill.told), 1) if told.get(one.id)}
    return made(payload, {**private, **names}, yard, by)


def facts_of(spill: SpillNow) -> list[dict[str, str]]:
    """What is on record of a spill, name by name; what nobody knows says so."""
    one, told = spill.account, spill.account.told
    source = spaced(one.tag or one.code) if one.tag or one.code else ""
    pairs = [
        ("Out of", ", ".join(filter(None, (source, one.space))) or "nothing that is on record"),
        ("What leaked", told.what),
        ("How much", f"{told.amount} {told.measure}" if told.amount else "not known"),
        ("PCB by a paper", f"{told.mg_kg} mg/kg" if told.mg_kg else ""),
        ("Fell on", ", ".join(GROUND_WORDS[one] for one in told.grounds)),
        ("Kind of place", PLACE_WORDS[told.place]),
        ("Others can reach it", told.public.replace("unknown", "not known")),
        ("Note", told.note),
    ]  # fmt: skip
    return [{"name": name, "value": value} for name, value in pairs if value]


def step_words(told: StepIn) -> str:
    """A step in words: `soil dug out: kerb, 30 cm deep, 120 kg`."""
    parts = [
        told.where, told.depth_cm and f"{told.depth_cm} cm deep", told.kg and f"{told.kg} kg",
        told.result and f"result {told.result} {told.unit}", told.note.rstrip("."),
    ]  # fmt: skip
    rest = ", ".join(filter(None, parts))
    return f"{STEP_WORDS[told.what].capitalize()}{': ' if rest else ''}{rest}"


def _ask(one: Asked, spill: SpillNow, zone: ZoneInfo) -> dict[str, str]:
    at = spill.done.get(one.name)
    done = "not written down" if at is None else f"{'late, ' if late(spill, one) else ''}{local_moment(at, zone)}"
    due = moment_words(one.due.astimezone(zone)) if one.due else "at once"
    return {
        "says": one.says.says, "to": one.to, "phone": one.phone, "due": due, "done": done, "cite": one.says.cite,
        "by": "law" if one.law else "house practice",
    }  # fmt: skip


def _end(spill: SpillNow, zone: ZoneInfo) -> dict[str, str]:
    end = spill.end
    if end is None:
        return {"at": ""}
    return {"at": local_moment(end.at, zone), "reached": end.reached, "statement": end.statement, "reason": end.reason}


def _says(found: Any) -> list[dict[str, str]]:
    told: list[Finding] = list(found)
    return [{"says": one.says, "cite": one.cite} for one in told]
