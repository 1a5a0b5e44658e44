"""What stands in which bay: whatever was put there last and has not left since."""

from dataclasses import dataclass
from uuid import UUID

from disposal.models import DrumStanding, Put
from disposal.queries.afresh import placed
from disposal.queries.bays import BayNow, bays
from disposal.queries.drums import DRUMS
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
    puts = [] if unit.stands in LEFT else placed(Put, None, None, unit=UUID(unit.unit))
    names = {one.bay: one.name for one in bays(UUID(unit.yard))} if puts else {}
    return names[puts[-1][0].bay_id] if puts else ""


def bay_of_units(yard: UUID) -> dict[UUID, str]:
    """The name of the bay into which each unit was put last, for those that have not left since."""
    names = {one.bay: one.name for one in bays(yard)}
    puts = placed(Put, None, None, yard=yard, unit__isnull=False)
    last = {put.unit_id: put.bay_id for put, _ in puts if put.unit_id}
    rows = UnitStanding.objects.filter(unit__in=last).values_list("unit", "body")
    here = {unit for unit, body in rows if unpacked(body).stands not in LEFT}
    return {unit: names[bay] for unit, bay in last.items() if unit in here}


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
