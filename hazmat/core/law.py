"""The law as dated, cited data: figures, decision tables, classes, sentences; and the law of one day.

Nothing here knows a country. A rulebook is loaded elsewhere; the core only asks it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from functools import cached_property
from typing import Literal

from hazmat.core.measures import add_years, day_words, figure_words

Force = Literal["must", "may", "care"]
Amount = Decimal | date | str
UNDETERMINED = "undetermined"
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Cite:
    """A document, which text of it was read, when, and how we know it."""

    key: str
    document: str
    text_as_of: date | None
    where: str
    read_on: date
    basis: Literal["read", "memory", "judgement"]


@dataclass(frozen=True, slots=True)
class Sentence:
    """A finished sentence or one with {slots}, and the document it stands on."""

    key: str
    says: str
    cite: Cite


@dataclass(frozen=True, slots=True)
class Version:
    """One value of a figure and the days on which it stands; `since` None: its start day is not known."""

    value: Amount
    since: date | None
    until: date | None
    cite: Cite


@dataclass(frozen=True, slots=True)
class Figure:
    """A number, day or text that a document fixes, in every version held."""

    name: str
    says: str
    unit: str
    versions: tuple[Version, ...]

    def at(self, on: date) -> Version | None:
        """The version that stands on the day, or None. A version of unknown start gives way to any dated one."""
        standing = [
            v for v in self.versions if (v.since is None or v.since <= on) and (v.until is None or on <= v.until)
        ]
        return max(standing, key=lambda v: v.since or date.min, default=None)

    def holds_until(self, on: date) -> date | None:
        """The last day on which the answer of that day still holds; None where no change is known."""
        now = self.at(on)
        ends = [v.since - ONE_DAY for v in self.versions if v.since and v.since > on]
        if now and now.until:
            ends.append(now.until)
        return min(ends, default=None)


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

    def in_force(self, on: date) -> bool:
        return (self.since is None or self.since <= on) and (self.until is None or on <= self.until)


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


@dataclass(frozen=True, slots=True)
class Decision:
    """The rows that win for one combination; they agree in outcome and force."""

    then: str
    force: Force | None
    rows: tuple[Row, ...]


class TableDay:
    """A table on one day, compiled: for each value of each column, the set of rows that accept it, as bits."""

    def __init__(self, table: Table, on: date) -> None:
        self.table = table
        self.rows = tuple(row for row in table.rows if row.in_force(on))
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


@dataclass(frozen=True, slots=True)
class Line:
    """From this figure (`>=`), or above it (`>`), oil is in this class."""

    figure: str
    compare: Literal[">=", ">"]
    klass: str


@dataclass(frozen=True, slots=True)
class ClassWords:
    """A class in words, and the lower end of it as a safety band."""

    says: str
    band: str
    cite: Cite


@dataclass(frozen=True, slots=True)
class MarkMeans:
    """The class that a mark speaks for."""

    klass: str
    cite: Cite


@dataclass(frozen=True, slots=True)
class Duty:
    """What the law asks of a role once an item is in a class; `years` names the figure of its clock."""

    name: str
    says: str
    classes: frozenset[str]
    roles: frozenset[str]
    counts_from: str | None
    years: str | None
    cite: Cite


@dataclass(frozen=True, slots=True)
class Act:
    """Something to do next, and when it is asked for."""

    act: str
    says: str
    when: tuple[tuple[str, frozenset[str]], ...]
    cite: Cite

    def wanted(self, facts: Mapping[str, str]) -> bool:
        return all(facts[column] in accepted for column, accepted in self.when)


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
    parts: Mapping[str, str] = field(default_factory=dict)
    first: tuple[str, ...] = ()
    digest: str = ""
    canonical: str = field(default="", repr=False)

    @property
    def top(self) -> str:
        return self.classes[-1]

    @property
    def stamp(self) -> str:
        """The edition with the first ten characters of its content, as answers and papers name it."""
        return f"{self.edition.isoformat()}.{self.digest[:10]}"


class LawDay:
    """A rulebook as it stands on one day: figures resolved, tables compiled, class lines ready."""

    def __init__(self, book: Rulebook, on: date) -> None:
        self.book = book
        self.on = on
        self.figures: dict[str, Version] = {}
        for name, figure in book.figures.items():
            if version := figure.at(on):
                self.figures[name] = version
        self.tables = {name: TableDay(table, on) for name, table in book.tables.items()}
        self.numbers = {name: v.value for name, v in self.figures.items() if isinstance(v.value, Decimal)}
        self.rank = {name: place for place, name in enumerate(book.classes)}
        self.lines = [(self.number(x.figure), x.compare, x.klass) for x in book.lines if x.figure in self.figures]
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

    def establishes(self, route: str, figure: str, records: str, later: str, sample: str) -> bool:
        """Whether a row lets this route establish a class; asked once for each combination."""
        key = (route, figure, records, later, sample)
        known = self._established.get(key)
        if known is None:
            asked = dict(zip(("route", "figure", "records", "later", "sample"), key, strict=True))
            table = self.tables["establishing"]
            decision = table.decide(tuple(asked[column] for column in table.columns))
            known = self._established[key] = decision is not None and decision.then == "establishes"
        return known

    def class_of(self, value: Decimal, sign: str) -> str:
        """The class of a figure in mg/kg, unrounded.

        `=` the figure itself; `<` just below it; `above` just above it; `>` the worst class that it allows.
        """
        if sign == ">":
            return self.book.top
        found = self.book.classes[0]
        for at, compare, klass in self.lines:
            reached = value > at if sign == "<" or (sign == "=" and compare == ">") else value >= at
            if reached:
                found = klass
        return found

    def duties(self, klass: str, role: str) -> tuple[Duty, ...]:
        """What is owed in this role for an item of this class, in the order of the book."""
        return tuple([duty for duty in self.book.duties if klass in duty.classes and role in duty.roles])

    def due(self, duty: Duty, start: date | None) -> date | None:
        """The last day of a duty whose clock began on `start`: that day is not counted, the last one counts whole.

        None where the duty has no clock, its day is not known, or its figure is not in force on this day.
        """
        years = self.numbers.get(duty.years) if duty.years else None
        return add_years(start, int(years)) if start is not None and years is not None else None

    def holds_until(self) -> date | None:
        """The last day on which nothing of this rulebook changes; None where no change is known."""
        ends = [figure.holds_until(self.on) for figure in self.book.figures.values()]
        for table in self.book.tables.values():
            ends.append(min((day - ONE_DAY for day in table.bounds() if day > self.on), default=None))
        return min((end for end in ends if end), default=None)


def amount_words(value: Amount) -> str:
    """A figure in words: a day as `2 Jul 1979`, a number without idle zeros, a text as it is."""
    if isinstance(value, date):
        return day_words(value)
    return figure_words(value) if isinstance(value, Decimal) else value
