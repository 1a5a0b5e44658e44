"""Numbers, places and names for an emergency."""

from typing import Any

from django import forms

from hazmat.forms.fields import Lines
from hazmat.papers.people import BOXES

HELP = {
    "numbers": "As they are dialled from this yard. Try them before you write them down.",
    "assembly": "Upwind and clear of the gate.", "hospital": "Name, road, telephone.",
    "network": "Who switches off the line, and their number for faults.",
    "regulator": "Work, environment, electricity: one a line.", "first_aiders": "Names and telephones.",
}  # fmt: skip
EACH, LINES = 48, 3
"""Characters of a line and lines that a box of the sheet has room for. Source: our own layout."""


class EmergencyForm(forms.Form):
    """Every box of the sheet; what stays empty is printed as an empty box."""

    based_on = forms.UUIDField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for key, label in BOXES.items():
            words = f"{HELP[key]} {LINES} lines fit."
            self.fields[key] = Lines(label=label, each=EACH, lines=LINES, rows=2, help_text=words)

    def told(self) -> dict[str, str]:
        """What the act takes."""
        return {key: "\n".join(self.cleaned_data[key]) for key in BOXES}
