"""Samples: how many of a lot to test, and what a pool of several samples can show."""

from collections.abc import Callable
from decimal import Decimal, localcontext
from fractions import Fraction
from math import comb

from hazmat.core.measures import PER_CENT, figure_words
from hazmat.core.sums.certainty import Spread, normal_point, of_two_laboratories, told
from hazmat.core.sums.frame import CannotWork, Fixed, Given, Note, Value, Work, Worked

DIGITS = 60
"""Digits with which a power is taken for a lot without end. Source: our own choice, far more than any chance needs."""
FEWEST = 2
"""Samples that make a pool. Source: definition."""


def unseen(units: int, bad: int, tested: int, missed: Fraction) -> tuple[int, int]:
    """The chance that a test of so many units of a lot finds none of the bad ones, each of which it misses so often.

    Drawn at random and not put back; exact, as the two whole numbers of a fraction that is not reduced.
    """
    good, misses, of = units - bad, missed.numerator, missed.denominator
    first, last = max(0, tested - good), min(bad, tested) if misses else 0
    if first > last:
        return 0, 1
    ways, weight, total = comb(bad, first) * comb(good, tested - first), misses**first, 0
    for met in range(first, last + 1):
        total = total * of + ways * weight
        ways = ways * (bad - met) * (tested - met) // ((met + 1) * (good - tested + met + 1))
        weight *= misses
    return total, comb(units, tested) * of**last


def smallest(enough: Callable[[int], bool], most: int | None = None) -> int:
    """The smallest number from 1 that is enough, where every larger one is too; `most` is known to be enough."""
    high = 1
    while not enough(high):
        high = high * 2 if most is None else min(high * 2, most)
    low = high // 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high


def sample_size(given: Given, fixed: Fixed) -> Worked:
    """How many units of a lot to test so that, with none found bad, its bad share is spoken for.

    `share`: bad units in per cent; `sense`: to catch a lot with that many, or to prove that there are no more;
    `sensitivity`: the share of bad units that the test finds. No `units`: a lot without end.
    """
    doubt, missed = 1 - given["confidence"], 1 - given["sensitivity"]
    if given["units"] is None:
        return _without_end(given, doubt)
    units, sense = given["units"], given["sense"]
    counted = int(given["share"] * units / PER_CENT)
    bad = counted + 1 if sense == "prove" else max(1, counted)
    slots = {"bad": str(bad), "units": str(units)}
    notes = [Note(f"sense_{sense}", slots)]
    if not counted and sense == "catch":
        notes.append(Note("less_than_one", slots))
    misses = Fraction(missed)
    if misses**bad > Fraction(doubt):
        values: dict[str, Value] = {"possible": False, "bad": bad, "chance": told(float(misses**bad))}
        return Worked(values, (Note("even_all"), *notes))
    allowed, whole = Fraction(doubt).as_integer_ratio()

    def enough(tested: int) -> bool:
        ways, all_ways = unseen(units, bad, tested, misses)
        return ways * whole <= allowed * all_ways

    n = smallest(enough, units)
    ways, all_ways = unseen(units, bad, n, misses)
    return Worked({"possible": True, "n": n, "bad": bad, "chance": told(ways / all_ways)}, tuple(notes))


def _without_end(given: Given, doubt: Decimal) -> Worked:
    """For a lot so large that drawing from it changes nothing."""
    with localcontext() as context:
        context.prec = DIGITS
        passed = 1 - given["share"] / PER_CENT * given["sensitivity"]
        n = smallest(lambda tested: passed**tested <= doubt)
        chance = told(float(passed**n))
    return Worked({"possible": True, "n": n, "chance": chance}, (Note("without_end"),))


def pool(given: Given, fixed: Fixed) -> Worked:
    """What a pool of equal aliquots shows of each member, in mg/kg.

    `cut_off`: the pool has to lie under this; `most`: the largest pool whose cut-off the method can still measure.
    """
    members, limit, floor, result = given["aliquots"], given["limit"], given["floor"], given["result"]
    if result is not None and not result:
        raise CannotWork("result", "nought")
    if given["u_percent"] is None:
        spread, notes = of_two_laboratories(fixed), [Note("uncertainty_unsaid")]
    else:
        spread, notes = Spread(Decimal(0), given["u_percent"] / PER_CENT), []
    z = normal_point(given["risk"])
    cut_off, most = spread.ceiling(limit / members, z), int(limit // (floor + z * spread.at(floor)))
    values: dict[str, Value] = {"most": most}
    if cut_off > 0:
        values["cut_off"] = cut_off
    verdict = None
    if result is not None:
        one = members * (result + z * spread.at(result))
        values["one_could_hold"] = one
        verdict = "shows_below" if one < limit else "test_each"
        if result >= limit:
            notes.append(Note("one_is_over", {"limit": figure_words(limit)}))
    if members > most:
        verdict = "cannot_show"
        notes.append(Note("too_many", {"floor": figure_words(floor), "most": str(most)}))
    if most < FEWEST:
        notes.append(Note("no_pool"))
    if verdict is not None:
        values["verdict"] = verdict
        notes.insert(0, Note(f"pool_{verdict}"))
    return Worked(values, tuple(notes))


WORK: dict[str, Work] = {"sample_size": sample_size, "pool": pool}
