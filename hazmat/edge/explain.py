"""How one answer came about: every table asked, with its column values, the rows that fired and those that lost."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from hazmat import rulebooks
from hazmat.core.assess import Assessment, Judge
from hazmat.core.facts import Unit
from hazmat.core.law import Cite, Decision, LawDay, Row, Rulebook, Table, TableDay, amount_words
from hazmat.core.measures import day_words
from hazmat.core.telling import HOW_KNOWN
from hazmat.rulebooks.fluids import fluid_names


@dataclass(frozen=True)
class Asked:
    """One question to one table: the book, its columns with their values, who won, who lost to whom."""

    book: str
    table: str
    says: str
    values: tuple[tuple[str, str], ...]
    fired: tuple[Row, ...]
    lost: tuple[tuple[Row, str], ...]


@dataclass(frozen=True)
class Explained:
    """An answer and its whole way: questions in the order in which they were asked, and the figures in force."""

    answer: Assessment
    on: date
    law: Rulebook | None
    asked: tuple[Asked, ...]
    figures: tuple[tuple[str, str, str, str, Cite], ...]


class WitnessedTable(TableDay):
    """A table that writes down what it is asked."""

    def __init__(self, table: Table, on: date, territory: str | None, book: str, heard: list[Asked]) -> None:
        super().__init__(table, on, territory)
        self._book, self._heard = book, heard

    def decide(self, values: tuple[str, ...]) -> Decision | None:
        """The same answer; the question is kept."""
        matching = self.matching(values)
        fired = self.members(self.winning(matching))
        lost = tuple(
            (row, next(one.name for one in self.members(matching) if any(over.row == row.name for over in one.over)))
            for row in self.members(matching)
            if row not in fired
        )
        told = Asked(
            self._book, self.table.name, self.table.says, tuple(zip(self.columns, values, strict=True)), fired, lost
        )
        if told not in self._heard:
            self._heard.append(told)
        return super().decide(values)


def explained(unit: Unit, law: str | None, on: date) -> Explained:
    """Judge a unit under one law as at one day, and keep the whole way there."""
    heard: list[Asked] = []
    book = _witnessed(rulebooks.rulebook(law), on, heard, unit.found_in) if law else None
    house = _witnessed(rulebooks.rulebook(rulebooks.HANDLING), on, heard)
    answer = Judge(book, house, fluid_names(), on).assess(unit)
    figures = tuple(one for day in (book, house) if day for one in _figures(day))
    return Explained(answer, on, book.book if book else None, tuple(heard), figures)


def _witnessed(book: Rulebook, on: date, heard: list[Asked], place: str | None = None) -> LawDay:
    here = book.territory(place)
    day = LawDay(book, on, here)
    day.tables = {name: WitnessedTable(table, on, here, book.name, heard) for name, table in book.tables.items()}
    return day


def _figures(day: LawDay) -> Iterator[tuple[str, str, str, str, Cite]]:
    for name, version in day.figures.items():
        unit = day.book.figures[name].unit
        value = amount_words(version.value) + ("" if unit in ("day", "text", "1") else f" {unit}")
        yield day.book.name, name, value, day.book.figures[name].says, version.cite


def lines(told: Explained, shown: Mapping[str, Any]) -> Iterator[str]:
    """The way in words. `shown`: the answer as it stands in the book, which is what the page shows."""
    yield f"Law day {day_words(told.on)}; {told.law.says if told.law else 'no rulebook is held for this place'}."
    yield f"Edition {shown.get('edition') or 'none'}; handling book edition {rulebooks.rulebook('handling').edition}."
    yield f"Class {shown['class']}, {shown['basis']}; band {shown['band']}; care {shown['care']}."
    yield ""
    yield "Why"
    for reason in shown["because"]:
        yield f"  {reason['says']}"
        yield f"      [{reason['cite']}; {HOW_KNOWN[reason['basis']]}]"
    for one in told.asked:
        yield from _table(one)
    yield ""
    yield "What to do next"
    for task in shown["next"]:
        yield f"  {task['act']}: {task['says']}"
    yield ""
    yield "Figures in force on the law day"
    for book, name, value, says, cite in told.figures:
        yield f"  {book} {name}: {value} ({says}) [{cite.document}; {HOW_KNOWN[cite.basis]}]"


def _table(one: Asked) -> Iterator[str]:
    yield ""
    yield f"{one.book}, table {one.table}: {one.says}"
    yield "  columns: " + ", ".join(f"{name} = {value}" for name, value in one.values)
    for row in one.fired:
        force = f", {row.force}" if row.force else ""
        yield f"  fired: {row.name} → {row.then}{force} [{_cited(row)}]"
    for row, winner in one.lost:
        yield f"  lost: {row.name} → {row.then}, to {winner} [{_cited(row)}]"


def _cited(row: Row) -> str:
    return f"{row.cite.document}; {HOW_KNOWN[row.cite.basis]}"
