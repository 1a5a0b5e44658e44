"""The law as dated, cited data: figures, decision tables, classes, sentences; and the law of one day.

Nothing here knows a country. A rulebook is loaded elsewhere; the core only asks it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from functools import cached_property

from hazmat.core.clauses import SPILL, UNKNOWN_AMOUNTS, Act, Amounts, ClassWords, Duty, Line, MarkMeans, SpillRule
from hazmat.core.dated import (
    EVERYWHERE,
    ONE_DAY,
    UNDETERMINED,
    Amount,
    Cite,
    Figure,
    Force,
    Sentence,
    Version,
    stands_in,
)  # fmt: skip
from hazmat.core.measures import add_time, day_words, figure_words

__all__ = [
    "ONE_DAY", "UNDETERMINED", "Act", "Amount", "Amounts", "Cite", "ClassWords", "Decision", "Duty", "Figure", "Force",
    "LawDay", "Line", "MarkMeans", "Over", "Row", "Rulebook", "Sentence", "SpillRule", "Table", "TableDay", "Version",
    "amount_words",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Over:
    """This row beats another wherever both match, and why."""

    row: str
    cite: Cite


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a decision table: conditions, one outcome, its force, its sentence."""

    table: str
    name: str
    when: tuple[tuple[str, frozenset[str]], ...]
    then: str
    force: Force | None
    over: tuple[Over, ...]
    cite: Cite
    says: str
    since: date | None
    until: date | None
    only_in: frozenset[str] = EVERYWHERE

    def in_force(self, on: date, territory: str | None = None) -> bool:
        """Whether it stands on this day, in this state."""
        dated = (self.since is None or self.since <= on) and (self.until is None or on <= self.until)
        return dated and stands_in(self.only_in, territory)


@dataclass(frozen=True, slots=True)
class Table:
    """A decision table: named columns with their values, rows, and the outcomes in order of care."""

    name: str
    says: str
    answers: tuple[str, ...]
    columns: Mapping[str, tuple[str, ...]]
    rows: tuple[Row, ...]

    def bounds(self) -> list[date]:
        """Days on which the set of rows in force changes, in order."""
        starts = {r.since for r in self.rows if r.since}
        return sorted(starts | {r.until + ONE_DAY for r in self.rows if r.until})

    def territories(self) -> tuple[str | None, ...]:
        """No state, and each state for which some row stands alone, in order."""
        return (None, *sorted({code for row in self.rows for code in row.only_in}))


@dataclass(frozen=True, slots=True)
class Decision:
    """The rows that win for one combination; they agree in outcome and force."""

    then: str
    force: Force | None
    rows: tuple[Row, ...]


class TableDay:
    """A table on one day, compiled: for each value of each column, the set of rows that accept it, as bits."""

    def __init__(self, table: Table, on: date, territory: str | None = None) -> None:
        self.table, self.on, self.territory = table, on, territory
        self.rows = tuple(row for row in table.rows if row.in_force(on, territory))
        self.columns = tuple(table.columns)
        self._accepts = tuple(self._bits(column, values) for column, values in table.columns.items())
        place = {row.name: bit for bit, row in enumerate(self.rows)}
        self._beats = tuple(sum(1 << place[o.row] for o in row.over if o.row in place) for row in self.rows)
        self._known: dict[int, Decision | None] = {}

    def _bits(self, column: str, values: tuple[str, ...]) -> dict[str, int]:
        conditions = [dict(row.when).get(column) for row in self.rows]
        return {
            value: sum(1 << bit for bit, accepted in enumerate(conditions) if accepted is None or value in accepted)
            for value in values
        }

    def matching(self, values: tuple[str, ...]) -> int:
        """The rows that match a combination, as bits, before any row beats another."""
        bits = (1 << len(self.rows)) - 1
        for accepted, value in zip(self._accepts, values, strict=True):
            bits &= accepted[value]
        return bits

    def winning(self, matching: int) -> int:
        """The rows left when each matching row has struck out the rows that it beats."""
        beaten = 0
        for bit, beats in enumerate(self._beats):
            if matching >> bit & 1:
                beaten |= beats
        return matching & ~beaten

    def members(self, bits: int) -> tuple[Row, ...]:
        return tuple(row for bit, row in enumerate(self.rows) if bits >> bit & 1)

    def decide(self, values: tuple[str, ...]) -> Decision | None:
        """The answer for one combination, in the order of `columns`; None where no row is in force on that day."""
        matching = self.matching(values)
        if matching not in self._known:
            rows = self.members(self.winning(matching))
            self._known[matching] = Decision(rows[0].then, rows[0].force, rows) if rows else None
        return self._known[matching]


