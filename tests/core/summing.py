"""A sum worked out as its command and page do, from figures as people write them."""

from datetime import date
from decimal import Decimal
from typing import Any

from hazmat.core.sums.frame import Worked
from hazmat.edge.sums import work
from hazmat.rulebooks import sumbook

TODAY = date(2026, 11, 26)
SUMS = sumbook.sums()


def worked(name: str, **given: Any) -> Worked:
    """The answer of a sum for these boxes. Raises Slip."""
    return work(SUMS[name], {key: str(one) if isinstance(one, Decimal) else one for key, one in given.items()}, TODAY)


def number(found: Worked, line: str) -> Decimal:
    """A line that is a number."""
    value = found.values[line]
    assert isinstance(value, Decimal | int)
    return Decimal(value)


def keys(found: Worked) -> list[str]:
    """What is said beside the figures, by key."""
    return [note.key for note in found.notes]
