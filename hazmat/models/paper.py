"""Papers: every word frozen when they are issued, the printed bytes sealed afterwards."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import LineField, Record


class Paper(Record):
    """A paper as issued. `payload` holds every word; `digest` is its SHA-256, `code` what can be checked by hand.

    A correction is a new paper that replaces the old one. People's names stand in the aside.
    """

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, null=True, blank=True, related_name="papers")
    kind = models.CharField(max_length=20)
    number = models.CharField(max_length=20)
    payload = LineField()
    digest = models.CharField(max_length=64)
    code = models.CharField(max_length=12)

    def __str__(self) -> str:
        return f"{self.kind} {self.number}"


class Seal(Record):
    """The PDF of a paper: its SHA-256 and its length in bytes. `unit` is that of the paper."""

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, null=True, blank=True, related_name="seals")
    paper = models.OneToOneField(Paper, models.PROTECT, related_name="seal")
    sha256 = models.CharField(max_length=64)
    size = models.BigIntegerField()

    def __str__(self) -> str:
        return f"seal of {self.paper_id}"
