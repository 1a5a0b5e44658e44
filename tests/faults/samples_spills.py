"""A sample of each act on spills and old stains."""

from typing import Any
from uuid import UUID

from hazmat.actions.spill_papers import issue_spill_note
from hazmat.actions.spills import (
    close_spill,
    correct_spill,
    old_stain,
    open_spill,
    reading,
    spill_step,
    told_of_spill,
)
from hazmat.book.act import Order
from hazmat.core.spill import SpillIn
from hazmat.core.spillnow import SpillNow, StepIn
from hazmat.queries.spills import spill_now
from tests.cast import Cast, pictured
from tests.faults.sampling import Act, asked

LEAKED = SpillIn(what="oil of the rack", amount="12.5", mg_kg="60", grounds=("grass", "drain"), note="overnight")
NAMES = {"where": "north gate", "found": "Mere Example"}


def opened(cast: Cast) -> SpillNow:
    """A spill out of the unit of the cast."""
    made = open_spill(asked(cast), told=LEAKED, place="NZ", source=cast.words["tag"], names=NAMES)
    assert cast.yard_id is not None
    now = spill_now(cast.yard_id, made.the("hazmat.spill"))
    assert now is not None
    return now


def _open_spill(cast: Cast) -> tuple[Order, Act]:
    one, told = asked(cast), {"told": LEAKED, "place": "NZ", "names": NAMES, "pictures": [pictured(), pictured()]}
    return one, lambda: open_spill(one, source=cast.words["tag"], space="tank", **told)  # type: ignore[arg-type]


def _old_stain(cast: Cast) -> tuple[Order, Act]:
    one, told = asked(cast), {"told": LEAKED, "place": "NZ", "names": NAMES, "pictures": [pictured()]}
    return one, lambda: old_stain(one, source=cast.words["drum"], **told)  # type: ignore[arg-type]


def _correct_spill(cast: Cast) -> tuple[Order, Act]:
    now = opened(cast)
    one, told = asked(cast), {"told": LEAKED, "place": "NZ", "names": NAMES, "why": "a slip"}
    based_on = UUID(now.account.id)
    return one, lambda: correct_spill(one, spill=UUID(now.id), based_on=based_on, **told)  # type: ignore[arg-type]


def _told_of_spill(cast: Cast) -> tuple[Order, Act]:
    spill = UUID(opened(cast).id)
    told: dict[str, Any] = {"office": "Regional council", "duties": ["tell_place"], "who": "A Warden", "place": "NZ"}
    first = told_of_spill(asked(cast), spill=spill, **told).the("hazmat.spilltold")
    one = asked(cast)
    return one, lambda: told_of_spill(one, spill=spill, reference="R-1", replaces=first, why="a slip", **told)


def _spill_step(cast: Cast) -> tuple[Order, Act]:
    spill, step = UUID(opened(cast).id), StepIn(what="sampled", where="S2", result="0.4", unit="mg/kg", note="soil")
    first = spill_step(asked(cast), spill=spill, told=step, place="NZ").the("hazmat.spillstep")
    one, more = asked(cast), {"pictures": [pictured()], "replaces": first, "why": "a slip"}
    return one, lambda: spill_step(one, spill=spill, told=step, place="NZ", **more)  # type: ignore[arg-type]


def _close_spill(cast: Cast) -> tuple[Order, Act]:
    now = opened(cast)
    one, signed = asked(cast), {"reached": "soil 0.4 mg/kg", "statement": "it is done", "name": "Mere Example"}
    told = {**signed, "reason": "the owner is away", "read": reading(now), "place": "NZ"}
    return one, lambda: close_spill(one, spill=UUID(now.id), **told)


def _issue_spill_note(cast: Cast) -> tuple[Order, Act]:
    spill = UUID(opened(cast).id)
    issue_spill_note(asked(cast), spill=spill)
    one = asked(cast)
    return one, lambda: issue_spill_note(one, spill=spill)
