"""What differs between two editions of a rulebook, or between two days of one: entry by entry, in plain words."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from hazmat.core.law import Duty, LawDay, Rulebook, SpillRule, Version
from hazmat.core.measures import day_words
from hazmat.rulebooks import strict
from hazmat.rulebooks.told import with_unit

Entry = Mapping[str, Any]

SECTIONS = {
    "figure": "Figure", "class": "Class", "line": "Class line", "marks": "Mark", "kinds": "Kind of unit",
    "clock": "Clock", "duty": "Duty", "spill": "Spill", "sentence": "Sentence", "mend": "Mend", "why": "Reason why",
    "silence": "No figure in this law", "practice": "House practice", "cite": "Document", "territories": "State",
    "acts": "What to do next", "steps": "How to sample", "plan": "Beside the steps", "card": "Line of a gear card",
    "part": "Where an act is shown",
    "first": "Told first",
    "table": "Table",
}  # fmt: skip
"""Sections of a rulebook, in the order in which they are told, with what one entry of each is called."""
KEYS = {
    "is": "value", "cite": "document", "says": "words", "only_in": "states", "then": "answer", "when": "conditions",
    "over": "goes before", "text_as_of": "date of the text", "read_on": "day it was read", "basis": "how it is known",
    "where": "address", "band": "care of hands", "by": "last day", "time": "length", "counts_from": "counted from",
    "to": "who is told", "also": "amount asked too", "since": "first day", "until": "last day in force",
    "values": "values",
}  # fmt: skip
"""Keys of entries that are told in other words than their own."""


@dataclass(frozen=True, slots=True)
class Change:
    """One entry that differs: what it is, its name, the words that it has now (or had), and key by key what differs.

    `what`: `new`, `gone` or `changed`; each difference is the key in words, what stood there and what stands there.
    """

    what: str
    section: str
    name: str
    says: str
    differences: tuple[tuple[str, str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Text:
    """One edition as it was written: told apart even where the language of rulebooks has changed since."""

    name: str
    says: str
    edition: date
    digest: str
    content: Mapping[str, Any]


def text_of(book: Rulebook) -> Text:
    """The text of an edition that is read."""
    return Text(book.name, book.says, book.edition, book.digest, strict.parsed(book.canonical))


def kept_text(name: str, edition: date, digest: str, content: str) -> Text:
    """The text of an edition as it is kept, which need not be readable any more. Raises ValueError: no JSON object."""
    parsed = strict.parsed(content)
    return Text(name, str(parsed.get("says", name)), edition, digest, parsed)


def editions_apart(old: Text, new: Text) -> list[Change]:
    """Every entry in which two editions of one rulebook differ, in the order of the sections; nothing: one content."""
    before, after = _entries(old.content), _entries(new.content)
    return [
        _change(key, before.get(key), after.get(key))
        for key in sorted(before.keys() | after.keys(), key=_place)
        if before.get(key) != after.get(key)
    ]


def _place(key: tuple[str, str, str]) -> tuple[int, str, str]:
    return (list(SECTIONS).index(key[0]) if key[0] in SECTIONS else -1, key[1], key[2])


def _entries(parsed: Mapping[str, Any]) -> dict[tuple[str, str, str], Entry]:
    """Each entry by its section, the words for what it is, and its name."""
    found: dict[tuple[str, str, str], Entry] = {
        ("", "Head", key.replace("_", " ")): {"is": one}
        for key, one in parsed.items()
        if key not in SECTIONS and key != "rulebook"
    }
    for section, what in SECTIONS.items():
        given = parsed.get(section, {})
        if section == "table":
            found |= {key: one for name, table in given.items() for key, one in _of_table(name, table)}
        elif section == "clock":
            found |= {(section, what, section): given} if given else {}
        elif isinstance(given, list):
            found |= {(section, what, name): one for name, one in _named(given)}
        else:
            found |= {
                (section, what, name): one if isinstance(one, dict) else {"is": one} for name, one in given.items()
            }
    return found


def _of_table(name: str, table: Entry) -> Iterator[tuple[tuple[str, str, str], Entry]]:
    yield ("table", f"Table {name}", "answers and columns"), {key: one for key, one in table.items() if key != "row"}
    for called, row in _named(table.get("row", [])):
        yield ("table", f"Row of {name}", called), row


def _named(rows: list[Any]) -> Iterator[tuple[str, Entry]]:
    """Rows of a list by a name of their own; of two that share one the second is counted."""
    met: dict[str, int] = {}
    for row in rows:
        told = row if isinstance(row, dict) else {"is": row}
        name = str(told.get("name") or told.get("act") or told.get("class") or told.get("is"))
        met[name] = met.get(name, 0) + 1
        yield (name if met[name] == 1 else f"{name}, {met[name]}"), told


def _change(key: tuple[str, str, str], old: Entry | None, new: Entry | None) -> Change:
    says = (new if new is not None else old or {}).get("says", "")
    what = "new" if old is None else "gone" if new is None else "changed"
    was, now = old or {}, new or {}
    keys = [one for one in dict.fromkeys([*was, *now]) if was.get(one) != now.get(one) and one != "name"]
    told = tuple((KEYS.get(one, one.replace("_", " ")), _words(was.get(one)), _words(now.get(one))) for one in keys)
    return Change(what, key[1], key[2].replace("_", " "), says, told)


def _words(value: Any) -> str:
    """A value of a rulebook in words: nothing, a word, a day, a list, keys with their values."""
    if value is None:
        return "nothing"
    if isinstance(value, date):
        return day_words(value)
    if isinstance(value, dict):
        return ", ".join(f"{KEYS.get(key, key)} {_words(one)}" for key, one in value.items()) or "always"
    if isinstance(value, list):
        return "; ".join(_words(one) for one in value)
    return str(value)


# ------------------------------------------------------------------ two days of one edition


def days_apart(book: Rulebook, one: date, other: date, state: str | None = None) -> list[Change]:
    """What of a rulebook stands otherwise on the second day than on the first: figures, rows, duties."""
    before, after = LawDay(book, one, state), LawDay(book, other, state)
    found = []
    for name, figure in book.figures.items():
        was, now = before.figures.get(name), after.figures.get(name)
        if was != now:
            told = tuple(
                (words, old, new)
                for words, old, new in (_values(was, now, figure.unit), _documents(was, now))
                if old != new
            )
            found.append(Change(_kind(was, now), SECTIONS["figure"], name.replace("_", " "), figure.says, told))
    for table in book.tables.values():
        for row in table.rows:
            stood, stands = row.in_force(one, state), row.in_force(other, state)
            if stood != stands:
                found.append(Change("new" if stands else "gone", f"Row of {table.name}", row.name, row.says))
    dated: list[tuple[str, Duty | SpillRule]] = [
        *(("duty", duty) for duty in book.duties),
        *(("spill", rule) for rule in book.spills),
    ]
    for section, asks in dated:
        stood, stands = asks.in_force(one, state), asks.in_force(other, state)
        if stood != stands:
            what = "new" if stands else "gone"
            found.append(Change(what, SECTIONS[section], asks.name.replace("_", " "), asks.says))
    return found


def _kind(was: Version | None, now: Version | None) -> str:
    return "new" if was is None else "gone" if now is None else "changed"


def _values(was: Version | None, now: Version | None, unit: str) -> tuple[str, str, str]:
    return KEYS["is"], _value(was, unit), _value(now, unit)


def _value(version: Version | None, unit: str) -> str:
    return with_unit(version.value, unit) if version else "none in force"


def _documents(was: Version | None, now: Version | None) -> tuple[str, str, str]:
    old, new = (one.cite.document if one else "nothing" for one in (was, now))
    return KEYS["cite"], old, new
