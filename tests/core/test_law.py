"""The law as dated data: which value stands on which day, and in which class a figure falls.

Expected days and classes come from the texts themselves:
- 40 CFR 761.3, PCB-Contaminated: "50 ppm or greater, but less than 500 ppm"; PCB transformer: "500 ppm PCB or greater",
  https://www.law.cornell.edu/cfr/text/40/761.3 (address from memory);
- 63 FR 35384 (29 June 1998), effective 28 August 1998, which brought in 40 CFR 761.2;
- Hazardous Substances (Storage and Disposal of Polychlorinated Biphenyls) Notice 2007, in force 30 May 2007, "more than
  50 ppm", https://www.gazette.govt.nz/notice/id/2007-au2939;
- its revocation by the Amendment Notice 2016 with effect from 1 January 2017,
  https://gazette.govt.nz/notice/id/2016-au7215.
"""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from hazmat import rulebooks
from hazmat.core.law import Cite, Figure, LawDay, Rulebook, Version

ONE_DAY = timedelta(days=1)
READ = date(2026, 11, 25)
CITE = Cite("made-up", "Made-up Act", None, "no address", READ, "judgement")

JUST_UNDER = "49." + "9" * 60
JUST_OVER = "50." + "0" * 60 + "1"


def version(value: str, since: date | None, until: date | None = None) -> Version:
    return Version(Decimal(value), since, until, CITE)


def figure(*versions: Version) -> Figure:
    return Figure("made_up", "A made-up figure", "ppm", versions)


def value(of: Figure, on: date) -> str | None:
    standing = of.at(on)
    return None if standing is None else str(standing.value)


FIRST, LAST, NEXT = date(2001, 5, 1), date(2005, 4, 30), date(2005, 5, 1)
TWO = figure(version("60", FIRST, LAST), version("50", NEXT))


# ------------------------------------------------------------------ a figure on a day


@pytest.mark.parametrize(
    ("on", "stands"),
    [
        (date.min, None),
        (FIRST - ONE_DAY, None),
        (FIRST, "60"),
        (FIRST + ONE_DAY, "60"),
        (LAST - ONE_DAY, "60"),
        (LAST, "60"),
        (NEXT, "50"),
        (date.max, "50"),
    ],
)
def test_a_figure_on_both_sides_of_each_boundary(on: date, stands: str | None) -> None:
    assert value(TWO, on) == stands


def test_the_order_in_the_file_does_not_matter() -> None:
    turned = figure(*reversed(TWO.versions))
    for on in (FIRST - ONE_DAY, FIRST, LAST, NEXT):
        assert (value(turned, on), turned.holds_until(on)) == (value(TWO, on), TWO.holds_until(on))


def test_a_figure_that_ended_has_no_value() -> None:
    ended = figure(version("60", FIRST, LAST))
    assert (value(ended, LAST), value(ended, NEXT)) == ("60", None)


def test_a_pause_between_two_values_has_none() -> None:
    paused = figure(version("60", FIRST, LAST), version("50", NEXT + ONE_DAY))
    assert [value(paused, on) for on in (LAST, NEXT, NEXT + ONE_DAY)] == ["60", None, "50"]
    assert [paused.holds_until(on) for on in (LAST, NEXT)] == [LAST, NEXT]


def test_an_unknown_start_stands_from_ever_and_gives_way_to_a_dated_value() -> None:
    mixed = figure(version("7", None), version("60", FIRST, LAST))
    assert [value(mixed, on) for on in (date.min, FIRST - ONE_DAY, FIRST, LAST, NEXT)] == ["7", "7", "60", "60", "7"]
    assert [mixed.holds_until(on) for on in (date.min, FIRST, NEXT)] == [FIRST - ONE_DAY, LAST, None]


def test_an_unknown_start_with_an_end_stops_there() -> None:
    ended = figure(version("7", None, LAST))
    assert (value(ended, LAST), value(ended, NEXT)) == ("7", None)
    assert (ended.holds_until(LAST), ended.holds_until(NEXT)) == (LAST, None)


@pytest.mark.parametrize(
    ("on", "until"),
    [(FIRST - ONE_DAY, FIRST - ONE_DAY), (FIRST, LAST), (LAST, LAST), (NEXT, None), (date.max, None)],
)
def test_how_long_the_answer_of_a_day_holds(on: date, until: date | None) -> None:
    assert TWO.holds_until(on) == until