@dataclass(frozen=True)
class Rulebook:
    """One law, or the handling book: all that it fixes. Digest and canonical text are of the parsed content."""

    name: str
    says: str
    edition: date
    found_in: tuple[str, ...]
    classes: tuple[str, ...]
    cites: Mapping[str, Cite]
    figures: Mapping[str, Figure]
    class_words: Mapping[str, ClassWords]
    lines: tuple[Line, ...]
    marks: Mapping[str, MarkMeans]
    kinds: Mapping[str, str]
    tables: Mapping[str, Table]
    sentences: Mapping[str, Sentence]
    mends: Mapping[str, Sentence]
    whys: Mapping[str, Sentence]
    silences: Mapping[str, Sentence]
    practices: Mapping[str, Sentence]
    clock: Sentence | None
    clock_counts_from: str | None
    duties: tuple[Duty, ...]
    acts: tuple[Act, ...]
    steps: tuple[Act, ...] = ()
    plan: tuple[Act, ...] = ()
    card: tuple[Act, ...] = ()
    parts: Mapping[str, str] = field(default_factory=dict)
    first: tuple[str, ...] = ()
    spills: tuple[SpillRule, ...] = ()
    territories: Mapping[str, str] = field(default_factory=dict)
    digest: str = ""
    canonical: str = field(default="", repr=False)

    @property
    def top(self) -> str:
        return self.classes[-1]

    def territory(self, place: str | None) -> str | None:
        """The state or nation of a place code that this law tells apart (`AU-VIC`, or `FR` of a union); else None."""
        if place is None or place in self.territories:
            return place
        return place[:2] if place[:2] in self.territories else None

    def columns_of_duties(self) -> tuple[str, ...]:
        """The columns that duties ask, in order."""
        return tuple(sorted({column for duty in self.duties for column, _ in duty.when}))

    @property
    def stamp(self) -> str:
        """The edition with the first ten characters of its content, as answers and papers name it."""
        return f"{self.edition.isoformat()}.{self.digest[:10]}"


