"""Results: a low one may be held back, a high one is never lowered, what was not said is never taken lightly."""

from decimal import Decimal
from itertools import pairwise
from statistics import NormalDist

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from hazmat.core.sums import certainty
from hazmat.edge.shapes import Slip
from hazmat.edge.sums import held
from tests.core.summing import SUMS, TODAY, keys, number, worked

FIFTEEN = {"uncertainty": "15", "kind": "percent", "k": "2"}

TINY = Decimal("1E-20")

results = st.decimals("0.1", "900", places=2)
widths = st.decimals("0.5", "60", places=1)
limits = st.decimals("3", "500", places=1)
risks = st.decimals("0.001", "0.5", places=3)
conventions = st.sampled_from(["at_limit", "at_result"])
comparators = st.sampled_from(["at_or_above", "above"])


# --------------------------------------------------------------------------------------------------------- decide


@given(results, limits, widths, risks, conventions, comparators, st.booleans())
def test_one_way_only(
    result: Decimal, limit: Decimal, width: Decimal, risk: Decimal, convention: str, comparator: str, told: bool
) -> None:
    """What meets the law's line is over it, whatever the uncertainty; what is called below keeps to the risk."""
    reported = {"uncertainty": width, "kind": "percent", "k": "2"} if told else {}
    found = worked(
        "decide", result=result, limit=limit, risk=risk, convention=convention, comparator=comparator, **reported
    )
    over = result >= limit if comparator == "at_or_above" else result > limit
    assert (found.values["verdict"] == "at_or_over") == over
    if found.values["verdict"] == "below":
        assert result < limit
        assert number(found, "p_below") >= 1 - risk - Decimal("1E-11")
        assert result <= number(found, "ceiling")
    if found.values["verdict"] == "not_cleared":
        assert number(found, "p_below") <= 1 - risk + Decimal("1E-11")


@given(results, results, limits, widths, conventions)
def test_a_higher_result_is_never_judged_more_lightly(
    one: Decimal, other: Decimal, limit: Decimal, width: Decimal, convention: str
) -> None:
    order = ("below", "not_cleared", "at_or_over")
    low, high = (
        worked("decide", result=one, limit=limit, uncertainty=width, kind="percent", k="2", convention=convention)
        for one in sorted((one, other))
    )
    assert order.index(str(low.values["verdict"])) <= order.index(str(high.values["verdict"]))
    assert number(low, "p_below") >= number(high, "p_below")


@given(limits, widths, risks, conventions)
def test_at_the_ceiling_the_risk_is_just_met(limit: Decimal, width: Decimal, risk: Decimal, convention: str) -> None:
    """The ceiling put back in as a result, held against the normal distribution of the standard library."""
    asked = {"uncertainty": width, "kind": "percent", "k": Decimal(2), "limit": limit, "risk": risk, "raw": None}
    asked |= {"convention": convention, "comparator": "at_or_above"}
    first = SUMS["decide"].worked({**asked, "result": limit}, TODAY)
    assume("ceiling" in first.values)
    found = SUMS["decide"].worked({**asked, "result": number(first, "ceiling")}, TODAY)
    assert abs(number(found, "p_below") - (1 - risk)) < Decimal("1E-9")
    z = NormalDist().inv_cdf(float(1 - risk))
    away = float(limit - number(first, "ceiling"))
    assert away == pytest.approx(z * float(number(found, "u")), abs=1e-9)


@given(results, limits, widths)
def test_the_limit_is_the_stricter_place_for_the_uncertainty_of_what_is_under_it(
    result: Decimal, limit: Decimal, width: Decimal
) -> None:
    both = [
        worked("decide", result=result, limit=limit, uncertainty=width, kind="percent", k="2", convention=one)
        for one in ("at_limit", "at_result")
    ]
    if all("ceiling" in one.values for one in both):
        assert number(both[0], "ceiling") <= number(both[1], "ceiling")
    assert worked("decide", result=result, limit=limit, uncertainty=width, kind="percent", k="2") == both[0]


@pytest.mark.parametrize(
    ("result", "verdict"),
    [
        ("40", "below"), ("43.8", "below"), ("43.9", "not_cleared"), ("46", "not_cleared"), ("49.999", "not_cleared"),
        ("50", "at_or_over"), ("56.1", "at_or_over"), ("57", "at_or_over"),
    ],
)  # fmt: skip
def test_both_sides_of_ceiling_and_limit(result: str, verdict: str) -> None:
    """Ceiling 43.83, worked by hand; the law's line lies at 50 and not at 50 and a guard band."""
    found = worked("decide", result=result, convention="at_limit", **FIFTEEN)
    assert found.values["verdict"] == verdict
    assert f"verdict_{verdict}" in keys(found)


