"""Writing down a firm, and a licence of it."""

from datetime import date
from typing import Any

from django import forms

from disposal.core.partnernow import LicenceNow, PartnerNow, What
from disposal.forms.needed import Needed
from hazmat.forms.fields import DayBox, PlaceBox, Words

WHATS: tuple[tuple[What, str], ...] = (
    ("carry", "To carry this waste"),
    ("take_in", "To take this waste in, store or destroy it"),
)
PRIVATE = ("phone", "address", "person")
"""What stands in the aside of a firm."""


class PartnerForm(forms.Form):
    """What a firm is called, and how it is reached."""

    name = Needed(
        label="Name of the firm", most=120,
        says="Write what the firm is called.",
    )  # fmt: skip
    country = PlaceBox(label="Country")
    person = Words(label="Whom to ask for", most=120)
    phone = Words(label="Telephone", most=60)
    address = Words(label="Address", most=400, rows=3)
    note = Words(label="Anything else", most=1000, rows=3)

    @classmethod
    def of(cls, firm: PartnerNow, aside: dict[str, Any]) -> "PartnerForm":
        """A form that holds what stands there now."""
        return cls(initial={"name": firm.name, "country": firm.country, "note": firm.note, **aside})

    def told(self) -> dict[str, Any]:
        """What the act takes."""
        found = self.cleaned_data
        aside = {name: found[name] for name in PRIVATE}
        return {"name": found["name"], "country": found["country"][:2], "note": found["note"], "aside": aside}


class LicenceForm(forms.Form):
    """What a licence lets a firm do, and from which day to which."""

    what = forms.ChoiceField(
        label="What does it allow?", choices=WHATS, widget=forms.RadioSelect,
        error_messages={
            "required": "Pick what the licence allows.", "invalid_choice": "This is none of the answers; pick one.",
        },
    )  # fmt: skip
    number = Needed(
        label="Its number",
        most=60,
        says="Write the number of the licence.",
    )
    issued_by = Words(label="Who gave it", most=120)
    since = DayBox(label="From which day", help_text="This day counts.")
    until = DayBox(label="To which day", help_text="This day counts, too. Left empty: it names no last day.")

    @classmethod
    def of(cls, one: LicenceNow) -> "LicenceForm":
        """A form that holds what stands there now."""
        words = {"what": one.what, "number": one.number, "issued_by": one.issued_by}
        return cls(initial={**words, "since": one.since.isoformat(), "until": one.until and one.until.isoformat()})

    def clean_since(self) -> date:
        """A licence has a first day."""
        if not self.cleaned_data["since"]:
            raise forms.ValidationError("Write from which day it holds; it stands on the licence.")
        return date.fromisoformat(self.cleaned_data["since"])

    def clean_until(self) -> date | None:
        """Its last day, None where it names none."""
        typed: str = self.cleaned_data["until"]
        return date.fromisoformat(typed) if typed else None
