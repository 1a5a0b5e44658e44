"""Pictures: the bytes lie outside the database under their SHA-256."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import Record


class Photograph(Record):
    """One picture of a unit or a spill, stripped of all but the picture. Where it was taken stands in the aside.

    `sha256`, `thumb`: the files of the picture and of its small copy; `taken_at`: as the camera wrote it, with its
    zone where it named one.
    """

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, null=True, blank=True, related_name="photographs")
    spill = models.ForeignKey("hazmat.Spill", models.PROTECT, null=True, blank=True, related_name="photographs")
    sha256 = models.CharField(max_length=64)
    thumb = models.CharField(max_length=64)
    shows = models.CharField(max_length=10)
    width = models.IntegerField()
    height = models.IntegerField()
    taken_at = models.CharField(max_length=40, blank=True, default="")
    words = models.CharField(max_length=200, blank=True, default="")

    def __str__(self) -> str:
        return f"{self.shows} of {self.unit_id or self.spill_id}"
