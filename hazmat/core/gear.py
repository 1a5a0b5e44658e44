"""What to wear, what to do next, and whether you may take it: rows of the handling book, chosen by what is known."""

from collections.abc import Mapping

from hazmat.core.findings import Reason, of_act, of_row
from hazmat.core.law import LawDay

NO_LAW = "none"


def next_acts(facts: Mapping[str, str], country: str, role: str, house: LawDay) -> tuple[Reason, ...]:
    """All that is to be done next, in order, then gear for looking and sampling, then who may take it.

    `facts`: a value for each column of the acts. `country`: name of the law, or `none`.
    """
    acts = [of_act(act) for act in house.book.acts if act.wanted(facts)]
    acts.append(_chosen(house, "gear", "wear_to_look", task="look", care=facts["care"]))
    if facts["reach"] != "sealed":
        acts.append(_chosen(house, "gear", "wear_to_sample", task="sample", care=facts["care"]))
    known = country if country in house.tables["may_take"].table.columns["country"] else NO_LAW
    proof = "shown_low" if facts["standing"] == "established_low" else "not_shown"
    acts.append(_chosen(house, "may_take", "may_take", country=known, role=role, proof=proof))
    return tuple(acts)


def _chosen(house: LawDay, table: str, act: str, **values: str) -> Reason:
    asked = house.tables[table]
    decision = asked.decide(tuple(values[column] for column in asked.columns))
    if decision is None:
        raise LookupError(f"the table {table} has no row in force")
    row = of_row(decision.rows[0])
    return Reason(act, row.says, row.cite)


def reach_of(kind: str, house: LawDay) -> str:
    """Whether a sample can be drawn: `sealed` cans and capacitors no, `container` by its bung, else `open`."""
    return {"capacitor": "sealed", "sealed_can": "sealed", "container": "container"}.get(house.book.kinds[kind], "open")
