"""Of which oil something was tried: straight from a space of the unit, or out of one of its bottles."""

from collections.abc import Iterable
from typing import Any

from django import forms

from hazmat.core.codes import spaced
from hazmat.core.facts import TANK
from hazmat.core.unitnow import UnitNow
from hazmat.forms.fields import Pick, Words
from hazmat.forms.timed import Timed

NO_BOTTLE = "none"


class OfOil(Timed):
    """Which oil was tried, and when; with a reason where something on record is corrected."""

    sample = Pick(
        label="Out of a bottle?",
        choices=((NO_BOTTLE, "Straight from the unit"),),
        widget=forms.Select,
        initial=NO_BOTTLE,
    )
    space = Pick(label="Of which oil space?", choices=((TANK, TANK),), widget=forms.Select)
    note = Words(label="Anything else", most=1000, rows=3)
    why = Words(label="Why is it corrected?", most=1000, rows=3, help_text="The old one stays in the book beside it.")

    def __init__(self, *args: Any, unit: UnitNow, spaces: Iterable[str], corrects: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.bottles = {one.code: unit.oil_spaces[one.space] for one in unit.bottles if one.filled_at}
        offered: Any = self.fields
        names = list(spaces)
        offered["space"].choices, offered["space"].initial = [(name, name) for name in names], names[0]
        told = [(code, f"Bottle {spaced(code)}, {space}") for code, space in self.bottles.items()]
        offered["sample"].choices = [(NO_BOTTLE, "Straight from the unit"), *told]
        if not told:
            del self.fields["sample"]
        if not corrects:
            del self.fields["why"]

    def clean(self) -> dict[str, Any]:
        """A reason stands with every correction."""
        found = super().clean() or {}
        if "why" in self.fields and not found.get("why") and "why" not in self.errors:
            self.add_error("why", "Say why it is corrected; the old one stays in the book beside it.")
        return found

    def oil(self) -> dict[str, str]:
        """The space, and the code of the bottle or nothing; a bottle knows its own space."""
        bottle = self.cleaned_data.get("sample", NO_BOTTLE)
        if bottle in self.bottles:
            return {"bottle": bottle, "space": self.bottles[bottle]}
        return {"bottle": "", "space": self.cleaned_data["space"]}

    @property
    def reason(self) -> str:
        """Why something is corrected; empty where nothing is."""
        return str(self.cleaned_data.get("why", ""))


def shown_oil(space: str, bottle: str) -> dict[str, str]:
    """What the boxes show of the oil of something on record."""
    return {"space": space, "sample": bottle or NO_BOTTLE}
