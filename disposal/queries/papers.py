"""The papers of a drum or of a load, in the order in which they were issued; those that no longer say what holds."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from disposal.core.drumnow import DrumNow
from disposal.core.loadnow import LoadNow
from disposal.models import DrumStanding, LoadStanding, PaperOf
from disposal.papers.build import LABEL, SHEET, TITLES, Loaded, label_says, sheet_says
from disposal.queries.drums import DRUMS
from disposal.queries.loads import LOADS, counted
from hazmat.book.canonical import parsed
from hazmat.core.codes import spaced
from hazmat.papers.holds import Outdated, holds
from hazmat.queries.next import SIZE, Line
from hazmat.queries.units import UNITS
from hazmat.queries.yards import particulars, yard_facts

HERE = ("here", "on_load")
"""Where a drum is whose label somebody here can change."""


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


def loaded(load: LoadNow) -> list[Loaded]:
    """What travels with a load, each with how it stands."""
    return [
        Loaded(
            item=one, drum=DRUMS.kept(UUID(one.of)) if one.thing == "drum" else None,
            unit=UNITS.kept(UUID(one.of)) if one.thing == "unit" else None,
        )
        for one in load.aboard
    ]  # fmt: skip


def outdated_label(drum: DrumNow) -> list[Outdated]:
    """The last label of a drum, where it says of it what no longer holds; none of what left."""
    return [] if drum.place not in HERE else _outdated(label_says(drum), drum=drum.drum, paper__kind=LABEL)


def outdated_sheet(load: LoadNow, yard: Mapping[str, Any]) -> list[Outdated]:
    """The last sheet of a load, where it says what no longer holds; none once it has left with its load."""
    if load.handed_over_at or load.closed_at or not load.aboard:
        return []
    return _outdated(sheet_says(load, loaded(load), yard), load=load.load, paper__kind=SHEET)


def _outdated(now: Mapping[str, Any], **of: str) -> list[Outdated]:
    """The last paper of this kind of a thing, where it no longer says what holds."""
    last = PaperOf.objects.filter(**of).select_related("paper").order_by("entry__seq").last()
    if last is None or holds(parsed(last.paper.payload), now):
        return []
    paper = last.paper
    return [Outdated(id=str(paper.pk), kind=paper.kind, title=TITLES[paper.kind], number=paper.number)]


def next_lines(yard: UUID, code: str, today: date) -> list[Line]:
    """What the page *Next* says of labels and sheets: each that is to be printed anew."""
    papers = PaperOf.objects.filter(yard=yard)
    drums = DrumStanding.objects.filter(yard=yard, drum__in=papers.filter(paper__kind=LABEL).values("drum"))
    loads = LoadStanding.objects.filter(yard=yard, load__in=papers.filter(paper__kind=SHEET).values("load"))
    found = [
        Line(f"Drum {spaced(drum.code)}: {one.says}", "drum", {"yard": code, "drum": drum.code}, "paper")
        for body in drums.filter(place__in=HERE).order_by("logged").values_list("body", flat=True)
        for drum in [DRUMS.unpacked(body)]
        for one in outdated_label(drum)
    ]
    facts = yard_facts(particulars(yard))
    bodies = loads.filter(state__in=("planned", "signed")).order_by("logged").values_list("body", flat=True)
    found += [
        Line(f"Load {load.number}: {one.says}", "load", {"yard": code, "load": load.number}, "paper")
        for load in counted([LOADS.unpacked(body) for body in bodies])
        for one in outdated_sheet(load, facts)
    ]
    return found[:SIZE]
