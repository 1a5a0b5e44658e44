"""One site sheet against the smallest page that the same printer makes."""

from datetime import UTC, datetime

from hazmat import papers
from hazmat.actions.units import log_unit
from hazmat.bench.seeded import PLACE, seeded_yard
from hazmat.bench.writing import LINE, _order
from hazmat.core.lookin import LookIn
from hazmat.edge.bench import Measured, measured
from hazmat.queries.units import UNITS
from hazmat.queries.yards import particulars, yard_facts


def sheet(n: int) -> Measured:
    """n one-page site sheets, PDF/A-3a with data and code, against n minimal pages of the same printer."""
    yard, person = seeded_yard()
    look = LookIn(arrival="found", line=LINE, sources={}, leak="none")
    unit = UNITS.kept(log_unit(_order(yard, person), look=look, place=PLACE).the("hazmat.unit"))
    if unit is None:
        raise LookupError("the unit has no standing")
    facts = yard_facts(particulars(yard.pk))
    made = papers.payload("site_sheet", unit, facts, {}, "1", datetime(2026, 11, 25, tzinfo=UTC), "Bench")
    code = papers.code(made.payload)

    def floor() -> None:
        for _ in range(n):
            papers.minimal()

    def ours() -> None:
        for _ in range(n):
            papers.pdf(made.payload, made.aside, code)

    return measured("sheet", n, 12.0, floor, ours)
