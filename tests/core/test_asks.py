"""Which facts a kind can use: no column of a table without a question, and no question that the map forgets."""

import json
from dataclasses import replace
from functools import cache
from typing import Any, get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazmat import rulebooks
from hazmat.core import asks
from hazmat.core.bulk import COLUMN_VALUES
from hazmat.core.facts import Event, Kind, Unit
from hazmat.core.law import LawDay
from hazmat.core.measures import Measure
from hazmat.core.spans import parse_span
from hazmat.core.view import View, Viewer
from hazmat.edge.shapes import Shapes, json_number
from hazmat.rulebooks.fluids import fluid_names
from tests.edge.strategies import TODAY, units

KINDS = get_args(Kind)
SHELF = rulebooks.shelf()
BOOKS = tuple(SHELF.values())
FACTS = [name for name in Unit.__dataclass_fields__ if name not in ("id", "kind", "tests")]


@cache
def columns_of(kind: str) -> set[str]:
    """Every column that a rulebook asks of this kind, worked out from the rows again, without the code under test."""
    found = set()
    for book in BOOKS:
        for table in book.tables.values():
            if table.name == "capacitor_size" and kind not in ("capacitor", "ballast"):
                continue
            for row in table.rows:
                when = {column: set(words) for column, words in row.when}
                if book.kinds.get(kind, kind) in when.get("kind", {book.kinds.get(kind, kind)}):
                    found |= set(when)
        found |= {column for act in (*book.acts, *book.steps) for column, _ in act.when}
    return found


@pytest.mark.parametrize("kind", KINDS)
def test_every_column_of_every_table_is_asked_or_comes_of_later_evidence(kind: str) -> None:
    asked = asks.facts_for(kind, BOOKS)
    for column in columns_of(kind):
        if column in asks.LATER | asks.APART or kind not in asks.COLUMN_KINDS.get(column, {kind}):
            continue
        facts = asks.COLUMN_FACTS[column]
        assert facts, column
        assert set(facts) <= asked, (column, set(facts) - asked)


def test_every_column_that_a_table_may_name_is_known() -> None:
    assert set(asks.COLUMN_FACTS) | asks.LATER | asks.APART == set(COLUMN_VALUES)
    assert len(asks.COLUMN_FACTS) + len(asks.LATER) + len(asks.APART) == len(COLUMN_VALUES)
    assert {"proved"} == asks.APART  # the box “dead” of the form
    assert {fact for facts in asks.COLUMN_FACTS.values() for fact in facts} | asks.OF_ALL <= {"kind", *FACTS}


def test_every_fact_of_a_duty_is_asked() -> None:
    for book in BOOKS:
        for duty in book.duties:
            if duty.counts_from:
                assert all(duty.counts_from in asks.facts_for(kind, BOOKS) for kind in KINDS)


@pytest.mark.parametrize(
    ("fact", "kinds"),
    [
        ("body_cm3", {"capacitor", "ballast", "other"}),
        ("voltage_v", {"capacitor", "ballast", "other"}),
        ("gross_mass_kg", {"capacitor", "ballast", "other"}),
        ("mounting", set(KINDS) - {"ballast", "drum"}),
        ("construction", set(KINDS) - {"capacitor", "ballast", "bushing", "instrument_transformer", "drum"}),
        ("built", set(KINDS) - {"drum"}),
        ("fluid", set(KINDS)),
        ("marks", set(KINDS)),
    ],
)
def test_who_is_asked_what(fact: str, kinds: set[str]) -> None:
    """By the rows as they stand: sizes decide for capacitors (40 CFR 761.3), a drum goes by its contents alone; what
    stands on a pole has a last day of its own in Canada (SOR/2008-273 s.16(2))."""
    assert set(asks.kinds_for([fact], BOOKS)) == kinds


def test_what_canada_alone_asks_is_asked_of_nobody_else() -> None:
    here = [SHELF["us"], SHELF["handling"]]
    without = {"capacitor", "ballast", "bushing", "instrument_transformer", "drum"}
    assert set(asks.kinds_for(["mounting"], here)) == set(KINDS) - without


def test_a_row_that_asks_more_makes_the_form_ask_more() -> None:
    """A law whose row asks a column of one kind makes its facts a question for that kind, and for no other."""
    us = SHELF["us"]
    table = us.tables["presumption"]
    old = next(row for row in table.rows if row.name == "rectifier")
    row = replace(old, when=(*old.when, ("built", frozenset(("before",))), ("maker_mark", frozenset(("none",)))))
    tables = {"presumption": replace(table, rows=(row,))}
    book = replace(us, tables=tables, acts=(), steps=(), duties=(), digest="another")
    assert asks.columns("rectifier", book) == {"kind", "built"}
    assert asks.columns("motor", book) == frozenset()
    assert asks.facts_for("motor", [book]) == asks.OF_ALL
    assert asks.facts_for("rectifier", [book]) == asks.OF_ALL | {"kind", "built", "spaces"}


