"""Papers against what the same printer makes at least: a site sheet, and four gear cards on one sheet."""

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

from hazmat import papers
from hazmat.actions.units import log_unit
from hazmat.bench.seeded import PLACE, seeded_yard
from hazmat.bench.writing import LINE, _order
from hazmat.core.lookin import LookIn
from hazmat.core.unitnow import UnitNow
from hazmat.edge.bench import Measured, measured
from hazmat.edge.gear import Answers
from hazmat.papers.gearsheet import Cards
from hazmat.papers.render import laid_out, plain
from hazmat.queries.units import UNITS
from hazmat.queries.yards import particulars, yard_facts

AT = datetime(2026, 11, 25, tzinfo=UTC)
FOUR = ("look", "sample", "drain", "spill")


def sheet(n: int) -> Measured:
    """n one-page site sheets, PDF/A-3a with data and code, against n minimal pages of the same printer."""
    unit, facts = _unit()
    made = papers.payload("site_sheet", unit, facts, {}, "1", AT, "Bench")
    code = papers.code(made.payload)

    def floor() -> None:
        for _ in range(n):
            papers.minimal()

    def ours() -> None:
        for _ in range(n):
            papers.pdf(made.payload, made.aside, code)

    return measured("sheet", n, 12.0, floor, ours)


def four_up(n: int) -> Measured:
    """n sheets of four gear cards against as many pages that hold the same words as bare paragraphs, tagged alike."""
    unit, facts = _unit()
    cards = Cards(tasks=FOUR, answers=Answers())
    made = papers.payload("gear_card", unit, facts, {}, "1", AT, "Bench", None, None, cards)
    code, words = papers.code(made.payload), list(_words(made.payload))
    pages = len(laid_out(made.payload, made.aside, code).pages)

    def floor() -> None:
        for _ in range(n):
            plain(words, pages)

    def ours() -> None:
        for _ in range(n):
            papers.pdf(made.payload, made.aside, code)

    return measured("four_up", n, 1.5, floor, ours)


def _words(said: Any) -> Iterator[str]:
    """Every text of a payload."""
    if isinstance(said, str):
        yield said
    for one in said.values() if isinstance(said, dict) else said if isinstance(said, list) else ():
        yield from _words(one)


def _unit() -> tuple[UnitNow, dict[str, Any]]:
    """A unit in a yard of its own, and the facts of that yard."""
    yard, person = seeded_yard()
    look = LookIn(arrival="found", line=LINE, sources={}, leak="none")
    unit = UNITS.kept(log_unit(_order(yard, person), look=look, place=PLACE).the("hazmat.unit"))
    if unit is None:
        raise LookupError("the unit has no standing")
    return unit, yard_facts(particulars(yard.pk))
