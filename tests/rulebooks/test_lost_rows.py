"""Each row of each shipped table lost in turn: both provers name a combination that the row answered, and agree.

A third reading of the tables, `verdict` below, takes them from the TOML as it stands and knows neither prover.
"""

import re
import shutil
import subprocess
import sys
import tomllib
from dataclasses import replace
from datetime import date
from itertools import product
from pathlib import Path
from typing import Any

import pytest

from hazmat import rulebooks
from hazmat.core.law import Table
from hazmat.rulebooks.prove import Fault, prove_table
from tests.conftest import ROOT
from tests.rulebooks.oracles import solver

SHELF = ROOT / "hazmat" / "rulebooks"
TODAY = date(2026, 11, 25)
"""The day on which the texts were read: all rows of today's law stand on it."""

Parsed = dict[str, Any]
PARSED: dict[str, Parsed] = {
    name: tomllib.loads((SHELF / f"{name}.toml").read_text("utf-8")) for name in rulebooks.names()
}
ROWS = [
    pytest.param(book, table, row["name"], id=f"{book}-{table}-{row['name']}")
    for book, parsed in PARSED.items()
    for table, given in parsed["table"].items()
    for row in given["row"]
]


def less(table: Table, name: str) -> Table:
    """The table without one row, and without every over that named it."""
    kept = [row for row in table.rows if row.name != name]
    return replace(
        table, rows=tuple(replace(row, over=tuple(over for over in row.over if over.row != name)) for row in kept)
    )


def parsed_less(given: Parsed, name: str) -> Parsed:
    """The same of a table as parsed."""
    kept = [row for row in given["row"] if row["name"] != name]
    rows = [{**row, "over": [one for one in row.get("over", []) if one["row"] != name]} for row in kept]
    return {**given, "row": rows}


def met(row: Parsed, combination: dict[str, str]) -> bool:
    wanted = {column: [value] if isinstance(value, str) else value for column, value in row["when"].items()}
    return all(combination[column] in values for column, values in wanted.items())


def stands(row: Parsed, on: date, state: str | None) -> bool:
    since, until = row.get("since", date.min), row.get("until", date.max)
    in_time = (since == "unknown" or since <= on) and on <= until
    return in_time and state in row.get("only_in", [state])


def verdict(given: Parsed, combination: dict[str, str], on: date, state: str | None) -> str:
    """`gap`, `conflict` or `sound`, by the meaning of a table and nothing else."""
    here = [row for row in given["row"] if stands(row, on, state) and met(row, combination)]
    beaten = {over["row"] for row in here for over in row.get("over", [])}
    answers = {(row["then"], row.get("force")) for row in here if row["name"] not in beaten}
    return "gap" if not answers else "sound" if len(answers) == 1 else "conflict"


def days(given: Parsed) -> list[date]:
    """Today, and for each row the first and the last of its days, as far as the table itself reaches back."""
    ends = {row[end] for row in given["row"] for end in ("since", "until") if isinstance(row.get(end), date)}
    return sorted({TODAY, *ends})


def states(given: Parsed) -> list[str | None]:
    """No state, and each in which a row stands alone."""
    return [None, *sorted({state for row in given["row"] for state in row.get("only_in", [])})]


def kind(fault: Fault) -> str:
    return "conflict" if fault.rows else "gap"


def named(found: list[Fault]) -> list[tuple[str, dict[str, str], date, str | None]]:
    return [
        (kind(fault), fault.combination, fault.on, fault.territory) for fault in found if fault.combination and fault.on
    ]


def test_every_shipped_row_is_lost_once() -> None:
    assert {param.values[0] for param in ROWS} == set(rulebooks.names())
    assert len(ROWS) == sum(len(t.rows) for book in rulebooks.shelf().values() for t in book.tables.values())


@pytest.mark.parametrize(("book", "table", "name"), ROWS)
def test_a_lost_row_is_named_by_both_provers(book: str, table: str, name: str) -> None:
    given = PARSED[book]["table"][table]
    (lost,) = [row for row in given["row"] if row["name"] == name]
    left = parsed_less(given, name)
    ours = named(prove_table(less(rulebooks.rulebook(book).tables[table], name)))
    theirs = [
        (fault.kind, fault.combination, fault.day or TODAY, fault.state)
        for fault in solver.failures({"table": {table: left}})
        if fault.kind in {"gap", "conflict"}
    ]
    assert ours, f"the prover misses that “{name}” is gone"
    assert theirs, f"the solver misses that “{name}” is gone"
    for what, combination, on, state in ours + theirs:
        assert set(combination) == set(given["columns"])
        assert met(lost, combination), combination
        assert stands(lost, on, state), (on, state)
        assert verdict(left, combination, on, state) == what, combination
    assert {one[0] for one in ours} <= {one[0] for one in theirs}


@pytest.mark.parametrize("book", rulebooks.names())
def test_no_combination_of_a_shipped_table_is_left_without_one_answer(book: str) -> None:
    for given in PARSED[book]["table"].values():
        columns = given["columns"]
        for on, state in product(days(given), states(given)):
            for values in product(*columns.values()):
                assert verdict(given, dict(zip(columns, values, strict=True)), on, state) == "sound", values


# ------------------------------------------------------------------ the command, pointed at a changed file


def cut(text: str, table: str, name: str) -> str:
    """The text of a rulebook without the block of one row."""
    blocks = text.split(f"[[table.{table}.row]]\n")
    (gone,) = [block for block in blocks if re.match(rf'name +=  *"{re.escape(name)}"\n', block)]
    rest = gone.partition("\n\n")[2]
    return f"[[table.{table}.row]]\n".join(block for block in blocks if block != gone) + rest


@pytest.mark.parametrize(
    ("book", "table", "name", "shown"),
    [
        ("us", "presumption", "drum", "kind drum"),
        ("us", "capacitor_size", "volume unknown, low voltage", "fluid_weight unknown, volume unknown"),
        ("nz", "establishing", "mixed sample", "route laboratory, figure lawful, later nothing_added, sample mixed"),
        ("handling", "gear_hands", "looked at, raised care", "task look, care 50_499"),
    ],
)
def test_check_names_the_combination_of_a_lost_row(
    book: str, table: str, name: str, shown: str, tmp_path: Path
) -> None:
    """The whole command in a copy of the house, with one row of one file cut out by hand."""
    for part in ("hazmat", "disposal", "fixtures"):
        shutil.copytree(ROOT / part, tmp_path / part, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "manage.py", tmp_path)
    file = tmp_path / "hazmat" / "rulebooks" / f"{book}.toml"
    file.write_text(cut(file.read_text("utf-8"), table, name), "utf-8")
    command = [sys.executable, "-W", "error", "manage.py", "rulebooks", book, "--check"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == 1, done.stderr
    assert done.stdout == ""
    first, *_ = done.stderr.splitlines()
    assert first.startswith(f"{book}.toml: table.{table}: no row answers ")
    assert shown in first
    assert first.endswith("; add a row for it.")
