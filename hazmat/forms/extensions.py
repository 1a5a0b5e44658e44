"""An extension of use, in the words of the authority's letter."""

from datetime import date
from typing import Any

from django.utils import timezone

from hazmat.core.extended import ExtensionIn
from hazmat.forms.fields import AheadBox, DayBox, Words
from hazmat.forms.timed import Timed

NEEDED = {
    "by": "Write who gave it; an extension without an authority puts nothing off.",
    "given_on": "Write the day on which it was given; it stands on the letter.",
    "until": "Write the last day on which it may still be used, as the letter says.",
}


class ExtensionForm(Timed):
    """Who extended the use of a unit, when, until which day, and under which number."""

    field_order: tuple[str, ...] = ("by", "given_on", "until", "number", "note", "when")
    by = Words(label="Which authority gave it?", most=120, help_text="An application that waits extends nothing.")
    given_on = DayBox(label="Day of its letter")
    until = AheadBox(label="Until which day?", help_text="The last day on which it may still be used.")
    number = Words(label="Number of the letter", most=60, help_text="The law may want it on the label of the unit.")
    note = Words(label="Anything else", most=1000, rows=3, help_text="Such as what the letter asks for meanwhile.")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offered: Any = self.fields
        offered["given_on"].today = timezone.localdate(timezone=self.zone)

    def clean(self) -> dict[str, Any]:
        """Who, and both days, the second not before the first."""
        found = super().clean() or {}
        for name, says in NEEDED.items():
            if not found.get(name) and name not in self.errors:
                self.add_error(name, says)
        if not self.errors and found["until"] < found["given_on"]:
            self.add_error("until", "It would end before it was given; read both days off the letter.")
        return found

    def told(self) -> ExtensionIn:
        """What the act takes."""
        found = self.cleaned_data
        return ExtensionIn(
            until=date.fromisoformat(found["until"]), given_on=date.fromisoformat(found["given_on"]), by=found["by"],
            number=found["number"], note=found["note"],
        )  # fmt: skip


class CorrectedForm(ExtensionForm):
    """The same in the place of one that was written down wrongly, with the reason."""

    field_order = ("why", *ExtensionForm.field_order)
    why = Words(label="What is corrected?", most=1000, rows=2, help_text="The old one stays in the book beside it.")

    def clean(self) -> dict[str, Any]:
        """A reason stands with every correction."""
        found = super().clean()
        if not found.get("why") and "why" not in self.errors:
            self.add_error("why", "Say what is corrected; the old one stays in the book beside it.")
        return found
