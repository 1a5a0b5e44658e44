"""A walk round a unit: one short question for each thing besides its oil that may hurt."""

from collections.abc import Iterable
from typing import Any

from django import forms

from hazmat.core.walked import PaintUnit, Seen, Walk
from hazmat.forms.fields import Number, Pick, Words
from hazmat.forms.timed import Timed

FOUND = (("yes", "Found"), ("no", "Looked for, and none seen"), ("unknown", "Not looked for, or don't know"))
TESTED = (("yes", "Yes"), ("no", "No"), ("unknown", "Don't know"))
LEAD = (("yes", "Known to hold lead"), ("unknown", "Don't know, or a test stands below"))
UNITS = (("mg/cm2", "mg/cm² of surface"), ("%", "% by weight"), ("mg/kg", "mg/kg of paint"))
ASKS: dict[str, tuple[str, str]] = {
    "mercury": ("Mercury?", "In tilt and float switches, gas relays, dial thermometers, tubes of a rectifier."),
    "cobalt_gel": ("Drying gel?", "Blue, pink or orange grains in the glass of its breather."),
    "asbestos": ("Asbestos?", "Arc chutes, flash pads, grey gaskets, woven tape, wraps of cables. Look, do not touch."),
    "lead_paint": ("Lead in its paint?", "Old paint holds lead as a rule; only a test says no."),
    "charge": ("May a charge be stored in it?", "“None seen” only where a competent person shorted and left it so."),
    "nitrogen": ("Nitrogen over its oil?", "A gas cylinder, a regulator, or a plate that says so."),
    "gas": ("Gas or pressure?", "Swollen sides, a hiss, a raised relief pin, gas in the relay. From a distance."),
    "sf6": ("SF6, or its powder?", "A plate or gauge that names it; white, grey or tan powder."),
    "creosote": ("Creosoted timber?", "Dark, oily wood of a pole, crossarm or crib."),
    "lifting": ("Rust or cracks at lugs, lid or tank?", "Whatever it would be lifted by."),
    "lead_sheath": ("A lead sheath?", "Dull, soft, heavy metal under tape or armour of a cable."),
}
"""The question and the help of each hazard."""


class HazardsForm(Timed):
    """What was found. `asked`: the hazards that units of this kind may have."""

    def __init__(self, *args: Any, asked: Iterable[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        wanted = set(asked)
        self.asked = [key for key in ASKS if key in wanted]
        for key in self.asked:
            says, help_text = ASKS[key]
            choices = LEAD if key == "lead_paint" else FOUND
            self.fields[key] = Pick(label=says, choices=choices, initial="unknown", help_text=help_text)
            if key == "lead_paint":
                self.fields["lead"] = Number(label="Lead by a test of the paint", unit="")
                self.fields["unit"] = Pick(label="In which unit is that?", choices=UNITS, widget=forms.Select)
        self.fields["gas_free"] = Pick(
            label="Was it vented, and the air in it tested?", choices=TESTED, initial="unknown",
            help_text="By a competent person: no gas that burns, and enough oxygen.",
        )  # fmt: skip
        self.fields["note"] = Words(label="Anything else", most=1000, rows=3, help_text="Where it is, who tested it.")
        self.order_fields([*(name for name in self.fields if name not in ("note", "when")), "note", "when"])

    def walk(self) -> Walk:
        """What the act takes."""
        found = self.cleaned_data
        seen: dict[str, Seen] = {key: found[key] for key in self.asked if found.get(key)}
        unit: PaintUnit = found.get("unit") or "mg/cm2"
        return Walk(
            seen=seen, lead=found.get("lead", ""), unit=unit, gas_free=found["gas_free"], note=found["note"],
        )  # fmt: skip


def shown(walk: Walk | None) -> dict[str, Any]:
    """What the boxes show of the last walk."""
    if walk is None:
        return {}
    return {**walk.seen, "lead": walk.lead, "unit": walk.unit, "gas_free": walk.gas_free, "note": walk.note}
