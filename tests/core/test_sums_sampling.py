"""Samples: as many as it takes and not one more, and a pool that never shows more than its worst member allows."""

from decimal import Decimal
from fractions import Fraction
from itertools import combinations
from math import ceil, log
from statistics import NormalDist
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hazmat.core.sums import sampling
from hazmat.core.sums.sampling import smallest, unseen
from hazmat.edge.shapes import Slip
from hazmat.edge.sums import held
from tests.core.summing import SUMS, TODAY, keys, number, worked

sizes = st.integers(1, 400)
senses = st.sampled_from(["catch", "prove"])
finds = st.decimals("0.3", "1", places=2)


# ----------------------------------------------------------------------------------------------------- sample_size


@given(st.integers(1, 9), st.data())
def test_the_chance_is_what_counting_every_draw_gives(units: int, data: st.DataObject) -> None:
    """Every way of drawing written out, each bad unit missed on its own."""
    bad = data.draw(st.integers(0, units))
    tested = data.draw(st.integers(1, units))
    missed = data.draw(st.sampled_from([Fraction(0), Fraction(1, 10), Fraction(2, 3), Fraction(1)]))
    draws = list(combinations(range(units), tested))
    want = sum((missed ** sum(one < bad for one in draw) for draw in draws), Fraction(0)) / len(draws)
    assert Fraction(*unseen(units, bad, tested, missed)) == want


@pytest.mark.parametrize(
    ("units", "catch", "prove"),
    [
        (25, 24, 19), (50, 39, 31), (100, 45, 39), (200, 51, 47), (300, 54, None), (500, 56, 54), (1000, 57, 56),
    ],
)  # fmt: skip
def test_numbers_of_two_unrelated_programs(units: int, catch: int, prove: int | None) -> None:
    for sense, want in (("catch", catch), ("prove", prove)):
        if want is not None:
            assert worked("sample_size", units=units, sense=sense).values["n"] == want


@pytest.mark.parametrize(("share", "want"), [("1", 299), ("5", 59), ("10", 29)])
def test_a_lot_without_end(share: str, want: int) -> None:
    """ln 0.05 / ln(1 − share), worked by hand."""
    found = worked("sample_size", share=share, sense="catch")
    assert found.values["n"] == want
    assert "without_end" in keys(found)
    assert "bad" not in found.values


def test_a_lot_without_end_meets_its_doubt_exactly() -> None:
    """One half twice is a quarter, and no third unit is asked for."""
    assert worked("sample_size", share="50", confidence="0.75", sense="catch").values["n"] == 2
    assert worked("sample_size", share="50", confidence="0.751", sense="catch").values["n"] == 3


@given(st.decimals("0.5", "60", places=1), st.decimals("0.5", "0.999", places=3), finds)
def test_a_lot_without_end_by_logarithms(share: Decimal, confidence: Decimal, sensitivity: Decimal) -> None:
    found = worked("sample_size", share=share, confidence=confidence, sensitivity=sensitivity, sense="prove")
    exact = log(1 - float(confidence)) / log(1 - float(share) / 100 * float(sensitivity))
    assume(abs(exact - round(exact)) > 1e-9)
    assert found.values["n"] == ceil(exact)


@settings(max_examples=60)
@given(sizes, senses, st.decimals("0.5", "0.99", places=2), finds, st.decimals("1", "40", places=0))
def test_it_is_enough_and_one_fewer_is_not(
    units: int, sense: str, confidence: Decimal, sensitivity: Decimal, share: Decimal
) -> None:
    found = worked("sample_size", units=units, sense=sense, confidence=confidence, sensitivity=sensitivity, share=share)
    bad, missed = int(number(found, "bad")), Fraction(1 - sensitivity)
    doubt = Fraction(1 - confidence)
    if not found.values["possible"]:
        assert "n" not in found.values
        assert missed**bad > doubt
        return
    n = int(number(found, "n"))
    assert 1 <= n <= units
    assert Fraction(*unseen(units, bad, n, missed)) <= doubt
    assert n == 1 or Fraction(*unseen(units, bad, n - 1, missed)) > doubt
    assert abs(float(number(found, "chance")) - float(Fraction(*unseen(units, bad, n, missed)))) < 1e-11


@settings(max_examples=60)
@given(sizes, st.decimals("1", "40", places=0))
def test_to_prove_takes_no_more_than_to_catch_and_they_speak_of_one_unit_apart(units: int, share: Decimal) -> None:
    catch, prove = (worked("sample_size", units=units, share=share, sense=sense) for sense in ("catch", "prove"))
    counted = int(share * units / 100)
    assert (number(catch, "bad"), number(prove, "bad")) == (max(1, counted), counted + 1)
    assert number(prove, "n") <= number(catch, "n")
    assert ("less_than_one" in keys(catch)) == (counted == 0)


