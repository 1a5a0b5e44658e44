"""What every paper has in common: number, yard, moment, size of sheet, law in its foot, check code.

The words of a paper are plain data that can be hashed, printed and read again without any rulebook. People's words
(names, telephones, places) stand apart, in the aside; the payload names only which there are.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from hashlib import sha256
from typing import Any
from zoneinfo import ZoneInfo

from hazmat import rulebooks
from hazmat.book.canonical import canonical
from hazmat.core.codes import code_of
from hazmat.core.measures import day_words, moment_words
from hazmat.core.parts import Hold
from hazmat.core.telling import HOW_KNOWN

FORM = "1"
"""The shape of a payload. Another shape would get another number. Source: our own."""
LETTER = ("us",)
"""Countries whose paper is letter and not A4. Source: common practice, no source."""
YARD = ("name", "code", "country", "state", "keeps")
"""What a payload says of the yard; its telephone stands in the aside."""


@dataclass(frozen=True)
class Made:
    """A paper's payload, and the personal words that go with it."""

    payload: dict[str, Any]
    aside: dict[str, str]


def code(payload: Mapping[str, Any]) -> str:
    """The check code of a payload: ten characters of its SHA-256 and a check character."""
    return code_of(sha256(canonical(payload)).hexdigest())


def frame(kind: str, title: str, yard: Mapping[str, str], number: str, at: datetime) -> dict[str, Any]:
    """The words of a paper that do not hang on what it is of. `at`: the instant at which it is issued."""
    return {
        "form": FORM, "paper": kind, "title": title, "number": number,
        "made": local_moment(at.isoformat(), ZoneInfo(yard["zone"])), "zone": yard["zone"],
        "size": "letter" if yard["country"] in LETTER else "A4",
        "yard": {key: yard[key] for key in YARD}, "caution": said("sheet_caution"),
    }  # fmt: skip


def made(payload: Mapping[str, Any], private: Mapping[str, str], yard: Mapping[str, str], by: str) -> Made:
    """The whole paper: its words, and the personal ones with who issues it and the telephone of the yard."""
    aside = {**private, "by": by, **({"phone": yard["phone"]} if yard.get("phone") else {})}
    return Made({**payload, "private": sorted(aside)}, aside)


def law_words(rulebook: str | None, edition: str | None, on: date) -> dict[str, str]:
    """Rulebook, edition and law day as the foot of a paper says them."""
    return {
        "rulebook": rulebook or "none held for this place", "edition": edition or "none", "on": day_words(on),
    }  # fmt: skip


def strip_words(hold: Hold) -> dict[str, Any]:
    """A strip: how it stands, and what would lift its hold; before that, that it was released and no longer is."""
    return {"on": hold.on, "says": hold.says, "lifts": " ".join(filter(None, (hold.lapsed, hold.lifts)))}


def reasons(answer: Mapping[str, Any]) -> list[dict[str, str]]:
    """The reasons of an answer, each with its document and how we know it."""
    return [{"says": one["says"], "cite": one["cite"], "basis": HOW_KNOWN[one["basis"]]} for one in answer["because"]]


def owed(answer: Mapping[str, Any]) -> list[dict[str, str]]:
    """The duties of an answer, each with its day where there is one."""
    return [{**{key: one[key] for key in ("says", "cite")}, "due": _day(one["due"])} for one in answer["duties"]]


def _day(written: str | None) -> str:
    return day_words(date.fromisoformat(written)) if written else ""


def law_of_yard(yard: Mapping[str, str], on: date) -> dict[str, str]:
    """Rulebook, edition and law day where no answer names them: the law of the yard on this day."""
    name = rulebooks.law_of(yard["state"] or yard["country"].upper())
    return law_words(name, rulebooks.rulebook(name).stamp if name else None, on)


def local_moment(instant: str, zone: ZoneInfo) -> str:
    """An instant as the clock of the yard shows it: `7 Mar 2026, 14:30`."""
    return moment_words(datetime.fromisoformat(instant).astimezone(zone))


def local_day(instant: str, zone: ZoneInfo) -> str:
    """The day of an instant in the yard: `7 Mar 2026`."""
    return day_words(datetime.fromisoformat(instant).astimezone(zone).date())


def said(name: str, **slots: str) -> str:
    """A sentence of the handling book, its slots filled."""
    return rulebooks.said(name, slots)
