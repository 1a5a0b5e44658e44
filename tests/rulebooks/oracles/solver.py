"""A second prover for the decision tables, with the z3 solver.

It reads the rulebook's TOML itself and knows nothing of the loader. Each column is a finite sort,
each row a formula, and a fault is a model: one combination of column values where the table fails.

What a table means: the rows that match a combination, less every row that any matching row names
under `over` (an `over` counts even where its own row is beaten), are its winners. A table is sound
where each combination has a winner, all winners agree in `then` and `force`, each row wins
somewhere and each `over` keeps some row from winning somewhere.

Method: satisfiability over enumeration sorts, N. Bjorner and others, "Programming Z3",
https://theory.stanford.edu/~nikolaj/programmingz3.html (address from memory).
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import combinations
from pathlib import Path
from typing import Any

import z3  # type: ignore[import-untyped]

Combination = dict[str, str]
FORCES = ("must", "may", "care")


@dataclass(frozen=True)
class Fault:
    """One fault of one table.

    kind: gap, conflict, never_wins, idle_over, dangling_over, same_when, same_name, unknown_word,
    bad_answer. rows: the names that it touches, none for a gap. combination: a value for every
    column (gap and conflict only). day, state: the first day of its period, and where (gap and conflict only).
    """

    kind: str
    table: str
    rows: tuple[str, ...] = ()
    combination: Combination = field(default_factory=dict)
    day: date | None = None
    state: str | None = None


def read(rulebook: str | Path | Mapping[str, Any]) -> Mapping[str, Any]:
    """The parsed rulebook; a mapping is taken as it is. Raises OSError and TOMLDecodeError."""
    if isinstance(rulebook, Mapping):
        return rulebook
    return tomllib.loads(Path(rulebook).read_text(encoding="utf-8"))


def faults(rulebook: str | Path | Mapping[str, Any]) -> list[Fault]:
    """Every fault of every table of a rulebook, given as a path or as parsed TOML."""
    found: list[Fault] = []
    for name, table in read(rulebook).get("table", {}).items():
        found += [*_misspelt(name, table), *_unproved(name, table)]
    return found


def failures(rulebook: str | Path | Mapping[str, Any]) -> list[Fault]:
    """Only the gaps and conflicts: the faults that leave a combination without one answer."""
    return [
        fault
        for name, table in read(rulebook).get("table", {}).items()
        for day, state in moments(table)
        for fault in _Period(name, table, day, state).failures()
    ]


def words(value: str | list[str]) -> list[str]:
    """The words that one condition of a row allows."""
    return list(value) if isinstance(value, list) else [value]


def beats(row: Mapping[str, Any]) -> list[str]:
    """The names of the rows that this row beats."""
    return [entry["row"] for entry in row.get("over", [])]


def answer(row: Mapping[str, Any]) -> tuple[str, str | None]:
    """What a row says: `then`, and the force (None beside `undetermined`)."""
    return row["then"], row.get("force")


def _bounds(item: Mapping[str, Any]) -> tuple[date, date]:
    """First and last day in force. No `since`, or "unknown", counts as since ever."""
    since, until = item.get("since", date.min), item.get("until", date.max)
    return (date.min if since == "unknown" else since), until


def periods(table: Mapping[str, Any]) -> list[date]:
    """The first day of each stretch in which the same rows stand, within the table's own bounds."""
    first, last = _bounds(table)
    starts = {first}
    for row in table["row"]:
        since, until = _bounds(row)
        starts.add(since)
        if until < date.max:
            starts.add(until + timedelta(days=1))
    return sorted(day for day in starts if first <= day <= last)


def moments(table: Mapping[str, Any]) -> list[tuple[date, str | None]]:
    """Each period, in no state of its own and in each state that some row names."""
    states = sorted({state for row in table["row"] for state in row.get("only_in", [])})
    return [(day, state) for day in periods(table) for state in (None, *states)]


def standing(table: Mapping[str, Any], day: date, state: str | None = None) -> list[Mapping[str, Any]]:
    """The rows in force on a day in a state."""
    return [
        row
        for row in table["row"]
        if _bounds(row)[0] <= day <= _bounds(row)[1] and state in row.get("only_in", [state])
    ]


def _misspelt(name: str, table: Mapping[str, Any]) -> Iterator[Fault]:
    """Faults that need no proof: names, words and answers that the table does not have."""
    names = [row["name"] for row in table["row"]]
    for row in table["row"]:
        then, force = answer(row)
        wrong_force = force is not None if then == "undetermined" else force not in FORCES
        if then not in [*table["answers"], "undetermined"] or wrong_force:
            yield Fault("bad_answer", name, (row["name"],))
        if any(not _allowed(table, *condition) for condition in row["when"].items()):
            yield Fault("unknown_word", name, (row["name"],))
        for other in beats(row):
            if other not in names or other == row["name"]:
                yield Fault("dangling_over", name, (row["name"], other))
    for one, two in combinations(table["row"], 2):
        if one["name"] == two["name"]:
            yield Fault("same_name", name, (one["name"], two["name"]))
        if _overlap(one, two) and _plain(table, one) == _plain(table, two):
            yield Fault("same_when", name, (one["name"], two["name"]))


def _allowed(table: Mapping[str, Any], column: str, value: str | list[str]) -> bool:
    """Whether a condition names a column of the table and only its words, at least one."""
    return bool(words(value)) and set(words(value)) <= set(table["columns"].get(column, ()))


