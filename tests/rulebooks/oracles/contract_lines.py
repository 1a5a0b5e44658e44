"""Raw facts of the presumption oracle, written as lines that `assess` reads.

One fact may be written in several ways (a year or 1.36 as text or number, a month, a span, about a
year); the row number picks one, so that the same facts always give the same lines.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from .presumption_761_2 import Facts

LOW_VOLTAGE = 480
"""Marked items are given a voltage at which 761.40(g) lets the mark stand on any of them, large or small."""
OTHER_FLUIDS = ("silicone", "ester", "other")


def contract_lines(facts: Facts) -> list[dict[str, Any]]:
    """One line a row; what is not known is left out or null."""
    return [_line(i, {name: column[i] for name, column in facts.items()}) for i in range(len(facts["kind"]))]


def _line(i: int, fact: dict[str, Any]) -> dict[str, Any]:
    line: dict[str, Any] = {"id": f"r{i:06}", "kind": str(fact["kind"])}
    fluids = {"mineral": "mineral", "other": OTHER_FLUIDS[i % 3], "unknown": None}
    grams = int(fact["mass_g"])
    optional = {
        "mounting": None if fact["mounting"] == "none" else str(fact["mounting"]),
        "fluid": fluids[str(fact["fluid"])],
        "fluid_mass_kg": None if grams < 0 else _kilograms(grams, as_text=i % 2 == 0),
        "built": built(int(fact["earliest"]), int(fact["latest"]), i),
        "marks": _marks(bool(fact["maker_mark"]), i),
        "voltage_v": LOW_VOLTAGE if fact["maker_mark"] else None,
    }
    return line | {name: value for name, value in optional.items() if value is not None or i % 5 == 0}


def _kilograms(grams: int, *, as_text: bool) -> str | float:
    return f"{grams // 1000}.{grams % 1000:03}" if as_text else grams / 1000


def _marks(maker: bool, i: int) -> list[str] | None:
    """The maker's mark, and on some items an owner's, which proves nothing (761.2(a)(4))."""
    marks = ["maker_no_pcbs"] * maker + ["owner_no_pcbs"] * (i % 3 == 0)
    return marks or None


def built(earliest: int, latest: int, i: int) -> str | int | None:
    """The span of building from its first and last day (ordinals, -1 unknown)."""
    if earliest < 0 and latest < 0:
        return None
    if earliest < 0:
        return f"/{_end(date.fromordinal(latest))}"
    if latest < 0:
        return f"{_start(date.fromordinal(earliest))}/"
    first, last = date.fromordinal(earliest), date.fromordinal(latest)
    if first == last:
        return first.isoformat()
    if (first.day, (last + timedelta(days=1)).day) == (1, 1):
        return _whole(first, last, i)
    return f"{first}/{last}"


def _whole(first: date, last: date, i: int) -> str | int:
    """Whole months: a year, about a year (five years either side), a month, or two ends."""
    if (first.month, last.month) == (1, 12):
        years = last.year - first.year
        if years == 0:
            return first.year if i % 2 else str(first.year)
        return f"~{first.year + 5}" if years == 10 else f"{first.year}/{last.year}"
    if (first.year, first.month) == (last.year, last.month):
        return f"{first:%Y-%m}"
    return f"{first}/{last}"


def _start(day: date) -> str:
    """A day as the first of a span: the year alone where that says the same."""
    return str(day.year) if (day.month, day.day) == (1, 1) else day.isoformat()


def _end(day: date) -> str:
    """A day as the last of a span: the year alone where that says the same."""
    return str(day.year) if (day.month, day.day) == (12, 31) else day.isoformat()
