"""Named calculations: each takes what somebody read or measured, and figures that a document fixes."""

from hazmat.core.sums import breakdown, condition, oil
from hazmat.core.sums.frame import Work

WORK: dict[str, Work] = {**oil.WORK, **breakdown.WORK, **condition.WORK}
"""The function of every sum, by its name; words, bounds, sources and check values stand beside the law."""
