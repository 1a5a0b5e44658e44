"""Proof of a decision table: every combination has one answer, and every row and every `over` is needed.

Done by listing every combination of column values, for each stretch of days between two changes of the table, for
each state that has rows of its own and for the rest.
A solver that reads the same file is the second prover, in the tests.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import combinations, product

from hazmat.core.law import Act, Row, Table, TableDay


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with a table, how to mend it, and the combination, day and state that show it."""

    table: str
    says: str
    mend: str
    combination: dict[str, str] | None = None
    rows: tuple[str, ...] = ()
    on: date | None = None
    territory: str | None = None


def prove_table(table: Table) -> list[Fault]:
    """Every fault of the table; an empty list is the proof."""
    faults = [*_same_conditions(table), *_dangling(table)]
    needed: set[str] = set()
    mattering: set[tuple[str, str]] = set()
    for on, territory in product(_days(table), table.territories()):
        today = TableDay(table, on, territory)
        for matching, combination in _combinations(today):
            faults.extend(_answer(today, matching, combination))
            won = today.members(today.winning(matching))
            needed |= {row.name for row in won}
            mattering |= _mattering(today, matching)
        if faults:
            return faults
    for row in table.rows:
        if row.name not in needed:
            faults.append(
                Fault(
                    table.name,
                    f"row “{row.name}” never wins",
                    "drop it, or narrow the row that hides it",
                    rows=(row.name,),
                )
            )
        for over in row.over:
            if (row.name, over.row) not in mattering:
                faults.append(
                    Fault(
                        table.name,
                        f"row “{row.name}” beats “{over.row}”, which never matters",
                        "drop that over",
                        rows=(row.name, over.row),
                    )
                )
    return faults


def _days(table: Table) -> list[date]:
    """One day of each stretch from the first row to the last; a table without a row answers on no day."""
    if not table.rows:
        return [date.min]
    first = [date.min] if any(row.since is None for row in table.rows) else []
    end = max(row.until or date.max for row in table.rows)
    return [on for on in [*first, *table.bounds()] if on <= end]


def _combinations(today: TableDay) -> Iterator[tuple[int, dict[str, str]]]:
    """Each distinct set of matching rows, with one combination that gives it."""
    seen = set()
    for values in product(*today.table.columns.values()):
        matching = today.matching(values)
        if matching not in seen:
            seen.add(matching)
            yield matching, dict(zip(today.columns, values, strict=True))


def _answer(today: TableDay, matching: int, combination: dict[str, str]) -> Iterator[Fault]:
    table, on, territory = today.table.name, today.on, today.territory
    shown = ", ".join(f"{column} {value}" for column, value in combination.items())
    if territory:
        shown = f"{shown} in {territory}"
    won = today.members(today.winning(matching))
    if not won:
        yield Fault(table, f"no row answers {shown}", "add a row for it", combination, (), on, territory)
    for row in won[1:]:
        if (row.then, row.force) != (won[0].then, won[0].force):
            says = f"rows “{won[0].name}” and “{row.name}” both answer {shown}, and differ"
            yield Fault(
                table, says, "let one name the other under over", combination, (won[0].name, row.name), on, territory
            )


def _mattering(today: TableDay, matching: int) -> set[tuple[str, str]]:
    """The overs without which another set of rows would win here."""
    matched = today.members(matching)
    beaten: dict[str, list[str]] = {}
    for row in matched:
        for over in row.over:
            beaten.setdefault(over.row, []).append(row.name)
    present = {row.name for row in matched}
    return {(by[0], name) for name, by in beaten.items() if len(by) == 1 and name in present}


def _dangling(table: Table) -> Iterator[Fault]:
    names = {row.name for row in table.rows}
    for row in table.rows:
        for over in row.over:
            if over.row not in names or over.row == row.name:
                says = f"row “{row.name}” beats “{over.row}”, which is no other row of this table"
                yield Fault(table.name, says, "name a row, or drop that over", rows=(row.name, over.row))


def _same_conditions(table: Table) -> Iterator[Fault]:
    for place, row in enumerate(table.rows):
        for other in table.rows[place + 1 :]:
            if dict(row.when) == dict(other.when) and _overlap(row, other):
                says = f"rows “{row.name}” and “{other.name}” have the same conditions"
                yield Fault(table.name, says, "keep one of them", rows=(row.name, other.name))


def _overlap(one: Row, other: Row) -> bool:
    first = max(one.since or date.min, other.since or date.min)
    last = min(one.until or date.max, other.until or date.max)
    return first <= last and _same_place(one.only_in, other.only_in)


def _same_place(one: frozenset[str], other: frozenset[str]) -> bool:
    """Whether two rows stand alone in some same state, or both stand everywhere; a state's own row may repeat the
    conditions of a row that stands everywhere, which it then has to beat."""
    return bool(one & other) or not (one or other)


def act_fault(section: str, columns: Mapping[str, tuple[str, ...]], acts: Sequence[Act]) -> tuple[str, str] | None:
    """What is wrong with a list of acts or steps, and how to mend it; None is the proof.

    Each act stands once at most for a combination, each column is asked, and no combination is left without a row.
    """
    asked = {column for act in acts for column, _ in act.when}
    twice = [one.act for one, other in combinations(acts, 2) if one.act == other.act and _meet(one, other)]
    if twice:
        return f"two rows say “{twice[0]}” for one combination", "keep their conditions apart, or drop one"
    idle = [column for column in columns if column not in asked]
    if idle:
        return f"no row asks for {', '.join(idle)}", "drop that column, or add a row that asks for it"
    if section == "acts":
        always = any(not act.when for act in acts)
        return None if always else ("some combination could be left without an act", "keep one row with when = {}")
    gap = _first_gap(columns, acts)
    return (f"nothing is said for {gap}", "add a row for it, or widen one") if gap else None


def _meet(one: Act, other: Act) -> bool:
    """Whether some combination asks for both."""
    wanted = dict(other.when)
    return all(accepted & wanted.get(column, accepted) for column, accepted in one.when)


def _first_gap(columns: Mapping[str, tuple[str, ...]], acts: Sequence[Act]) -> str | None:
    """The first combination of column values for which no act holds, in words; None where each has one."""
    for values in product(*columns.values()):
        facts = dict(zip(columns, values, strict=True))
        if not any(act.wanted(facts) for act in acts):
            return ", ".join(f"{column} = {value}" for column, value in facts.items())
    return None
