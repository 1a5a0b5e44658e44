"""Clocks of units and drums.

Expected days are worked by hand from the text: 40 CFR 761.65(a)(1), one year from the day on which it was determined to
be PCB waste and the decision to dispose was made, at 50 ppm or more; (c)(8), each item carries its day, so that a drum
goes by the oldest of what is in it. New Zealand: no time was found in the parts read, so nothing of law may stand
there.
"""

from calendar import isleap
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from disposal.core.clocks import Clock, Unclocked, clock_of, kept_drum, kept_unit, soonest
from disposal.core.drumnow import DrumNow, Source
from hazmat import rulebooks
from hazmat.core.law import LawDay
from hazmat.core.unitnow import FateNow, ResultNow, UnitNow, VerdictNow

TODAY = date(2026, 11, 25)
WHEN = "2026-11-20T00:00:00.000000Z"
ANSWER = {"class": "from_500", "basis": "presumed", "care": "ge500", "rulebook": "us", "next": [{"act": "hold"}]}
PLAIN: dict[str, dict[str, Any]] = {
    "us": ANSWER, "nz": {**ANSWER, "class": "undetermined", "basis": "undetermined", "rulebook": "nz"},
    "": {**ANSWER, "class": "undetermined", "basis": "undetermined", "rulebook": None},
}  # fmt: skip


def unit(law: str = "us", decided: str | None = None, answer: dict[str, Any] | None = None, **more: Any) -> UnitNow:
    line = {"kind": "transformer", **({"decided_waste": decided} if decided else {}), **more.pop("line", {})}
    judged = {**PLAIN[law], **(answer or {})}
    more = {"presumed": (judged["class"], judged["care"]), "presumed_book": judged["rulebook"] or "", **more}
    return UnitNow(
        unit="u", yard="y", tag="K7M4PX", arrival="gate", logged_at=WHEN, look="l", line=line, sources={}, leak="none",
        note="", proved=None, answer=judged, assessed_at=WHEN, seq="1", happened_at=WHEN,
        **more,
    )  # fmt: skip


def drum(*dates: str, law: str = "us", **more: Any) -> DrumNow:
    """A drum of these sources; the empty text is a source whose day nobody wrote down."""
    sources = tuple(
        Source(unit=f"u{n}", tag=f"TAG{n}", klass="from_500", care="ge500", known="untested", rulebook=law,
               first_in=WHEN, drained_at=WHEN, date=one)
        for n, one in enumerate(dates)
    )  # fmt: skip
    told = {"klass": PLAIN[law]["class"], "care": "ge500", "rulebook": law, "litres": "40", "sources": sources, **more}
    return DrumNow(drum="d", yard="y", code="D7D7D7", kind="drum", capacity_l="208", made_at=WHEN, seq="9",
                   happened_at=WHEN, **told)  # fmt: skip


def asked(thing: UnitNow | DrumNow, on: date = TODAY) -> Clock | Unclocked | None:
    kept = kept_unit(thing) if isinstance(thing, UnitNow) else kept_drum(thing)
    if kept is None:
        return None
    law = LawDay(rulebooks.rulebook(kept.rulebook), on) if kept.rulebook else None
    return clock_of(kept, law, LawDay(rulebooks.rulebook("handling"), on))


def clock(thing: UnitNow | DrumNow, on: date = TODAY) -> Clock:
    found = asked(thing, on)
    assert isinstance(found, Clock)
    return found


def test_a_time_of_another_duty_is_no_clock_of_storage() -> None:
    """SI 2000/1043 reg 3(4): 28 days to apply for registration; the Regulations name no time of storage."""
    answer = {"class": "over_50_to_500", "care": "50_499", "rulebook": "gb"}
    days = {"arrived": "2026-11-01", "decided_waste": "2026-11-02", "role": "holder"}
    assert any(duty.time for duty in rulebooks.rulebook("gb").duties)
    found = clock(unit(answer={**ANSWER, **answer}, line=days))
    assert (found.law, found.rulebook, found.start) == (False, "handling", date(2026, 11, 2))
    assert [note.key for note in found.notes] == ["storage_time"]


