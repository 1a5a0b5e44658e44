"""What was decided of a unit, under which text of which law, as at which day."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import LineField, Record


class Assessment(Record):
    """One assessment. `answer` is the whole answer as `assess` writes it; the other columns stand in it too.

    `on`: the law day; `edition`: the text that we had, with its digest; `good_until`: the last day on which nothing
    that it used changes; `presumed`: class and care that it counts as until somebody signs a release.
    """

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="assessments")
    rulebook = models.CharField(max_length=32, blank=True, default="")
    edition = models.CharField(max_length=32, blank=True, default="")
    on = models.DateField()
    klass = models.CharField(max_length=40)
    basis = models.CharField(max_length=20)
    band = models.CharField(max_length=10)
    care = models.CharField(max_length=10)
    good_until = models.DateField(null=True, blank=True)
    answer = LineField()
    presumed = LineField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.klass}, {self.basis}"
