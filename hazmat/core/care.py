"""The safety band, the same in every country, and the care that hands must take.

The band decides gear, segregation and order of work together with the class. It never lowers a class.
"""

from dataclasses import dataclass

from hazmat.core.bulk import CARE
from hazmat.core.evidence import Reading
from hazmat.core.findings import Reason, of_row, of_sentence
from hazmat.core.law import UNDETERMINED, LawDay
from hazmat.core.presume import SentenceOf

UNKNOWN = "unknown"
FIGURES = (
    "no_basis", "lab_raises", "label_alone", "label_contrary", "label_no_basis", "similar_alone", "similar_contrary",
    "similar_no_basis",
)  # fmt: skip
"""Readings with a figure that does not count, but may disagree with the one that does."""
AGAINST_LOW = {
    "plate_pcb": "ge500", "plate_bare": "ge500", "askarel_said": "ge500", "pcb_mark": "ge500", "sinks": "ge500",
    "contaminated_mark": "50_499", "added_fluid": None, "screen_after": None,
}  # fmt: skip
"""Readings that speak against a low laboratory figure, and the band that each speaks for; None: the reading's own.

A screen before the laboratory's sample does not: the laboratory is its answer. Source: our own choice.
"""


@dataclass(frozen=True, slots=True)
class Band:
    """The safety band of an oil space, its reasons, and whether figures for it disagree."""

    band: str
    reasons: tuple[Reason, ...]
    raised_to: str | None = None
    disputed_by: int | None = None


def rank(band: str) -> int:
    """Place in the order of care; *unknown* stands after the worst."""
    return len(CARE) if band == UNKNOWN else CARE.index(band)


def as_care(band: str) -> str:
    """A band as care: *unknown* counts as the worst."""
    return CARE[-1] if band == UNKNOWN else band


def band_of(readings: list[tuple[int, Reading]], columns: tuple[str, ...], house: LawDay, says: SentenceOf) -> Band:
    """The band of one oil space: by the highest laboratory figure, else by the table, raised by evidence of harm."""
    deciding = [(place, r) for place, r in readings if r.decides_band and r.band]
    if deciding:
        return _by_figure(readings, deciding, says)
    decision = house.tables["band"].decide(columns)
    if decision is None:
        raise LookupError("the safety band has no row in force")
    raising = [(place, r) for place, r in readings if r.band and rank(r.band) > rank(decision.then)]
    raising.sort(key=lambda one: -rank(one[1].band or UNKNOWN))
    reasons = tuple(of_sentence(says[r.key], place) for place, r in raising) + tuple(
        of_row(row) for row in decision.rows
    )
    return Band(raising[0][1].band or CARE[-1] if raising else decision.then, reasons)


def _by_figure(readings: list[tuple[int, Reading]], deciding: list[tuple[int, Reading]], says: SentenceOf) -> Band:
    """By the highest laboratory figure; a figure that cannot be used but reads higher raises the care of hands."""
    place, highest = max(deciding, key=lambda one: rank(one[1].band or UNKNOWN))
    band = highest.band or CARE[-1]
    reasons = [of_sentence(says[highest.band_key or "lab_adds"], place)]
    spoken = [AGAINST_LOW.get(r.key) or r.band or band for _, r in readings if r.key in AGAINST_LOW]
    against = max((one for one in spoken if rank(one) > rank(band)), key=rank, default=None)
    higher = [(n, r) for n, r in readings if r.key in FIGURES and r.band and rank(r.band) > rank(band)]
    if not higher:
        return Band(band, tuple(reasons), against)
    n, reading = max(higher, key=lambda one: rank(one[1].band or UNKNOWN))
    raised = max((step for step in (reading.band, against) if step), key=rank)
    return Band(band, (*reasons, of_sentence(says["disagree"], n)), raised, n)


def care_of(bands: list[Band], klass: str, law: LawDay | None, unread: bool) -> str:
    """The worst of the bands, of the band that the law gives the class, and of what cannot be read yet."""
    steps = [as_care(one.band) for one in bands] + [one.raised_to for one in bands if one.raised_to]
    if law and klass != UNDETERMINED:
        steps.append(law.book.class_words[klass].band)
    if unread:
        steps.append(CARE[-1])
    return max(steps, key=rank)