def test_what_holds_until_a_day_does_hold_and_then_changes() -> None:
    """On every day about the boundaries, for a figure of every shape above."""
    shapes = [TWO, figure(version("7", None), version("60", FIRST, LAST)), figure(version("7", None, LAST))]
    for shape in shapes:
        for on in [FIRST + n * ONE_DAY for n in (-3, -1, 0, 1)] + [LAST, NEXT]:
            until = shape.holds_until(on)
            if until:
                assert value(shape, until) == value(shape, on)
                assert value(shape, until + ONE_DAY) != value(shape, on)


# ------------------------------------------------------------------ a law on a day


@pytest.mark.parametrize(
    ("law", "on", "in_force", "instrument", "holds_until"),
    [
        ("nz", "2007-05-29", False, None, "2007-05-29"),
        ("nz", "2007-05-30", True, "PCB Notice 2007", "2016-12-31"),
        ("nz", "2016-12-31", True, "PCB Notice 2007", "2016-12-31"),
        ("nz", "2017-01-01", True, "POPs Notice 2004 as amended 2016", None),
        ("nz", "2026-11-25", True, "POPs Notice 2004 as amended 2016", None),
        ("us", "1979-07-01", False, None, "1979-07-01"),
        ("us", "1979-07-02", False, "40 CFR Part 761", "1998-08-27"),
        ("us", "1998-08-27", False, "40 CFR Part 761", "1998-08-27"),
        ("us", "1998-08-28", True, "40 CFR Part 761", "1998-12-28"),
        ("us", "1998-12-29", True, "40 CFR Part 761", "2001-05-01"),
        ("us", "2001-05-02", True, "40 CFR Part 761", None),
        ("us", "2026-11-25", True, "40 CFR Part 761", None),
    ],
)
def test_a_law_on_its_first_and_last_days(
    law: str, on: str, in_force: bool, instrument: str | None, holds_until: str | None
) -> None:
    today = LawDay(rulebooks.rulebook(law), date.fromisoformat(on))
    assert today.in_force is in_force
    assert today.words.get("instrument") == instrument
    assert today.holds_until() == (date.fromisoformat(holds_until) if holds_until else None)


def test_the_handling_book_stands_on_every_day() -> None:
    """Its figures have no known start, and nothing of it is known to change."""
    book = rulebooks.rulebook(rulebooks.HANDLING)
    for on in (date.min, date(1950, 1, 1), READ, date.max):
        today = LawDay(book, on)
        assert set(today.figures) == set(book.figures)
        assert all(today.tables[name].rows for name in book.tables)
        assert today.holds_until() is None


@pytest.mark.parametrize("law", rulebooks.names())
def test_every_boundary_of_a_shipped_book_is_a_change(law: str) -> None:
    """Walk from day to day by `holds_until`: what stands differs at each step, and the walk ends."""
    book = rulebooks.rulebook(law)
    starts = {v.since for f in book.figures.values() for v in f.versions if v.since}
    assert starts or law == rulebooks.HANDLING
    steps = set()
    for state in (None, *book.territories):
        on = date(1900, 1, 1)
        while (until := LawDay(book, on, state).holds_until()) is not None:
            assert until >= on
            assert standing(book, until, state) != standing(book, until + ONE_DAY, state)
            on = until + ONE_DAY
            steps.add(on)
            assert len(steps) < 50
    assert starts <= steps


def standing(book: Rulebook, on: date, state: str | None) -> tuple[Any, ...]:
    """Whatever of a law stands on a day in a state."""
    day = LawDay(book, on, state)
    tables = {name: table.rows for name, table in day.tables.items()}
    return day.figures, tables, [duty for duty in book.duties if duty.in_force(on, state)]


# ------------------------------------------------------------------ a figure in its class


