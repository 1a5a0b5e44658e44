"""The prover against a plain listing of small random tables, day by day, combination by combination.

The listing takes every word of the definition at its face: a row matches, an over strikes out, an over matters where
taking it away lets another set of rows win.
"""

from collections import Counter
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from itertools import combinations, product

from hypothesis import given, settings
from hypothesis import strategies as st

from hazmat.core.law import Cite, Over, Row, Table
from hazmat.rulebooks.prove import Fault, prove_table
from tests.conftest import DEEP

CITE = Cite("none", "made up", None, "no address", date(2026, 11, 25), "judgement")
FIRST = date(2001, 1, 1)
DAYS = [FIRST + timedelta(days=n) for n in range(-1, 9)]
"""From the day before any start to the day after any end; before and after these days nothing changes."""

COLUMNS = {"colour": ("red", "blue", "grey", "green"), "size": ("big", "little"), "age": ("old", "new", "unknown")}

Pair = tuple[str, str]


@dataclass
class Listing:
    """What a stretch of days shows: a combination without an answer, pairs of rows that disagree, rows that win,
    overs that matter."""

    gap: bool = False
    clashes: set[frozenset[str]] = field(default_factory=set)
    won: set[str] = field(default_factory=set)
    used: set[Pair] = field(default_factory=set)

    @property
    def fails(self) -> bool:
        return self.gap or bool(self.clashes)


def row(name: str, when: dict[str, list[str]], then: str, over: list[str], since: int | None, until: int | None) -> Row:
    return Row(
        table="t",
        name=name,
        when=tuple((column, frozenset(values)) for column, values in when.items()),
        then=then,
        force="must",
        over=tuple(Over(other, CITE) for other in over),
        cite=CITE,
        says="",
        since=None if since is None else DAYS[since],
        until=None if until is None else DAYS[until],
    )


@st.composite
def rows(draw: st.DrawFn, columns: dict[str, tuple[str, ...]], name: str, names: list[str], dated: bool) -> Row:
    """A row of some conditions that name not all of a column, with overs of other rows, at times for a few days."""
    used = draw(st.lists(st.sampled_from(sorted(columns)), unique=True, max_size=len(columns)))
    when = {
        column: draw(
            st.lists(st.sampled_from(columns[column]), unique=True, min_size=1, max_size=len(columns[column]) - 1)
        )
        for column in used
    }
    others = [other for other in names if other != name]
    over = draw(st.lists(st.sampled_from(others), unique=True, max_size=2)) if others else []
    since = draw(st.sampled_from([None, 1, 2, 3, 4, 6])) if dated else None
    until = draw(st.sampled_from([None, 6, 7, *range(since or 3, 6)])) if dated else None
    return row(name, when, draw(st.sampled_from(["x", "x", "x", "y"])), over, since, until)


@st.composite
def tables(draw: st.DrawFn) -> Table:
    """Two or three columns of two to four values, one to eight rows, the last of which often answers everything."""
    columns = {
        name: COLUMNS[name] for name in draw(st.lists(st.sampled_from(sorted(COLUMNS)), unique=True, min_size=2))
    }
    names = [f"row {n}" for n in range(draw(st.integers(1, 8)))]
    dated = draw(st.booleans())
    made = [draw(rows(columns, name, names, dated)) for name in names]
    if draw(st.booleans()):
        made[-1] = replace(made[-1], when=(), since=None, until=None)
    return Table("t", "", ("x", "y"), columns, tuple(made))


# ------------------------------------------------------------------ the listing


def matches(one: Row, combination: dict[str, str]) -> bool:
    return all(combination[column] in values for column, values in one.when)


def stands(one: Row, on: date) -> bool:
    return (one.since is None or one.since <= on) and (one.until is None or on <= one.until)


def winners(here: list[Row], less: Pair | None = None) -> list[Row]:
    """The rows left when every over of every matching row has struck; `less`: one over taken away."""
    struck = {over.row for one in here for over in one.over if (one.name, over.row) != less}
    return [one for one in here if one.name not in struck]


