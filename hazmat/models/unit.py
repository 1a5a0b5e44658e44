"""A unit, or a lot of like units, as it was met; and who proved it dead."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import LineField, Record


class Unit(Record):
    """The thing itself: its tag, and whether it came to the gate or was found in place.

    `parent`, `was`: what it was taken off, and as which oil space; empty for what nobody took off anything.
    """

    coded: ClassVar[str] = "tag"
    tag = models.CharField(max_length=6)
    arrival = models.CharField(max_length=10)
    parent = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="parts")
    was = models.CharField(max_length=60, blank=True, default="")

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["yard", "tag"], name="unit_tag_once_per_yard")]

    def __str__(self) -> str:
        return self.tag


class PartOff(Record):
    """An oil space that was taken off a unit and is a unit of its own from then on, under a tag of its own."""

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey(Unit, models.PROTECT, related_name="parts_off")
    space = models.CharField(max_length=60)
    part = models.OneToOneField(Unit, models.PROTECT, related_name="taken_off")
    tag = models.CharField(max_length=6)

    def __str__(self) -> str:
        return f"{self.space} of {self.unit_id}"


class Look(Record):
    """What was seen, said or guessed about a unit: one line of a register. A correction replaces it.

    `line`: the keys of a register's line without the id; `sources`: seen, said or guessed for each fact; `claims`: what
    the seller said, kept apart; `seen`: what was seen that is no key of a line. Owner, seller, place and access stand
    in the aside.
    """

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey(Unit, models.PROTECT, related_name="looks")
    line = LineField()
    sources = LineField(default="{}")
    leak = models.CharField(max_length=10, default="unknown")
    note = models.TextField(blank=True, default="")
    claims = LineField(default="{}")
    seen = LineField(default="{}")

    def __str__(self) -> str:
        return f"look at {self.unit_id}"


class Isolation(Record):
    """Whether the unit was proved dead, and how. Who did stands in the aside; an empty answer means not known."""

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey(Unit, models.PROTECT, related_name="isolations")
    dead = models.CharField(max_length=10)
    how = models.TextField(blank=True, default="")
    detector_before = models.BooleanField(null=True, blank=True)
    detector_after = models.BooleanField(null=True, blank=True)
    back_feed = models.BooleanField(null=True, blank=True)
    earthed = models.BooleanField(null=True, blank=True)
    permit = models.CharField(max_length=80, blank=True, default="")
    approach = models.CharField(max_length=80, blank=True, default="")

    def __str__(self) -> str:
        return f"isolation of {self.unit_id}: {self.dead}"