@settings(max_examples=60)
@given(sizes, finds, finds, senses)
def test_a_better_test_never_needs_more(units: int, one: Decimal, other: Decimal, sense: str) -> None:
    poor, good = (
        worked("sample_size", units=units, sensitivity=each, sense=sense).values for each in sorted((one, other))
    )
    if poor["possible"]:
        assert isinstance(poor["n"], int)
        assert isinstance(good["n"], int)
        assert good["n"] <= poor["n"]


@pytest.mark.parametrize(("sensitivity", "n"), [("1", 45), ("0.9", 50), ("0.7", 64), ("0.451", 100), ("0.45", None)])
def test_both_sides_of_impossible(sensitivity: str, n: int | None) -> None:
    """The fifth root of 0.05 is 0.5493: a test that finds 0.4507 can just do it by testing all."""
    found = worked("sample_size", units=100, sensitivity=sensitivity, sense="catch")
    assert (found.values["possible"], found.values.get("n")) == (n is not None, n)
    assert ("even_all" in keys(found)) == (n is None)


@pytest.mark.parametrize(("units", "bad"), [(19, 1), (20, 1), (39, 1), (40, 2), (59, 2), (60, 3)])
def test_the_share_of_a_lot_is_cut_and_not_rounded(units: int, bad: int) -> None:
    assert worked("sample_size", units=units, sense="catch").values["bad"] == bad
    counted = 0 if units == 19 else bad
    assert worked("sample_size", units=units, sense="prove").values["bad"] == counted + 1


