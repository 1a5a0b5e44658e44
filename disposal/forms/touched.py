"""Holding what the oil of a unit reached: why."""

from django import forms

from hazmat.forms.fields import Words
from hazmat.forms.verdicts import LONGEST_WHY

MISSING = "Write why you hold them; the reason stays with each verdict."


class HoldReachedForm(forms.Form):
    """The reason of all the holds. `read`: what was read of each unit when the page went out."""

    reason = Words(
        label="Why?", most=LONGEST_WHY, rows=3, required=True, help_text="It stays with each verdict, under your name.",
        error_messages={"required": MISSING},
    )  # fmt: skip
    read = forms.CharField(widget=forms.HiddenInput, required=False)

    def clean_reason(self) -> str:
        """A reason stands with every verdict."""
        found: str = self.cleaned_data["reason"]
        if not found:
            raise forms.ValidationError(MISSING)
        return found