# ------------------------------------------------------------------ the law of the United States


def test_a_unit_has_one_year_from_the_day_it_was_decided() -> None:
    """2026-02-10 and one year is 2027-02-10, 77 days after 2026-11-25: 5 + 31 + 31 + 10."""
    found = clock(unit(decided="2026-02-10"))
    assert (found.start, found.due, found.left) == (date(2026, 2, 10), date(2027, 2, 10), 77)
    assert (found.thing, found.code, found.name, found.law) == ("unit", "K7M4PX", "dispose_within", True)
    assert (found.counts_from, found.started) == ("decided_waste", "Decided to be waste")
    assert found.says.cite.startswith("40 CFR 761.65(a)(1)")
    assert found.says.basis == "read"
    assert "within 1 year of that day" in found.says.says
    assert found.rulebook == "us"
    assert found.edition == rulebooks.rulebook("us").edition
    (more,) = found.notes
    assert more.cite.startswith("40 CFR 761.65(a)(2)")
    assert "has the notice by 11 Jan 2027" in more.says
    assert "began by 7 Nov 2026" in more.says


@pytest.mark.parametrize(
    ("on", "left", "words", "overdue"),
    [
        ("2026-02-10", 365, "365 days left", False),
        ("2027-02-08", 2, "2 days left", False),
        ("2027-02-09", 1, "1 day left", False),
        ("2027-02-10", 0, "last day today", False),
        ("2027-02-11", -1, "overdue by 1 day", True),
        ("2027-02-12", -2, "overdue by 2 days", True),
        ("2026-02-09", 366, "not begun", False),
    ],
)
def test_the_last_day_counts_whole(on: str, left: int, words: str, overdue: bool) -> None:
    found = clock(unit(decided="2026-02-10"), date.fromisoformat(on))
    assert (found.left, found.words, found.overdue) == (left, words, overdue)
    assert found.begun == (on != "2026-02-09")


@pytest.mark.parametrize(
    ("start", "due"),
    [
        ("2024-02-28", "2025-02-28"), ("2024-02-29", "2025-02-28"), ("2024-03-01", "2025-03-01"),
        ("2023-02-28", "2024-02-28"), ("2023-03-01", "2024-03-01"), ("2025-12-31", "2026-12-31"),
    ],
)  # fmt: skip
def test_one_year_is_the_same_day_of_the_next(start: str, due: str) -> None:
    assert clock(unit(decided=start)).due == date.fromisoformat(due)
    assert clock(drum(start, date=start, dated_by="law")).due == date.fromisoformat(due)


def naive(start: date) -> date:
    """One year by counting days, without asking for a month or a day: 366 of them where a 29 February lies between.

    From a 29 February itself 365, which ends on the 28th: the earlier of the two readings.
    """
    between = [start + timedelta(days=n) for n in range(1, 366)]
    return start + timedelta(days=366 if any((one.month, one.day) == (2, 29) for one in between) else 365)


@given(st.dates(date(1999, 1, 1), date(2026, 11, 25)), st.integers(-800, 800))
def test_any_day_counted_by_hand(start: date, later: int) -> None:
    on = max(naive(start) + timedelta(days=later), date(1998, 8, 28))
    found = clock(unit(decided=start.isoformat()), on)
    assert found.due == naive(start)
    assert found.left == (naive(start) - on).days
    assert found.overdue == (on > naive(start))
    assert clock(unit("nz", start.isoformat()), on).due == found.due


def test_the_counting_by_hand_knows_leap_days() -> None:
    assert naive(date(2024, 2, 29)) == date(2025, 2, 28)
    assert naive(date(2023, 3, 1)) == date(2024, 3, 1)
    assert (naive(date(2023, 6, 1)) - date(2023, 6, 1)).days == 366
    assert isleap(2024)


