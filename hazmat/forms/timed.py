"""When something happened, in the zone of the yard: asked the same way on every form."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.utils import timezone

from hazmat.forms.fields import MomentBox

OLDEST = 1950
"""Nothing is written down as older than this year; an older one is a slip. Source: our own bound."""


def in_zone(typed: datetime | None, zone: ZoneInfo) -> datetime | None:
    """A typed moment in the zone of the yard, None where the box was empty.

    Raises ValidationError where it lies in the future or is a slip.
    """
    if typed is None:
        return None
    if typed.year < OLDEST:
        raise forms.ValidationError(f"This lies before {OLDEST}; write the year once more.")
    moment = typed.replace(tzinfo=zone)
    if moment > timezone.now():
        raise forms.ValidationError("This lies in the future; write when it was.")
    return moment


class Timed(forms.Form):
    """A form that asks when something happened; left empty it was now."""

    when = MomentBox(label="When was that?", help_text="In the time of the yard. Left empty: now.")

    def __init__(self, *args: Any, zone: ZoneInfo, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.zone = zone

    def clean_when(self) -> datetime | None:
        """The moment in the zone of the yard, not in the future."""
        return in_zone(self.cleaned_data["when"], self.zone)

    def happened_at(self) -> datetime | None:
        """When it happened, None for now."""
        found: datetime | None = self.cleaned_data["when"]
        return found
