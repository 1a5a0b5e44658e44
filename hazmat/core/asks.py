"""Which facts a kind of unit can use: read from the decision tables of the rulebooks, so that a form asks no less.

A column that some row asks of this kind is answered by facts, or by later evidence. A fact that no column of a kind
hangs on is not asked of that kind.
"""

from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from typing import get_args

from hazmat.core.bulk import CAPACITORS
from hazmat.core.facts import ABOUT_THE_THING, Kind
from hazmat.core.law import Rulebook, Table

AMOUNT = ("fluid_mass_kg", "fluid_volume_l", "state", "history")
"""How much fluid is in it: state and history say whether it was drained."""
NAMED = ("fluid", "plate_words", "density_kg_l")
"""What the fluid is said to be; a liquid denser than water is no mineral oil."""

COLUMN_FACTS: Mapping[str, tuple[str, ...]] = {
    "raw_kind": ("kind", "spaces"),
    "kind": ("kind", "spaces"),
    "mounting": ("mounting",),
    "fluid": NAMED,
    "amount": AMOUNT,
    "built": ("built", "spaces"),
    "maker_mark": ("marks", "built", "voltage_v", "body_cm3", *AMOUNT),
    "fluid_weight": AMOUNT,
    "volume": ("body_cm3",),
    "weight": ("gross_mass_kg",),
    "voltage": ("voltage_v",),
    "named": ("marks", *NAMED),
    "liquid": ("mounting", "construction", *NAMED),
    "age": ("built", "history", "spaces"),
    "known": tuple(fact for fact in ABOUT_THE_THING if fact != "tests"),
    "records": ("service_records", "history"),
    "later": ("history",),
    "country": ("found_in",),
    "role": ("role",),
    "reach": ("kind", "spaces"),
    "charge": ("kind", "spaces"),
    "state": ("state",),
    "grade": ("plate_words",),
    "history": ("history",),
    "heavy": ("history", *NAMED),
    "litres": AMOUNT,
    "stands": ("mounting",),
    "use": ("state", "decided_waste"),
    "in_use_since": ("in_use_before",),
    "built_band": ("built",),
    "site": ("site",),
    "filled": ("history",),
}
"""The facts that decide each column. Facts are keys of a line."""

LATER = frozenset((
    "route", "figure", "sample", "contrary", "accredited", "task", "care", "proof", "standing", "unit_of_measure",
    "screen", "evidence", "figures", "untested_kind", "other_kind", "other_shown", "can", "meets", "poured", "held",
    "step", "hazard", "seen", "shown", "drained", "gas", "paint", "work", "event",
    "method", "liquid_named", "signed", "who", "hands", "breath", "asked", "said", "policy", "air", "glove", "wetted",
    "wet_for",
    "spill_age", "spill_class", "spill_tested", "spill_pcb", "spill_source",
))  # fmt: skip
"""Columns that no look decides: they come of tests, of the answer itself, of what is to be done, or of an accident."""

APART = frozenset(("proved",))
"""Columns that a look is asked for and that no key of a line holds: whether it was proved dead."""

COLUMN_KINDS: Mapping[str, frozenset[str]] = {
    "mounting": frozenset(("transformer",)),
    "maker_mark": frozenset(CAPACITORS),
    "known": frozenset(("other",)),
}
"""Columns that have one value only for every kind but these, whatever is said of the unit (`bulk.Seam`)."""
TABLE_KINDS: Mapping[str, frozenset[str]] = {"capacitor_size": frozenset(CAPACITORS)}
"""Tables that are asked for these kinds alone (`view.Viewer`)."""

OF_ALL = frozenset((
    "kind", "count", "found_in", "role", "state", "plate_words", "made_in", "fluid", "fluid_mass_kg",
    "fluid_volume_l", "last_energised", "decided_waste", "arrived",
))  # fmt: skip
"""What the record of any unit holds, whether or not a table reads it today."""


def columns(kind: str, book: Rulebook) -> frozenset[str]:
    """The columns of a rulebook (tables, acts, steps, duties) whose value can matter for a unit of this kind."""
    found = {column for table in book.tables.values() for column in _of_table(kind, book, table)}
    found |= {column for act in (*book.acts, *book.steps) for column, _ in act.when}
    for duty in book.duties:
        when = dict(duty.when)
        if kind in when.get("raw_kind", (kind,)):
            found |= {"role", *when}
    return frozenset(column for column in found if kind in COLUMN_KINDS.get(column, (kind,)))


def _of_table(kind: str, book: Rulebook, table: Table) -> Iterator[str]:
    """The columns that a row asks which can match this kind."""
    if kind not in TABLE_KINDS.get(table.name, (kind,)):
        return
    own = {"kind": book.kinds.get(kind, kind), "raw_kind": kind}
    for row in table.rows:
        when = dict(row.when)
        if all(value in when.get(column, (value,)) for column, value in own.items()):
            yield from when


@lru_cache
def _of_book(kind: str, book: "_ByDigest") -> frozenset[str]:
    asked = {fact for column in columns(kind, book.book) for fact in COLUMN_FACTS.get(column, ())}
    days = {day for duty in book.book.duties for day in (duty.counts_from, duty.extended_by) if day}
    return frozenset(asked | days)


def extendable(kind: str, book: Rulebook) -> bool:
    """Whether a duty of this law on a unit of this kind can be put off by an authority."""
    return any(duty.extended_by and kind in dict(duty.when).get("raw_kind", (kind,)) for duty in book.duties)


class _ByDigest:
    """A rulebook that is told apart by its digest, so that what it asks is worked out once."""

    def __init__(self, book: Rulebook) -> None:
        self.book = book

    def __hash__(self) -> int:
        return hash(self.book.digest)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _ByDigest) and self.book.digest == other.book.digest


def facts_for(kind: str, books: Iterable[Rulebook]) -> frozenset[str]:
    """The facts (keys of a line) that a unit of this kind can use under any of these rulebooks."""
    return OF_ALL.union(*(_of_book(kind, _ByDigest(book)) for book in books))


def kinds_for(facts: Iterable[str], books: Iterable[Rulebook]) -> tuple[str, ...]:
    """The kinds that can use at least one of these facts, in the order of `facts.Kind`."""
    wanted, shelf = frozenset(facts), tuple(books)
    return tuple(kind for kind in get_args(Kind) if wanted & facts_for(kind, shelf))