@pytest.mark.parametrize(
    ("klass", "role", "runs"),
    [
        ("from_500", None, True), ("50_to_499", "holder", True), ("50_to_499", "generator", True),
        ("below_50", "holder", False), ("from_500", "carrier", False), ("from_500", "receiver", True),
    ],
)  # fmt: skip
def test_only_from_50_ppm_and_only_for_whoever_stores(klass: str, role: str | None, runs: bool) -> None:
    line = {"role": role} if role else {}
    found = asked(unit(decided="2026-02-10", answer={"class": klass}, line=line))
    assert isinstance(found, Clock) == runs
    assert runs or found is None


def test_the_law_of_a_day_before_its_figure_gives_no_time_of_law() -> None:
    """761.65(a)(1) stands here from 1998-08-28."""
    assert clock(unit(decided="1998-01-05"), date(1998, 8, 28)).law
    before = clock(unit(decided="1998-01-05"), date(1998, 8, 27))
    assert not before.law
    assert before.due == date(1999, 1, 5)


def test_where_the_law_decides_no_class_house_practice_stands_in() -> None:
    found = clock(unit(decided="2026-02-10", answer={"class": "undetermined", "basis": "undetermined"}))
    assert (found.law, found.notes) == (False, ())


def test_whoever_did_not_write_down_the_day_is_told_what_is_missing() -> None:
    for law in PLAIN:
        found = asked(unit(law))
        assert isinstance(found, Unclocked)
        assert (found.thing, found.code, found.says.key) == ("unit", "K7M4PX", "clock_no_day")
        assert "No day is on record on which it was decided to be waste" in found.says.says
    assert asked(unit(answer={"class": "below_50"})) is None


# ------------------------------------------------------------------ what has none


RESULT = ResultNow(
    id="r", test={"how": "laboratory"}, reported_on="2026-11-01", laboratory="Lab", entered_at=WHEN,
)  # fmt: skip
LOW: dict[str, Any] = {
    "class": "below_50", "basis": "established", "care": "lt2", "rulebook": "us", "next": [{"act": "keep_apart"}],
}  # fmt: skip
RELEASE = VerdictNow(
    id="v", decision="release", reason="", evidence=("r",), klass="below_50", basis="established", care="lt2",
    signer="p", signed_at=WHEN,
)  # fmt: skip
PRESUMED = ("from_500", "ge500")


def test_a_low_result_ends_the_clock_once_somebody_signed() -> None:
    low = unit(decided="2026-02-10", answer=LOW, results=(RESULT,), presumed=PRESUMED)
    assert clock(low).due == date(2027, 2, 10)
    assert asked(replace(low, verdicts=(RELEASE,))) is None
    for decision in ("hold", "pcb_route"):
        assert clock(replace(low, verdicts=(replace(RELEASE, decision=decision),))).law
    assert clock(replace(low, verdicts=(replace(RELEASE, two=True),))).law


def test_what_is_gone_has_no_clock_and_what_comes_back_has_it_again() -> None:
    one = unit(decided="2026-02-10")
    fates = [FateNow(what=what, at=WHEN) for what in ("gone", "back", "destroyed", "oil_destroyed")]
    gone, back, destroyed, oil = fates
    assert asked(replace(one, fates=(gone,))) is None
    assert asked(replace(one, fates=(gone, destroyed))) is None
    assert clock(replace(one, fates=(gone, back))).due == date(2027, 2, 10)
    assert clock(replace(one, fates=(oil,))).due == date(2027, 2, 10)


def test_a_drum_has_a_clock_while_it_is_here_once_something_was_in_it() -> None:
    one = drum("2026-02-10", date="2026-02-10", dated_by="law")
    assert clock(replace(one, place="on_load")).due == clock(one).due == date(2027, 2, 10)
    for place in ("gone", "destroyed"):
        assert asked(replace(one, place=place)) is None
    assert clock(replace(one, litres="0")).due == date(2027, 2, 10)
    assert asked(drum(litres="0")) is None


