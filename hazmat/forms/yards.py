"""How a yard works, as its manager says."""

from typing import Any

from django import forms

from hazmat.edge.results import WIDE
from hazmat.forms.fields import Pick, Words

GUARDS = (("", "By its uncertainty"), (WIDE, "By one and a half times its uncertainty"))
"""How much room below a line a yard asks for. Source: the figure `guard_wide` of the handling book."""

AIRS = (
    ("", "NIOSH: above its limit for PCB in the air only supplied air or breathing apparatus"),
    ("mask", "An Australian leaflet: a mask with cartridges for chlorinated vapour"),
)
"""The published rules on respirators. Source: the sentences `air_supplied` and `air_mask` of the handling book."""


class YardForm(forms.Form):
    """Name, telephone, where records are kept, and what the yard does beside looking at units."""

    name = Words(label="What the yard is called", most=120, required=True)
    phone = Words(label="Telephone", most=120, help_text="Stands on papers, so that a finder can ring.")
    keeps = Words(label="Where records are kept", most=200, help_text="Stands at the foot of papers.")
    stores = forms.BooleanField(label="This yard also keeps drums and sends loads out", required=False)
    two = forms.BooleanField(label="A verdict needs a second person", required=False)
    guard = Pick(
        label="How far below a line must a result lie for a release?", choices=GUARDS,
        help_text="A yard can ask for more than the uncertainty, never for less.",
    )  # fmt: skip
    air = Pick(
        label="Whose rule on respirators does this yard go by?", choices=AIRS,
        help_text="Both stand on every gear card; the stricter one counts until this is changed.",
    )  # fmt: skip
    based_on = forms.UUIDField(widget=forms.HiddenInput, required=False)

    def clean(self) -> dict[str, Any]:
        """A yard has a name."""
        found = super().clean() or {}
        if not found.get("name") and "name" not in self.errors:
            self.add_error("name", "Write what the yard is called; papers and pages name it.")
        return found
