"""What a document fixes, from which day and where: sentences and figures, each with its source."""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Literal

Force = Literal["must", "may", "care"]
Amount = Decimal | date | str
UNDETERMINED = "undetermined"
ONE_DAY = timedelta(days=1)
EVERYWHERE: frozenset[str] = frozenset()


def stands_in(only_in: frozenset[str], territory: str | None) -> bool:
    """Whether what stands in these states alone (none named: everywhere) stands in this one; None: no state given."""
    return not only_in or territory in only_in


@dataclass(frozen=True, slots=True)
class Cite:
    """A document, which text of it was read, when, and how we know it."""

    key: str
    document: str
    text_as_of: date | None
    where: str
    read_on: date
    basis: Literal["read", "memory", "judgement"]


@dataclass(frozen=True, slots=True)
class Sentence:
    """A finished sentence or one with {slots}, and the document it stands on."""

    key: str
    says: str
    cite: Cite
    only_in: frozenset[str] = EVERYWHERE


@dataclass(frozen=True, slots=True)
class Version:
    """One value of a figure and the days on which it stands; `since` None: its start day is not known.

    `only_in`: the states or nations where it stands; empty: everywhere.
    """

    value: Amount
    since: date | None
    until: date | None
    cite: Cite
    only_in: frozenset[str] = EVERYWHERE


@dataclass(frozen=True, slots=True)
class Figure:
    """A number, day or text that a document fixes, in every version held."""

    name: str
    says: str
    unit: str
    versions: tuple[Version, ...]

    def at(self, on: date, territory: str | None = None) -> Version | None:
        """The version that stands on the day, or None.

        What stands in this state alone goes before what stands everywhere, and then a dated version before one of
        unknown start.
        """
        standing = [
            v
            for v in self.versions
            if (v.since is None or v.since <= on)
            and (v.until is None or on <= v.until)
            and stands_in(v.only_in, territory)
        ]
        return max(standing, key=lambda v: (bool(v.only_in), v.since or date.min), default=None)

    def holds_until(self, on: date, territory: str | None = None) -> date | None:
        """The last day on which the answer of that day still holds; None where no change is known."""
        now = self.at(on, territory)
        ends = [
            v.since - ONE_DAY for v in self.versions if v.since and v.since > on and stands_in(v.only_in, territory)
        ]
        if now and now.until:
            ends.append(now.until)
        return next((end for end in sorted(ends) if self.at(end + ONE_DAY, territory) != now), None)
