"""Spills and old stains: what is on record, who was told, what was done, the signed end, and papers."""

from typing import ClassVar

from django.conf import settings
from django.db import models

from hazmat.book.record import LineField, Record


class Spill(Record):
    """A spill, or an old stain that nobody saw fall. `number`: that of its entry, as papers call it."""

    number = models.CharField(max_length=20)
    old = models.BooleanField(default=False)
    holder = models.OneToOneField("hazmat.Holder", models.PROTECT, related_name="spill")

    def __str__(self) -> str:
        return f"spill {self.number}"


class SpillAccount(Record):
    """What is on record of a spill: what leaked, how much, on what. One that replaces another corrects it.

    It happened when the spill was found. `source`: the holder of a drum that leaked, with its `code`; `told`: the rest
    as somebody wrote it down. Place and finder stand in the aside.
    """

    subject: ClassVar[str | None] = "spill"
    spill = models.ForeignKey(Spill, models.PROTECT, related_name="accounts")
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, null=True, blank=True, related_name="spills")
    space = models.CharField(max_length=60, blank=True, default="")
    source = models.ForeignKey("hazmat.Holder", models.PROTECT, null=True, blank=True, related_name="leaks")
    code = models.CharField(max_length=6, blank=True, default="")
    told = LineField()
    note = models.TextField(blank=True, default="")
    why = models.TextField(blank=True, default="")

    def __str__(self) -> str:
        return f"account of {self.spill_id}"


class SpillTold(Record):
    """An office was told of a spill. `duties`: what of all that is asked this fulfils. Names stand in the aside."""

    subject: ClassVar[str | None] = "spill"
    spill = models.ForeignKey(Spill, models.PROTECT, related_name="tellings")
    duties = LineField(default="[]")
    office = models.CharField(max_length=160)
    reference = models.CharField(max_length=80, blank=True, default="")
    note = models.TextField(blank=True, default="")
    why = models.TextField(blank=True, default="")

    def __str__(self) -> str:
        return f"{self.office} told of {self.spill_id}"


class SpillStep(Record):
    """A step of a cleanup: contained, soaked up, washed, soil out, sampled, waste; with its figures in `told`."""

    subject: ClassVar[str | None] = "spill"
    spill = models.ForeignKey(Spill, models.PROTECT, related_name="steps")
    what = models.CharField(max_length=12)
    told = LineField(default="{}")
    note = models.TextField(blank=True, default="")
    why = models.TextField(blank=True, default="")

    def __str__(self) -> str:
        return f"{self.what} of {self.spill_id}"


class SpillEnd(Record):
    """The signed end of a spill: what was reached; why it ends though something is open. The aside has the name."""

    subject: ClassVar[str | None] = "spill"
    spill = models.ForeignKey(Spill, models.PROTECT, related_name="ends")
    statement = models.TextField()
    reached = models.TextField()
    reason = models.TextField(blank=True, default="")
    signer = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="spill_ends")

    def __str__(self) -> str:
        return f"end of {self.spill_id}"


class SpillPaper(Record):
    """Which paper is of which spill."""

    subject: ClassVar[str | None] = "spill"
    spill = models.ForeignKey(Spill, models.PROTECT, related_name="papers")
    paper = models.OneToOneField("hazmat.Paper", models.PROTECT, related_name="of_spill")

    def __str__(self) -> str:
        return f"{self.paper_id} of {self.spill_id}"
