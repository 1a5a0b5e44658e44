"""What a laboratory says of a sample, with its report."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import LineField, Record


class Result(Record):
    """A result of a laboratory. One that replaces another amends it: the first one stays, and no longer counts.

    `test`: one test as a line of a register has it, with `on` the day of the sample; `bottle`: empty where the sample
    was drawn before it came into this book; `reported_on`: the day of the report; `job`: the laboratory's own number;
    `report`: SHA-256 of the file of the report, `report_kind`: `pdf` or `picture`; `why`: what was amended.
    """

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="results")
    bottle = models.ForeignKey("hazmat.Bottle", models.PROTECT, null=True, blank=True, related_name="results")
    test = LineField()
    reported_on = models.DateField()
    laboratory = models.CharField(max_length=120)
    job = models.CharField(max_length=60, blank=True, default="")
    report = models.CharField(max_length=64, blank=True, default="")
    report_kind = models.CharField(max_length=10, blank=True, default="")
    why = models.TextField(blank=True, default="")

    def __str__(self) -> str:
        return f"result of {self.unit_id}, {self.reported_on}"