@pytest.mark.parametrize(
    ("value", "sign", "us", "nz"),
    [
        ("0", "=", "below_50", "up_to_50"),
        ("49.9", "=", "below_50", "up_to_50"),
        (JUST_UNDER, "=", "below_50", "up_to_50"),
        ("50", "=", "50_to_499", "up_to_50"),
        ("50.000", "=", "50_to_499", "up_to_50"),
        (JUST_OVER, "=", "50_to_499", "over_50"),
        ("499.9999", "=", "50_to_499", "over_50"),
        ("500", "=", "from_500", "over_50"),
        ("1000000", "=", "from_500", "over_50"),
        ("2", "<", "below_50", "up_to_50"),
        (JUST_UNDER, "<", "below_50", "up_to_50"),
        ("50", "<", "below_50", "up_to_50"),
        (JUST_OVER, "<", "50_to_499", "over_50"),
        ("60", "<", "50_to_499", "over_50"),
        ("500", "<", "50_to_499", "over_50"),
        ("500.1", "<", "from_500", "over_50"),
        (JUST_UNDER, "above", "below_50", "up_to_50"),
        ("50", "above", "50_to_499", "over_50"),
        (JUST_OVER, "above", "50_to_499", "over_50"),
        ("500", "above", "from_500", "over_50"),
        ("0", ">", "from_500", "over_50"),
        ("2", ">", "from_500", "over_50"),
        ("50", ">", "from_500", "over_50"),
        ("600", ">", "from_500", "over_50"),
    ],
)
def test_the_class_of_a_figure(value: str, sign: str, us: str, nz: str) -> None:
    """`<`: anything below the figure, so the worst of it; `above`: the least that is more; `>`: the worst that may be.

    Nothing is rounded.
    """
    for law, expected in (("us", us), ("nz", nz)):
        assert LawDay(rulebooks.rulebook(law), READ).class_of(Decimal(value), sign) == expected


@pytest.mark.parametrize("sign", ["=", "<", "above", ">"])
@pytest.mark.parametrize("law", rulebooks.names())
def test_more_is_never_a_lower_class(law: str, sign: str) -> None:
    today = LawDay(rulebooks.rulebook(law), READ)
    steps = [
        Decimal(n) / 4 for n in (0, 4, 7, 8, 9, 196, 199, 200, 201, 204, 1996, 1999, 2000, 2001, 9999, 400000, 400001)
    ]
    ranks = [today.rank[today.class_of(step, sign)] for step in steps]
    assert ranks == sorted(ranks)
    assert max(ranks) == len(today.book.classes) - 1


def test_a_figure_not_in_force_is_not_answered() -> None:
    """No silent default: before its first day a figure is missing, and asking for it as a number says so."""
    before = LawDay(rulebooks.rulebook("us"), date(1998, 8, 27))
    assert before.day("cutoff") is None
    with pytest.raises(KeyError, match="small_transformer_fluid"):
        before.number("small_transformer_fluid")
    with pytest.raises(TypeError, match="figure contaminated is not a day"):
        before.day("contaminated")


# ------------------------------------------------------------------ the clock of a duty


US = rulebooks.rulebook("us")
LIMIT_SINCE = date(1998, 8, 28)


@pytest.mark.parametrize(
    ("start", "due"),
    [
        (date(2026, 2, 10), date(2027, 2, 10)),
        (date(2024, 2, 28), date(2025, 2, 28)),
        (date(2024, 2, 29), date(2025, 2, 28)),
        (date(2023, 3, 1), date(2024, 3, 1)),
        (None, None),
    ],
)
def test_the_clock_of_the_storage_limit_runs_one_year(start: date | None, due: date | None) -> None:
    """40 CFR 761.65(a)(1): within one year; a lost leap day is taken on the day before (house convention)."""
    law = LawDay(US, READ)
    (duty,) = [one for one in US.duties if one.time]
    assert law.due(duty, start) == due


def test_no_clock_runs_before_its_figure_is_in_force_or_without_one() -> None:
    (duty,) = [one for one in US.duties if one.time]
    day = date(1998, 1, 1)
    assert LawDay(US, LIMIT_SINCE - ONE_DAY).due(duty, day) is None
    assert LawDay(US, LIMIT_SINCE).due(duty, day) == date(1999, 1, 1)
    nz = rulebooks.rulebook("nz")
    assert [LawDay(nz, READ).due(one, READ) for one in nz.duties] == [None] * len(nz.duties)


@pytest.mark.parametrize(
    ("klass", "role", "owed"),
    [
        ("below_50", "holder", False), ("50_to_499", "holder", True), ("from_500", "unknown", True),
        ("from_500", "carrier", False), ("undetermined", "holder", False),
    ],
)  # fmt: skip
def test_who_owes_the_storage_limit(klass: str, role: str, owed: bool) -> None:
    """40 CFR 761.65: PCBs at 50 ppm or more; whoever only carries does not store."""
    assert ("dispose_within" in {one.name for one in LawDay(US, READ).duties(klass, role)}) == owed