def test_what_a_book_asks_is_told_apart_by_its_digest() -> None:
    """Read afresh it is the same book, worked out once; a book of other content, or anything else, is another."""
    us = SHELF["us"]
    one = asks._ByDigest(us)
    again, other = asks._ByDigest(replace(us)), asks._ByDigest(replace(us, digest="another"))
    assert one == again
    assert hash(one) == hash(again)
    assert one != other
    assert one != us.digest
    assert {one, again, other} == {one, other}


# ------------------------------------------------------------------ the map against the seam itself


@cache
def viewer(name: str | None) -> Viewer:
    law = LawDay(SHELF[name], TODAY) if name else None
    return Viewer(law, law, LawDay(SHELF["handling"], TODAY), fluid_names())


def differing(one: View, other: View, law: str | None) -> set[str]:
    """The columns in which two views differ."""
    house, book = SHELF["handling"], SHELF[law] if law else None
    found = set()
    pairs = [(one.bands, other.bands, house.tables["band"].columns)]
    if book:
        pairs.append((one.presumption, other.presumption, book.tables["presumption"].columns))
        if "capacitor_size" in book.tables and one.size:
            pairs.append(((one.size,), (other.size,), book.tables["capacitor_size"].columns))
    for before, after, names in pairs:
        found |= {name for name, x, y in zip(names, before[0], after[0], strict=True) if x != y}
    found |= {"state"} if one.state != other.state else set()
    return found | ({"role"} if one.role != other.role else set())


def unit(told: dict[str, Any]) -> Unit:
    parsed = json.loads(json.dumps(told), parse_float=json_number)
    found: Unit = Shapes(TODAY).read(Unit, parsed)
    return found


@given(units(), units(), st.sampled_from(FACTS), st.sampled_from(["us", "nz", None]))
@settings(max_examples=300)
def test_a_fact_that_changes_a_column_is_asked_of_that_kind(
    told: dict[str, Any], other: dict[str, Any], fact: str, law: str | None
) -> None:
    """Change one fact of a unit: whichever column turns, the map names the fact for it, and the form asks it."""
    bare = {key: value for key, value in told.items() if key not in ("tests", "spaces")}
    one, two = unit(bare), unit({**bare, fact: other.get(fact)})
    if fact == "spaces":
        return
    view = viewer(law).view
    for column in differing(view(one), view(two), law):
        assert fact in asks.COLUMN_FACTS[column], column
        assert one.kind in asks.COLUMN_KINDS.get(column, {one.kind}), column
        assert column not in columns_of(one.kind) or fact in asks.facts_for(one.kind, BOOKS), column


BASE: dict[str, Any] = {"id": "A1"}
OLD, NEW = parse_span("1965"), parse_span("1995")
WITNESSES: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "mounting": ({"built": OLD}, {"mounting": "pole"}),
    "construction": ({"built": OLD}, {"construction": "conservator"}),
    "built": ({}, {"built": NEW}),
    "marks": ({}, {"marks": ("pcb_mark",)}),
    "history": ({"built": NEW}, {"history": (Event(what="refilled"),)}),
    "density_kg_l": ({}, {"density_kg_l": Measure("1.5")}),
    "voltage_v": (
        {"marks": ("maker_no_pcbs",), "fluid_mass_kg": Measure(20), "built": NEW},
        {"voltage_v": Measure(480)},
    ),
    "body_cm3": ({}, {"body_cm3": Measure(500)}),
    "gross_mass_kg": ({}, {"gross_mass_kg": Measure(3)}),
}
"""For each fact a unit, and the same unit with the fact, that some column tells apart."""


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "other"])
@pytest.mark.parametrize("fact", WITNESSES)
def test_no_question_is_idle(kind: str, fact: str) -> None:
    """What is asked of a kind beyond the record of any unit does turn a column of it."""
    before, more = WITNESSES[fact]
    one = Unit(**{**BASE, "kind": kind, **before})
    two = replace(one, **more)
    turned = any(viewer(law).view(one).pattern != viewer(law).view(two).pattern for law in ("us", "nz"))
    columns = {
        column for law in ("us", "nz") for column in differing(viewer(law).view(one), viewer(law).view(two), law)
    }
    if fact in asks.facts_for(kind, BOOKS):
        assert turned
    else:
        read_by_a_row = columns & columns_of(kind)
        assert not {c for c in read_by_a_row if kind in asks.COLUMN_KINDS.get(c, {kind})}, (columns, read_by_a_row)
