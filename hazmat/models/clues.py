"""Clues to the size and year of a unit without a plate."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import LineField, Record


class Clues(Record):
    """What somebody can tell of a unit. `told`: as `core.clues.CluesIn` holds it; the latest count."""

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="clues")
    told = LineField()
    note = models.TextField(blank=True, default="")

    class Meta:
        verbose_name_plural = "clues"

    def __str__(self) -> str:
        return f"clues to {self.unit_id}"
