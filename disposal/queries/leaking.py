"""Drums as things that can leak: found by their code or holder, for a spill note of the other app."""

from decimal import Decimal
from uuid import UUID

from disposal.core.drumnow import DrumNow
from disposal.models import Drum
from disposal.queries.drums import DRUMS
from hazmat.core.codes import spaced
from hazmat.core.spill import Leaked
from hazmat.edge.leaks import leaked_unit
from hazmat.queries.spills import Leaker
from hazmat.queries.units import UNITS
from hazmat.queries.yards import particulars


def leaked(yard: UUID, code: str, holder: UUID | None) -> Leaker | None:
    """The drum of this code, or with this holder, as it would leak; None where the yard has none."""
    wanted = {"holder": holder} if holder else {"code": code}
    key = Drum.objects.filter(yard=yard, **wanted).values_list("pk", flat=True).first()
    drum = DRUMS.kept(key) if key else None
    if drum is None:
        return None
    return Leaker(code=drum.code, leaked=_leaked(drum, particulars(yard).place), holder=UUID(drum.holder))


def _leaked(drum: DrumNow, place: str) -> Leaked:
    """What is known of the oil in a drum: the worst of its sources; a figure only where each of them has one."""
    units = [unit for one in drum.sources if (unit := UNITS.kept(UUID(one.unit)))]
    found = [leaked_unit(unit, "", place) for unit in units]
    figures = [one.mg_kg for one in found if one.mg_kg is not None]
    most = drum.litres or drum.between_l[1]
    return Leaked(
        words=f"drum {spaced(drum.code)}", klass=drum.klass, care=drum.care, known=drum.known, rulebook=drum.rulebook,
        mg_kg=max(figures) if figures and len(figures) == len(found) else None,
        litres=Decimal(most) if most and Decimal(most) else None,
        mineral=True if found and all(one.mineral for one in found) else None,
    )  # fmt: skip