def test_a_law_that_begins_above_its_limit_is_not_met_at_it_and_it_is_not_below_either() -> None:
    for risk in ("0.05", "0.5"):
        found = worked("decide", result="50", comparator="above", risk=risk, **FIFTEEN)
        assert found.values["verdict"] == "not_cleared"
    assert worked("decide", result="50.001", comparator="above", **FIFTEEN).values["verdict"] == "at_or_over"


@pytest.mark.parametrize(
    ("percent", "at_limit", "at_result"),
    [
        ("10", "45.9", "46.2"), ("15", "43.8", "44.5"), ("20", "41.8", "42.9"), ("25", "39.7", "41.5"),
        ("30", "37.7", "40.1"),
    ],
)  # fmt: skip
def test_ceilings_worked_by_hand(percent: str, at_limit: str, at_result: str) -> None:
    for convention, want in (("at_limit", at_limit), ("at_result", at_result)):
        found = worked("decide", result="46", uncertainty=percent, kind="percent", k="2", convention=convention)
        assert abs(number(found, "ceiling") - Decimal(want)) <= Decimal("0.05")


def test_the_raw_figure_counts_where_it_is_higher_and_only_there() -> None:
    rounded_down = worked("decide", result="49", raw="50.2", **FIFTEEN)
    assert (rounded_down.values["verdict"], rounded_down.values["counted"]) == ("at_or_over", Decimal("50.2"))
    assert "raw_counts" in keys(rounded_down)
    rounded_up = worked("decide", result="50", raw="49.6", **FIFTEEN)
    assert (rounded_up.values["verdict"], rounded_up.values["counted"]) == ("at_or_over", Decimal(50))
    assert "raw_counts" not in keys(rounded_up)


def test_a_missing_uncertainty_is_never_none() -> None:
    """At the result: (50 − 1.644854 × 2 / 2.77) / (1 + 1.644854 × 0.25 / 2.77) = 42.503."""
    at_result = worked("decide", result="42.6", convention="at_result")
    assert "uncertainty_unsaid" in keys(at_result)
    assert at_result.values["verdict"] == "not_cleared"
    assert abs(number(at_result, "ceiling") - Decimal("42.503")) < Decimal("0.001")
    assert worked("decide", result="42.5", convention="at_result").values["verdict"] == "below"
    assert worked("decide", result="41.38", convention="at_limit").values["verdict"] == "below"
    assert worked("decide", result="41.39", convention="at_limit").values["verdict"] == "not_cleared"


def test_a_missing_k_is_two_and_told() -> None:
    told, untold = (worked("decide", result="46", uncertainty="6", kind="absolute", **k) for k in ({"k": "2"}, {}))
    assert told.values == untold.values
    assert [key for key in keys(untold) if key not in keys(told)] == ["k_unsaid"]


@given(results, widths, st.decimals("1", "4", places=2))
def test_the_same_uncertainty_at_another_k(result: Decimal, width: Decimal, k: Decimal) -> None:
    found = worked("decide", result=result, uncertainty=width, kind="absolute", k=k)
    assert abs(number(found, "u") * k - width) < TINY


def test_where_nothing_could_be_called_below_that_is_said() -> None:
    """z × U / k = 1.644854 × 1.22 / 2 > 1."""
    found = worked("decide", result="5", uncertainty="122", kind="percent", k="2", convention="at_limit")
    assert (found.values["verdict"], "ceiling" in found.values) == ("not_cleared", False)
    assert "no_ceiling" in keys(found)
    just = worked("decide", result="5", uncertainty="121", kind="percent", k="2", convention="at_limit")
    assert 0 < number(just, "ceiling") < 5


@pytest.mark.parametrize(("limit", "said"), [("2", True), ("2.1", False)])
def test_a_limit_at_the_floor_of_the_method_is_told(limit: str, said: bool) -> None:
    assert ("limit_at_floor_said" in keys(worked("decide", result="1", limit=limit))) == said


@pytest.mark.parametrize(
    ("asked", "box"),
    [
        ({"result": "0"}, "result"),
        ({"result": "46", "uncertainty": "0", "kind": "percent"}, "uncertainty"),
        ({"result": "46", "uncertainty": "15"}, "kind"),
        ({"result": "46", "risk": "0"}, "risk"),
        ({"result": "46", "risk": "0.501"}, "risk"),
        ({"result": "46", "k": "0.9"}, "k"),
        ({"result": "1000001"}, "result"),
    ],
)
def test_decide_refuses(asked: dict[str, str], box: str) -> None:
    with pytest.raises(Slip) as caught:
        worked("decide", **asked)
    assert caught.value.path == box


# ----------------------------------------------------------------------------------------------------- conformity

signed = st.decimals("-500", "500", places=2)


