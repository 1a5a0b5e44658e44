"""A figure against a line with its uncertainty, and figures of one oil against each other.

Allowed differences: IEC 61619:1997, clause 14 (one laboratory 2 + 0.10 x, two laboratories 2 + 0.25 x). A line is met
at it or above it alone, as its law says. Reaches are worked by hand.
"""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat import rulebooks
from hazmat.core import facts
from hazmat.core.facts import Uncertainty
from hazmat.core.law import LawDay
from hazmat.core.measures import Measure
from hazmat.core.nearness import LineAt, Shown, differing, high_lines, lines_of, near
from hazmat.core.weigh import ONE, weigh

ON = date(2026, 11, 27)
HOUSE = LawDay(rulebooks.rulebook(rulebooks.HANDLING), ON)
US: list[LineAt] = [(Decimal(50), ">="), (Decimal(500), ">=")]
ABOVE: list[LineAt] = [(Decimal(50), ">")]


def stands(value: str, *, sign: Any = "=", u: str = "", k: str = "", lines: Any = US, times: Decimal = ONE) -> Any:
    uncertainty = Uncertainty(value=Measure(u), kind="percent", k=Measure(k) if k else None) if u else None
    test = facts.Test(how="laboratory", sign=sign, value=Measure(value), unit="mg/kg", uncertainty=uncertainty)
    weighed = weigh(test, HOUSE)
    assert weighed
    return near(test, weighed, lines, HOUSE, times)


@pytest.mark.parametrize(
    ("value", "u", "where", "line"),
    [
        ("43.4", "15", "clear", 50),  # reaches 49.91
        ("43.5", "15", "near", 50),  # reaches 50.025
        ("46", "15", "near", 50),
        ("40", "25", "near", 50),  # reaches 50 exactly, which meets this line
        ("49.999", "0.001", "clear", 50),  # reaches 49.9995
        ("50", "15", "over", 50),  # down to 42.5
        ("62", "10", "far_over", 50),  # down to 55.8
        ("450", "15", "near", 500),  # reaches 517.5
        ("500", "10", "over", 500),
        ("900", "10", "far_over", 500),
    ],
)
def test_a_figure_stands_to_the_line_that_it_could_be_taken_over(value: str, u: str, where: str, line: int) -> None:
    found = stands(value, u=u)
    assert (found.stands, found.line) == (where, Decimal(line))


def test_a_line_that_is_met_only_above_it_is_not_reached_at_it() -> None:
    assert stands("40", u="25", lines=ABOVE).stands == "clear"
    assert stands("40.001", u="25", lines=ABOVE).stands == "near"
    assert stands("50", u="1", lines=ABOVE).stands == "near"  # not above 50, but it reaches 50.5


def test_without_an_uncertainty_two_laboratories_stand_for_it() -> None:
    """At 41 the spread is 12.25, over 2.77 and twice that is 8.8448: 49.84. At 41.2 it is 8.88, which reaches 50.08."""
    assert stands("41").stands == "clear"
    assert stands("41").reach.high.quantize(Decimal("0.001")) == Decimal("49.845")
    assert stands("41.2").stands == "near"
    assert not stands("41.2").reach.by_lab


def test_an_uncertainty_at_one_standard_deviation_is_doubled() -> None:
    assert stands("43", u="8", k="1").reach.high == Decimal("49.88")
    assert stands("43", u="8", k="2").reach.high == Decimal("46.44")
    assert stands("43", u="8", k="3").reach.high == Decimal("46.44")  # never narrower than was reported


def test_what_was_not_found_counts_as_its_limit() -> None:
    assert stands("2", sign="<")[0::2] == ("limit", Decimal(50))
    assert stands("50", sign="<")[0::2] == ("limit", Decimal(50))  # below 50 lies below the line
    assert stands("60", sign="<")[0::2] == ("limit", Decimal(500))
    assert stands("501", sign="<").stands == "open"
    assert stands("600", sign=">")[0::2] == ("more", Decimal(500))
    assert stands("20", sign=">")[0::2] == ("more", Decimal(50))


def test_no_line_says_nothing() -> None:
    assert stands("46", lines=[]) is None


def test_a_wider_guard_band_only_asks_for_more() -> None:
    assert stands("40", u="20").stands == "clear"  # reaches 48
    assert stands("40", u="20", times=Decimal("1.5")).stands == "near"  # reaches 52


