"""What was tried on its oil in the yard: a colour screen for chlorine, or a drop of it in water."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import LineField, Record


class Screen(Record):
    """One screen of one oil space. One that replaces another corrects it: the first one stays, and no longer counts.

    `test`: one test as a line of a register has it, with `on` the day; `colours`: what each reader saw, the first one
    first, each without knowing of the other; `apart`: a second person is to read it apart; `lot`: what the packet of
    the test says; `why`: what was corrected.
    """

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="screens")
    test = LineField()
    colours = LineField(blank=True, default="[]")
    lot = models.CharField(max_length=60, blank=True, default="")
    apart = models.BooleanField(null=True, blank=True)
    note = models.TextField(blank=True, default="")
    why = models.TextField(blank=True, default="")

    def __str__(self) -> str:
        return f"screen of {self.unit_id}"


class SecondReading(Record):
    """What a second person saw on a screen, not shown what the first one saw: the tube, or a photograph of it."""

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="second_readings")
    screen = models.OneToOneField(Screen, models.PROTECT, related_name="second")
    colour = models.CharField(max_length=20)
    pictured = models.BooleanField(null=True, blank=True)

    def __str__(self) -> str:
        return f"second reading of {self.screen_id}"
