"""The shelf: every rulebook that ships or was loaded beside, read once, strictly, and proved.

Every other file than these is a law: `handling.toml` is the same in every country; `fluids.toml` lists fluid names.
Of a rulebook that ships and was loaded too, the newer edition stands.
"""

from collections.abc import Mapping
from datetime import date
from functools import cache, lru_cache
from pathlib import Path
from types import MappingProxyType

from hazmat.core.findings import finish
from hazmat.core.law import LawDay, Rulebook
from hazmat.rulebooks.load import faults, load, restored
from hazmat.rulebooks.strict import RulebookError

HERE = Path(__file__).parent
NO_SLOTS: Mapping[str, str] = MappingProxyType({})
HANDLING = "handling"
FLUIDS = "fluids"
KEPT_DAYS = 16
"""How many days of the handling book are kept at once. Source: our own choice."""
KEPT = ".json"
"""Ending of a loaded edition: the text of its content, named after the rulebook."""

_beside: list[Path] = []


def look_beside(folder: Path | None) -> None:
    """Take what was loaded into this folder beside what ships; None: nothing but what ships."""
    _beside[:] = [folder] if folder else []
    for known in (rulebook, names, law_of):
        known.cache_clear()


def beside() -> Path | None:
    """The folder of what was loaded beside what ships; None: nothing but what ships."""
    return _beside[0] if _beside else None


def loaded() -> dict[str, Path]:
    """The files that were loaded beside what ships, by the name of the rulebook."""
    return {file.stem: file for folder in _beside if folder.is_dir() for file in sorted(folder.glob(f"*{KEPT}"))}


@cache
def rulebook(name: str) -> Rulebook:
    """One rulebook by name. Raises KeyError where none of that name is held, RulebookError where it is broken."""
    if name not in names():
        raise KeyError(name)
    file, shipped = loaded().get(name), HERE / f"{name}.toml"
    editions = [load(shipped)] if shipped.exists() else []
    if file:
        editions.append(taken(name, file.read_text(encoding="utf-8")))
    return max(editions, key=lambda book: book.edition)


def taken(name: str, content: str) -> Rulebook:
    """A loaded rulebook, read and proved as one that ships. Raises RulebookError with key and mend."""
    book = restored(name, content)
    for fault in faults(book):
        raise RulebookError(name, f"table.{fault.table}", fault.says, fault.mend)
    return book


@cache
def names() -> tuple[str, ...]:
    """The names of all rulebooks held, laws and handling."""
    return tuple(sorted({path.stem for path in HERE.glob("*.toml") if path.stem != FLUIDS} | set(loaded())))


def laws() -> tuple[str, ...]:
    """The names of the laws."""
    return tuple(name for name in names() if name != HANDLING)


def law(name: str | None) -> Rulebook | None:
    """The law of this name; None where none of that name is held."""
    return rulebook(name) if name in laws() else None


def shelf() -> dict[str, Rulebook]:
    """Every rulebook that is held, by name."""
    return {name: rulebook(name) for name in names()}


@cache
def law_of(place: str) -> str | None:
    """The name of the law of a country code, or None where no rulebook is held for it."""
    return next(
        (name for name in laws() if place[:2] in rulebook(name).found_in or place in rulebook(name).found_in), None
    )


def states(place: str) -> dict[str, str]:
    """The states that the law of this country tells apart, code to name; none where it tells none apart."""
    law = law_of(place)
    told = rulebook(law).territories if law else {}
    return {code: name for code, name in told.items() if code.startswith(f"{place[:2]}-")}


def unknown_state(place: str) -> str | None:
    """What is wrong with the state of a place code, in a sentence that names those that are known; else None."""
    known = states(place)
    if "-" not in place or not known or place in known:
        return None
    named = ", ".join(f"{code} ({name})" for code, name in known.items())
    return f"{place} stood there; no such state is known; these may stand there: {named}, or {place[:2]} alone"


def law_day(law: str | None, place: str | None, on: date) -> LawDay | None:
    """A law as it stands on a day in the state of a place; None where no rulebook of that name is held."""
    book = rulebook(law) if law else None
    return LawDay(book, on, book.territory(place)) if book else None


@lru_cache(KEPT_DAYS)
def _house(digest: str, on: date) -> LawDay:
    return LawDay(rulebook(HANDLING), on)


def house(on: date) -> LawDay:
    """The handling book as it stands on a day, made once: making it costs more than asking it."""
    return _house(rulebook(HANDLING).digest, on)


def said(name: str, slots: Mapping[str, str] = NO_SLOTS) -> str:
    """A sentence of the handling book as it stands today, its slots filled."""
    return finish(rulebook(HANDLING).sentences[name].says, slots)
