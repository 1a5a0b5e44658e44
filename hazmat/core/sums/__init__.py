"""Named calculations: each takes what somebody read or measured, and figures that a document fixes."""

from hazmat.core.sums import breakdown, condition, identity, oil, plateyear
from hazmat.core.sums.frame import Work

WORK: dict[str, Work] = {
    **oil.WORK, **identity.WORK, **plateyear.WORK, **breakdown.WORK, **condition.WORK,
}  # fmt: skip
"""The function of every sum, by its name; words, bounds, sources and check values stand beside the law."""
