"""A note of an injury or an exposure: what happened, what was hurt, what came of it; never a diagnosis."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django import forms
from django.utils import timezone

from hazmat.core.accident import EVENTS, HARMS
from hazmat.core.measures import moment_words
from hazmat.forms.crews import STRANGER
from hazmat.forms.fields import MomentBox, Ticks, Words
from hazmat.forms.timed import in_zone
from hazmat.forms.training import PICK

CAME = {
    "death": "Somebody died", "hospital": "Taken into hospital for treatment",
    "amputation": "A part of the body was lost", "eye_loss": "An eye was lost or badly hurt",
    "serious": "Badly hurt: a bone, the head, the back, a serious burn",
    "shock": "An electric shock", "exposure": "Oil, smoke or vapour, and a doctor saw the person within two days",
    "escape": "Oil, gas or fire out of control put somebody at risk", "off_work": "Off work for more than seven days",
    "other": "Less than any of these", "unknown": "Don't know yet",
}  # fmt: skip
"""What can come of an accident, in words, worst first; what is not known yet stands last."""


class NoteForm(forms.Form):
    """What one note says."""

    about = forms.ChoiceField(label="Whom is it about?", widget=forms.RadioSelect, error_messages=PICK)
    name = Words(label="Name", most=120, help_text="Only of somebody without an account.")
    when = MomentBox(label="When was that?", help_text="In the time of the yard. Left empty: now.")
    where = Words(label="Where?", most=200)
    harms = Ticks(label="What was hurt or touched?", choices=HARMS.items())
    what = Words(label="What happened?", most=2000, rows=4, help_text="What was seen and heard; no diagnosis.")
    done = Words(label="What was done?", most=1000, rows=3, help_text="First aid, who was rung, where to.")
    event = forms.ChoiceField(
        label="What came of it so far?", choices=[(one, CAME[one]) for one in EVENTS], initial="unknown",
        widget=forms.RadioSelect, error_messages=PICK,
    )  # fmt: skip

    def __init__(self, *args: Any, people: Iterable[tuple[UUID, str]], zone: ZoneInfo, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.zone = zone
        offered: Any = self.fields
        offered["about"].choices = [
            *((str(key), called) for key, called in people), (STRANGER, "Somebody without an account"),
        ]  # fmt: skip

    def clean_when(self) -> datetime | None:
        """The moment in the zone of the yard, not in the future."""
        return in_zone(self.cleaned_data["when"], self.zone)

    def clean(self) -> dict[str, Any]:
        """Somebody without an account has a name, and something happened."""
        found = super().clean() or {}
        if found.get("about") == STRANGER and not found.get("name") and "name" not in self.errors:
            self.add_error("name", "Write a name; a first name will do.")
        if not found.get("what") and "what" not in self.errors:
            self.add_error("what", "Write what happened; a word will do.")
        return found

    def told(self) -> dict[str, Any]:
        """What the act takes; the moment in words, since the entry says only when the note was written."""
        found = self.cleaned_data
        stranger = found["about"] == STRANGER
        when = found["when"] or timezone.now()
        return {
            "about": None if stranger else UUID(found["about"]), "name": found["name"] if stranger else "",
            "when": moment_words(when.astimezone(self.zone)), "where": found["where"], "what": found["what"],
            "harms": found["harms"], "event": found["event"], "done": found["done"],
        }  # fmt: skip


class EraseForm(forms.Form):
    """Why a note is erased."""

    why = Words(label="Why is it erased?", most=500, rows=2, help_text="Which law or request. No health in it.")

    def clean_why(self) -> str:
        """A reason stays in the day-book."""
        why: str = self.cleaned_data["why"]
        if not why:
            raise forms.ValidationError("Say which law or request asks for this; the reason stays in the day-book.")
        return why
