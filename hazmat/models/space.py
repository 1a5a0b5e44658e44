"""Where oil is: holders, and the oil spaces of a unit."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import Record


class Holder(Record):
    """Whatever can hold oil: an oil space today; a drum, a pump or a bottle by the same table."""

    kind = models.CharField(max_length=20)

    def __str__(self) -> str:
        return f"{self.kind} {self.id}"


class Space(Record):
    """An oil space of its own. A unit is only as well known as its worst one; a sealed one cannot be sampled."""

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="spaces")
    holder = models.OneToOneField(Holder, models.PROTECT, related_name="space")
    name = models.CharField(max_length=60)

    def __str__(self) -> str:
        return self.name
