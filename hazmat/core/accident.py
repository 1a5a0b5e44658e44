"""After an accident: what first aid says, and who is told of it. Rows and sentences of the handling book."""

from collections.abc import Iterable, Mapping

from hazmat.core.bulk import COLUMN_VALUES
from hazmat.core.findings import Finding, finish
from hazmat.core.law import LawDay, Row

TABLE = "notify"
"""The table of the handling book that says whom to tell."""
EVENTS: tuple[str, ...] = COLUMN_VALUES["event"]
HARMS: Mapping[str, str] = {
    "eyes": "Eyes", "skin": "Skin", "swallowed": "Swallowed", "breathed": "Breathed in", "shock": "Electric shock",
    "hurt": "Cut, crushed, burnt", "other": "Something else",
}  # fmt: skip
"""What can be harmed, in words; each has a sentence of first aid."""
ELECTRICAL = ("shock",)
NO_LAW = "none"


def first_aid(harms: Iterable[str], house: LawDay) -> tuple[Finding, ...]:
    """What first aid says for each of these, in the order of the list."""
    asked = set(harms)
    return tuple(_said(f"first_aid_{harm}", house) for harm in HARMS if harm in asked)


def notify(country: str | None, event: str, house: LawDay) -> Finding:
    """Whom to tell of this event, and how soon. `country`: the name of the law, None where none is held.

    Raises LookupError where no row is in force.
    """
    asked = house.tables[TABLE]
    known = country if country in asked.table.columns["country"] else NO_LAW
    decision = asked.decide(tuple({"country": known or NO_LAW, "event": event}[name] for name in asked.columns))
    if decision is None:
        raise LookupError(f"the table {TABLE} has no row in force")
    return _of_row(decision.rows[0], house)


def rows_of(country: str | None, house: LawDay) -> tuple[Finding, ...]:
    """Every row that this law has in the table, each once, in the order of the table."""
    found = {one.key: one for event in EVENTS for one in (notify(country, event, house),)}
    order = [f"{TABLE}: {row.name}" for row in house.tables[TABLE].rows]
    return tuple(sorted(found.values(), key=lambda one: order.index(one.key)))


def _of_row(row: Row, house: LawDay) -> Finding:
    return Finding(f"{row.table}: {row.name}", finish(row.says, house.words), row.cite.document, row.cite.basis)


def _said(name: str, house: LawDay) -> Finding:
    one = house.book.sentences[name]
    return Finding(name, finish(one.says, house.words), one.cite.document, one.cite.basis)


def listed(prefix: str, house: LawDay) -> tuple[Finding, ...]:
    """The sentences of the handling book whose names begin so and end in a number, in their order."""
    names = [name for name in house.book.sentences if name.startswith(prefix) and name[len(prefix) :].isdecimal()]
    return tuple(_said(name, house) for name in names)
