"""What stands in which bay: whatever was put there last and has not left since."""

from dataclasses import dataclass
from uuid import UUID

from disposal.models import DrumStanding, Put
from disposal.queries.afresh import placed
from disposal.queries.bays import BayNow, bays
from disposal.queries.drums import DRUMS
from hazmat.book.canonical import instant
from hazmat.book.standing import Moment
from hazmat.core.unitnow import UnitNow
from hazmat.models import UnitStanding
from hazmat.queries.units import unpacked

LEFT = frozenset(("gone", "destroyed"))
"""How a unit stands that is in no bay any more."""


@dataclass(frozen=True)
class Stands:
    """A bay with the drums and the units that stand in it, each as its line of a list."""

    bay: BayNow
    drums: list[DrumStanding]
    units: list[UnitStanding]


def bay_of_unit(unit: UnitNow) -> str:
    """The name of the bay into which a unit was put last, empty where in none and where it has left since."""
    puts = placed(Put, None, None, unit=UUID(unit.unit))
    if not puts or _left(unit, puts[-1][1]):
        return ""
    return {one.bay: one.name for one in bays(UUID(unit.yard))}[puts[-1][0].bay_id]


def bay_of_units(yard: UUID) -> dict[UUID, str]:
    """The name of the bay into which each unit was put last, for those that have not left since."""
    names = {one.bay: one.name for one in bays(yard)}
    puts = placed(Put, None, None, yard=yard, unit__isnull=False)
    last = {put.unit_id: (put.bay_id, moment) for put, moment in puts if put.unit_id}
    rows = UnitStanding.objects.filter(unit__in=last).values_list("unit", "body")
    here = {unit for unit, body in rows if not _left(unpacked(body), last[unit][1])}
    return {unit: names[bay] for unit, (bay, _) in last.items() if unit in here}


def _left(unit: UnitNow, put: Moment) -> bool:
    """Whether a unit has left since it was put there: one that came back stands in no bay until it is put in one."""
    return unit.stands in LEFT or any(one.what == "gone" and one.at >= instant(put.happened_at) for one in unit.fates)


def standing_in(yard: UUID) -> list[Stands]:
    """What stands in each bay."""
    units = bay_of_units(yard)
    rows = list(UnitStanding.objects.filter(unit__in=units).defer("search").order_by("logged"))
    puts = Put.objects.filter(yard=yard, drum__isnull=False).values("drum")
    drums = DrumStanding.objects.filter(pk__in=puts).order_by("logged")
    from_drums = [(one, DRUMS.unpacked(one.body).bay) for one in drums]
    return [
        Stands(
            one,
            [drum for drum, bay in from_drums if bay == one.name],
            [unit for unit in rows if units[unit.unit] == one.name],
        )
        for one in bays(yard)
    ]
