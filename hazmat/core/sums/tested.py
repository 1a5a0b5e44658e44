"""One condition test of oil, each figure with its sign: what it settles, what it leaves open, which test comes next."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from hazmat.core.sums.condition import HELD, oil_condition
from hazmat.core.sums.frame import CannotWork, Fixed, Given, Note, Printed, Value, Work, Worked
from hazmat.core.sums.screening import WATER

BANDED = tuple(dict.fromkeys(box for _, box, _ in HELD))
"""Figures that are held against limits of oil in service."""
FIGURES = (*BANDED, "flash", "halogens", "density")
WORSE_LOW = ("ift", "flash")
"""Figures of which the lower one is the worse one; of all others it is the higher one."""
BESIDE = {"water_c": "water", "dissipation_c": "dissipation", "density_c": "density", "cup": "flash"}
"""What is said beside a figure, and says nothing without it."""
NEXT = ("pcb", "halogens", "flash", "water", "acidity", "ift", "dissipation")
"""Which test comes before which, PCB first. Source: our own order, after 40 CFR 761.60(a) and 279.63(c)."""
WARNINGS = ("mixed_with_solvent", "halogens_presumed", "heavier")
"""Sentences that ask for care; what a sign leaves open is said by the same key after `open_`."""
TRUTHS = {True: "yes", False: "no"}
OPEN = "open"
TINY = Decimal("1E-9")
"""Finer than any figure on a slip: `<5` is at most this much below 5. Source: our own choice."""
ENDLESS = Decimal("Infinity")


def span(told: Printed) -> tuple[Decimal, Decimal]:
    """Between which two figures the true one lies."""
    if told.sign == "<":
        return -ENDLESS, told.value - TINY
    return (told.value + TINY, ENDLESS) if told.sign == ">" else (told.value, told.value)


def oil_tested(given: Given, fixed: Fixed) -> Worked:
    """What the figures of one test settle, by the rules of `oil_condition`; bands only for oil that was not cold.

    Worked out at both ends of what each sign allows: a line that comes out the same is settled, any other is open.
    """
    _refuse(given)
    banded = given["cold"] == "no"
    best, worst = (oil_condition(_at(given, fixed, end, banded), fixed) for end in (0, 1))
    values = {key: _agreed(best.values[key], value) for key, value in worst.values.items()}
    if not (banded and any(given[box] for box in BANDED)):
        del values["class"]
    notes = [note for note in worst.notes if note in best.notes]
    notes += [Note(f"open_{note.key}", note.slots) for note in worst.notes if note not in notes and _warns(note)]
    if given["density"]:
        values["heavier"], said = _heavier(given["density"])
        notes += said
    return Worked(values, (*notes, *_beside(given, fixed, banded), *_next(given)))


def _refuse(given: Given) -> None:
    """Raise CannotWork where nothing was tested, or where what belongs to a figure is missing."""
    if not any(given[box] for box in FIGURES):
        raise CannotWork("water", "nothing_tested")
    for beside, box in BESIDE.items():
        if given[beside] is not None and given[box] is None:
            raise CannotWork(box, "figure_missing")
    if given["flash"] and given["cup"] is None:
        raise CannotWork("cup", "flash_cup")
    if given["dissipation"] and given["dissipation_c"] is None:
        raise CannotWork("dissipation_c", "dissipation_where")


def _at(given: Given, fixed: Fixed, end: int, banded: bool) -> Mapping[str, Any]:
    """What `oil_condition` takes, with each figure at its best end (0) or its worst one (1)."""
    asked: dict[str, Any] = {"fluid": given["fluid"], "cup": given["cup"], "breakdown_fails": None}
    for box in (*BANDED, "flash", "halogens"):
        ends = span(given[box]) if given[box] and (banded or box not in BANDED) else (None, None)
        asked[box] = ends[1 - end if box in WORSE_LOW else end]
    asked["dissipation_at"] = _measured_at(given, fixed)
    if asked["dissipation_at"] is None:
        asked["dissipation"] = None
    return asked


def _measured_at(given: Given, fixed: Fixed) -> str | None:
    """The word of a temperature that some limit of the dissipation factor is for; None for any other."""
    if given["dissipation_c"] is None:
        return None
    word = f"c{given['dissipation_c'].normalize():f}"
    known = any(f"_{word}_" in name for name in fixed.versions if name.startswith("dissipation_meets"))
    return word if known else None


def _agreed(best: Value, worst: Value) -> Value:
    if best != worst:
        return OPEN
    return TRUTHS[worst] if isinstance(worst, bool) else worst


def _warns(note: Note) -> bool:
    return note.key in WARNINGS


def _heavier(density: Printed) -> tuple[str, tuple[Note, ...]]:
    """Whether it is heavier than water, and what is said of that."""
    low, high = span(density)
    if low > WATER:
        return TRUTHS[True], (Note("heavier"),)
    return (OPEN, (Note("open_heavier"),)) if high > WATER else (TRUTHS[False], ())


def _beside(given: Given, fixed: Fixed, banded: bool) -> Iterator[Note]:
    """What has to be said of how the figures were got."""
    if not banded and any(given[box] for box in BANDED):
        yield Note("cold" if given["cold"] == "yes" else "cold_unknown")
    elif given["dissipation"] and _measured_at(given, fixed) is None:
        yield Note("dissipation_elsewhere")
    if given["water"]:
        yield Note("water_not_paper")


def _next(given: Given) -> Iterator[Note]:
    """Which tests are missing, in their order: PCB first."""
    for test in NEXT:
        if not given["pcb_tested" if test == "pcb" else test]:
            yield Note(f"next_{test}")
    yield Note("next_metals")


WORK: dict[str, Work] = {"oil_tested": oil_tested}
