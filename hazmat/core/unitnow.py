"""A unit as it stands now, or as it stood after a given entry: the frozen value that pages and papers are drawn from.

Days and instants are ISO 8601 text, identifiers are text, so that the whole value is plain data.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from hazmat.core.trail import BottleNow

Arrival = Literal["gate", "found"]
Leak = Literal["none", "sweating", "dripping", "pool", "unknown"]
Shows = Literal["whole", "plate", "leak", "other"]
Dead = Literal["yes", "no", "unknown"]
PaperKind = Literal["site_sheet", "notice", "unit_tag", "bottle_label"]
Source = Literal["seen", "said", "guessed"]


@dataclass(frozen=True, kw_only=True)
class Photo:
    """A picture: what it shows, its size in pixels, the files that hold it, when it was taken where that is known."""

    id: str
    sha256: str
    thumb: str
    shows: Shows
    width: int
    height: int
    taken_at: str | None = None
    words: str = ""


@dataclass(frozen=True, kw_only=True)
class ProvedDead:
    """Whether somebody proved it dead, and how; None means not known. Who did stands in the aside of the record."""

    record: str
    dead: Dead
    how: str
    happened_at: str
    detector_before: bool | None = None
    detector_after: bool | None = None
    back_feed: bool | None = None
    earthed: bool | None = None
    permit: str = ""
    approach: str = ""

    @property
    def whole(self) -> bool:
        """Whether it is proof: dead, and every thing that is looked at was answered with yes."""
        looked_at = (self.detector_before, self.detector_after, self.back_feed, self.earthed)
        return self.dead == "yes" and all(looked_at)


@dataclass(frozen=True, kw_only=True)
class PaperNow:
    """A paper of the unit. `sealed`: SHA-256 of its PDF, None until it is sealed; `corrects`: the paper it replaces.

    `bottle`: the code of the bottle whose label it is, empty for a paper of the unit itself.
    """

    id: str
    kind: PaperKind
    number: str
    code: str
    made_at: str
    sealed: str | None = None
    corrects: str | None = None
    bottle: str = ""


@dataclass(frozen=True, kw_only=True)
class UnitNow:
    """A unit (or a lot of like units) with everything that is on record about it.

    `line`: its facts as one line of a register, without an id; `sources`: for each fact whether it was seen, said or
    guessed; `claims`: what the seller said, kept apart; `seen`: what was seen that is no key of a line; `answer`: the
    assessment as `assess` writes it; `oil_spaces`: the name of each, by its id; `bottles`: in the order in
    which they were labelled; `logged`, `assessed`, `seq`: sequence numbers of the entry that brought it in, of
    that assessment, and of the last entry that is folded in; `happened_at`: the latest moment that is folded in.
    """

    unit: str
    yard: str
    tag: str
    arrival: Arrival
    logged_at: str
    look: str
    line: Mapping[str, Any]
    sources: Mapping[str, str]
    leak: Leak
    note: str
    proved: ProvedDead | None
    answer: Mapping[str, Any]
    assessed_at: str
    seq: str
    happened_at: str
    logged: str = "0"
    assessed: str = "0"
    claims: Mapping[str, str] = field(default_factory=dict)
    seen: Mapping[str, str] = field(default_factory=dict)
    photographs: tuple[Photo, ...] = ()
    papers: tuple[PaperNow, ...] = ()
    oil_spaces: Mapping[str, str] = field(default_factory=dict)
    bottles: tuple[BottleNow, ...] = ()