@given(
    value=st.decimals("0.01", "2000", places=2), u=st.decimals("0.1", "90", places=1), times=st.decimals(1, 3, places=1)
)
def test_uncertainty_never_takes_a_figure_below_a_line(value: Decimal, u: Decimal, times: Decimal) -> None:
    found = stands(str(value), u=str(u), times=times)
    assert found.reach.low <= value <= found.reach.high
    if value >= found.line:
        assert found.stands in ("over", "far_over")
    if found.stands == "clear":
        assert found.reach.high < found.line
    narrow = stands(str(value), u=str(u))
    if narrow.stands == "near":
        assert found.stands == "near"


def test_lines_are_those_of_the_law_on_that_day() -> None:
    us, eu = rulebooks.law("us"), rulebooks.law("eu")
    assert us
    assert eu
    assert [at for at, _ in lines_of(LawDay(us, ON))] == [50, 500]
    assert {compare for _, compare in lines_of(LawDay(eu, ON))} == {">"}
    assert lines_of(HOUSE)[0][0] == 2
    assert high_lines(HOUSE, ("lt2", "2_49"))[0][0] == 50


# ------------------------------------------------------------------ against each other


def shown(value: str, *, sign: str = "=", bottle: str = "A", laboratory: str = "One", **more: Any) -> Shown:
    return Shown(
        f"{value}{bottle}{laboratory}", more.get("space", "tank"), sign, Decimal(value), bottle, laboratory,
        more.get("point", ""),
    )  # fmt: skip


def keys(*found: Shown) -> list[str]:
    return [one.key for one in differing(found, HOUSE)]


def test_one_laboratory_may_differ_by_two_and_a_tenth() -> None:
    """At a mean of 40 by 6: 43 and 37 agree, 43.1 and 36.9 (mean 40, difference 6.2) do not."""
    assert keys(shown("43"), shown("37")) == []
    assert keys(shown("43.1"), shown("36.9")) == ["differ_repeat"]
    assert keys(shown("43.1", laboratory=" one "), shown("36.9", laboratory="One")) == ["differ_repeat"]


def test_two_laboratories_may_differ_by_two_and_a_quarter() -> None:
    """At a mean of 40 by 12: 46 and 34 agree, 46.1 and 33.9 do not."""
    assert keys(shown("46", laboratory="Two"), shown("34")) == []
    assert keys(shown("46.1", laboratory="Two"), shown("33.9")) == ["differ_two"]
    assert keys(shown("46.1", bottle="B"), shown("33.9")) == ["differ_two"]
    assert keys(shown("46.1", bottle=""), shown("33.9", bottle="")) == ["differ_two"]


def test_the_highest_is_held_against_each_other_one() -> None:
    found = differing([shown("40"), shown("62", bottle="B"), shown("55", bottle="C"), shown("20", bottle="D")], HOUSE)
    assert [(one.high.mg_kg, one.other.mg_kg) for one in found] == [(62, 40), (62, 20)]


def test_two_places_are_two_results() -> None:
    top, bottom = shown("3", point="top"), shown("480", bottle="B", point="bottom")
    assert keys(top, bottom) == ["differ_places"]
    assert keys(top, shown("480", bottle="B")) == ["differ_two"]


def test_only_what_differs_for_sure_is_named() -> None:
    assert keys(shown("20", sign="<"), shown("2", sign="<", bottle="B")) == []
    assert keys(shown("30", bottle="B"), shown("2", sign="<")) == ["differ_two"]
    assert keys(shown("30", bottle="B", space="tap changer"), shown("2")) == []
    assert keys(shown("30")) == []
    assert keys() == []


def test_at_one_height_the_one_that_was_found_is_the_higher() -> None:
    assert keys(shown("30", sign="<"), shown("30", bottle="B"), shown("2", bottle="C")) == ["differ_two"]


@given(st.lists(st.decimals("0.1", "3000", places=1), max_size=5))
def test_the_order_in_which_results_came_tells_nothing(values: list[Decimal]) -> None:
    there = [shown(str(value), bottle=str(n)) for n, value in enumerate(values)]
    back = differing(list(reversed(there)), HOUSE)
    found = differing(there, HOUSE)
    assert sorted((one.high.mg_kg, one.other.mg_kg) for one in found) == sorted(
        (one.high.mg_kg, one.other.mg_kg) for one in back
    )
    assert all(one.high.mg_kg == max(values) for one in found)