def _overlap(one: Mapping[str, Any], two: Mapping[str, Any]) -> bool:
    """Whether two rows are ever in force on the same day, in one state or both everywhere."""
    places = set(one.get("only_in", [])), set(two.get("only_in", []))
    in_time = max(_bounds(one)[0], _bounds(two)[0]) <= min(_bounds(one)[1], _bounds(two)[1])
    return in_time and (bool(places[0] & places[1]) or not (places[0] or places[1]))


def _plain(table: Mapping[str, Any], row: Mapping[str, Any]) -> dict[str, set[str]]:
    """A row's conditions with every column spelt out, so that equal conditions compare equal."""
    return {column: set(words(row["when"].get(column, allowed))) for column, allowed in table["columns"].items()}


def _unproved(name: str, table: Mapping[str, Any]) -> Iterator[Fault]:
    """Faults that the solver finds. A row or an `over` is idle only if it is so in every period."""
    won: set[str] = set()
    used: set[tuple[str, str]] = set()
    for day, state in moments(table):
        period = _Period(name, table, day, state)
        yield from period.failures()
        won |= period.winning_rows()
        used |= period.used_overs()
    known = {row["name"] for row in table["row"]}
    for row in table["row"]:
        if row["name"] not in won:
            yield Fault("never_wins", name, (row["name"],))
        for other in beats(row):
            if other in known - {row["name"]} and (row["name"], other) not in used:
                yield Fault("idle_over", name, (row["name"], other))


class _Period:
    """One table on one day in one state: its rows as formulas, and one solver for all questions."""

    def __init__(self, name: str, table: Mapping[str, Any], day: date, state: str | None) -> None:
        self.name, self.day, self.state, self.rows = name, day, state, standing(table, day, state)
        self.context = z3.Context()
        self.solver = z3.Solver(ctx=self.context)
        self.columns: dict[str, Any] = {}
        self.values: dict[str, dict[str, Any]] = {}
        for column, allowed in table["columns"].items():
            tags = [f"{column}={word}" for word in allowed]
            sort, members = z3.EnumSort(column, tags, ctx=self.context)
            self.columns[column] = z3.Const(f"the {column}", sort)
            self.values[column] = dict(zip(allowed, members, strict=True))
        self.matches = [self._formula(row) for row in self.rows]
        self.wins = [
            z3.And(match, z3.Not(self._any(self._beaters(row))))
            for row, match in zip(self.rows, self.matches, strict=True)
        ]

    def failures(self) -> Iterator[Fault]:
        """One combination without a winner, and one for each pair of winners that disagree."""
        gap = self._model(z3.Not(self._any(self.wins)))
        if gap is not None:
            yield Fault("gap", self.name, (), self._combination(gap), self.day, self.state)
        clashes = {
            (i, j): z3.And(self.wins[i], self.wins[j])
            for i, j in combinations(range(len(self.rows)), 2)
            if answer(self.rows[i]) != answer(self.rows[j])
        }
        while (model := self._model(self._any(list(clashes.values())))) is not None:
            shown = [pair for pair, both in clashes.items() if z3.is_true(model.eval(both, True))]
            for i, j in shown:
                del clashes[i, j]
                rows = (self.rows[i]["name"], self.rows[j]["name"])
                yield Fault("conflict", self.name, rows, self._combination(model), self.day, self.state)

    def winning_rows(self) -> set[str]:
        """The names of the rows that win at least once."""
        return {row["name"] for row, win in zip(self.rows, self.wins, strict=True) if self._model(win) is not None}

    def used_overs(self) -> set[tuple[str, str]]:
        """The pairs (row, beaten row) without which the beaten row would win somewhere more."""
        used = set()
        for i, row in enumerate(self.rows):
            for j, other in enumerate(self.rows):
                if other["name"] in beats(row) and i != j:
                    rest = self._any(self._beaters(other, but=i))
                    if self._model(self.matches[i], self.matches[j], z3.Not(rest)) is not None:
                        used.add((row["name"], other["name"]))
        return used

    def _formula(self, row: Mapping[str, Any]) -> Any:
        """A row's conditions; a word or column that the table does not have matches nothing."""
        terms = [
            self._any(
                [
                    self.columns[column] == self.values[column][word]
                    for word in words(value)
                    if word in self.values.get(column, {})
                ]
            )
            for column, value in row["when"].items()
        ]
        return z3.And(z3.BoolVal(True, ctx=self.context), *terms)

    def _beaters(self, row: Mapping[str, Any], but: int | None = None) -> list[Any]:
        """The conditions of all rows that beat this one, without row number `but`."""
        return [
            self.matches[i]
            for i, other in enumerate(self.rows)
            if i != but and row["name"] in beats(other) and other is not row
        ]

    def _any(self, terms: list[Any]) -> Any:
        return z3.Or(z3.BoolVal(False, ctx=self.context), *terms)

    def _model(self, *claims: Any) -> Any:
        """A model of the claims, or None. Raises ArithmeticError if the solver gives up."""
        self.solver.push()
        try:
            self.solver.add(*claims)
            result = self.solver.check()
            if result == z3.unknown:
                raise ArithmeticError(f"{self.name}: {self.solver.reason_unknown()}")
            return self.solver.model() if result == z3.sat else None
        finally:
            self.solver.pop()

    def _combination(self, model: Any) -> Combination:
        """The value of every column in a model, as the rulebook spells it."""
        shown = {column: model.eval(const, True) for column, const in self.columns.items()}
        return {
            column: next(word for word, member in self.values[column].items() if value.eq(member))
            for column, value in shown.items()
        }
