"""Whose oil is still in a drum: what a proof of its end can tell of units. Pure.

A drum that ran empty still counts as what it held, for hands and law; of that oil its end proves nothing.
"""

from collections.abc import Iterable

from disposal.core.drumfold import NOTHING, Pour, Step, steps


def units_in(pours: Iterable[Pour], drum: str) -> frozenset[str]:
    """The units whose oil came into a drum, through other drums as well, since each drum on its way was last empty.

    `pours`: all of the drum and of every drum that oil came from.
    """
    ordered = sorted(pours, key=lambda one: one.place)
    drums = {end for one in ordered for end in (one.from_drum, one.into_drum) if end}
    emptied = {(step.pour.id, key) for key in drums for step in steps(ordered, key) if _emptied(step, key)}
    found: dict[str, frozenset[str]] = {}
    for pour in ordered:
        there = found.get(pour.from_drum, frozenset()) | ({pour.unit} if pour.unit else frozenset())
        if pour.into_drum:
            found[pour.into_drum] = found.get(pour.into_drum, frozenset()) | there
        if (pour.id, pour.from_drum) in emptied:
            found[pour.from_drum] = frozenset()
    return found.get(drum, frozenset())


def _emptied(step: Step, drum: str) -> bool:
    """Whether nothing can have been left in a drum after a pour out of it."""
    return step.pour.from_drum == drum and any(level.high == NOTHING for level in step.after)
