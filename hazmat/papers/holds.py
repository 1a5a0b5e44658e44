"""The one rule of papers that no longer say what holds: printed now, they would say something else of their thing.

It is asked of whatever hangs on a thing or travels with it. A letter and the label of a bottle speak of their own day,
and are never outdated.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from hazmat.book.canonical import canonical, parsed

ANEW = "says what no longer holds: print a new one, and take the old one away"
"""What is said of such a paper, on every page."""


@dataclass(frozen=True, kw_only=True)
class Outdated:
    """A paper that no longer says what holds: its key, kind, name and number."""

    id: str
    kind: str
    title: str
    number: str

    @property
    def says(self) -> str:
        """What is said of it: `Site sheet 12 says what no longer holds: ...`."""
        return f"{self.title} {self.number} {ANEW}"


def holds(frozen: Mapping[str, Any], now: Mapping[str, Any]) -> bool:
    """Whether a paper still says what holds. `frozen`: its words; `now`: what it would say of its thing today."""
    return all(frozen.get(key) == says for key, says in parsed(canonical(dict(now)).decode()).items())
