"""The papers of a drum or of a load, in the order in which they were issued; labels that no longer say what holds."""

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from disposal.core.drumnow import DrumNow
from disposal.models import DrumStanding, PaperOf
from disposal.papers.build import LABEL, TITLES, label_says
from disposal.queries.drums import DRUMS
from hazmat.book.canonical import parsed
from hazmat.core.codes import spaced
from hazmat.papers.frame import said
from hazmat.queries.next import SIZE, Line


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


def outdated(drum: DrumNow) -> bool:
    """Whether the last label of a drum says of it what no longer holds."""
    labels = PaperOf.objects.filter(drum=UUID(drum.drum), paper__kind=LABEL)
    last = labels.select_related("paper").order_by("entry__seq").last()
    frozen = parsed(last.paper.payload) if last else {}
    return last is not None and any(frozen.get(name) != says for name, says in label_says(drum).items())


def next_lines(yard: UUID, code: str, today: date) -> list[Line]:
    """What the page *Next* says of labels: each drum here whose label is to be printed anew."""
    labelled = PaperOf.objects.filter(yard=yard, paper__kind=LABEL).values("drum")
    rows = DrumStanding.objects.filter(yard=yard, drum__in=labelled, place__in=("here", "on_load")).order_by("logged")
    says = said("label_outdated").rstrip(".")
    drums = (DRUMS.unpacked(body) for body in rows.values_list("body", flat=True))
    return [
        Line(f"Drum {spaced(one.code)}: {says}", "drum", {"yard": code, "drum": one.code}, "paper")
        for one in drums
        if outdated(one)
    ][:SIZE]
