"""Whether this oil may be poured into that drum: asked of one table of the handling book. Pure."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from hazmat.core.bulk import CARE
from hazmat.core.findings import finish
from hazmat.core.law import UNDETERMINED, LawDay
from hazmat.core.unitnow import Known

TABLE = "pour"
Meets = Literal["empty", "own", "other"]
StepUp = Literal["same", "up", "down", "unknown"]
Can = Literal["any", "its_unit", "another_unit"]


@dataclass(frozen=True, kw_only=True)
class Lot:
    """Oil that is poured, or that is in a drum: the ids of its units, and the worst of them as they are known now."""

    units: frozenset[str] = frozenset()
    klass: str = UNDETERMINED
    care: str = CARE[-1]
    known: Known = "untested"
    rulebook: str = ""


@dataclass(frozen=True)
class Answer:
    """Whether it may be poured; the row of the table that says so, its sentence, and the document behind it."""

    may: bool
    row: str
    says: str
    cite: str
    basis: str


def meets(poured: Lot, held: Lot) -> Meets:
    """What the oil meets: nothing, its own oil alone, or oil of others.

    Oil that is shown to be low also counts as its own where that of others stands beside its own already; what is
    untested or high meets those others anew: the oil of a unit may have changed since it was poured first.
    """
    if not held.units:
        return "empty"
    own = poured.units == held.units or (poured.known == "low" and poured.units < held.units)
    return "own" if own else "other"


def step(poured: Lot, held: Lot, classes: Mapping[str, tuple[str, ...]]) -> StepUp:
    """How the class of what is poured lies against that of what is there, by the one law of both.

    Where both are shown high and of one class, the care of hands decides. `classes`: of each law, in order.
    """
    order = classes.get(poured.rulebook, ())
    if poured.rulebook != held.rulebook or UNDETERMINED in (poured.klass, held.klass) or not order:
        return "unknown"
    one, other = order.index(poured.klass), order.index(held.klass)
    if one == other and poured.known == held.known == "high":
        one, other = CARE.index(poured.care), CARE.index(held.care)
    return "same" if one == other else "up" if one > other else "down"


def can_for(for_unit: str, poured: Lot) -> Can:
    """Whose slop can it is; `for_unit`: the id of its unit, empty for a drum."""
    if not for_unit:
        return "any"
    return "its_unit" if poured.units <= {for_unit} else "another_unit"


def asked(poured: Lot, held: Lot, for_unit: str, classes: Mapping[str, tuple[str, ...]]) -> dict[str, str]:
    """The columns of the table."""
    return {
        "can": can_for(for_unit, poured), "meets": meets(poured, held), "poured": poured.known, "held": held.known,
        "step": step(poured, held, classes),
    }  # fmt: skip


def decided(columns: Mapping[str, str], house: LawDay) -> Answer:
    """What the table says of these columns. Raises LookupError where no row is in force."""
    table = house.tables[TABLE]
    decision = table.decide(tuple(columns[name] for name in table.columns))
    if decision is None:
        raise LookupError(f"the table {TABLE} has no row in force")
    row = decision.rows[0]
    return Answer(row.then == TABLE, row.name, finish(row.says, house.words), row.cite.document, row.cite.basis)
