"""A laboratory's or a maker's figure: in mg/kg, in words, with its uncertainty, and the band that it comes to."""

from decimal import Decimal
from typing import NamedTuple

from hazmat.core.facts import Test, Uncertainty
from hazmat.core.findings import result_words
from hazmat.core.law import LawDay
from hazmat.core.measures import (
    COVERAGE,
    HALF_WIDTH_TO_SPREAD,
    MG_KG_IN_PER_CENT,
    PER_CENT,
    Measure,
    figure_words,
    rounded_words,
)  # fmt: skip

ONE = Decimal(1)


class Weighed(NamedTuple):
    """A result: as `reported`, and its `value` in mg/kg.

    `times` and `over` turn the reported unit into mg/kg: multiplied once, divided once. `lawful`: its basis is by
    weight, or the density was reported with it.
    """

    sign: str
    reported: Decimal
    value: Decimal
    times: Decimal = ONE
    over: Decimal = ONE
    lawful: bool = True


class Summed(NamedTuple):
    """A sum of single congeners, in the unit of the result, and what it is multiplied by to stand for all PCB."""

    value: Decimal
    factor: Decimal


def summed(test: Test, law: LawDay | None) -> Summed | None:
    """The sum of the congeners that the law counts, or None where it names no factor or one of them is missing.

    A laboratory's own factor counts where it is higher. A sum of seven without the single figures cannot be read.
    """
    factor = law.numbers.get("congener_factor") if law else None
    if factor is None or law is None or test.congener_sum == "total":
        return None
    times = max(factor, test.factor) if test.factor else factor
    if test.congeners:
        wanted = law.words["congeners_counted"].split()
        if set(wanted) <= test.congeners.keys():
            return Summed(sum((test.congeners[name] for name in wanted), Decimal(0)), times)
        return None
    return Summed(test.value, times) if test.congener_sum == "six" and test.value is not None else None


def weigh(test: Test, house: LawDay, document: bool = False, law: LawDay | None = None) -> Weighed | None:
    """The result in mg/kg, or None where nothing was found and no limit given (a bare nought counts as nothing found).

    A figure below its own reporting limit says no more than that limit.

    `document`: a maker's ppm is by weight. `law`: where given, a sum of congeners is multiplied as it says. A figure
    without a lawful basis is converted at the cautious density.
    """
    sign, value, unit, limit = test.sign, test.value, test.unit, test.reporting_limit
    sums = summed(test, law)
    times = ONE
    if sums is not None:
        value, times = Measure(sums.value), sums.factor
    if not value or (limit is not None and sign != ">" and value < limit):
        value, sign = limit, ">" if sign == ">" else "<"
    if not value or unit is None:
        return None
    if unit == "mg/kg" or (unit == "ppm" and (test.basis == "weight" or (document and test.basis is None))):
        return Weighed(sign, value, value * times, times)
    if unit == "%":
        times *= MG_KG_IN_PER_CENT
        return Weighed(sign, value, value * times, times)
    if test.density_kg_l and (unit == "mg/L" or test.basis == "volume"):
        return Weighed(sign, value, value * times / test.density_kg_l, times, test.density_kg_l)
    cautious = house.number("cautious_density")
    return Weighed(sign, value, value * times / cautious, times, cautious, False)


def stricter(test: Test, weighed: Weighed) -> Weighed:
    """The figure by which hands and a release go: the reported one, or the raw one where that reads higher.

    The class goes by what was reported; below a reporting limit a raw figure says nothing.
    """
    if test.raw is None or weighed.sign == ">" or test.raw <= weighed.reported:
        return weighed
    value = test.raw * weighed.times / weighed.over
    return weighed._replace(sign="=", reported=test.raw, value=value)


def as_words(test: Test, weighed: Weighed) -> str:
    """The result as reported and as mg/kg, and the raw figure where a report gives that too."""
    raw = f" (raw {figure_words(test.raw)} {test.unit})" if test.raw is not None else ""
    return f"{_reported_words(test, weighed)}{raw}"


def _reported_words(test: Test, weighed: Weighed) -> str:
    """The result as reported, with its uncertainty, and as mg/kg where a density turned it into that."""
    words = result_words(weighed.sign, weighed.reported, test.unit or "")
    given = test.uncertainty
    if given and given.value and weighed.sign == "=":
        size = f"{figure_words(given.value)} %" if given.kind == "percent" else figure_words(given.value)
        words = (
            f"{figure_words(weighed.reported)} ± {size} {test.unit}" if given.kind != "percent" else f"{words} ± {size}"
        )
    multiplied = weighed.times not in (ONE, MG_KG_IN_PER_CENT) and test.unit != "%"
    if multiplied:
        words = f"{words} (congeners) × {figure_words(weighed.times)}"
    if (weighed.over == ONE and not multiplied) or not weighed.lawful:
        return words
    if weighed.over == ONE:
        return f"{words}, which is {rounded_words(weighed.value)} mg/kg"
    return f"{words} at {figure_words(weighed.over)} kg/L, which is {rounded_words(weighed.value)} mg/kg"


def _half_width(given: Uncertainty, reported: Decimal) -> Decimal:
    """Expanded uncertainty in the reported unit, at k = 2 or as reported, whichever is wider; k missing reads as 2."""
    wide = reported * given.value / PER_CENT if given.kind == "percent" else given.value
    return wide * COVERAGE / given.k if given.k and given.k < COVERAGE else wide


class Reach(NamedTuple):
    """A figure with its expanded uncertainty at k = 2 on either side, in mg/kg; `by_lab`: as the laboratory says."""

    low: Decimal
    value: Decimal
    high: Decimal
    by_lab: bool


def reach(test: Test, weighed: Weighed, house: LawDay, times: Decimal = ONE) -> Reach:
    """The figure with `times` its expanded uncertainty on either side.

    None reported, or nought, which no measurement has: the spread of two laboratories (IEC 61619:1997, clause 14) over
    2.77, at k = 2.
    """
    if test.uncertainty and test.uncertainty.value:
        wide, by_lab = _half_width(test.uncertainty, weighed.reported) * weighed.times / weighed.over, True
    else:
        spread = house.number("spread_constant") + house.number("spread_share") * weighed.value
        wide, by_lab = COVERAGE * spread / HALF_WIDTH_TO_SPREAD, False
    return Reach(max(weighed.value - times * wide, Decimal(0)), weighed.value, weighed.value + times * wide, by_lab)


def band_of_figure(test: Test, weighed: Weighed, house: LawDay) -> tuple[str, str, dict[str, str]]:
    """The band of a laboratory figure, raw or reported, the sentence that explains it, and its words."""
    reported, weighed = weighed, stricter(test, weighed)
    if weighed.sign == ">":
        return house.book.top, "band_over_limit", {}
    if weighed.sign == "<":
        return house.class_of(weighed.value, "<"), "band_below_limit", {"limit": figure_words(weighed.value)}
    found = reach(test, weighed, house)
    key = "band_by_lab" if found.by_lab else "band_by_spread"
    if weighed is not reported:
        key = "band_by_raw" if found.by_lab else "band_by_raw_spread"
    return house.class_of(found.high, "="), key, {"upper": rounded_words(found.high)}
