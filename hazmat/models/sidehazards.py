"""What was looked for round a unit besides its oil."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import LineField, Record


class SideHazards(Record):
    """One walk round a unit. `told`: as `core.walked.Walk` holds it; the latest one counts."""

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="walks")
    told = LineField()
    note = models.TextField(blank=True, default="")

    class Meta:
        verbose_name_plural = "side hazards"

    def __str__(self) -> str:
        return f"walk round {self.unit_id}"