def listed(table: Table, on: date) -> Listing:
    """One day of a table. A day before every row, or after every row, is outside the law and says nothing."""
    found = Listing()
    standing = [one for one in table.rows if stands(one, on)]
    begun = any(one.since is None or one.since <= on for one in table.rows)
    lasts = any(one.until is None or on <= one.until for one in table.rows)
    for values in product(*table.columns.values()) if begun and lasts else ():
        combination = dict(zip(table.columns, values, strict=True))
        here = [one for one in standing if matches(one, combination)]
        left = winners(here)
        found.gap |= not left
        found.won |= {one.name for one in left}
        found.clashes |= {
            frozenset({one.name, other.name}) for one, other in combinations(left, 2) if one.then != other.then
        }
        pairs = {(one.name, over.row) for one in here for over in one.over}
        found.used |= {pair for pair in pairs if winners(here, less=pair) != left}
    return found


def alike(table: Table) -> set[frozenset[str]]:
    """Pairs of rows with the same conditions on one day."""
    return {
        frozenset({one.name, other.name})
        for one, other in combinations(table.rows, 2)
        if dict(one.when) == dict(other.when) and any(stands(one, on) and stands(other, on) for on in DAYS)
    }


def kind(fault: Fault) -> str:
    """By the words of the fault."""
    for words in ("no row answers", "and differ", "never wins", "never matters", "the same conditions"):
        if words in fault.says:
            return words
    raise AssertionError(fault.says)


SEEN: Counter[str] = Counter()


@settings(max_examples=4000 if DEEP else 600)
@given(tables())
def compare(table: Table) -> None:
    """The prover stops at the first day that fails, and asks what never wins or matters only where none does."""
    found: dict[str, list[Fault]] = {}
    for fault in prove_table(table):
        found.setdefault(kind(fault), []).append(fault)
    SEEN.update(found.keys() or {"sound"})
    days = [listed(table, on) for on in DAYS]
    assert {frozenset(fault.rows) for fault in found.get("the same conditions", [])} == alike(table)
    if "the same conditions" in found:
        return
    failing = next((day for day in days if day.fails), Listing())
    assert ("no row answers" in found) == failing.gap
    said = {frozenset(fault.rows) for fault in found.get("and differ", [])}
    assert said <= failing.clashes
    assert bool(said) == bool(failing.clashes)
    if failing.fails:
        assert not found.keys() & {"never wins", "never matters"}
        return
    won, used = set().union(*(day.won for day in days)), set().union(*(day.used for day in days))
    assert {fault.rows[0] for fault in found.get("never wins", [])} == {one.name for one in table.rows} - won
    overs = {(one.name, over.row) for one in table.rows for over in one.over}
    assert {fault.rows for fault in found.get("never matters", [])} == overs - used


def test_the_prover_and_a_plain_listing_agree() -> None:
    """And every verdict occurred, so that none is agreed on only because nobody asked."""
    SEEN.clear()
    compare()
    for verdict in ("sound", "no row answers", "and differ", "never wins", "never matters", "the same conditions"):
        assert SEEN[verdict] >= 10, SEEN


@settings(max_examples=300)
@given(tables())
def test_a_named_combination_does_fail(table: Table) -> None:
    """On some day the rows that match it leave no winner, or the two that are named."""
    for fault in prove_table(table):
        if fault.combination is None:
            continue
        assert list(fault.combination) == list(table.columns)
        today = [[one for one in table.rows if stands(one, on)] for on in DAYS]
        left = [winners([one for one in day if matches(one, fault.combination or {})]) for day in today]
        if fault.rows:
            assert any({one.name for one in day} >= set(fault.rows) for day in left)
        else:
            assert [] in left


def test_a_table_without_a_row_answers_nothing() -> None:
    """Everything is a gap: nothing is proved of a table that says nothing."""
    found = prove_table(Table("t", "", ("x",), {"size": ("big", "little")}, ()))
    assert [(kind(fault), fault.combination) for fault in found] == [("no row answers", {"size": "big"})]


def test_a_stretch_of_days_between_two_rows_is_a_gap() -> None:
    """Answered up to one day and again from the day after the next: the day between is named as a hole."""
    early, late = row("early", {}, "x", [], 1, 3), row("late", {}, "x", [], 5, None)
    table = Table("t", "", ("x",), {"size": ("big", "little")}, (early, late))
    assert [kind(fault) for fault in prove_table(table)] == ["no row answers"]
    seamless = replace(table, rows=(early, replace(late, since=DAYS[4])))
    assert prove_table(seamless) == []
