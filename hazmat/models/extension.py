"""An extension of use, as the letter of an authority gives it."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import Record


class Extension(Record):
    """Until which day the use of a unit was extended. One that replaces another corrects it; `why`: the reason."""

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="extensions")
    until = models.DateField()
    given_on = models.DateField()
    by = models.CharField(max_length=120)
    number = models.CharField(max_length=60, blank=True, default="")
    note = models.TextField(blank=True, default="")
    why = models.TextField(blank=True, default="")

    def __str__(self) -> str:
        return f"use of {self.unit_id} extended until {self.until}"
