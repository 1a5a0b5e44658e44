"""Days that are known only within bounds: `1968-05`, `1970/1985`, `1970/`, `~1975`."""

import re
from calendar import monthrange
from datetime import date
from typing import Literal

ABOUT_YEARS = 5
"""How far `~1975` reaches either side, in years. Source: house convention."""

Era = Literal["before", "touches_cutoff", "after", "unknown"]

_DAY = re.compile(r"([0-9]{4})(?:-([0-9]{2})(?:-([0-9]{2}))?)?", re.ASCII)


class Span:
    """The first and the last day on which something can have happened; None where that side is open."""

    __slots__ = ("earliest", "latest")

    def __init__(self, earliest: date | None, latest: date | None) -> None:
        if earliest and latest and earliest > latest:
            raise ValueError("it ends before it begins")
        self.earliest = earliest
        self.latest = latest

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Span) and (self.earliest, self.latest) == (other.earliest, other.latest)

    def __hash__(self) -> int:
        return hash((self.earliest, self.latest))

    def __repr__(self) -> str:
        return f"Span({self.earliest}, {self.latest})"

    def era(self, cutoff: date) -> Era:
        """Where the span lies: wholly before the day, wholly after it, or not shown to be either.

        A span that holds the day itself, or straddles it, touches it.
        """
        if self.earliest is None and self.latest is None:
            return "unknown"
        if self.latest is not None and self.latest < cutoff:
            return "before"
        if self.earliest is not None and self.earliest > cutoff:
            return "after"
        return "touches_cutoff"


def parse_span(written: str | int) -> Span:
    """Read a span as it is written in a register. Raises ValueError with what is wrong in a few words."""
    text = str(written)
    if text.startswith("~"):
        middle = _bounds(text[1:])
        return Span(_shift(middle[0], -ABOUT_YEARS), _shift(middle[1], ABOUT_YEARS))
    if "/" not in text:
        return Span(*_bounds(text))
    first, _, last = text.partition("/")
    if not first and not last:
        raise ValueError("a span needs at least one end")
    return Span(_bounds(first)[0] if first else None, _bounds(last)[1] if last else None)


def written_days(written: str | int) -> list[date]:
    """The earliest day of each date that stands in the text, to see whether one lies in the future."""
    return [_bounds(part)[0] for part in str(written).lstrip("~").split("/") if part]


def _bounds(text: str) -> tuple[date, date]:
    found = _DAY.fullmatch(text)
    if not found:
        raise ValueError("not a date")
    year, month, day = (int(part) if part else None for part in found.groups())
    if year is None or year < 1:
        raise ValueError("no such year")
    if month is None:
        return date(year, 1, 1), date(year, 12, 31)
    if not 1 <= month <= 12:
        raise ValueError("no such month")
    if day is None:
        return date(year, month, 1), date(year, month, monthrange(year, month)[1])
    if not 1 <= day <= monthrange(year, month)[1]:
        raise ValueError("no such day")
    return date(year, month, day), date(year, month, day)


def _shift(day: date, years: int) -> date:
    year = min(max(day.year + years, 1), 9999)
    return date(year, day.month, min(day.day, monthrange(year, day.month)[1]))
