"""Named calculations: each takes what somebody read or measured, and figures that a document fixes."""

from hazmat.core.sums import (
    breakdown,
    certainty,
    condition,
    filling,
    identity,
    oil,
    packing,
    plateyear,
    roomair,
    sampling,
    screening,
    tested,
    unmark,
    vapour,
)
from hazmat.core.sums.frame import Work

WORK: dict[str, Work] = {
    **oil.WORK, **identity.WORK, **plateyear.WORK, **breakdown.WORK, **condition.WORK, **tested.WORK,
    **screening.WORK, **certainty.WORK, **sampling.WORK, **vapour.WORK, **roomair.WORK, **filling.WORK,
    **packing.WORK, **unmark.WORK,
}  # fmt: skip
"""The function of every sum, by its name; words, bounds, sources and check values stand beside the law."""
