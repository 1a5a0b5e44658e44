"""What somebody can tell of a unit without a plate: clues to its size and year, each seen, said or guessed."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from hazmat.core.amended import Told

Source = Literal["seen", "said", "guessed"]
SIZE = ("phases", "kv", "fuse_a", "fuse_seen", "lv_a", "lv_v", "origin")
"""Clues that the sum `rating` takes."""
YEAR = ("plate", "tank", "repairer_plate")
"""Clues that the sum `build_year` takes."""
TELLING = {"size": ("kv", "fuse_a", "lv_a"), "year": ("plate", "tank")}
"""Clues without which nothing is asked of either sum."""


@dataclass(frozen=True, kw_only=True)
class CluesIn:
    """Clues as somebody writes them down. `asked`: by the keys of both sums, as plain text; `sources`: who says so."""

    asked: Mapping[str, Any]
    sources: Mapping[str, Source]

    def image(self) -> dict[str, Any]:
        """What the record keeps."""
        return {"asked": dict(self.asked), "sources": dict(self.sources)}


@dataclass(frozen=True, kw_only=True)
class CluesNow(Told):
    """Clues on record. The latest ones count."""

    id: str

    @property
    def sources(self) -> Mapping[str, Source]:
        """Who says so, of each clue."""
        found: Mapping[str, Source] = self.told.get("sources", {})
        return found
