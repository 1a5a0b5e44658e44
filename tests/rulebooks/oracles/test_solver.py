"""Every shipped decision table is sound, no lost row goes unnoticed, and the solver sees faults.

The solver is z3 over the TOML as written; the enumeration below is a third way to the same answer.
"""

from __future__ import annotations

import copy
import itertools
import random
import time
import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from .solver import Fault, answer, beats, failures, faults, read, words

RULEBOOKS = Path(__file__).parents[3] / "hazmat" / "rulebooks"
WITH_TABLES = [path for path in sorted(RULEBOOKS.glob("*.toml")) if read(path).get("table")]
ROWS = [
    pytest.param(path, table, row["name"], id=f"{path.stem}-{table}-{row['name']}")
    for path in WITH_TABLES
    for table, body in read(path)["table"].items()
    for row in body["row"]
]

SOUND = """
[table.shelf]
answers = ["low", "high"]
columns = { colour = ["red", "blue", "grey"], size = ["big", "little"] }
[[table.shelf.row]]
name = "red"
when = { colour = "red" }
then = "high"
force = "must"
[[table.shelf.row]]
name = "blue or grey"
when = { colour = ["blue", "grey"] }
then = "low"
force = "may"
[[table.shelf.row]]
name = "little red"
when = { colour = "red", size = "little" }
then = "low"
force = "care"
over = [{ row = "red", cite = "none" }]
"""


def shelf(**changes: dict[str, Any]) -> dict[str, Any]:
    """The sound table with some rows changed; keys are row names with underscores for blanks."""
    parsed = tomllib.loads(SOUND)
    for row in parsed["table"]["shelf"]["row"]:
        row.update(changes.get(row["name"].replace(" ", "_"), {}))
    return parsed


def matches(row: dict[str, Any], combination: dict[str, str]) -> bool:
    return all(combination[column] in words(value) for column, value in row["when"].items())


