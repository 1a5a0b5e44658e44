"""What to wear, what to do next, and whether you may take it: rows of the handling book, chosen by what is known."""

from collections.abc import Iterable, Mapping

from hazmat.core.bulk import CARE
from hazmat.core.findings import Reason, of_act, of_row
from hazmat.core.law import LawDay

NO_LAW = "none"
LOW_CARE = CARE[:2]
REACH = {"capacitor": "sealed", "sealed_can": "sealed", "container": "container"}
"""How the handling kinds can be sampled; the others are open."""
FOR_LEAK, TO_LOOK, TO_SAMPLE, MAY_TAKE = "wear_for_leak", "wear_to_look", "wear_to_sample", "may_take"
ACTS_OF_TABLES = {"gear": (FOR_LEAK, TO_LOOK, TO_SAMPLE), "may_take": (MAY_TAKE,)}
"""The acts that are told from the rows of a table, by the table."""


def next_acts(facts: Mapping[str, str], country: str, role: str, house: LawDay) -> tuple[Reason, ...]:
    """All that is to be done next, in order, then gear for looking and sampling, then who may take it.

    `facts`: a value for each column of the acts. `country`: name of the law, or `none`.
    """
    acts = [of_act(act) for act in house.book.acts if act.wanted(facts)]
    leaking = facts["state"] == "leaking"
    if leaking:
        acts.append(_chosen(house, "gear", FOR_LEAK, task="leak", care=facts["care"]))
    acts.append(_chosen(house, "gear", TO_LOOK, task="look", care=CARE[-1] if leaking else facts["care"]))
    if facts["reach"] != "sealed":
        acts.append(_chosen(house, "gear", TO_SAMPLE, task="sample", care=facts["care"]))
    known = country if country in house.tables["may_take"].table.columns["country"] else NO_LAW
    acts.append(
        _chosen(house, "may_take", MAY_TAKE, country=known, role=role, proof=_proof(facts), state=facts["state"])
    )
    return tuple(acts)


def worn_for(
    tasks: Iterable[Mapping[str, str]], care: str, leaking: bool, house: LawDay
) -> tuple[Mapping[str, str], ...]:
    """Gear as these tasks name it, told afresh for another care of hands."""
    at = {
        FOR_LEAK: {"task": "leak", "care": care},
        TO_LOOK: {"task": "look", "care": CARE[-1] if leaking else care},
        TO_SAMPLE: {"task": "sample", "care": care},
    }
    return tuple(
        {"act": act, "says": _chosen(house, "gear", act, **at[act]).finished({})}
        if (act := task["act"]) in at
        else task
        for task in tasks
    )


def _proof(facts: Mapping[str, str]) -> str:
    """What is shown for taking it: low only where nothing else asks for more care or speaks against it."""
    low = facts["standing"] == "established_low" and facts["care"] in LOW_CARE and facts["figures"] == "fine"
    return "shown_low" if low else "shown_high" if facts["standing"] == "established_high" else "not_shown"


def _chosen(house: LawDay, table: str, act: str, **values: str) -> Reason:
    asked = house.tables[table]
    decision = asked.decide(tuple(values[column] for column in asked.columns))
    if decision is None:
        raise LookupError(f"the table {table} has no row in force")
    row = of_row(decision.rows[0])
    return Reason(act, row.says, row.cite)


def reach_of(kinds: Iterable[tuple[str, bool]], house: LawDay) -> str:
    """Whether samples can be drawn from spaces given as kind and sealed: `open`, `sealed`, `both`, or `container`."""
    found = _reaches(kinds, house)
    return found.pop() if len(found) == 1 else "both"


def charge_of(kinds: Iterable[tuple[str, bool]], house: LawDay) -> str:
    """Whether a charge may be stored in one of these spaces after the unit is isolated: `stored` or `none`."""
    return "stored" if "sealed" in _reaches(kinds, house) else "none"


def _reaches(kinds: Iterable[tuple[str, bool]], house: LawDay) -> set[str]:
    return {"sealed" if sealed else REACH.get(house.book.kinds[kind], "open") for kind, sealed in kinds}