@given(signed, st.decimals("0.1", "50", places=1), signed, signed)
def test_the_three_chances_make_one_and_are_the_normal_distribution(
    value: Decimal, u: Decimal, one: Decimal, other: Decimal
) -> None:
    assume(one != other)
    lower, upper = sorted((one, other))
    found = worked("conformity", value=value, u=u, lower=lower, upper=upper)
    parts = [number(found, line) for line in ("inside", "under", "over")]
    assert all(0 <= part <= 1 for part in parts)
    assert abs(sum(parts) - 1) < Decimal("1E-11")
    curve = NormalDist(float(value), float(u))
    assert float(parts[0]) == pytest.approx(curve.cdf(float(upper)) - curve.cdf(float(lower)), abs=1e-11)


@pytest.mark.parametrize(
    ("asked", "box"),
    [
        ({"value": "1", "u": "1"}, "upper"),
        ({"value": "1", "u": "0", "upper": "2"}, "u"),
        ({"value": "1", "u": "1", "lower": "2", "upper": "2"}, "upper"),
    ],
)
def test_conformity_refuses(asked: dict[str, str], box: str) -> None:
    with pytest.raises(Slip) as caught:
        worked("conformity", **asked)
    assert caught.value.path == box


# ----------------------------------------------------------------------------------------------------- borderline


@pytest.mark.parametrize(
    ("result", "near"),
    [("42.572", "not_borderline"), ("42.573", "borderline"), ("49.999", "borderline"), ("50", "at_or_over")],
)
def test_both_sides_of_borderline(result: str, near: str) -> None:
    """(50 − 0.5875 × 2) / (1 + 0.5875 × 0.25) = 42.5721."""
    assert worked("borderline", result=result).values["near"] == near


@pytest.mark.parametrize("limit", ["2", "1.9", "0"])
def test_nothing_is_borderline_to_a_limit_at_the_floor(limit: str) -> None:
    with pytest.raises(Slip, match="reliable only above 2"):
        worked("borderline", result="1", limit=limit)


@given(results, limits)
def test_what_decide_holds_back_without_an_uncertainty_takes_in_what_is_borderline(
    result: Decimal, limit: Decimal
) -> None:
    """Both rest on the spread of two laboratories: 0.5875 × 2.77 is a little less than 1.645."""
    if worked("borderline", result=result, limit=limit).values["near"] == "borderline":
        found = worked("decide", result=result, limit=limit, convention="at_result")
        assert found.values["verdict"] == "not_cleared"


# ------------------------------------------------------------------------------------------------------------ ppm

units = st.sampled_from(["mg_kg", "ppm_weight", "mg_l", "ppm_volume", "ppm", "percent"])


@given(st.decimals("0.01", "90", places=2), units, st.one_of(st.none(), st.decimals("0.5", "2", places=2)))
def test_no_reading_is_lower_than_the_careful_one_allows(value: Decimal, unit: str, density: Decimal | None) -> None:
    found = worked("ppm", value=value, unit=unit, **({"density": density} if density else {}))
    mg_kg = number(found, "mg_kg")
    if unit in ("mg_kg", "ppm_weight"):
        assert mg_kg == value
    elif unit == "percent":
        assert mg_kg == value * 10_000
    elif unit == "ppm":
        assert mg_kg >= value
        assert found.values["standing"] == "cautious"
        assert mg_kg >= number(worked("ppm", value=value, unit="mg_l", density=density or Decimal(1)), "mg_kg")
    else:
        used = density or Decimal("0.8")
        assert abs(mg_kg * used - value) < Decimal("1E-20")
        assert found.values["standing"] == ("by_density" if density else "cautious")
    assert ("density_unsaid" in keys(found)) == (density is None and unit in ("mg_l", "ppm_volume", "ppm"))


def test_pure_pcb_is_the_most_and_nought_is_no_result() -> None:
    assert worked("ppm", value="100", unit="percent").values["mg_kg"] == 1_000_000
    for value, unit in (("100.001", "percent"), ("800001", "mg_l"), ("0", "mg_kg")):
        with pytest.raises(Slip) as caught:
            worked("ppm", value=value, unit=unit)
        assert caught.value.path == "value"


# -------------------------------------------------------------------------------------------------- planted errors


def missed(name: str) -> list[str]:
    return [check.name for check in SUMS[name].checks if not held(SUMS[name], check, TODAY).met]


def test_an_uncertainty_not_divided_by_k_would_be_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    right = certainty.spread_given
    monkeypatch.setattr(certainty, "spread_given", lambda given, fixed: right({**given, "k": Decimal(1)}, fixed))
    assert missed("decide")


def test_the_wrong_tail_would_be_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    right = certainty.below
    monkeypatch.setattr(certainty, "below", lambda z: right(-z))
    assert missed("decide")
    assert missed("conformity")


def test_ceilings_fall_as_uncertainty_grows() -> None:
    ceilings = [
        number(worked("decide", result="46", uncertainty=str(wide), kind="percent", k="2"), "ceiling")
        for wide in range(5, 60, 5)
    ]
    assert all(one > other for one, other in pairwise(ceilings))
