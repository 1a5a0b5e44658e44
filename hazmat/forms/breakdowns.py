"""A breakdown test of oil: the shots on one line, and how the test was made."""

from collections.abc import Mapping
from datetime import date
from typing import Any, cast

from hazmat.core.shots import BreakdownNow, Cell, ShotsIn
from hazmat.forms.fields import AheadBox, Pick, Words
from hazmat.forms.samples import OfOil, shown_oil
from hazmat.forms.sums import SumForm
from hazmat.rulebooks.sumbook import sums

CELLS = (("", "Not said"), ("kept", "Kept for untested oil"), ("shared", "Other oil goes through it too"))
LEFT_OUT = ("viscosity", "vacuum_filled")
"""Boxes of the sum that ask about the unit, which its own page knows."""


class BreakdownForm(OfOil, SumForm):
    """What the sum asks, with tester and cell beside it."""

    tester = Words(label="Which tester?", most=120)
    serial = Words(label="Its serial number", most=60)
    calibrated_until = AheadBox(label="Its calibration is good until")
    cell = Pick(label="The test cell", choices=CELLS)

    def __init__(self, data: Mapping[str, Any] | None, *, today: date, **kwargs: Any) -> None:
        super().__init__(data, asked=sums()["breakdown"], today=today, **kwargs)
        for name in LEFT_OUT:
            del self.fields[name]
        keys = [box.key for box in self.asked.boxes]
        self.order_fields(
            ["sample", "space", *keys, "tester", "serial", "calibrated_until", "cell", "note", "why", "when"]
        )

    def told(self) -> ShotsIn:
        """What the act takes."""
        found = self.cleaned_data
        words = {name: found[name] for name in ("tester", "serial", "calibrated_until")}
        return ShotsIn(asked=self.asked_for(found), cell=cast("Cell", found["cell"]), **self.oil(), **words)


def shown_breakdown(test: BreakdownNow) -> dict[str, Any]:
    """What the boxes show of a test on record."""
    told = test.told
    beside = {name: told.get(name, "") for name in ("tester", "serial", "calibrated_until", "cell")}
    return {**test.asked, **beside, "note": test.note, **shown_oil(told["space"], told.get("bottle", ""))}
