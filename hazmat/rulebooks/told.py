"""A rulebook as it stands on a day in a state, in plain words: sections of entries, each with its document."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

from hazmat.core.dated import stands_in
from hazmat.core.findings import finish
from hazmat.core.law import Act, Amount, Cite, LawDay, Line, Rulebook, Sentence, Table, amount_words
from hazmat.core.measures import day_words
from hazmat.rulebooks import HANDLING

NOBODY_ELSE = {"unknown"}
"""The role of somebody who did not say what he is to a unit: never told by name."""
ALSO = {"pcb_g": "g of PCB", "fluid_l": "L of fluid"}
COMPARED = {">": "over", ">=": "from"}
OF_AMOUNT = {">": "more than", ">=": "at least"}
TABLES = {
    "presumption": "What is presumed where nobody has shown the concentration",
    "establishing": "What shows a concentration",
}
"""Tables with words of their own as a head; every other one is headed by what it says itself."""
UNSAID = ("day", "text", "1", "times")
"""Units that are not said beside a value."""
MANY = {"year": "years", "month": "months"}
"""Units that are called otherwise where there are more than one."""
YEAR = 4
"""Digits of a year of the calendar, which needs no unit beside it; a time in years does. Source: ISO 8601."""


@dataclass(frozen=True, slots=True)
class Told:
    """One entry: its words, its value where it is a figure, more about it, and its document.

    `review`: the law is silent or was not read here, so this is our own cautious reading of it, and needs review.
    """

    says: str
    cite: Cite
    value: str = ""
    more: str = ""
    review: bool = False


@dataclass(frozen=True, slots=True)
class Section:
    """Entries under one head; `figures` where each has a value."""

    title: str
    entries: tuple[Told, ...]
    figures: bool = False


class Blanks(dict[str, str]):
    """Words by the name of their slot; what comes of a unit, or is not in force, shows as a blank."""

    def __missing__(self, key: str) -> str:
        return "…"


def with_unit(value: Amount, unit: str) -> str:
    """The value of a figure with its unit, where one is said: `50 mg/kg`, `2 Jul 1979`, `1995`."""
    words = amount_words(value)
    if unit in UNSAID or (unit == "year" and len(words) == YEAR):
        return words
    return f"{words} {unit if words == '1' else MANY.get(unit, unit)}"


def sections(book: Rulebook, on: date, state: str | None = None) -> list[Section]:
    """All that a person can read of a rulebook on a day in a state; a section with nothing in it is left out."""
    day = LawDay(book, on, state)
    slots = Blanks(day.words)
    decided = [
        Section("Figures in force", tuple(_figures(day)), figures=True),
        Section("Classes", tuple(_classes(day))),
        *(Section(TABLES.get(name, one.says), tuple(_rows(one, day, slots))) for name, one in book.tables.items()),
        Section("Who owes what", tuple(_duties(day, slots))),
        Section("Once something is spilled", tuple(_spills(day, slots))),
    ]
    if book.name != HANDLING:
        decided = [replace(one, entries=tuple(map(_reviewed, one.entries))) for one in decided]
    found = [
        *decided,
        Section("What to do next, and when", tuple(_said(book.acts, slots))),
        Section("How to sample, in order", tuple(_said(book.steps, slots))),
        Section("Beside the steps, on the sampling plan", tuple(_said(book.plan, slots))),
        Section("What a gear card says, and when", tuple(_said(book.card, slots))),
        Section("What this law does not say", tuple(_said(_here(book.silences, state), slots))),
        Section("House practice, not law", tuple(_said(_here(book.practices, state), slots))),
    ]
    return [one for one in found if one.entries]


def _reviewed(entry: Told) -> Told:
    return replace(entry, review=entry.cite.basis == "judgement")


def _said(spoken: Iterable[Act | Sentence], slots: Blanks) -> Iterator[Told]:
    for one in spoken:
        yield Told(finish(one.says, slots), one.cite)


def _here(spoken: Mapping[str, Sentence], state: str | None) -> Iterator[Sentence]:
    return (one for one in spoken.values() if stands_in(one.only_in, state))


def _figures(day: LawDay) -> Iterator[Told]:
    for name, figure in day.book.figures.items():
        version = day.figures.get(name)
        if version is None:
            if not figure.versions[0].only_in:
                yield Told(figure.says, figure.versions[0].cite, "none in force")
            continue
        yield Told(figure.says, version.cite, with_unit(version.value, figure.unit), _since(version.since))


def _since(since: date | None) -> str:
    return f"since {day_words(since)}" if since else "since a day that is not known"


def _classes(day: LawDay) -> Iterator[Told]:
    lines = {line.klass: line for line in day.book.lines}
    for name in day.book.classes:
        words = day.book.class_words[name]
        line = lines.get(name)
        yield Told(finish(words.says, Blanks()), words.cite, more=_line(line, day) if line else "")


def _line(line: Line, day: LawDay) -> str:
    """`over 50 mg/kg, with at least 50 g of PCB`."""
    told = f"{COMPARED[line.compare]} {day.words.get(line.figure, '…')} {day.book.figures[line.figure].unit}"
    if line.also is None:
        return told
    amount = f"{OF_AMOUNT[line.also.compare]} {day.words.get(line.also.figure, '…')} {ALSO[line.also.quantity]}"
    return f"{told}, with {amount}"


def _rows(table: Table, day: LawDay, slots: Blanks) -> Iterator[Told]:
    for row in table.rows:
        if row.in_force(day.on, day.territory):
            yield Told(finish(row.says, slots), row.cite, more=_where(row.only_in, day.book))


def _duties(day: LawDay, slots: Blanks) -> Iterator[Told]:
    for duty in day.book.duties:
        if duty.in_force(day.on, day.territory):
            roles = ", ".join(sorted(duty.roles - NOBODY_ELSE))
            more = "; ".join(part for part in (roles, _where(duty.only_in, day.book)) if part)
            yield Told(finish(duty.says, slots), duty.cite, more=more)


def _spills(day: LawDay, slots: Blanks) -> Iterator[Told]:
    for rule in day.book.spills:
        if rule.in_force(day.on, day.territory):
            within = f"within {day.words.get(rule.time, '…')} hours" if rule.time else ""
            to = f"told: {rule.to}" if rule.to else ""
            more = "; ".join(part for part in (to, within, _where(rule.only_in, day.book)) if part)
            yield Told(finish(rule.says, slots), rule.cite, more=more)


def _where(only_in: frozenset[str], book: Rulebook) -> str:
    return f"in {', '.join(book.territories[code] for code in sorted(only_in))}" if only_in else ""
