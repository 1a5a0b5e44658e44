"""Labelling a sample bottle, and writing down each hand through which it goes."""

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from django import forms

from hazmat.core.facts import TANK
from hazmat.core.trail import FOLLOWS, BottleNow, Hand
from hazmat.forms.fields import Pick, Ticks, Words
from hazmat.forms.timed import Timed

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


class LabelForm(Timed):
    """Which oil space the bottle is of."""

    field_order = ("space", "when")
    space = Pick(label="Of which oil space?", choices=((TANK, TANK),), widget=forms.Select)

    def __init__(self, *args: Any, spaces: Iterable[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        names = list(spaces)
        self.fields["space"].choices = [(name, name) for name in names]  # type: ignore[attr-defined]
        self.fields["space"].initial = names[0]


class HandForm(Timed):
    """What happened to a bottle: only what can follow is offered."""

    field_order = ("what", "gave", "took", "point", "gear", "note", "when")
    what = forms.ChoiceField(
        label="What happened?", widget=forms.RadioSelect,
        error_messages={
            "required": "Pick what happened to it.", "invalid_choice": "This cannot follow; pick one of the answers.",
        },
    )  # fmt: skip
    gave = Words(label="Who gave it, or drew it?", most=120)
    took = Words(label="Who took it?", most=120, help_text="A person, a courier or a laboratory.")
    point = Pick(label="Where was the sample drawn?", choices=POINTS, initial="unknown", widget=forms.Select)
    gear = Ticks(label="Which gear did the oil go through?", choices=(), help_text="None ticked: not said.")
    note = Words(label="Anything else", most=1000, rows=3, help_text="Weather, number of the parcel, how it broke.")

    def __init__(
        self, *args: Any, bottle: BottleNow, gear: Iterable[tuple[str, str]] = (), **kwargs: Any
    ) -> None:  # fmt: skip
        super().__init__(*args, **kwargs)
        what = FOLLOWS[bottle.state]
        self.fields["what"].choices = [(one, DONE[one]) for one in what]  # type: ignore[attr-defined]
        ticks: Any = self.fields["gear"]
        ticks.choices = ticks.offered = list(gear)
        if "filled" not in what:
            del self.fields["point"]
        if "filled" not in what or not ticks.offered:
            del self.fields["gear"]

    def clean(self) -> dict[str, Any]:
        """A hand without a name breaks the trail: whoever takes it is named."""
        found = super().clean() or {}
        if found.get("what") == "filled" and not found.get("gave"):
            self.add_error("gave", "Write who drew the sample; without a name the trail of this bottle is broken.")
        if found.get("what") in ("handed_on", "at_laboratory", "returned") and not found.get("took"):
            self.add_error("took", "Write who took it; without a name the trail of this bottle is broken.")
        if found.get("gear") and found.get("what") not in ("filled", None):
            self.add_error("gear", "Gear is named where a bottle is filled; untick it, or pick that it was filled.")
        return found

    def told(self) -> dict[str, Any]:
        """What the act takes."""
        found = self.cleaned_data
        point = found.get("point", "") if found["what"] == "filled" else ""
        names = {name: found[name] for name in ("gave", "took") if found[name]}
        return {
            "what": found["what"], "names": names, "point": "" if point == "unknown" else point, "note": found["note"],
            "gear": [UUID(one) for one in found.get("gear", ())],
        }  # fmt: skip
