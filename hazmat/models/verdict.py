"""What a named person decided about a unit, on which evidence; and who read it a second time."""

from typing import ClassVar

from django.conf import settings
from django.db import models

from hazmat.book.record import LineField, Record


class Verdict(Record):
    """A signed decision: `release`, `pcb_route` or `hold`, with its reason.

    `evidence`: the ids of the results that it rests on; `assessment`: how the unit was judged when it was signed, with
    `klass`, `basis` and `care` of that; `two`: the yard asks for a second person, and until then nothing is decided.
    """

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="verdicts")
    decision = models.CharField(max_length=10)
    reason = models.TextField()
    evidence = LineField(default="[]")
    assessment = models.ForeignKey("hazmat.Assessment", models.PROTECT, related_name="verdicts")
    klass = models.CharField(max_length=40)
    basis = models.CharField(max_length=20)
    care = models.CharField(max_length=10)
    signer = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="verdicts")
    two = models.BooleanField(default=False)

    def __str__(self) -> str:
        return f"{self.decision} of {self.unit_id}"


class Second(Record):
    """A second person who read the evidence of a verdict and signs it too."""

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="seconds")
    verdict = models.OneToOneField(Verdict, models.PROTECT, related_name="second")
    signer = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="seconds")

    def __str__(self) -> str:
        return f"second reading of {self.verdict_id}"
