"""Units in columns judged: each pattern of column values once by the tables of the core, then joined to its rows.

What tests, plates that name PCB, PCB marks and fluids with a figure say is no matter of tables: such units are judged
singly by the scalar core, and so are those whose figures do not fit into columns.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from math import prod
from typing import NamedTuple

import numpy as np

from hazmat.core.assess import Judge
from hazmat.core.bulk import CARE, COLUMN_VALUES
from hazmat.core.care import UNKNOWN
from hazmat.core.facts import Unit
from hazmat.core.law import UNDETERMINED, Decision, LawDay, TableDay
from hazmat.core.presume import FORCES
from hazmat.core.view import View
from hazmat.edge.columns import BITS, CHUNK, Column, Columns, of_parts
from hazmat.edge.columnseam import ASKAREL, IS_CAPACITOR, PLATE_PCB, ColumnSeam

UNJUDGED = -1
NONE = -1
"""No row: no table decided, or the scalar core did."""
BANDS = (*CARE, UNKNOWN)
KEPT_TABLES = 64
"""How many pattern tables are kept at once. Source: our own choice."""
PCB_MARKS = BITS["pcb_mark"] | BITS["pcb_contaminated_mark"]
SEAM_NAMES = {"band": {"kind": "handling_kind", "maker_mark": "handling_mark"}}
"""Columns of a table that take another value than that of their own name, as in `Seam`."""


class PatternTable:
    """A decision table of a day with the answer for each pattern that was met, as a place in `answers`."""

    def __init__(self, table: TableDay) -> None:
        self.table = table
        instead = SEAM_NAMES.get(table.table.name, {})
        self.asked = tuple(instead.get(name, name) for name in table.columns)
        self.values = tuple(table.table.columns.values())
        self.places = tuple(_places(name, listed) for name, listed in table.table.columns.items())
        sizes = [len(listed) for listed in self.values]
        self.strides = tuple(prod(sizes[n + 1 :]) for n in range(len(sizes)))
        self.whole = np.min_scalar_type(-prod(sizes))
        self.known = np.full(prod(sizes), UNJUDGED, np.int16)
        self.answers: list[Decision] = []

    def decided(self, values: Mapping[str, Column]) -> Column:
        """The place of the answer of each row. Raises LookupError where no row of the table is in force."""
        codes: Column = np.zeros(len(values[self.asked[0]]), self.whole)
        for name, places, stride in zip(self.asked, self.places, self.strides, strict=True):
            codes += np.multiply(
                values[name] if places is None else places.take(values[name]), stride, dtype=self.whole
            )
        codes = codes.astype(np.intp)
        found = self.known.take(codes)
        if len(found) and found.min() == UNJUDGED:
            for code in np.unique(codes[found == UNJUDGED]).tolist():
                self.known[code] = self._judged(code)
            found = self.known.take(codes)
        return found

    def _judged(self, code: int) -> int:
        """One pattern, asked of the table."""
        pattern = tuple(
            listed[code // stride % len(listed)] for listed, stride in zip(self.values, self.strides, strict=True)
        )
        decision = self.table.decide(pattern)
        if decision is None:
            raise LookupError(f"{self.table.table.name}: no row is in force on {self.table.on}")
        if decision not in self.answers:
            self.answers.append(decision)
        return self.answers.index(decision)

    def joined(self, found: Column, words: Sequence[str]) -> tuple[Column, Column, Column]:
        """Outcome (a place in `words`), force (in `FORCES`) and row of the table for each place of an answer."""
        rows = [row.name for row in self.table.table.rows]
        outcome = np.array([words.index(one.then) for one in self.answers], np.int8)
        force = np.array([FORCES.index(one.force) for one in self.answers], np.int8)
        row = np.array([rows.index(one.rows[0].name) for one in self.answers], np.int16)
        places = found.astype(np.intp)
        return outcome.take(places), force.take(places), row.take(places)


def _places(name: str, listed: Sequence[str]) -> Column | None:
    """From the places of a column to those of the table; None where they are the same, or kinds, which come so."""
    every = COLUMN_VALUES[name]
    if not every or tuple(listed) == every:
        return None
    return np.array([listed.index(value) if value in listed else len(listed) for value in every], np.int8)


_kept: dict[tuple[str, date, str | None, str], PatternTable] = {}


def pattern_table(law: LawDay, name: str) -> PatternTable:
    """The patterns of one table of a law as at a day in a state, kept from one register to the next."""
    key = (law.book.digest, law.on, law.territory, name)
    known = _kept.get(key)
    if known is None:
        if len(_kept) >= KEPT_TABLES:
            _kept.clear()
        known = _kept[key] = PatternTable(law.tables[name])
    return known


class Judged(NamedTuple):
    """Answers as columns. `klass`: a place in the classes of the judge; `force` in `FORCES`, `band` in `BANDS`.

    `row`, `band_row`, `size_row`: which row of the table says so (of several the first), and with it reason and
    citation; `NONE` where no table did. `singly`: evidence speaks besides, so that the scalar core has to judge; where
    it did, class, force and band are its.
    """

    klass: Column
    force: Column
    row: Column
    band: Column
    band_row: Column
    size_row: Column
    singly: Column


class ColumnJudge:
    """What a `Judge` presumes, for units in columns."""

    def __init__(self, judge: Judge) -> None:
        self.judge, self.law, self.house = judge, judge.law, judge.house
        self.classes = (*(self.law.book.classes if self.law else ()), UNDETERMINED)
        self.seam = ColumnSeam(self.law, self.house)
        self.presumption = pattern_table(self.law, "presumption") if self.law else None
        self.bands = pattern_table(self.house, "band")
        sizes = self.law is not None and "capacitor_size" in self.law.tables
        self.sizes = pattern_table(self.law, "capacitor_size") if self.law and sizes else None

    def judged(self, columns: Columns, size: int = CHUNK) -> Iterator[Judged]:
        """The answers, a chunk at a time, so that memory does not grow with the register."""
        for chunk in columns.chunks(size):
            yield self._chunk(chunk)

    def _chunk(self, given: Columns) -> Judged:
        asked = {*self.bands.asked, *(self.presumption.asked if self.presumption else ())}
        values = self.seam.values(given, asked)
        count = len(given)
        klass, force, row = np.zeros(count, np.int8), np.zeros(count, np.int8), np.full(count, NONE, np.int16)
        if self.presumption:
            klass, force, row = self.presumption.joined(self.presumption.decided(values), self.classes)
        band, _, band_row = self.bands.joined(self.bands.decided(values), BANDS)
        singly = (given.plate == PLATE_PCB) | (given.fluid == ASKAREL) | ((given.marks & PCB_MARKS) != 0)
        return Judged(klass, force, row, band, band_row, self._size_rows(given), singly)

    def _size_rows(self, given: Columns) -> Column:
        """The rows of the table of sizes, for capacitors and ballasts."""
        rows = np.full(len(given), NONE, np.int16)
        places = np.flatnonzero(IS_CAPACITOR.take(given.unit_kind)) if self.sizes else ()
        if self.sizes and len(places):
            some = Columns(*[column.take(places) for column in vars(given).values()])
            found = self.sizes.decided(self.seam.values(some, self.sizes.asked))
            rows[places] = self.sizes.joined(found, self.sizes.table.table.answers)[-1]
        return rows

    # ------------------------------------------------------------------ facts of units

    def of_units(self, units: Sequence[Unit]) -> Judged:
        """The answers for units as facts: by columns where only tables speak, the others singly."""
        views = [self.judge.view(unit) for unit in units]
        columns, without = of_parts(view.parts[0] for view in views)
        found = self._chunk(columns)
        found.singly[without] = True
        found.singly[[n for n, view in enumerate(views) if more_speaks(view)]] = True
        for place in np.flatnonzero(found.singly).tolist():
            one = self.judge.judgement(views[place])
            found.klass[place] = self.classes.index(one.klass)
            found.force[place] = FORCES.index(one.force)
            found.band[place] = BANDS.index(one.band)
            found.row[place] = found.band_row[place] = NONE
        for place in without:
            found.size_row[place] = self._size_row(views[place])
        return found

    def _size_row(self, view: View) -> int:
        """The row of the table of sizes for one unit."""
        decision = self.sizes.table.decide(view.size) if self.sizes and view.size else None
        return self.sizes.table.table.rows.index(decision.rows[0]) if self.sizes and decision else NONE


def more_speaks(view: View) -> bool:
    """Whether anything besides the tables speaks of the class or band: other spaces, tests, plates, marks, fluids."""
    return len(view.parts) > 1 or view.named is not None or any(r.klass or r.band or r.bound for r in view.readings)
