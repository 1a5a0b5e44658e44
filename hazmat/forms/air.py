"""What the page of limits in air is asked: which country, as at which day, and perhaps a level that was measured."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms

from hazmat import rulebooks
from hazmat.core.air import PPM
from hazmat.core.sums.vapour import PCB, TCB, by_weight
from hazmat.edge.places import COUNTRIES, called
from hazmat.forms.fields import Number
from hazmat.rulebooks.airbook import air_book

LONGEST = 1440
"""Minutes of a day: no mean is taken over more. Source: our own bound."""
DAY = "Write a day such as 2026-11-27."


class AirForm(forms.Form):
    """`country` begins with that of the yard; `on` empty: today; `level`: what was measured, as a mean over minutes."""

    country = forms.ChoiceField(label="Country", required=False)
    on = forms.DateField(
        label="As at", required=False, error_messages={"invalid": DAY},
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )  # fmt: skip
    of = forms.ChoiceField(
        label="A level that was measured, of", required=False, choices=[(PCB, "PCB"), (TCB, "1,2,4-trichlorobenzene")]
    )
    level = Number(label="Level", unit="mg/m3, or ppm", fine=True)
    unit = forms.ChoiceField(label="Told in", required=False, choices=[("mg/m3", "mg/m3"), (PPM, PPM)])
    minutes = Number(label="It is a mean over", unit="minutes")

    def __init__(self, data: Mapping[str, str], place: str, today: date) -> None:
        own = place[:2].upper()
        super().__init__({"country": own, "on": today.isoformat(), **data})
        self.today = today
        book = air_book()
        known = {
            own,
            *(one for one in book.places if one in COUNTRIES),
            *(m for each in book.areas.values() for m in each),
        }
        known |= {one[:2] for name in rulebooks.laws() for one in rulebooks.rulebook(name).found_in}
        field = self.fields["country"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [(code, says) for says, code in sorted((called(code), code) for code in known)]

    def clean_on(self) -> date:
        """The day that is asked for, today where none is."""
        found: date | None = self.cleaned_data["on"]
        return found or self.today

    def clean_minutes(self) -> str:
        """A whole number of minutes of one day."""
        text = str(self.cleaned_data["minutes"])
        if text and (not text.isdigit() or int(text) > LONGEST):
            raise forms.ValidationError(
                "Write whole minutes of one day, from 0 to 1440; 0 for what stood at one moment."
            )
        return text

    def clean(self) -> dict[str, Any]:
        """A level needs its minutes; ppm are told of a single substance, and PCB is a mixture."""
        found: dict[str, Any] = super().clean() or {}
        if found.get("level") and not found.get("minutes") and "minutes" not in self.errors:
            self.add_error("minutes", "Write over how many minutes it is a mean; 0 for what stood at one moment.")
        if found.get("level") and found.get("unit") == PPM and (found.get("of") or PCB) == PCB:
            self.add_error("unit", "PCB is a mixture and has no ppm in air; write the level in mg/m3.")
        return found

    def measured(self) -> tuple[str, Decimal, int] | None:
        """The substance, the level in mg/m3 and the minutes; None where no level can be read."""
        found = self.cleaned_data
        if self.errors or not found.get("level"):
            return None
        of, level = found["of"] or PCB, Decimal(found["level"])
        molar = air_book().substances[of].molar
        return of, by_weight(level, molar) if found["unit"] == PPM and molar else level, int(found["minutes"])
