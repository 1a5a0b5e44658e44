"""What one slip says of the condition of its oil: water, acidity, flash point, halogens and the rest."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import LineField, Record


class Condition(Record):
    """One condition test of one filling. One that replaces another corrects it: the first one stays beside it.

    `told`: as `core.condition.ConditionIn` holds it: under `asked` each figure with its sign, under `methods` how it
    was found; space, bottle, tester and paper beside them; `why`: what was corrected.
    """

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="conditions")
    told = LineField()
    note = models.TextField(blank=True, default="")
    why = models.TextField(blank=True, default="")

    def __str__(self) -> str:
        return f"condition test of {self.unit_id}"