class LawDay:
    """A rulebook as it stands on one day in one state: figures resolved, tables compiled, class lines ready."""

    def __init__(self, book: Rulebook, on: date, territory: str | None = None) -> None:
        self.book = book
        self.on, self.territory = on, territory
        self.figures: dict[str, Version] = {}
        for name, figure in book.figures.items():
            if version := figure.at(on, territory):
                self.figures[name] = version
        self.tables = {name: TableDay(table, on, territory) for name, table in book.tables.items()}
        self.numbers = {name: v.value for name, v in self.figures.items() if isinstance(v.value, Decimal)}
        self.rank = {name: place for place, name in enumerate(book.classes)}
        self.lines = [(self.number(x.figure), x.compare, x.klass) for x in book.lines if x.figure in self.figures]
        self._also = {x.klass: x.also for x in book.lines if x.also and x.also.figure in self.figures}
        self._duties = tuple(duty for duty in book.duties if duty.in_force(on, territory))
        self.duty_columns = book.columns_of_duties()
        self._established: dict[tuple[str, ...], bool] = {}
        self.words = {name: amount_words(v.value) for name, v in self.figures.items()}

    def number(self, name: str) -> Decimal:
        """A figure that is a number. Raises KeyError where none is in force on this day."""
        return self.numbers[name]

    def day(self, name: str) -> date | None:
        """A figure that is a day; None where none is in force on this day."""
        version = self.figures.get(name)
        if version is None:
            return None
        if not isinstance(version.value, date):
            raise TypeError(f"{self.book.name}: figure {name} is not a day")
        return version.value

    @cached_property
    def in_force(self) -> bool:
        """True where the class lines and every table that decides the class have rows on this day."""
        return bool(self.lines) and all(self.tables[name].rows for name in ("presumption", "establishing"))

    def establishes(self, **facts: str) -> bool:
        """Whether a row lets evidence with these column values establish a class; asked once for each combination."""
        table = self.tables["establishing"]
        key = tuple([facts[column] for column in table.columns])
        known = self._established.get(key)
        if known is None:
            decision = table.decide(key)
            known = self._established[key] = decision is not None and decision.then == "establishes"
        return known

    def class_of(self, value: Decimal, sign: str, amounts: Amounts = UNKNOWN_AMOUNTS) -> str:
        """The class of a figure in mg/kg, unrounded, in this much fluid.

        `=` the figure itself; `<` just below it; `above` just above it; `>` the worst class that it allows.
        """
        if sign == ">" and not self._also:
            return self.book.top
        found = self.book.classes[0]
        for at, compare, klass in self.lines:
            reached = value > at if sign == "<" or (sign == "=" and compare == ">") else value >= at
            also = self._also.get(klass)
            if (reached or sign == ">") and (
                also is None or also.reached(value, sign, amounts, self.number(also.figure))
            ):
                found = klass
        return found

    def duties(self, klass: str, role: str, facts: Mapping[str, str] | None = None) -> tuple[Duty, ...]:
        """What is owed in this role for an item of this class, in the order of the book.

        `facts`: the values of `duty_columns`; None: every duty that some facts could ask for.
        """
        return tuple([
            duty for duty in self._duties
            if klass in duty.classes and role in duty.roles and (facts is None or duty.wanted(facts))
        ])  # fmt: skip

    def spills(self, facts: Mapping[str, str]) -> tuple[SpillRule, ...]:
        """What is asked of a spill with these column values, in the order of the book."""
        return tuple(one for one in self.book.spills if one.in_force(self.on, self.territory) and one.wanted(facts))

    def due(self, duty: Duty, start: date | None, extended: date | None = None) -> date | None:
        """The last day of a duty: the day that its figure names, or the end of the clock that began on `start`.

        The first day of a clock is not counted, the last one counts whole. None where the duty has no clock, its day is
        not known, or its figure is not in force on this day. `extended`: until when an authority put it off.
        """
        if duty.by is not None:
            last = self.day(duty.by)
            return date.fromordinal(max(last, extended).toordinal()) if last and extended else last
        time = self.numbers.get(duty.time) if duty.time else None
        if start is None or time is None or duty.time is None:
            return None
        return add_time(start, int(time), self.book.figures[duty.time].unit)

    def holds_until(self) -> date | None:
        """The last day on which nothing of this rulebook changes in this state; None where no change is known.

        What it asks of spills is left out: a spill is looked up anew each time, and no answer for a unit rests on it.
        """
        ends = [figure.holds_until(self.on, self.territory) for figure in self.book.figures.values()]
        dated: list[Row | Duty] = [
            *(row for name, table in self.book.tables.items() if name != SPILL for row in table.rows),
            *self.book.duties,
        ]
        for one in dated:
            if stands_in(one.only_in, self.territory):
                ends += [day for day in (one.since and one.since - ONE_DAY, one.until) if day and day >= self.on]
        return min((end for end in ends if end), default=None)


def amount_words(value: Amount) -> str:
    """A figure in words: a day as `2 Jul 1979`, a number without idle zeros, a text as it is."""
    if isinstance(value, date):
        return day_words(value)
    return figure_words(value) if isinstance(value, Decimal) else value
