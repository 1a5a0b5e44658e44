"""What was tried on its oil in the yard: a colour screen for chlorine, or a drop of it in water."""

from typing import ClassVar

from django.db import models

from hazmat.book.record import LineField, Record


class Screen(Record):
    """One screen of one oil space. One that replaces another corrects it: the first one stays, and no longer counts.

    `test`: one test as a line of a register has it, with `on` the day; `colours`: what each reader saw, the first one
    first, each without knowing of the other; `lot`: what the packet of the test says; `why`: what was corrected.
    """

    subject: ClassVar[str | None] = "unit"
    unit = models.ForeignKey("hazmat.Unit", models.PROTECT, related_name="screens")
    test = LineField()
    colours = LineField(blank=True, default="[]")
    lot = models.CharField(max_length=60, blank=True, default="")
    note = models.TextField(blank=True, default="")
    why = models.TextField(blank=True, default="")

    def __str__(self) -> str:
        return f"screen of {self.unit_id}"