def test_a_drum_of_low_oil_has_none() -> None:
    low = {"klass": "below_50", "care": "lt2", "known": "low"}
    assert asked(drum("2026-02-10", date="2026-02-10", dated_by="law", **low)) is None
    low = {"klass": "up_to_50", "care": "lt2", "known": "low"}
    assert asked(drum("2026-02-10", date="2026-02-10", dated_by="law", law="nz", **low)) is None


# ------------------------------------------------------------------ drums


def test_a_drum_carries_the_oldest_day_of_its_sources() -> None:
    """Additions of 2026-03-02, 2026-05-15 and 2026-08-30: 2027-03-02 (40 CFR 761.65(a)(1), (c)(8))."""
    found = clock(drum("2026-05-15", "2026-03-02", "2026-08-30", date="2026-03-02", dated_by="law"))
    assert (found.start, found.due, found.law) == (date(2026, 3, 2), date(2027, 3, 2), True)
    assert found.of == ("TAG1",)
    assert found.started == "Decided to be waste"
    assert [one.key for one in found.notes] == ["clock_oldest", "extension"]


def test_where_a_day_is_missing_the_first_pour_stands_in_and_says_so() -> None:
    found = clock(drum("2026-05-15", "", date="2026-04-01", dated_by="poured"))
    assert (found.start, found.due) == (date(2026, 4, 1), date(2027, 4, 1))
    assert (found.counts_from, found.started, found.of) == ("first_pour", "First pour", ("TAG1",))
    assert [one.key for one in found.notes] == ["clock_first_pour", "extension"]
    assert "the true day may be earlier" in found.notes[0].says.casefold()


# ------------------------------------------------------------------ New Zealand, and places without a rulebook


def test_new_zealand_has_no_time_in_law_and_house_practice_says_that_it_is_none() -> None:
    for thing in (unit("nz", "2026-02-10"), drum("2026-02-10", law="nz", date="2026-02-10", dated_by="law")):
        found = clock(thing)
        assert (found.law, found.name, found.due) == (False, "move_on", date(2027, 2, 10))
        assert found.says.basis == "judgement"
        assert found.says.says.startswith("No law held here gives it a time")
        silence = found.notes[-1]
        assert silence.key == "storage_time"
        assert "no figure was found" in silence.says
    assert rulebooks.rulebook("nz").clock is None
    assert not [one for one in rulebooks.rulebook("nz").duties if one.time]


def test_a_place_without_a_rulebook_has_house_practice_too() -> None:
    found = clock(unit("", "2026-02-10"))
    assert (found.law, found.due) == (False, date(2027, 2, 10))
    assert [one.key for one in found.notes] == ["clock_no_law"]


@pytest.mark.parametrize(("care", "runs"), [("lt2", False), ("2_49", False), ("50_499", True), ("ge500", True)])
def test_house_practice_goes_by_the_care_of_hands(care: str, runs: bool) -> None:
    assert isinstance(asked(unit("nz", "2026-02-10", answer={"care": care})), Clock) == runs


def test_figures_of_the_house() -> None:
    """Ours: one year, as the one law that is held here says; and a month to act in."""
    house = LawDay(rulebooks.rulebook("handling"), TODAY)
    for name, value, unit_ in (("house_storage", 1, "year"), ("clock_soon", 30, "days")):
        assert house.number(name) == value
        assert house.book.figures[name].unit == unit_
        assert house.figures[name].cite.basis == "judgement"


# ------------------------------------------------------------------ order


def test_the_longest_overdue_comes_first() -> None:
    days = ["2026-02-10", "2024-02-29", "2025-11-20", "2025-11-25"]
    found = soonest([clock(unit(decided=one)) for one in days])
    assert [one.left for one in found] == sorted(one.left for one in found)
    assert [str(one.start) for one in found] == ["2024-02-29", "2025-11-20", "2025-11-25", "2026-02-10"]