def without(path: Path, table: str, name: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """One table of a rulebook less one row, in its own book, and the row taken out."""
    body = copy.deepcopy(dict(read(path)["table"][table]))
    (gone,) = [row for row in body["row"] if row["name"] == name]
    body["row"] = [row for row in body["row"] if row is not gone]
    for row in body["row"]:
        row["over"] = [entry for entry in row.get("over", []) if entry["row"] != name]
    return {"table": {table: body}}, gone


def test_rulebooks_with_tables_are_found() -> None:
    assert "us" in [path.stem for path in WITH_TABLES]


@pytest.mark.parametrize("path", WITH_TABLES, ids=lambda path: path.stem)
def test_no_shipped_table_has_a_fault(path: Path) -> None:
    assert faults(path) == []


@pytest.mark.parametrize(("path", "table", "name"), ROWS)
def test_a_missing_row_is_noticed_where_it_matched(path: Path, table: str, name: str) -> None:
    book, gone = without(path, table, name)
    found = failures(book)
    assert found, f"nothing is lost with row {name!r} of {table!r}"
    columns = set(book["table"][table]["columns"])
    for fault in found:
        assert fault.kind in {"gap", "conflict"}
        assert set(fault.combination) == columns
        assert matches(gone, fault.combination), fault


def test_the_sound_table_has_no_fault() -> None:
    assert faults(shelf()) == []


def test_a_gap_is_named() -> None:
    book = shelf(blue_or_grey={"when": {"colour": "blue"}})
    (fault,) = faults(book)
    assert (fault.kind, fault.table, fault.rows) == ("gap", "shelf", ())
    assert fault.combination["colour"] == "grey"
    assert fault.combination["size"] in {"big", "little"}


def test_an_overlap_is_named_with_both_rows() -> None:
    (fault,) = faults(shelf(little_red={"over": []}))
    assert fault.kind == "conflict"
    assert fault.rows == ("red", "little red")
    assert fault.combination == {"colour": "red", "size": "little"}


def test_rows_that_differ_in_force_alone_conflict() -> None:
    found = faults(shelf(little_red={"over": [], "then": "high"}))
    assert [fault.kind for fault in found] == ["conflict"]


def test_an_idle_over_is_named() -> None:
    over = [{"row": "red", "cite": "none"}, {"row": "blue or grey", "cite": "none"}]
    assert faults(shelf(little_red={"over": over})) == [Fault("idle_over", "shelf", ("little red", "blue or grey"))]


def test_an_over_that_names_no_row_is_named() -> None:
    over = [{"row": "red", "cite": "none"}, {"row": "green", "cite": "none"}]
    assert faults(shelf(little_red={"over": over})) == [Fault("dangling_over", "shelf", ("little red", "green"))]


def test_a_row_that_never_wins_is_named() -> None:
    book = shelf(red={"over": [{"row": "little red", "cite": "none"}]}, little_red={"over": []})
    assert faults(book) == [Fault("never_wins", "shelf", ("little red",))]


def test_an_over_counts_where_its_own_row_is_beaten() -> None:
    """Little red beats red and red beats the rest: red is out, and what it beats is out too."""
    book = shelf(
        blue_or_grey={"when": {}},
        red={"over": [{"row": "blue or grey", "cite": "none"}]},
    )
    assert faults(book) == []


def test_the_same_conditions_in_other_words_are_named() -> None:
    book = shelf(little_red={"when": {"colour": ["red"], "size": ["little", "big"]}, "over": []})
    assert Fault("same_when", "shelf", ("red", "little red")) in faults(book)


@pytest.mark.parametrize(
    ("change", "kind"),
    [
        ({"then": "middling"}, "bad_answer"),
        ({"force": "shall"}, "bad_answer"),
        ({"then": "undetermined"}, "bad_answer"),
        ({"when": {"colour": ["red", "green"]}}, "unknown_word"),
        ({"when": {"colour": "red", "weight": "heavy"}}, "unknown_word"),
    ],
)
def test_words_outside_the_table_are_named(change: dict[str, Any], kind: str) -> None:
    assert Fault(kind, "shelf", ("red",)) in faults(shelf(red=change))


def test_a_successor_that_comes_a_day_late_leaves_a_gap_on_that_day() -> None:
    book = shelf(blue_or_grey={"until": date(2020, 3, 31)})
    late = {"name": "since April", "since": date(2020, 4, 2), "then": "low", "force": "may"}
    rows = book["table"]["shelf"]["row"]
    rows.append(late | {"when": {"colour": ["grey", "blue"]}})
    (fault,) = faults(book)
    assert (fault.kind, fault.day) == ("gap", date(2020, 4, 1))
    rows[-1]["since"] = date(2020, 4, 1)
    assert faults(book) == []


def random_table(seed: int) -> dict[str, Any]:
    """A small table of random rows: most have faults of several kinds."""
    dice = random.Random(seed)
    columns = {name: list("abc")[: dice.randint(2, 3)] for name in ("p", "q", "r")}
    names = [f"row {i}" for i in range(dice.randint(2, 6))]
    rows = []
    for name in names:
        used = dice.sample(sorted(columns), dice.randint(0, 2))
        when = {c: dice.sample(columns[c], dice.randint(1, len(columns[c]))) for c in used}
        over = [{"row": o} for o in names if o != name and dice.random() < 0.25]
        rows.append({"name": name, "when": when, "then": dice.choice("xy"), "force": "must", "over": over})
    return {"table": {"t": {"answers": ["x", "y"], "columns": columns, "row": rows}}}


Pairs = set[tuple[str, str]]


def listed(table: dict[str, Any]) -> tuple[set[str], Pairs, set[str], Pairs]:
    """By listing every combination: gaps, conflicting pairs, rows that win, overs that matter."""
    gaps: set[str] = set()
    won: set[str] = set()
    clashes: Pairs = set()
    used: Pairs = set()
    for values in itertools.product(*table["columns"].values()):
        here = [r for r in table["row"] if matches(r, dict(zip(table["columns"], values, strict=True)))]
        beaten = [(r["name"], other) for r in here for other in beats(r)]
        winners = [r for r in here if r["name"] not in [other for _, other in beaten]]
        won |= {r["name"] for r in winners}
        if not winners:
            gaps.add(str(values))
        clashes |= {
            (one["name"], two["name"]) for one, two in itertools.combinations(winners, 2) if answer(one) != answer(two)
        }
        used |= {
            (row, other)
            for row, other in beaten
            if other in [r["name"] for r in here] and [o for _, o in beaten].count(other) == 1
        }
    return gaps, clashes, won, used


def test_the_solver_and_a_full_listing_agree_on_random_tables() -> None:
    seen: set[str] = set()
    for seed in range(150):
        book = random_table(seed)
        table = book["table"]["t"]
        gaps, clashes, won, used = listed(table)
        found = faults(book)
        of = {kind: {f.rows for f in found if f.kind == kind} for kind in ("conflict", "never_wins", "idle_over")}
        assert all(str(tuple(f.combination.values())) in gaps for f in found if f.kind == "gap")
        assert any(f.kind == "gap" for f in found) == bool(gaps)
        assert of["conflict"] == clashes
        assert of["never_wins"] == {(r["name"],) for r in table["row"]} - {(name,) for name in won}
        assert of["idle_over"] == {(r["name"], o) for r in table["row"] for o in beats(r)} - used
        seen |= {f.kind for f in found}
    assert seen >= {"gap", "conflict", "never_wins", "idle_over"}


def test_a_table_of_768_combinations_and_30_rows_takes_less_than_five_seconds() -> None:
    columns = {
        "a": list("abcdefgh"),
        "b": list("abcd"),
        "c": list("abcd"),
        "d": list("abc"),
        "e": list("xy"),
    }
    rows: list[dict[str, Any]] = [
        {"name": f"{a}{b}", "when": {"a": a, "b": b}, "then": "low", "force": "may"}
        for a, b in itertools.product("abcdefg", "abcd")
    ]
    rows += [
        {"name": "h", "when": {"a": "h"}, "then": "low", "force": "may"},
        {"name": "x", "when": {"e": "x", "d": ["a", "b"]}, "then": "high", "force": "must"},
    ]
    rows[-1]["over"] = [{"row": row["name"]} for row in rows[:-1]]
    large = {"answers": ["low", "high"], "columns": columns, "row": rows}
    started = time.perf_counter()
    assert faults({"table": {"large": large}}) == []
    assert time.perf_counter() - started < 5
