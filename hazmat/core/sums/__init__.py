"""Named calculations: each takes what somebody read or measured, and figures that a document fixes."""

from hazmat.core.sums import certainty, oil, sampling, screening
from hazmat.core.sums.frame import Work

WORK: dict[str, Work] = {**certainty.WORK, **oil.WORK, **sampling.WORK, **screening.WORK}
"""The function of every sum, by its name; words, bounds, sources and check values stand beside the law."""
