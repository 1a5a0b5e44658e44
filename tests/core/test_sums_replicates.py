"""Results of one sample: the highest counts, the mean only compares, and what agrees is what the standard allows."""

import statistics
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.sums import certainty
from hazmat.core.sums.certainty import chi_square_above
from hazmat.edge.shapes import Slip
from hazmat.edge.sums import held
from tests.core.summing import SUMS, TODAY, keys, number, worked

TINY = Decimal("1E-20")


lists = st.lists(st.decimals("1", "2000", places=1), min_size=3, max_size=9)


@given(lists, st.sampled_from(["same", "two"]), st.one_of(st.none(), st.decimals("0.5", "40", places=1)))
def test_the_highest_counts_and_never_a_mean(many: list[Decimal], laboratories: str, u: Decimal | None) -> None:
    asked = {"results": [str(one) for one in many], "laboratories": laboratories}
    found = worked("replicates", **asked, **({"u_percent": u} if u else {}))
    assert found.values["counts"] == max(many)
    assert min(many) - TINY <= number(found, "mean") <= max(many) + TINY
    assert 0 <= number(found, "chance") <= 1
    assert ("spread_by_rule" in keys(found)) == (u is None)
    assert (found.values["agreement"] == "suspect") == ("suspect_again" in keys(found))
    assert abs(number(found, "birge") ** 2 * (len(many) - 1) - number(found, "chi_square")) < Decimal("1E-15")


@given(lists, st.decimals("0.5", "40", places=1))
def test_weighted_mean_and_chi_square_in_exact_fractions(many: list[Decimal], u: Decimal) -> None:
    found = worked("replicates", results=[str(one) for one in many], laboratories="same", u_percent=u)
    exact = [(Fraction(one), 1 / (Fraction(one) * Fraction(u) / 100) ** 2) for one in many]
    mean = sum(w * one for one, w in exact) / sum(w for _, w in exact)
    square = sum(w * (one - mean) ** 2 for one, w in exact)
    assert float(number(found, "mean")) == pytest.approx(float(mean), rel=1e-12)
    assert float(number(found, "chi_square")) == pytest.approx(float(square), rel=1e-12, abs=1e-12)


@given(st.decimals("1", "400", places=1), st.decimals("1", "400", places=1))
def test_two_agree_either_way_round_and_two_laboratories_may_differ_more(one: Decimal, other: Decimal) -> None:
    found = {
        (laboratories, order): worked("replicates", results=[str(x) for x in order], laboratories=laboratories)
        for laboratories in ("same", "two")
        for order in ((one, other), (other, one))
    }
    assert found["same", (one, other)].values == found["same", (other, one)].values
    assert number(found["two", (one, other)], "allowed") > number(found["same", (one, other)], "allowed")
    if found["two", (one, other)].values["agreement"] == "suspect":
        assert found["same", (one, other)].values["agreement"] == "suspect"


@pytest.mark.parametrize(
    ("pair", "laboratories", "agreement"),
    [
        (("95", "105"), "same", "accepted"),
        (("93.95", "106.05"), "same", "suspect"),
        (("94", "106"), "same", "accepted"),
        (("86.5", "113.5"), "two", "accepted"),
        (("86.45", "113.55"), "two", "suspect"),
    ],
)
def test_both_sides_of_the_allowed_difference(pair: tuple[str, str], laboratories: str, agreement: str) -> None:
    """About a mean of 100: 2 + 10 in one laboratory, 2 + 25 between two."""
    assert worked("replicates", results=list(pair), laboratories=laboratories).values["agreement"] == agreement


PERCENT_POINTS = {1: (3.8415, 6.6349), 2: (5.9915, 9.2103), 3: (7.8147, 11.3449), 4: (9.4877, 13.2767),
                  5: (11.0705, 15.0863), 9: (16.9190, 21.6660), 10: (18.3070, 23.2093)}  # fmt: skip
"""Chi-square exceeded by 5 % and by 1 %. Source: any printed table of chi-square."""


@pytest.mark.parametrize("freedom", PERCENT_POINTS)
def test_chi_square_against_printed_tables(freedom: int) -> None:
    for value, chance in zip(PERCENT_POINTS[freedom], (0.05, 0.01), strict=True):
        assert chi_square_above(value, freedom) == pytest.approx(chance, abs=5e-6)


@given(st.floats(0.001, 200), st.integers(1, 60))
def test_chi_square_falls_with_the_value_and_rises_with_freedom(value: float, freedom: int) -> None:
    here = chi_square_above(value, freedom)
    assert 0 <= chi_square_above(value * 1.1, freedom) <= here + 1e-12
    assert here <= chi_square_above(value, freedom + 2) + 1e-12
    assert chi_square_above(value, freedom + 2) <= 1


def test_equal_results_agree_wholly() -> None:
    found = worked("replicates", results=["40"] * 5, laboratories="two")
    assert (found.values["agreement"], found.values["chance"], found.values["chi_square"]) == ("accepted", 1, 0)


@pytest.mark.parametrize(("third", "agreement"), [("55.17", "accepted"), ("55.18", "suspect")])
def test_both_sides_of_what_is_rare(third: str, agreement: str) -> None:
    """40, 40 and y at 10 %: 0.125 × w / (0.125 + w) × (y − 40)², w = 100 / y², passes 5.9915 at 55.177."""
    asked = {"laboratories": "same", "u_percent": "10"}
    assert worked("replicates", results=["40", "40", third], **asked).values["agreement"] == agreement


@pytest.mark.parametrize(("asked", "says"), [(["48"], "one result alone"), (["48", "0"], "0 is no result")])
def test_replicates_refuses(asked: list[str], says: str) -> None:
    with pytest.raises(Slip, match=says):
        worked("replicates", results=asked, laboratories="same")


def test_a_plain_mean_in_place_of_the_weighted_one_would_be_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    right = certainty._several
    monkeypatch.setattr(
        certainty, "_several",
        lambda many, spread, chance: right(many, spread, chance)._replace(mean=statistics.mean(many)),
    )  # fmt: skip
    asked = SUMS["replicates"]
    missed = [check.name for check in asked.checks if not held(asked, check, TODAY).met]
    assert missed == ["40, 62, 55 at 7.5 %: the mean hides a 62"]
