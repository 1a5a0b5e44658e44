"""Clues to the size and year of a unit without a plate, each with who says so."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from django import forms

from hazmat.core.clues import CluesIn
from hazmat.edge.likely import boxes, likely
from hazmat.edge.shapes import Slip
from hazmat.forms.fields import Pick, Words
from hazmat.forms.look import tell
from hazmat.forms.look_words import SOURCE
from hazmat.forms.sums import MADE
from hazmat.forms.timed import Timed

UNSOURCED = ("fuse_seen", "phases", "repairer_plate")
"""Boxes of which nobody is asked who says so: they say it themselves, or go with another one."""


class CluesForm(Timed):
    """Every clue, each with who says so."""

    def __init__(self, *args: Any, fluid: str | None, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fluid, self.today, self.boxes = fluid, today, boxes()
        for box in self.boxes:
            more: dict[str, Any] = {"initial": box.first} if box.first is not None else {}
            self.fields[box.key] = MADE[box.kind](box, more)
            if box.key not in UNSOURCED:
                asks = f"How do you know: {box.says[:1].lower()}{box.says[1:]}?"
                self.fields[f"src_{box.key}"] = Pick(label=asks, choices=SOURCE, widget=forms.Select)
        self.fields["note"] = Words(label="Anything else", most=1000, rows=3)
        self.order_fields([*(name for name in self.fields if name not in ("note", "when")), "note", "when"])

    def clean(self) -> dict[str, Any]:
        """They come to something; a refusal stands under the box that it is about."""
        found = super().clean() or {}
        if not self.errors:
            told = self._told(found)
            try:
                likely(told.asked, told.sources, self.fluid, self.today)
            except Slip as slip:
                self.add_error(slip.path if slip.path in self.fields else None, tell(slip.says))
        return found

    def told(self) -> CluesIn:
        """What the act takes."""
        return self._told(self.cleaned_data)

    def _told(self, found: Mapping[str, Any]) -> CluesIn:
        asked = {box.key: found[box.key] for box in self.boxes if found.get(box.key) not in ("", [], None)}
        sources = {key: found[f"src_{key}"] for key in asked if found.get(f"src_{key}")}
        return CluesIn(asked=asked, sources=sources)
