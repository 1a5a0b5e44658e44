"""What became of a unit, or of the oil that was in it, after it left."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import Record


class Fate(Record):
    """One step of its way out: `gone`, `back`, `destroyed`, or `oil_destroyed` of what was drained from it.

    `load`: the number of the load; `drum`: the code of the drum that held its oil; `certificate`: its number;
    `firm`: who took it, sent it back, or says that it was destroyed; `on`: the day of destruction, where it says one.
    """

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="fates")
    what = models.CharField(max_length=16)
    load = models.CharField(max_length=20, blank=True, default="")
    drum = models.CharField(max_length=6, blank=True, default="")
    certificate = models.CharField(max_length=60, blank=True, default="")
    firm = models.CharField(max_length=120, blank=True, default="")
    on = models.DateField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.what}: {self.unit_id}"
