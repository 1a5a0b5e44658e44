"""What is worn for a task at a care of hands: pieces of gear from tables of the handling book, and what raises them.

Every table names its answers in order of care, so that *more* is a place further along. Answers about the work only
ever raise, and *unknown* counts as yes. A care that is not known counts as the highest one.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from hazmat.core.bulk import CARE, COLUMN_VALUES
from hazmat.core.findings import Reason, of_row
from hazmat.core.law import Decision, LawDay

Who = Literal["trained", "specialist", "barred"]
Head = Literal["hands", "eyes", "body", "feet", "breath", "over"]
TASKS, ASKED, SAID = COLUMN_VALUES["task"], COLUMN_VALUES["asked"], COLUMN_VALUES["said"]
HEADS: tuple[Head, ...] = ("hands", "eyes", "body", "feet", "breath", "over")
"""Where a piece is worn; the table of each is called `gear_<head>`, the sentence of a piece `gear_<piece>`."""
NOT_HERE, BARRED = "not_here", "barred"
NOTHING = ("open_air", "no_layer", NOT_HERE)
"""Answers that put nothing on."""
LEAK_LIKE = "look"
"""What a leak asks for at least is worn to look at the highest care. Source: our own choice, the gear matrix."""
ONE_STEP, MASK, LEAK, HIGHEST = "one_step", "mask_at_least", "leak_gear", "highest_care"
AT_LEAST = {MASK: "mask", "supplied_air": "breathing_apparatus"}
"""What is breathed through at least, by the answer that asks for it."""
CALM: Mapping[str, str] = dict.fromkeys(ASKED, "no")
"""Cool, in the open, without mist, leak or a PCB name: what the tables of gear speak of."""
LASTS = {"gauntlet": "gauntlet_wet", "layered": "layered_wet"}
"""The figure that says how long a glove may be wet."""

Pieces = Mapping[Head, str]


@dataclass(frozen=True, slots=True)
class Work:
    """How a task is done. `shown`: a signed result shows the care; `said`: answers to what is asked, by what is asked.

    `air`: PCB in the air against the limit of NIOSH; `policy`: whose rule on respirators the yard goes by.
    """

    shown: bool = False
    said: Mapping[str, str] = field(default_factory=dict)
    air: str = "unknown"
    policy: str = "supplied"


NOTHING_SAID = Work()


@dataclass(frozen=True, slots=True)
class Worn:
    """Who may do a task and what is worn. `pieces`: by where each is worn; `why`: the row that chose each.

    `care`: that is gone by; `raised`: what asks for more than task and care do, only what changes something.
    """

    task: str
    care: str
    who: Who
    pieces: Pieces
    why: Mapping[Head, Reason]
    raised: tuple[Reason, ...] = ()


def as_care(care: str) -> str:
    """A care of hands; one that nobody knows is the highest."""
    return care if care in CARE else CARE[-1]


def worn(house: LawDay, task: str, care: str, work: Work = NOTHING_SAID) -> Worn:
    """Who may do this task at this care, and what is worn for it. Raises LookupError where a table has no row."""
    asks = {asked: _decide(house, "gear_raise", asked, work.said.get(asked, "unsaid"), task) for asked in ASKED}
    named = [asked for asked, one in asks.items() if one.then == HIGHEST]
    told, taken = as_care(care), CARE[-1] if named else as_care(care)
    who: Who = _decide(house, "gear_who", task, taken, "yes" if work.shown else "no").then  # type: ignore[assignment]  # the answers of the table
    rows = {head: _decide(house, f"gear_{head}", task, taken) for head in HEADS}
    base: dict[Head, str] = {head: NOT_HERE if who == BARRED else one.then for head, one in rows.items()}
    air = _decide(house, "gear_air", work.policy, work.air)
    pieces, raised = base, [_reason(asks[asked]) for asked in named if taken != told]
    for decision in (*asks.values(), air):
        more = _raised(house, base, decision.then)
        if more != base:
            raised.append(_reason(decision))
        pieces = {head: _worse(house, head, piece, more[head]) for head, piece in pieces.items()}
    why = {head: of_row(one.rows[0]) for head, one in rows.items()}
    return Worn(task, taken, who, pieces, why, tuple(dict.fromkeys(raised)))


def _reason(decision: Decision) -> Reason:
    return of_row(decision.rows[0])


def _raised(house: LawDay, base: Mapping[Head, str], asks: str) -> Mapping[Head, str]:
    """The pieces of a task with what one answer raises; what is not done here stays so."""
    if base["breath"] == NOT_HERE:
        return base
    if asks == LEAK:
        return {
            head: _worse(house, head, piece, _decide(house, f"gear_{head}", LEAK_LIKE, CARE[-1]).then)
            for head, piece in base.items()
        }
    if asks == ONE_STEP:
        steps = [one for one in answers(house, "breath") if one != NOT_HERE]
        place = min(steps.index(base["breath"]) + 1, len(steps) - 1)
        return {**base, "breath": steps[place]}
    if asks in AT_LEAST:
        return {**base, "breath": _worse(house, "breath", base["breath"], AT_LEAST[asks])}
    return base


def answers(house: LawDay, head: Head) -> tuple[str, ...]:
    """The pieces that can be worn there, in order of care."""
    return house.tables[f"gear_{head}"].table.answers


def _worse(house: LawDay, head: Head, one: str, other: str) -> str:
    return max(one, other, key=answers(house, head).index)


def _decide(house: LawDay, table: str, *values: str) -> Decision:
    decision = house.tables[table].decide(values)
    if decision is None:
        raise LookupError(f"the table {table} has no row in force")
    return decision


def glove(
    house: LawDay, kind: str, hands: str, wet_for: Decimal | None = None, wetted_before: bool = False
) -> tuple[str, Reason]:
    """Whether a glove may be worn on where these gloves are asked: `wear`, `change` or `never`, and why.

    `wet_for`: hours of contact with oil so far; None: nobody counted, which is too long.
    """
    limit = house.number(LASTS[kind]) if kind in LASTS else None
    past = limit is not None and (wet_for is None or wet_for >= limit)
    decision = _decide(
        house, "gear_glove", kind, hands, "before" if wetted_before else "not_before", "past" if past else "within"
    )
    return decision.then, _reason(decision)
