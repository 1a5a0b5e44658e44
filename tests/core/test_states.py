"""What stands in one state alone, lines that ask an amount too, and times that a law counts.

The made-up law of these tests: a figure of 60 everywhere, 50 in state ZZ-A from 2020; two classes above it that ask
grams of PCB and litres of fluid. Expected answers are worked by hand beside each case.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat import rulebooks
from hazmat.core.clauses import AndMore, Duty, Line
from hazmat.core.dated import Cite, Figure, Version
from hazmat.core.law import Amounts, LawDay, Row, Rulebook, Table, TableDay
from hazmat.core.measures import add_months, add_time
from hazmat.rulebooks.prove import prove_table

CITE = Cite("made-up", "Made-up Act", None, "no address", date(2026, 11, 25), "judgement")
A, B = frozenset(("ZZ-A",)), frozenset(("ZZ-B",))
START = date(2020, 1, 1)


def number(name: str, unit: str, *values: Version) -> Figure:
    return Figure(name, name, unit, values)


def standing(value: str, since: date | None = None, **more: object) -> Version:
    return Version(Decimal(value), since, None, CITE, **more)  # type: ignore[arg-type]


LIMIT = number("limit", "ppm", standing("60"), standing("50", START, only_in=A))


@pytest.mark.parametrize(
    ("on", "territory", "value"),
    [
        (date(2019, 12, 31), "ZZ-A", "60"),
        (START, "ZZ-A", "50"),
        (START, "ZZ-B", "60"),
        (START, None, "60"),
    ],
)
def test_a_figure_of_a_state_goes_first_there_and_nowhere_else(on: date, territory: str | None, value: str) -> None:
    found = LIMIT.at(on, territory)
    assert found is not None
    assert str(found.value) == value


def test_a_change_in_one_state_ends_the_answer_there_alone() -> None:
    assert LIMIT.holds_until(date(2019, 1, 1), "ZZ-A") == date(2019, 12, 31)
    assert LIMIT.holds_until(date(2019, 1, 1), "ZZ-B") is None
    assert LIMIT.holds_until(date(2019, 1, 1)) is None


def test_a_common_change_that_a_state_never_meets_does_not_end_its_answer() -> None:
    later = number("limit", "ppm", standing("60"), standing("70", date(2021, 1, 1)), standing("50", START, only_in=A))
    assert later.holds_until(START, "ZZ-A") is None
    assert later.holds_until(START, "ZZ-B") == date(2020, 12, 31)


# ------------------------------------------------------------------ lines that ask an amount too


def book(*, of_set: bool = False, compare: str = ">=") -> Rulebook:
    """A law with a line at 50, one at 50 with 50 grams, and one at 500 with more than 5 litres."""
    us = rulebooks.rulebook("us")
    grams = AndMore("pcb_g", "grams", compare, of_set)  # type: ignore[arg-type]
    litres = AndMore("fluid_l", "litres", ">", of_set)
    lines = (Line("low", ">=", "mid"), Line("low", ">=", "high", grams), Line("top", ">", "top", litres))
    figures = {
        name: number(name, unit, standing(value))
        for name, unit, value in (
            ("low", "ppm", "50"), ("top", "ppm", "500"), ("grams", "g", "50"), ("litres", "L", "5"),
        )
    }  # fmt: skip
    words = dict.fromkeys(("none", "mid", "high", "top"), us.class_words["below_50"])
    return replace(us, classes=("none", "mid", "high", "top"), lines=lines, figures=figures, class_words=words)


@pytest.mark.parametrize(
    ("value", "sign", "kg", "litres", "klass"),
    [
        ("49.9", "=", "100000", "100000", "none"),
        ("50", "=", "999.9", "1", "mid"),  # 49.995 g
        ("50", "=", "1000", "1", "high"),  # 50 g
        ("60", "=", "400", "1", "mid"),  # 24 g
        ("60", "=", None, None, "high"),  # nobody knows how much: as if it were enough
        ("501", "=", "1", "5", "mid"),  # 0.5 g, and 5 litres are not more than 5
        ("501", "=", "1", "5.1", "top"),
        ("501", "=", "1", None, "top"),
        ("500", "=", "1000", "6", "high"),
        ("60", "<", "1000", "1", "high"),  # just below 60: up to just below 60 g
        ("50", "<", "100000", "1", "none"),
        ("60", "<", "833", "1", "mid"),  # just below 49.98 g
        ("100", "<", "500", "1", "mid"),  # just below 50 g
        ("60", ">", "1", "1", "high"),  # no upper end: nobody knows how many grams, but litres are known
        ("60", ">", "1", "6", "top"),
        ("50", "above", "1", "1", "high"),
    ],
)
def test_a_line_that_asks_an_amount_too(value: str, sign: str, kg: str | None, litres: str | None, klass: str) -> None:
    amounts = Amounts(Decimal(kg) if kg else None, Decimal(litres) if litres else None)
    assert LawDay(book(), START).class_of(Decimal(value), sign, amounts) == klass


def test_a_lot_counts_together_only_where_the_law_sums() -> None:
    ten = Amounts(Decimal(100), Decimal(1), 10)
    assert LawDay(book(), START).class_of(Decimal(50), "=", ten) == "mid"
    assert LawDay(book(of_set=True), START).class_of(Decimal(50), "=", ten) == "high"
    assert LawDay(book(compare=">", of_set=True), START).class_of(Decimal(50), "=", ten) == "mid"


@given(st.decimals(0, 2000, places=2), st.sampled_from("=<>"), st.one_of(st.none(), st.decimals(0, 5000, places=1)))
def test_knowing_less_of_the_amount_never_lowers_a_class(value: Decimal, sign: str, kg: Decimal | None) -> None:
    law = LawDay(book(), START)
    known, unknown = law.class_of(value, sign, Amounts(kg, kg)), law.class_of(value, sign)
    assert law.rank[unknown] >= law.rank[known]


# ------------------------------------------------------------------ rows and duties of a state


def row(name: str, then: str, only_in: frozenset[str] = frozenset(), **more: object) -> Row:
    return Row("t", name, (), then, "must", (), CITE, name, None, None, only_in, **more)


def table(*rows: Row) -> Table:
    return Table("t", "t", ("a", "b"), {"kind": ("x",)}, rows)


def test_a_row_of_a_state_stands_there_alone() -> None:
    made = table(row("all", "a"), row("only B", "b", B))
    assert [one.name for one in TableDay(made, START, "ZZ-B").rows] == ["all", "only B"]
    assert [one.name for one in TableDay(made, START, "ZZ-A").rows] == ["all"]
    assert [one.name for one in TableDay(made, START).rows] == ["all"]


def test_the_prover_looks_at_each_state() -> None:
    (fault,) = prove_table(table(row("all", "a"), row("only B", "b", B)))
    assert "in ZZ-B" in fault.says
    assert "differ" in fault.says
    lone = prove_table(table(row("only B", "b", B)))
    assert [one.says for one in lone] == ["no row answers kind x"]
    twice = prove_table(table(row("all", "a"), row("A", "a", A), row("again A", "a", A)))
    assert "same conditions" in twice[0].says


def duty(**more: object) -> Duty:
    whole = {"name": "d", "says": "d", "classes": frozenset(("top",)), "roles": frozenset(("holder",)), "time": None}
    return Duty(**{**whole, "counts_from": None, "cite": CITE, **more})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("on", "territory", "facts", "owed"),
    [
        (date(2019, 12, 31), "ZZ-A", {"use": "in_use"}, False),
        (START, "ZZ-A", {"use": "in_use"}, True),
        (date(2020, 12, 31), "ZZ-A", {"use": "in_use"}, True),
        (date(2021, 1, 1), "ZZ-A", {"use": "in_use"}, False),
        (START, "ZZ-B", {"use": "in_use"}, False),
        (START, None, {"use": "in_use"}, False),
        (START, "ZZ-A", {"use": "unknown"}, False),
        (START, "ZZ-A", None, True),
    ],
)
def test_a_duty_stands_on_its_days_in_its_state_for_its_facts(
    on: date, territory: str | None, facts: dict[str, str] | None, owed: bool
) -> None:
    one = duty(only_in=A, since=START, until=date(2020, 12, 31), when=(("use", frozenset(("in_use",))),))
    law = LawDay(replace(book(), duties=(one,)), on, territory)
    assert bool(law.duties("top", "holder", facts)) == owed
    assert law.duty_columns == ("use",)


def test_an_answer_holds_until_a_duty_begins_or_ends() -> None:
    ends, begins = duty(until=date(2020, 12, 31)), duty(since=date(2021, 2, 1))
    made = replace(book(), duties=(ends, begins), tables={})
    assert LawDay(made, date(2020, 12, 30)).holds_until() == date(2020, 12, 31)
    assert LawDay(made, date(2020, 12, 31)).holds_until() == date(2020, 12, 31)
    assert LawDay(made, date(2021, 1, 1)).holds_until() == date(2021, 1, 31)
    assert LawDay(made, date(2021, 1, 31)).holds_until() == date(2021, 1, 31)
    assert LawDay(made, date(2021, 2, 1)).holds_until() is None


def test_the_last_day_of_a_duty_is_the_day_that_the_law_names() -> None:
    old = Version(date(2025, 12, 31), None, date(2025, 12, 11), CITE)
    new = Version(date(2026, 12, 31), date(2025, 12, 12), None, CITE)
    days = Figure("end", "end", "day", (old, new))
    made = replace(book(), duties=(duty(by="end"),), figures={**book().figures, "end": days})
    assert LawDay(made, date(2025, 12, 11)).due(made.duties[0], None) == date(2025, 12, 31)
    assert LawDay(made, date(2025, 12, 12)).due(made.duties[0], date(2020, 1, 1)) == date(2026, 12, 31)


def test_a_place_is_a_state_only_where_the_law_tells_it_apart() -> None:
    made = replace(book(), territories={"ZZ-A": "A", "FR": "France"})
    assert [made.territory(place) for place in ("ZZ-A", "ZZ-B", "ZZ", "FR", "FR-75", None)] == [
        "ZZ-A", None, None, "FR", "FR", None,
    ]  # fmt: skip


# ------------------------------------------------------------------ times


@pytest.mark.parametrize(
    ("day", "number", "unit", "end"),
    [
        ("2026-11-25", 30, "days", "2026-12-25"),
        ("2026-01-20", 13, "month", "2027-02-20"),
        ("2026-01-31", 1, "month", "2026-02-28"),
        ("2028-01-31", 1, "month", "2028-02-29"),
        ("2026-12-31", 2, "month", "2027-02-28"),
        ("2026-12-01", 1, "month", "2027-01-01"),
        ("2028-02-29", 1, "year", "2029-02-28"),
    ],
)
def test_times(day: str, number: int, unit: str, end: str) -> None:
    assert add_time(date.fromisoformat(day), number, unit) == date.fromisoformat(end)


@given(st.dates(max_value=date(9000, 1, 1)), st.integers(0, 500))
def test_months_keep_the_day_or_take_the_last(day: date, months: int) -> None:
    end = add_months(day, months)
    assert (end.year * 12 + end.month) - (day.year * 12 + day.month) == months
    assert end.day == day.day or (end.day < day.day and (end.replace(day=28).toordinal() + 4 > end.toordinal()))


def test_another_unit_is_no_time() -> None:
    with pytest.raises(ValueError, match="week is no unit of time"):
        add_time(START, 1, "week")
