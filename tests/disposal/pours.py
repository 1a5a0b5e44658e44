"""Short ways to units, drums and pours, all through real acts."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.utils import timezone

from disposal.actions.drums import label_drum, pour
from disposal.core.drumnow import DrumNow
from disposal.queries.drums import DRUMS
from hazmat.actions.units import correct_unit, log_unit
from hazmat.book.prove import prove
from hazmat.book.receipt import Receipt
from hazmat.core.unitnow import UnitNow
from hazmat.models import Person, Yard
from hazmat.queries.units import UNITS
from tests.cast import look_in, order

LAB = {"how": "laboratory", "on": "2026-01-09", "unit": "mg/kg", "reporting_limit": "0.5"}
DEAD = {
    "dead": "yes", "how": "detector before and after", "proved_by": "Mere Example", "detector_before": True,
    "detector_after": True, "back_feed": True, "earthed": True,
}  # fmt: skip


@dataclass
class Place:
    """A yard with its one person; everything was logged and labelled at `begun`, a day ago."""

    yard: Yard
    boss: Person
    begun: datetime = field(default_factory=lambda: timezone.now() - timedelta(days=1))

    def order(self, minute: int = 0) -> Any:
        return order(self.yard.pk, self.boss.pk, happened_at=self.begun + timedelta(minutes=minute), zone="US/Pacific")

    def unit(self, mg_kg: str = "", proved: Any = None, **line: Any) -> UUID:
        """A unit with this laboratory figure, or without any; a container where no kind is given."""
        tests = {"tests": [{**LAB, "value": mg_kg}]} if mg_kg else {}
        told = {"kind": "drum", "found_in": "US-OR", **tests, **line}
        look = look_in(line=told, **({"proved": proved} if proved else {}))
        return log_unit(self.order(), look=look, place="US-OR").the("hazmat.unit")

    def correct(self, unit: UUID, mg_kg: str = "", **line: Any) -> None:
        """Another look, with another figure."""
        tests = {"tests": [{**LAB, "value": mg_kg}]} if mg_kg else {}
        look = look_in(line={"kind": "drum", "found_in": "US-OR", **tests, **line})
        now = unit_now(unit)
        correct_unit(self.order(5), unit=unit, based_on=UUID(now.look), look=look, place="US-OR")

    def drum(self, capacity_l: str = "200", **more: Any) -> UUID:
        told = {"kind": "slop_can" if "for_unit" in more else "drum", **more}
        return label_drum(self.order(), capacity_l=capacity_l, **told).the("disposal.drum")

    def pour(self, source: UUID, into: UUID, litres: str = "10", minute: int = 10, **more: Any) -> Receipt:
        """Out of a unit or a drum, whichever has this key."""
        ends: dict[str, Any] = {"from_drum": source} if DRUMS.kept(source) else {"unit": source, "space": "tank"}
        return pour(self.order(minute), into=into, place="US-OR", **{"litres": litres, **ends, **more})


def drum_now(drum: UUID) -> DrumNow:
    found = DRUMS.kept(drum)
    assert found is not None
    return found


def unit_now(unit: UUID) -> UnitNow:
    found = UNITS.kept(unit)
    assert found is not None
    return found


def same_from_records(*drums: UUID) -> None:
    """The kept standings are what follows from the records alone, and the whole book holds."""
    assert DRUMS.fold(drums) == {drum: drum_now(drum) for drum in drums}
    assert prove().faults == []
