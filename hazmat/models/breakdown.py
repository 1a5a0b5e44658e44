"""At what voltage its oil broke down, shot by shot."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import LineField, Record


class Breakdown(Record):
    """One breakdown test on one filling. One that replaces another corrects it: the first one stays beside it.

    `told`: as `core.shots.ShotsIn` holds it: under `asked` the method, the shots in their order, gap, rise, waits and
    temperature; space, bottle, tester and cell beside it; `why`: what was corrected.
    """

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="breakdowns")
    told = LineField()
    note = models.TextField(blank=True, default="")
    why = models.TextField(blank=True, default="")

    def __str__(self) -> str:
        return f"breakdown test of {self.unit_id}"
