"""Named calculations held against libraries that others wrote: scipy, numpy, periodictable, Python's own statistics.

JCGM 106:2012 clause 7.4 gives the chance of conformity as a difference of normal integrals; a sample without a bad unit
is hypergeometric. The libraries know none of our rules: each is asked for the bare mathematics, and each check must
catch a planted error.
"""

import statistics
from decimal import Decimal
from math import sqrt

import numpy as np
import periodictable
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize, stats

from hazmat.core.sums.frame import Fixed
from tests.core.summing import SUMS, TODAY, number, worked

AT = "at_result"
"""The uncertainty is taken at the figure itself."""
CLOSE = 1e-9
"""Told to twelve places by us; libraries agree to more."""
FIGURES = st.decimals("0.5", "1500", places=1)


def near(ours: Decimal, theirs: float, within: float = CLOSE) -> bool:
    return abs(float(ours) - theirs) <= within * max(1.0, abs(theirs))


# ------------------------------------------------------------------ a result against a line


@given(value=FIGURES, u=st.decimals("0.1", "90", places=1), limit=FIGURES)
def test_the_chance_of_conformity_is_a_normal_integral(value: Decimal, u: Decimal, limit: Decimal) -> None:
    lower = limit / 2
    found = worked("conformity", value=str(value), u=str(u), lower=str(lower), upper=str(limit))
    theirs = stats.norm.cdf(float(limit), float(value), float(u)) - stats.norm.cdf(float(lower), float(value), float(u))
    assert near(number(found, "inside"), max(0.0, float(theirs)))
    assert near(number(found, "over"), float(stats.norm.sf(float(limit), float(value), float(u))))


def test_the_published_example_of_conformity() -> None:
    """JCGM 106:2012, clause 7.4: 13.6 with u 1.8 between 12.5 and 16.3 conforms with 0.66."""
    inside = number(worked("conformity", value="13.6", u="1.8", lower="12.5", upper="16.3"), "inside")
    assert abs(inside - Decimal("0.66")) < Decimal("0.005")
    assert near(inside, float(stats.norm.cdf(16.3, 13.6, 1.8) - stats.norm.cdf(12.5, 13.6, 1.8)))


@given(result=FIGURES, percent=st.decimals("1", "60", places=1), risk=st.sampled_from(["0.01", "0.05", "0.1"]))
def test_the_ceiling_is_where_the_risk_is_just_met(result: Decimal, percent: Decimal, risk: str) -> None:
    """The figure whose own uncertainty leaves just this risk above 50, found by a root finder."""
    found = worked(
        "decide",
        result=str(result),
        uncertainty=str(percent),
        kind="percent",
        k="2",
        limit="50",
        risk=risk,
        convention=AT,
    )
    share = float(percent) / 200
    assert near(number(found, "p_below"), float(stats.norm.cdf(50, float(result), share * float(result))))

    def above(figure: float) -> float:
        return float(stats.norm.sf(50, figure, share * figure)) - float(risk)

    assert near(number(found, "ceiling"), optimize.brentq(above, 1e-6, 50), 1e-7)


@given(st.lists(FIGURES, min_size=3, max_size=6), st.decimals("2", "40", places=1))
def test_several_results_are_held_against_each_other_by_chi_square(results: list[Decimal], percent: Decimal) -> None:
    found = worked(
        "replicates", results=[str(one) for one in results], u_percent=str(percent), laboratories="two"
    )  # fmt: skip
    x = np.array([float(one) for one in results])
    u = x * float(percent) / 100
    mean = np.average(x, weights=u**-2.0)
    square = float((((x - mean) / u) ** 2).sum())
    assert near(number(found, "mean"), float(mean), 1e-8)
    assert near(number(found, "chi_square"), square, 1e-7)
    assert near(number(found, "chance"), float(stats.chi2.sf(square, len(x) - 1)), 1e-8)
    assert near(number(found, "birge"), sqrt(square / (len(x) - 1)), 1e-7)


# ------------------------------------------------------------------ lots


@given(
    units=st.integers(5, 400), share=st.integers(1, 40), confidence=st.sampled_from(["0.8", "0.9", "0.95", "0.99"]),
    sense=st.sampled_from(["catch", "prove"]),
)  # fmt: skip
def test_the_sample_of_a_lot_is_the_least_that_the_hypergeometric_law_asks(
    units: int, share: int, confidence: str, sense: str
) -> None:
    bad = units * share // 100 + (sense == "prove")
    if not 0 < bad <= units:
        return
    found = worked("sample_size", units=str(units), share=str(share), confidence=confidence, sense=sense)
    n, risk = int(number(found, "n")), 1 - float(confidence)
    assert near(number(found, "chance"), float(stats.hypergeom.pmf(0, units, bad, n)), 1e-8)
    assert stats.hypergeom.pmf(0, units, bad, n) <= risk + 1e-12
    assert stats.hypergeom.pmf(0, units, bad, n - 1) > risk - 1e-12


# ------------------------------------------------------------------ chlorine


def figure(name: str) -> float:
    return float(Fixed(SUMS["chlorine"].figures, TODAY).number(name))


def of_chlorine(formula: str) -> float:
    """The share of chlorine in a formula, by the atomic weights of a library."""
    compound = periodictable.formula(formula)
    return float(compound.mass_fraction.get(periodictable.Cl, 0.0))


def test_other_chlorine_by_atomic_weights() -> None:
    assert abs(figure("chlorine_of_tcb") - of_chlorine("C6H3Cl3")) < 0.0005
    assert abs(figure("chlorine_of_salt") - of_chlorine("NaCl")) < 0.0005


@pytest.mark.parametrize(
    ("mixture", "least"),
    [
        ("1221", 1),
        ("1232", 2),
        ("1016", 2),
        ("1242", 3),
        ("1248", 3),
        ("1254", 4),
        ("1260", 6),
        ("1262", 6),
        ("1268", 8),
    ],
)
def test_each_mixture_lies_between_two_homologues(mixture: str, least: int) -> None:
    """The number of a mixture tells its chlorine: a share between biphenyls of so many chlorines and of one more."""
    shares = [of_chlorine(f"C12H{10 - n}Cl{n}") for n in range(1, 11)]
    assert shares[least - 1] <= figure(f"share_{mixture}") <= shares[least]


# ------------------------------------------------------------------ shots


@given(st.lists(st.decimals("5", "90", places=1), min_size=2, max_size=10))
def test_mean_and_spread_of_shots(shots: list[Decimal]) -> None:
    found = worked("breakdown", method="iec_60156", shots=" ".join(str(one) for one in shots))
    plain = [float(one) for one in shots]
    assert near(number(found, "mean"), statistics.fmean(plain))
    assert near(number(found, "sd"), float(np.std(plain, ddof=1)), 1e-8)
    assert near(number(found, "cv"), float(stats.variation(plain, ddof=1)), 1e-8)


@pytest.mark.parametrize(
    ("ours", "theirs"), [(Decimal("0.6627"), 0.66263), (Decimal("45"), 46), (Decimal("3.33"), 3.04)]
)
def test_a_planted_error_is_caught(ours: Decimal, theirs: float) -> None:
    """The third: the spread over n in the place of n - 1."""
    assert not near(ours, theirs)
