"""A breakdown test of oil: the shots on one line, and how the test was made."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any, cast
from uuid import UUID

from django import forms

from hazmat.core.shots import BreakdownNow, Cell, ShotsIn
from hazmat.forms.fields import AheadBox, Pick, Words
from hazmat.forms.samples import OfOil, shown_oil
from hazmat.forms.sums import SumForm
from hazmat.rulebooks.sumbook import sums

CELLS = (("", "Not said"), ("kept", "Kept for untested oil"), ("shared", "Other oil goes through it too"))
NO_CODE = ("", "Not said, or it has no code")
LEFT_OUT = ("viscosity", "vacuum_filled")
"""Boxes of the sum that ask about the unit, which its own page knows."""


class BreakdownForm(OfOil, SumForm):
    """What the sum asks, with tester and cell beside it."""

    tester = Words(label="Which tester?", most=120)
    serial = Words(label="Its serial number", most=60)
    calibrated_until = AheadBox(label="Its calibration is good until")
    coded = Pick(label="Which test cell?", choices=(NO_CODE,), widget=forms.Select)
    cell = Pick(label="The test cell", choices=CELLS)

    def __init__(
        self, data: Mapping[str, Any] | None, *, today: date, cells: Iterable[tuple[str, str]] = (), **kwargs: Any
    ) -> None:
        super().__init__(data, asked=sums()["breakdown"], today=today, **kwargs)
        for name in LEFT_OUT:
            del self.fields[name]
        offered: Any = self.fields
        offered["coded"].choices = [NO_CODE, *cells]
        if len(offered["coded"].choices) > 1:
            offered["cell"].label = "A cell without a code is"
        else:
            del self.fields["coded"]
        keys = [box.key for box in self.asked.boxes]
        self.order_fields(
            ["sample", "space", *keys, "tester", "serial", "calibrated_until", "coded", "cell", "note", "why", "when"]
        )

    def clean(self) -> dict[str, Any]:
        """A cell with a code says itself what it is kept for."""
        found = super().clean()
        if found.get("coded") and found.get("cell"):
            self.add_error("cell", "The cell that you picked says itself what it is kept for; pick “Not said” here.")
        return found

    @property
    def coded_cell(self) -> UUID | None:
        """The cell, where it has a code."""
        return UUID(self.cleaned_data["coded"]) if self.cleaned_data.get("coded") else None

    def told(self) -> ShotsIn:
        """What the act takes."""
        found = self.cleaned_data
        words = {name: found[name] for name in ("tester", "serial", "calibrated_until")}
        return ShotsIn(asked=self.asked_for(found), cell=cast("Cell", found["cell"]), **self.oil(), **words)


def shown_breakdown(test: BreakdownNow) -> dict[str, Any]:
    """What the boxes show of a test on record."""
    told = test.told
    beside = {name: told.get(name, "") for name in ("tester", "serial", "calibrated_until", "cell")}
    return {
        **test.asked,
        **beside,
        "coded": next(iter(test.tools), ""),
        "note": test.note,
        **shown_oil(told["space"], told.get("bottle", "")),
    }
