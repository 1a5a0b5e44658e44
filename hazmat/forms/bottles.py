"""Labelling a sample bottle, and writing down each hand through which it goes."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.utils import timezone

from hazmat.core.facts import TANK
from hazmat.core.trail import FOLLOWS, BottleNow, Hand
from hazmat.forms.fields import MomentBox, Pick, Words

DONE: dict[Hand, str] = {
    "filled": "It was filled",
    "handed_on": "It was handed on",
    "at_laboratory": "The laboratory took it in",
    "returned": "What was left came back",
    "destroyed": "What was left was destroyed",
    "spoiled": "It broke, leaked or was mixed up",
    "lost": "Nobody knows where it is",
}
POINTS = (
    ("bottom", "Bottom valve"), ("top", "Top"), ("both", "Top and bottom"), ("dip", "Dipped through the bung"),
    ("other", "Somewhere else, see the note"), ("unknown", "Don't know"),
)  # fmt: skip


class Timed(forms.Form):
    """A form that asks when something happened, in the zone of the yard; left empty it was now."""

    when = MomentBox(label="When was that?", help_text="In the time of the yard. Left empty: now.")

    def __init__(self, *args: Any, zone: ZoneInfo, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.zone = zone
        self.order_fields([name for name in self.fields if name != "when"])

    def clean_when(self) -> datetime | None:
        """The moment in the zone of the yard, not in the future."""
        found: datetime | None = self.cleaned_data["when"]
        if found is None:
            return None
        moment = found.replace(tzinfo=self.zone)
        if moment > timezone.now():
            raise forms.ValidationError("This lies in the future; write when it was.")
        return moment


class LabelForm(Timed):
    """Which oil space the bottle is of."""

    space = Pick(label="Of which oil space?", choices=((TANK, TANK),), widget=forms.Select)

    def __init__(self, *args: Any, spaces: Iterable[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        names = list(spaces)
        self.fields["space"].choices = [(name, name) for name in names]  # type: ignore[attr-defined]
        self.fields["space"].initial = names[0]


class HandForm(Timed):
    """What happened to a bottle: only what can follow is offered."""

    what = forms.ChoiceField(
        label="What happened?", widget=forms.RadioSelect,
        error_messages={
            "required": "Pick what happened to it.", "invalid_choice": "This cannot follow; pick one of the answers.",
        },
    )  # fmt: skip
    gave = Words(label="Who gave it, or drew it?", most=120)
    took = Words(label="Who took it?", most=120, help_text="A person, a courier or a laboratory.")
    point = Pick(label="Where was the sample drawn?", choices=POINTS, initial="unknown", widget=forms.Select)
    note = Words(label="Anything else", most=1000, rows=3, help_text="Weather, number of the parcel, how it broke.")

    def __init__(self, *args: Any, bottle: BottleNow, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        what = FOLLOWS[bottle.state]
        self.fields["what"].choices = [(one, DONE[one]) for one in what]  # type: ignore[attr-defined]
        if "filled" not in what:
            del self.fields["point"]

    def clean(self) -> dict[str, Any]:
        """A hand without a name breaks the trail: whoever takes it is named."""
        found = super().clean() or {}
        if found.get("what") == "filled" and not found.get("gave"):
            self.add_error("gave", "Write who drew the sample; without a name the trail of this bottle is broken.")
        if found.get("what") in ("handed_on", "at_laboratory", "returned") and not found.get("took"):
            self.add_error("took", "Write who took it; without a name the trail of this bottle is broken.")
        return found

    def told(self) -> dict[str, Any]:
        """What the act takes."""
        found = self.cleaned_data
        point = found.get("point", "") if found["what"] == "filled" else ""
        names = {name: found[name] for name in ("gave", "took") if found[name]}
        return {
            "what": found["what"], "names": names, "point": "" if point == "unknown" else point, "note": found["note"],
        }  # fmt: skip
