"""Going out alone: where to, until when, and whom to ring."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms

from hazmat.core.outing import instant_of
from hazmat.forms.fields import MomentBox, Words
from hazmat.forms.tags import Finder, TagBox


class OutForm(forms.Form):
    """Where somebody goes alone, and when that person is due back."""

    where = Words(label="Where are you going?", most=300, rows=2, help_text="So that somebody can find you.")
    unit = TagBox(label="To a unit of this book?", help_text="The tag that hangs on it. Left empty: to none.")
    due_back = MomentBox(label="When are you due back?", help_text="In the time of the yard.")
    phone = Words(label="How are you reached?", most=120, help_text="Your telephone, or a radio channel.")
    whom = Words(label="Whom to ring if not?", most=200, help_text="A name and a telephone.")
    meant = forms.BooleanField(label="Where it is more than a day: that is meant", required=False)

    def __init__(self, *args: Any, zone: ZoneInfo, find: Finder, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.zone = zone
        offered: Any = self.fields
        offered["unit"].find = find

    def clean_where(self) -> str:
        """A place."""
        where: str = self.cleaned_data["where"]
        if not where:
            raise forms.ValidationError("Write where you are going, so that somebody can find you.")
        return where

    def clean_due_back(self) -> datetime:
        """An instant. Raises ValidationError for an empty box, and for a time that the clocks leave out."""
        typed: datetime | None = self.cleaned_data["due_back"]
        if typed is None:
            raise forms.ValidationError("Write when you are due back; without it nobody is told that you are late.")
        try:
            return instant_of(typed, self.zone)
        except ValueError as wrong:
            raise forms.ValidationError(str(wrong)) from None

    def told(self) -> dict[str, Any]:
        """What the act takes."""
        found = self.cleaned_data
        return {key: found[key] for key in ("due_back", "where", "phone", "whom", "meant", "unit")}
