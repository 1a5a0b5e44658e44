"""Which paper is of which drum or load. The paper itself stands where all papers stand."""

from typing import ClassVar

from django.db import models

from disposal.models.drum import Drum
from disposal.models.load import Load
from hazmat.book.record import Record


class PaperOf(Record):
    """A paper of a drum or of a load."""

    subject: ClassVar[str | None] = "load"
    paper = models.OneToOneField("hazmat.Paper", models.PROTECT, related_name="paper_of")
    drum = models.ForeignKey(Drum, models.PROTECT, null=True, blank=True, related_name="papers_of")
    load = models.ForeignKey(Load, models.PROTECT, null=True, blank=True, related_name="papers_of")

    def __str__(self) -> str:
        return f"{self.paper_id} of {self.drum_id or self.load_id}"