def test_a_published_number_that_is_always_enough_is_never_gone_over() -> None:
    """Rivest 2006: n of at least N(1 − e^(−3 / D)) is enough for 95 %; 45.1 for 100 and 5, and ours is 45."""
    for units in (50, 100, 200, 500, 1000):
        n = number(worked("sample_size", units=units, sense="catch"), "n")
        assert n <= ceil(units * (1 - 2.718281828459045 ** (-3 / (units * 5 // 100))))


@given(st.integers(1, 3000), st.integers(0, 3000))
def test_the_smallest_is_found(wanted: int, more: int) -> None:
    assert smallest(lambda one: one >= wanted) == wanted
    assert smallest(lambda one: one >= wanted, wanted + more) == wanted


def test_every_answer_says_that_it_clears_no_unit() -> None:
    said = [says for says, _ in SUMS["sample_size"].said(worked("sample_size", units=100, sense="prove"))]
    assert any("clears none" in says for says in said)
    assert any("fewer than 6 of the 100" in says for says in said)


@pytest.mark.parametrize(
    ("asked", "box"),
    [
        ({"units": 0}, "units"), ({"units": 10001}, "units"), ({"share": "0.05"}, "share"), ({"share": "100"}, "share"),
        ({"confidence": "95"}, "confidence"), ({"sensitivity": "0.09"}, "sensitivity"),
    ],
)  # fmt: skip
def test_sample_size_refuses(asked: dict[str, Any], box: str) -> None:
    with pytest.raises(Slip) as caught:
        worked("sample_size", **{"units": 100, "sense": "catch", **asked})
    assert caught.value.path == box


# ------------------------------------------------------------------------------------------------------------ pool

pools = st.integers(2, 60)
poor = st.one_of(st.none(), st.decimals("0.5", "60", places=1))
floors = st.decimals("0.5", "10", places=1)
figures = st.decimals("0.1", "90", places=1)


def measured(u: Decimal | None) -> dict[str, Decimal]:
    return {} if u is None else {"u_percent": u}


@given(st.lists(st.decimals("0", "120", places=1), min_size=2, max_size=40))
def test_no_member_holds_more_than_the_pool_times_its_members(members: list[Decimal]) -> None:
    """Of a pool without error: the worst member is never over what the answer allows."""
    result = sum(members, Decimal(0)) / len(members)
    assume(result > 0)
    asked = {"aliquots": len(members), "result": result, "u_percent": Decimal("0.5"), "risk": Decimal("0.05")}
    found = SUMS["pool"].worked({**asked, "limit": Decimal(50), "floor": Decimal("0.1")}, TODAY)
    assert max(members) <= number(found, "one_could_hold")
    if found.values["verdict"] == "shows_below":
        assert max(members) < 50
    if max(members) >= 50:
        assert found.values["verdict"] != "shows_below"


@given(pools, figures, poor, floors)
def test_cut_off_verdict_and_largest_pool_say_the_same(
    k: int, result: Decimal, u: Decimal | None, floor: Decimal
) -> None:
    found = worked("pool", aliquots=k, result=result, floor=floor, **measured(u))
    cut_off = found.values.get("cut_off")
    fits = k <= number(found, "most")
    assert fits == (isinstance(cut_off, Decimal) and cut_off >= floor)
    assert (found.values["verdict"] == "cannot_show") == (not fits)
    if fits:
        assert isinstance(cut_off, Decimal)
        assert (found.values["verdict"] == "shows_below") == (result < cut_off)
        assert (found.values["verdict"] == "shows_below") == (number(found, "one_could_hold") < 50)
    assert ("too_many" in keys(found)) == (not fits)
    assert ("one_is_over" in keys(found)) == (result >= 50)
    assert ("uncertainty_unsaid" in keys(found)) == (u is None)


@given(pools, poor)
def test_larger_pools_and_worse_methods_have_lower_cut_offs(k: int, u: Decimal | None) -> None:
    one, larger = (worked("pool", aliquots=each, **measured(u)) for each in (k, k + 1))
    assert one.values["most"] == larger.values["most"]
    if "cut_off" in larger.values:
        assert number(larger, "cut_off") < number(one, "cut_off")
    if u is not None:
        worse = worked("pool", aliquots=k, u_percent=u + 1)
        assert number(worse, "cut_off") < number(one, "cut_off")
        assert number(worse, "most") <= number(one, "most")


@pytest.mark.parametrize(("k", "result", "verdict"), [
    (2, "21.31", "shows_below"), (2, "21.32", "test_each"), (5, "8.52", "shows_below"), (5, "8.53", "test_each"),
    (21, "2.03", "shows_below"), (21, "2.04", "test_each"), (22, "0.1", "cannot_show"), (22, "60", "cannot_show"),
])  # fmt: skip
def test_both_sides_of_the_cut_off_and_of_the_largest_pool(k: int, result: str, verdict: str) -> None:
    """50 / (k × 1.1727097): 21.3182, 8.5273, 2.0303 and for 22 under the floor of 2."""
    assert worked("pool", aliquots=k, result=result, u_percent="10.5").values["verdict"] == verdict


def test_without_an_uncertainty_the_pool_is_smaller_still() -> None:
    """50 / (2 + 1.644854 × 2.5 / 2.77) = 14.35: the spread of two laboratories is wide at 2 mg/kg."""
    assert worked("pool", aliquots=14).values["most"] == 14
    assert NormalDist().inv_cdf(0.95) == pytest.approx(1.644854, abs=1e-6)
    found = worked("pool", aliquots=60, result="1")
    assert found.values["verdict"] == "cannot_show"
    assert "cut_off" not in found.values


def test_a_pool_that_can_be_of_no_use_says_so() -> None:
    found = worked("pool", aliquots=2, limit="2", u_percent="10.5")
    assert (found.values["most"], found.values["verdict"]) == (0, "cannot_show")
    assert "no_pool" in keys(found)
    assert "no_pool" not in keys(worked("pool", aliquots=2, limit="4.7", u_percent="10.5"))
    assert "no_pool" in keys(worked("pool", aliquots=2, limit="4.6", u_percent="10.5"))


def test_no_result_no_verdict_and_nought_is_none() -> None:
    assert "verdict" not in worked("pool", aliquots=5, u_percent="10.5").values
    with pytest.raises(Slip, match="0 is no result"):
        worked("pool", aliquots=5, result="0")


def test_every_pool_says_what_it_never_does() -> None:
    said = " ".join(says for says, _ in SUMS["pool"].said(worked("pool", aliquots=5, result="60", u_percent="10.5")))
    for part in (
        "gives no unit a class",
        "oil never",
        "keep the rest of each",
        "test of its own",
        "one member at least",
    ):
        assert part in said


# -------------------------------------------------------------------------------------------------- planted errors


def missed(name: str) -> list[str]:
    return [check.name for check in SUMS[name].checks if not held(SUMS[name], check, TODAY).met]


def test_drawing_with_putting_back_would_be_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sampling, "unseen", lambda units, bad, tested, missed: ((units - bad) ** tested, units**tested))
    assert "100 units, to catch 5 %" in missed("sample_size")


def test_a_pool_by_its_plain_share_of_the_limit_would_be_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    """50 / 25 = 2 looks as if it were enough."""
    monkeypatch.setattr(sampling, "normal_point", lambda risk: Decimal(0))
    assert "25 samples: 50 / 25 is 2, and the uncertainty puts it under" in missed("pool")
