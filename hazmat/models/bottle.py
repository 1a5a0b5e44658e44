"""Sample bottles, and each hand through which one goes."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import Record


class Bottle(Record):
    """A bottle with its label: a code of its own, and the one oil space that it is of."""

    subject: ClassVar[str | None] = "unit"
    coded: ClassVar[str] = "code"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="bottles")
    space = models.ForeignKey("hazmat.Space", models.PROTECT, related_name="bottles")
    holder = models.OneToOneField("hazmat.Holder", models.PROTECT, related_name="bottle")
    code = models.CharField(max_length=6)

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["yard", "code"], name="bottle_code_once_per_yard")]

    def __str__(self) -> str:
        return self.code


class Hand(Record):
    """One step of its trail. Who gave it and who took it stand in the aside; `point`: where the sample was drawn."""

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="hands")
    bottle = models.ForeignKey(Bottle, models.PROTECT, related_name="hands")
    what = models.CharField(max_length=20)
    point = models.CharField(max_length=20, blank=True, default="")
    note = models.TextField(blank=True, default="")

    def __str__(self) -> str:
        return f"{self.what} of {self.bottle_id}"
