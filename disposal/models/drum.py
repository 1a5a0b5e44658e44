"""Drums and slop cans, what was poured between them, and where they stand."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import Record


class Drum(Record):
    """A drum, or a slop can: one per unit until its result. `capacity_l`: litres to the brim, as decimal text."""

    coded: ClassVar[str] = "code"
    kind = models.CharField(max_length=10)
    code = models.CharField(max_length=6)
    holder = models.OneToOneField("hazmat.Holder", models.PROTECT, related_name="drum")
    capacity_l = models.CharField(max_length=12)
    un_mark = models.CharField(max_length=80, blank=True, default="")
    for_unit = models.ForeignKey("hazmat.Unit", models.PROTECT, null=True, blank=True, related_name="slop_cans")

    class Meta:
        constraints: ClassVar = [models.UniqueConstraint(fields=["yard", "code"], name="drum_code_once_per_yard")]

    def __str__(self) -> str:
        return self.code


class Move(Record):
    """Oil that went from one holder to another, in litres or kg (decimal text), with a tool.

    `unit`, `space`: where it came out of a unit; `from_drum`, `into_drum`: where it came out of, or went into, a drum;
    `celsius`: how warm it was, decimal text with its sign, empty where nobody said;
    `source` and `target` are the holders themselves; without a target it is no longer oil that is held here.
    """

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, null=True, blank=True, related_name="moves")
    space = models.ForeignKey("hazmat.Space", models.PROTECT, null=True, blank=True, related_name="moves")
    from_drum = models.ForeignKey(Drum, models.PROTECT, null=True, blank=True, related_name="moves_out")
    into_drum = models.ForeignKey(Drum, models.PROTECT, null=True, blank=True, related_name="moves_in")
    source = models.ForeignKey("hazmat.Holder", models.PROTECT, related_name="moves_out")
    target = models.ForeignKey("hazmat.Holder", models.PROTECT, null=True, blank=True, related_name="moves_in")
    litres = models.CharField(max_length=12, blank=True, default="")
    kg = models.CharField(max_length=12, blank=True, default="")
    tool = models.CharField(max_length=120, blank=True, default="")
    all_out = models.BooleanField(default=False)
    note = models.TextField(blank=True, default="")
    celsius = models.CharField(max_length=12, blank=True, default="")

    def __str__(self) -> str:
        return f"{self.litres or self.kg} from {self.source_id}"


class Bay(Record):
    """A plain place in the yard where drums and units stand. One that replaces another renames it."""

    name = models.CharField(max_length=60)
    note = models.TextField(blank=True, default="")

    def __str__(self) -> str:
        return self.name


class Put(Record):
    """A drum or a unit was put into a bay."""

    subject: ClassVar[str | None] = "drum"
    bay = models.ForeignKey(Bay, models.PROTECT, related_name="puts")
    drum = models.ForeignKey(Drum, models.PROTECT, null=True, blank=True, related_name="puts")
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, null=True, blank=True, related_name="puts")

    def __str__(self) -> str:
        return f"{self.drum_id or self.unit_id} in {self.bay_id}"
