"""What to wear in one sentence, what to do next, whether you may take it: from the handling book, by what is known."""

from collections.abc import Iterable, Mapping

from hazmat.core.bulk import CARE
from hazmat.core.findings import Reason, of_act, of_row
from hazmat.core.law import LawDay
from hazmat.core.wear import CALM, HEADS, NOTHING, Work, Worn, worn

NO_LAW = "none"
LOW_CARE = CARE[:2]
REACH = {"capacitor": "sealed", "sealed_can": "sealed", "container": "container"}
"""How the handling kinds can be sampled; the others are open."""
FOR_LEAK, TO_LOOK, TO_SAMPLE, MAY_TAKE = "wear_for_leak", "wear_to_look", "wear_to_sample", "may_take"
WORN = {FOR_LEAK: "spill", TO_LOOK: "look", TO_SAMPLE: "sample"}
"""The acts that say what to wear, with the task of each."""
ACTS_OF_TABLES = {"gear_hands": tuple(WORN), "may_take": (MAY_TAKE,)}
"""The acts that are told from the rows of a table, by the table."""


def next_acts(facts: Mapping[str, str], country: str, role: str, house: LawDay) -> tuple[Reason, ...]:
    """All that is to be done next, in order, then gear for looking and sampling, then who may take it.

    `facts`: a value for each column of the acts. `country`: name of the law, or `none`.
    """
    acts = [of_act(act) for act in house.book.acts if act.wanted(facts)]
    care, leaking = facts["care"], facts["state"] == "leaking"
    if leaking:
        acts.append(told(house, FOR_LEAK, care))
    acts.append(told(house, TO_LOOK, care, leaking))
    if facts["reach"] != "sealed":
        acts.append(told(house, TO_SAMPLE, care))
    known = country if country in house.tables["may_take"].table.columns["country"] else NO_LAW
    acts.append(_may_take(house, country=known, role=role, proof=_proof(facts), state=facts["state"]))
    return tuple(acts)


def worn_for(
    tasks: Iterable[Mapping[str, str]], care: str, leaking: bool, house: LawDay
) -> tuple[Mapping[str, str], ...]:
    """Gear as these tasks name it, told afresh for another care of hands."""
    return tuple(
        {"act": act, "says": told(house, act, care, leaking).finished({})} if (act := task["act"]) in WORN else task
        for task in tasks
    )


def told(house: LawDay, act: str, care: str, leaking: bool = False) -> Reason:
    """What is worn to look, to sample or for a leak at a care of hands, as one sentence of the handling book.

    Cool and in the open. `leaking`: it leaks, which raises what is worn to look.
    """
    leak = {"leak": "yes"} if act == FOR_LEAK or (act == TO_LOOK and leaking) else {}
    found = worn(house, WORN[act], care, Work(said={**CALM, **leak}))
    ways = (f"{act}_{found.who}", f"{act}_{found.pieces['breath']}", act)
    says = house.book.sentences[next(one for one in ways if one in house.book.sentences)]
    return Reason(act, says.says.format(wear=_listed(house, found, wet=act != TO_LOOK)), says.cite)


def _listed(house: LawDay, found: Worn, wet: bool) -> str:
    """Pieces of gear in one line. `wet`: hands meet oil, so how long the gloves last stands behind them."""
    named = [found.pieces[head] for head in HEADS if head != "over" and found.pieces[head] not in NOTHING]
    words = [_says(house, f"gear_{piece}") for piece in named]
    lasts = f"gear_wet_{found.pieces['hands']}"
    if wet and lasts in house.book.sentences:
        words.insert(1, _says(house, lasts))
    return f"{', '.join(words[:-1])} and {words[-1]}"


def _says(house: LawDay, name: str) -> str:
    return house.book.sentences[name].says


def _proof(facts: Mapping[str, str]) -> str:
    """What is shown for taking it: low only where nothing else asks for more care or speaks against it."""
    low = facts["standing"] == "established_low" and facts["care"] in LOW_CARE and facts["figures"] == "fine"
    return "shown_low" if low else "shown_high" if facts["standing"] == "established_high" else "not_shown"


def _may_take(house: LawDay, **values: str) -> Reason:
    asked = house.tables[MAY_TAKE]
    decision = asked.decide(tuple(values[column] for column in asked.columns))
    if decision is None:
        raise LookupError(f"the table {MAY_TAKE} has no row in force")
    row = of_row(decision.rows[0])
    return Reason(MAY_TAKE, row.says, row.cite)


def reach_of(kinds: Iterable[tuple[str, bool]], house: LawDay) -> str:
    """Whether samples can be drawn from spaces given as kind and sealed: `open`, `sealed`, `both`, or `container`."""
    found = _reaches(kinds, house)
    return found.pop() if len(found) == 1 else "both"


def charge_of(kinds: Iterable[tuple[str, bool]], house: LawDay) -> str:
    """Whether a charge may be stored in one of these spaces after the unit is isolated: `stored` or `none`."""
    return "stored" if "sealed" in _reaches(kinds, house) else "none"


def _reaches(kinds: Iterable[tuple[str, bool]], house: LawDay) -> set[str]:
    return {"sealed" if sealed else REACH.get(house.book.kinds[kind], "open") for kind, sealed in kinds}
