"""Sampling gear and test cells of a yard: each with a code, the oil that it touched, and every cleaning."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import Record


class Tool(Record):
    """A piece of gear that oil goes through or into. `kept`: for untested oil alone; `words`: how to know it.

    `single_use`: the first oil that it touches takes it out of use.
    """

    coded: ClassVar[str] = "code"
    kind = models.CharField(max_length=12)
    code = models.CharField(max_length=6)
    holder = models.OneToOneField("hazmat.Holder", models.PROTECT, related_name="tool")
    words = models.CharField(max_length=120, blank=True, default="")
    kept = models.BooleanField(default=False)
    single_use = models.BooleanField(default=False)

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["yard", "code"], name="tool_code_once_per_yard")]

    def __str__(self) -> str:
        return self.code


class Touch(Record):
    """Gear was in the oil of one holder. `unit`: where that is a space of a unit; `hand`, `breakdown`: what it did."""

    subject: ClassVar[str | None] = "unit"
    tool = models.ForeignKey(Tool, models.PROTECT, related_name="touches")
    holder = models.ForeignKey("hazmat.Holder", models.PROTECT, related_name="touches")
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, null=True, blank=True, related_name="touches")
    hand = models.ForeignKey("hazmat.Hand", models.PROTECT, null=True, blank=True, related_name="touches")
    breakdown = models.ForeignKey("hazmat.Breakdown", models.PROTECT, null=True, blank=True, related_name="touches")

    def __str__(self) -> str:
        return f"{self.tool_id} in {self.holder_id}"


class Cleaning(Record):
    """Gear was cleaned: with what, and how."""

    subject: ClassVar[str | None] = "tool"
    tool = models.ForeignKey(Tool, models.PROTECT, related_name="cleanings")
    with_what = models.CharField(max_length=120)
    how = models.TextField()
    note = models.TextField(blank=True, default="")

    def __str__(self) -> str:
        return f"cleaning of {self.tool_id}"


class Retirement(Record):
    """Gear was taken out of use, and why."""

    subject: ClassVar[str | None] = "tool"
    tool = models.OneToOneField(Tool, models.PROTECT, related_name="retirement")
    reason = models.TextField()

    def __str__(self) -> str:
        return f"{self.tool_id} out of use"
