"""The papers of a drum or of a load, in the order in which they were issued."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from disposal.models import PaperOf
from disposal.papers.build import TITLES


@dataclass(frozen=True)
class PaperLine:
    """A paper as a list shows it: its key, name, number and check code, when it was issued, whether it is sealed."""

    id: UUID
    title: str
    number: str
    code: str
    made_at: datetime
    sealed: bool


def papers_of(*, drum: UUID | None = None, load: UUID | None = None) -> list[PaperLine]:
    """The papers of one drum, or of one load."""
    found = PaperOf.objects.filter(drum=drum, load=load).select_related("paper__seal", "entry").order_by("entry__seq")
    return [
        PaperLine(
            one.paper_id, TITLES[one.paper.kind], one.paper.number, one.paper.code, one.entry.happened_at,
            getattr(one.paper, "seal", None) is not None,
        )
        for one in found.defer("paper__payload", "entry__body")
    ]  # fmt: skip
