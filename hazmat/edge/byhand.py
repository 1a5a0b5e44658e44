"""The floor of `bulk_judge`: what 40 CFR 761.2 presumes, written by hand as one `numpy.select`. Nothing else uses it.

Source: 40 CFR 761.2(a) and, for the maker's mark, 40 CFR 761.40(g); where the section is silent the worse class. It
takes what `drawn` draws: no volumes, every marked item of low voltage, no other mark, nothing said besides.
"""

from datetime import date

import numpy as np

from hazmat.core.bulk import CAPACITORS
from hazmat.edge.columns import WORDS, Column, Columns

CUTOFF = date(1979, 7, 2).toordinal()
MARKS_FROM = date(1978, 7, 1).toordinal()
SMALL_G = 1360
OUTCOMES = (
    ("undetermined", None), ("below_50", "may"), ("below_50", "may"), ("below_50", "may"), ("below_50", "may"),
    ("from_500", "care"), ("from_500", "must"), ("50_to_499", "must"), ("50_to_499", "care"), ("from_500", "care"),
    ("50_to_499", "must"), ("50_to_499", "care"), ("from_500", "must"), ("from_500", "must"), ("from_500", "care"),
)  # fmt: skip
"""Class and force of each branch, in their order."""


def _kinds(*names: str) -> list[int]:
    return [WORDS["kind"].index(name) for name in names]


def by_hand(given: Columns) -> Column:
    """Which branch answers each row."""
    kind, earliest, latest = given.kind, given.earliest, given.latest
    undated = (earliest == 0) & (latest == 0)
    after = earliest > CUTOFF
    before = (latest != 0) & (latest < CUTOFF)
    mineral = given.fluid == WORDS["fluid"].index("mineral")
    other = (given.fluid != 0) & ~mineral
    drum, plain, instrument = _kinds("drum", "transformer", "instrument_transformer")
    transformer = (kind == plain) | (kind == instrument)
    small = transformer & (given.mass_g > 0) & (given.mass_g < SMALL_G)
    pole, pad = (WORDS["mounting"].index(name) for name in ("pole", "pad"))
    distribution = (kind == plain) & ((given.mounting == pole) | (given.mounting == pad))
    first, second = _kinds(*CAPACITORS)
    capacitor = (kind == first) | (kind == second)
    marked = capacitor & (given.marks != 0) & (undated | (earliest >= MARKS_FROM))
    breaker, recloser, cable, rectifier = _kinds("breaker", "recloser", "cable", "rectifier")
    low_kinds = (kind == breaker) | (kind == recloser) | (kind == cable) | (kind == rectifier)
    branches = [
        kind == drum, low_kinds, small, marked, after, capacitor & mineral, capacitor & (before | undated),
        mineral & (before | undated), mineral, distribution & other, distribution & before, distribution & ~undated,
        transformer & other & before, transformer & ~other & undated,
    ]  # fmt: skip
    return np.select(branches, [np.int8(place) for place in range(len(branches))], np.int8(len(branches)))
