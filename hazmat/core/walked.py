"""What somebody looked for round a unit besides its oil, and found, as it is written down and on record."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from hazmat.core.amended import Told

Seen = Literal["yes", "no", "unknown"]
WORDS = {
    "mercury": "mercury", "cobalt_gel": "drying gel", "asbestos": "asbestos", "lead_paint": "lead in its paint",
    "charge": "a stored charge", "nitrogen": "nitrogen", "gas": "gas and pressure", "sf6": "SF6",
    "creosote": "creosoted timber", "lifting": "rusted lugs", "lead_sheath": "a lead sheath",
}  # fmt: skip
"""What each hazard is called."""
PaintUnit = Literal["mg/cm2", "%", "mg/kg"]


@dataclass(frozen=True, kw_only=True)
class Walk:
    """What one walk round a unit found. `seen`: of each hazard; `lead`: in its paint by a test, decimal in `unit`.

    `gas_free`: whether it was vented, and a competent person tested the air in it.
    """

    seen: Mapping[str, Seen]
    lead: str = ""
    unit: PaintUnit = "mg/cm2"
    gas_free: Seen = "unknown"
    note: str = ""

    def image(self) -> dict[str, object]:
        """What the record keeps."""
        told: dict[str, object] = {"seen": dict(self.seen), "gas_free": self.gas_free}
        return {**told, "lead": self.lead, "unit": self.unit} if self.lead else told


@dataclass(frozen=True, kw_only=True)
class WalkNow(Told):
    """A walk on record. The latest one counts."""

    id: str

    @property
    def walk(self) -> Walk:
        """What was found."""
        return Walk(note=self.note, **self.told)
