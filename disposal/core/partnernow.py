"""A firm and its licences as they stand: frozen values. Days are calendar days in the zone of the yard."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Literal, get_args

What = Literal["carry", "take_in"]
WHATS: tuple[What, ...] = get_args(What)
"""What a licence lets a firm do."""


@dataclass(frozen=True, kw_only=True)
class LicenceNow:
    """A licence: what it lets a firm do, its number, who gave it, and from which day to which, both included.

    `until`: None where it names no last day.
    """

    id: str
    what: What
    number: str
    since: date
    until: date | None = None
    issued_by: str = ""

    def in_force(self, on: date) -> bool:
        """Whether it holds on this day; its first and its last day count."""
        return self.since <= on and (self.until is None or on <= self.until)


@dataclass(frozen=True, kw_only=True)
class PartnerNow:
    """A firm as it is called now. `id`: of the record by which it came in; `record`: of the one that says its name."""

    id: str
    record: str
    name: str
    country: str = ""
    note: str = ""
    licences: tuple[LicenceNow, ...] = ()

    def may(self, what: What, on: date) -> bool:
        """Whether one of its licences lets it do this on this day."""
        return holds(self.licences, what, on)


def holds(licences: Iterable[LicenceNow], what: What, on: date) -> bool:
    """Whether one of these licences is for this and in force on this day."""
    return any(one.what == what and one.in_force(on) for one in licences)
