"""Results of laboratories: in the words of a report, of one sample of one unit, kept with its file, amended openly."""

from datetime import date, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from hazmat.actions.bottles import hand_bottle, label_bottle
from hazmat.actions.units import correct_unit, log_unit
from hazmat.book.act import Refused
from hazmat.book.canonical import parsed
from hazmat.book.entry import Entry
from hazmat.book.prove import prove
from hazmat.core.telling import facts
from hazmat.core.unitnow import UnitNow
from hazmat.management.commands.explain import Command
from hazmat.models import Bottle, Person, Result, Yard
from hazmat.queries.units import UNITS
from tests.cast import LINE, ZONE, look_in, order
from tests.hazmat.signing import entered, filled, signed, the

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def logged_before(yard: Yard, boss: Person, line: dict[str, Any] = LINE, days: int = 2, **more: Any) -> UnitNow:
    """A unit that was logged some days ago."""
    when = timezone.now() - timedelta(days=days)
    one = order(yard.pk, boss.pk, happened_at=when)
    return the(log_unit(one, look=look_in(line=line, **more), place="NZ").the("hazmat.unit"))


# ------------------------------------------------------------------ the act


def test_a_low_result_is_judged_at_once_and_releases_nothing(yard: Yard, boss: Person) -> None:
    now = logged_before(yard, boss)
    assert (now.answer["class"], now.answer["basis"]) == ("undetermined", "undetermined")
    after = entered(yard, boss, now)
    assert (after.answer["class"], after.answer["basis"], after.answer["care"]) == ("up_to_50", "established", "lt2")
    assert (after.stands, after.held, after.waits) == ("hold", True, "verdict")
    assert (after.oil.klass, after.oil.known, after.oil.care) == ("undetermined", "untested", now.answer["care"])
    assert after.line == LINE
    entry = Entry.objects.get(verb="enter_result")
    assert [one["table"] for one in parsed(entry.body)["records"]] == ["hazmat.result", "hazmat.assessment"]
    assert [one["name"] for one in parsed(entry.body)["files"]] == ["report.pdf"]
    assert UNITS.fold([UUID(now.unit)])[UUID(now.unit)] == after
    assert prove().faults == []


def test_a_high_result_raises_whatever_was_presumed(yard: Yard, boss: Person) -> None:
    """62 mg/kg lies over the line of 50 of the notice of New Zealand: scenario of a laboratory that says 62."""
    after = entered(yard, boss, logged_before(yard, boss), "62")
    assert (after.answer["class"], after.answer["care"], after.oil.known) == ("over_50", "50_499", "high")
    assert any(task["act"] == "pcb_route" for task in after.answer["next"])


def test_of_two_results_the_higher_one_counts(yard: Yard, boss: Person) -> None:
    now = entered(yard, boss, logged_before(yard, boss), "62")
    assert entered(yard, boss, now, "1.2").answer["class"] == "over_50"


def test_a_result_of_a_bottle_takes_day_and_space_from_its_trail(yard: Yard, boss: Person) -> None:
    """Filled late in the evening of Auckland, which is the morning of the same day in UTC, and never the day after."""
    now = logged_before(yard, boss, {**LINE, "spaces": [{"name": "tap changer"}]}, days=3)
    evening = (timezone.now() - timedelta(days=1)).astimezone(ZoneInfo(ZONE)).replace(hour=23, minute=30)
    code = filled(yard, boss, now, evening, "tap changer")
    test = {"how": "laboratory", "value": "1.2", "unit": "mg/kg"}
    after = entered(yard, boss, now, test=test, bottle=code, reported_on=evening.date())
    (one,) = after.results
    assert (one.test["on"], one.test["space"], one.test["sample"]) == (evening.date().isoformat(), "tap changer", code)
    assert one.bottle == code
    assert "composite" not in one.test
    assert after.answer["basis"] == "undetermined", "the tank was not sampled"


def test_a_bottle_with_a_gap_in_its_trail_raises_and_never_proves(yard: Yard, boss: Person) -> None:
    now = logged_before(yard, boss, days=3)
    code = filled(yard, boss, now, timezone.now() - timedelta(days=1))
    key = Bottle.objects.get(code=code).pk
    for what in ("lost", "returned"):
        hand_bottle(order(yard.pk, boss.pk), bottle=key, what=what, place="NZ", names={"took": "Ben"})  # type: ignore[arg-type]
    told = {"test": {"how": "laboratory", "value": "1.2", "unit": "mg/kg"}, "bottle": code}
    today = timezone.now().astimezone(ZoneInfo(ZONE)).date()
    with pytest.raises(Refused, match="has a gap; tick that you know"):
        entered(yard, boss, now, **told, reported_on=today)
    after = entered(yard, boss, now, **told, reported_on=today, gap=True)
    assert after.results[0].test["composite"] is True
    assert after.answer["basis"] == "undetermined"
    high = {**told, "test": {"how": "laboratory", "value": "620", "unit": "mg/kg"}}
    assert entered(yard, boss, now, **high, reported_on=today, gap=True).answer["care"] == "ge500"


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"reported_on": date(2026, 1, 4)}, "is of 4 Jan 2026 and its sample was drawn on 5 Jan 2026"),
        ({"reported_on": date(2999, 1, 1)}, "has not come yet"),
        ({"bottle": "222222"}, "not of this unit"),
        ({"test": {"how": "laboratory", "value": "1", "unit": "mg/kg"}}, "Write the day on which the sample was drawn"),
        ({"test": {"how": "laboratory", "on": "2026-01-05", "space": "moon", "value": "1", "unit": "mg/kg"}}, "no oil"),
        ({"test": {"how": "laboratory", "on": "2026-01-05", "value": "1"}}, "without its unit"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(
    yard: Yard, boss: Person, more: dict[str, Any], says: str
) -> None:
    now = logged_before(yard, boss)
    before = Entry.objects.count()
    with pytest.raises(Refused, match=says):
        entered(yard, boss, now, **more)
    assert Entry.objects.count() == before


def test_the_day_of_the_sample_itself_and_today_are_taken(yard: Yard, boss: Person) -> None:
    now = logged_before(yard, boss)
    entered(yard, boss, now, reported_on=date(2026, 1, 5))
    today = timezone.now().astimezone(ZoneInfo(ZONE)).date()
    entered(yard, boss, now, reported_on=today)
    with pytest.raises(Refused, match="has not come yet"):
        entered(yard, boss, now, reported_on=today + timedelta(days=1))


def test_a_bottle_of_another_unit_or_one_that_was_never_filled_is_refused(yard: Yard, boss: Person) -> None:
    now, other = logged_before(yard, boss, days=3), logged_before(yard, boss, days=3)
    code = filled(yard, boss, other, timezone.now() - timedelta(days=1))
    empty = label_bottle(order(yard.pk, boss.pk), unit=UUID(now.unit), space="tank").the("hazmat.bottle")
    today = timezone.now().astimezone(ZoneInfo(ZONE)).date()
    with pytest.raises(Refused, match="not of this unit"):
        entered(yard, boss, now, bottle=code, reported_on=today)
    with pytest.raises(Refused, match="written down that this bottle was filled"):
        entered(yard, boss, now, bottle=Bottle.objects.get(pk=empty).code, reported_on=today)


def test_an_amended_report_takes_the_place_of_the_old_one_and_both_stay(yard: Yard, boss: Person) -> None:
    first = entered(yard, boss, logged_before(yard, boss))
    old = UUID(first.results[0].id)
    with pytest.raises(Refused, match="Say why"):
        entered(yard, boss, first, "62", replaces=old, why="  ")
    after = entered(yard, boss, first, "62", replaces=old, why="read off the wrong line", report=None)
    assert [one.test["value"] for one in after.results] == ["1.2", "62"]
    assert [one.test["value"] for one in after.counting] == ["62"]
    assert after.results[1].report == after.results[0].report != ""
    assert after.answer["class"] == "over_50"
    with pytest.raises(Refused, match="amended already"):
        entered(yard, boss, after, "3", replaces=old, why="again")
    with pytest.raises(Refused, match="amended already, or is of another unit"):
        entered(yard, boss, logged_before(yard, boss), "3", replaces=UUID(after.results[1].id), why="again")
    assert Result.objects.count() == 2
    assert prove().faults == []


def test_a_correction_keeps_the_results_and_says_what_is_presumed_without_them(yard: Yard, boss: Person) -> None:
    """In the US a unit of 2003 may be taken as below 50; written 1968 it is presumed 50 to 499 (40 CFR 761.2(a))."""
    line = {"kind": "transformer", "fluid": "mineral", "built": "2003", "found_in": "US-OR"}
    now = entered(yard, boss, logged_before(yard, boss, line), "12")
    assert (now.answer["class"], now.answer["basis"]) == ("below_50", "established")
    assert (now.oil.klass, now.oil.known) == ("below_50", "untested")
    look = look_in(line={**line, "built": "1968"})
    correct_unit(order(yard.pk, boss.pk), unit=UUID(now.unit), based_on=UUID(now.look), look=look, place="NZ")
    after = the(now.unit)
    assert (after.answer["class"], after.answer["basis"]) == ("below_50", "established")
    assert (after.oil.klass, after.oil.known) == ("50_to_499", "untested")
    assert UNITS.fold([UUID(now.unit)])[UUID(now.unit)] == after


# ------------------------------------------------------------------ what nobody signed lowers nothing

US = {"kind": "transformer", "fluid": "mineral", "built": "1990", "found_in": "US-OR"}
"""Built after 1 July 1979: by 40 CFR 761.2(a)(4) it may be taken as below 50 ppm."""


def counts_as(now: UnitNow) -> tuple[str, str, str]:
    return now.oil.klass, now.oil.care, now.oil.known


def amended(yard: Yard, boss: Person, now: UnitNow, value: str = "1.2") -> UnitNow:
    return entered(yard, boss, now, value, replaces=UUID(now.counting[-1].id), why="read from the wrong line")


def test_an_amended_report_lowers_nothing_before_somebody_signs(yard: Yard, boss: Person) -> None:
    now = entered(yard, boss, logged_before(yard, boss, US), "600")
    assert counts_as(now) == ("from_500", "ge500", "high")
    low = amended(yard, boss, now)
    assert low.answer["class"] == "below_50"
    assert counts_as(low) == ("from_500", "ge500", "untested")
    again = amended(yard, boss, low, "1.4")
    assert counts_as(again) == ("from_500", "ge500", "untested")
    released = signed(yard, boss, again)
    assert counts_as(released)[::2] == ("below_50", "low")
    assert UNITS.fold([UUID(now.unit)])[UUID(now.unit)] == released


def test_nothing_falls_below_a_route_that_stands(yard: Yard, boss: Person) -> None:
    """Signed without a result, on what the plate says; then the plate is read otherwise."""
    now = signed(yard, boss, logged_before(yard, boss, {**US, "fluid": "askarel"}), "pcb_route")
    look = look_in(line=US)
    correct_unit(order(yard.pk, boss.pk), unit=UUID(now.unit), based_on=UUID(now.look), look=look, place="NZ")
    after = the(now.unit)
    assert (after.answer["class"], after.stands) == ("below_50", "pcb_route")
    assert counts_as(after) == ("from_500", "ge500", "untested")
    high = signed(yard, boss, entered(yard, boss, logged_before(yard, boss, US), "600"), "pcb_route")
    assert counts_as(amended(yard, boss, high)) == ("from_500", "ge500", "untested")


def test_a_disputed_low_result_shows_nothing(yard: Yard, boss: Person) -> None:
    """A PCB mark speaks against 1.2 mg/kg (40 CFR 761.40: the mark is for PCB of 500 ppm or more)."""
    now = entered(yard, boss, logged_before(yard, boss, {**US, "built": "1968", "marks": ["pcb_mark"]}))
    assert (now.answer["class"], now.answer["care"]) == ("below_50", "ge500")
    assert counts_as(now) == ("from_500", "ge500", "untested")


def test_a_result_below_what_is_presumed_counts_once_its_route_is_signed(yard: Yard, boss: Person) -> None:
    """A transformer of 1968 with unknown fluid is taken as 500 ppm or more by 40 CFR 761.2(a)(3)."""
    line = {"kind": "transformer", "built": "1968", "found_in": "US-OR"}
    now = entered(yard, boss, logged_before(yard, boss, line), "62")
    assert counts_as(now) == ("from_500", "ge500", "untested")
    assert counts_as(signed(yard, boss, now, "pcb_route", evidence=[])) == ("from_500", "ge500", "untested")
    routed = signed(yard, boss, the(now.unit), "pcb_route")
    assert counts_as(routed) == ("50_to_499", "50_499", "high")
    assert counts_as(amended(yard, boss, routed)) == ("from_500", "ge500", "untested")


def test_a_figure_of_the_look_lowers_nothing_either(yard: Yard, boss: Person) -> None:
    """What was presumed of a unit of 1990 is not what is presumed of one of 1968."""
    lab = {"tests": [{"how": "laboratory", "on": "2026-01-05", "value": "1.2", "unit": "mg/kg"}]}
    now = logged_before(yard, boss, US)
    assert counts_as(now)[::2] == ("below_50", "untested")
    look = look_in(line={"kind": "transformer", "built": "1968", "found_in": "US-OR", **lab})
    correct_unit(order(yard.pk, boss.pk), unit=UUID(now.unit), based_on=UUID(now.look), look=look, place="NZ")
    assert the(now.unit).answer["class"] == "below_50"
    assert counts_as(the(now.unit)) == ("from_500", "ge500", "untested")


def test_tests_are_read_wherever_the_unit_is(yard: Yard, boss: Person, capsys: pytest.CaptureFixture[str]) -> None:
    """The page, `explain` and the facts of a paper say the same of a unit with results."""
    after = entered(yard, boss, logged_before(yard, boss))
    Command().handle(tag=after.tag, yard=None)
    said = capsys.readouterr().out
    assert f"Class {after.answer['class']}, established" in said
    assert "read otherwise" not in said
    for reason in after.answer["because"]:
        assert reason["says"] in said
    assert [one["value"] for one in facts(after) if one["name"] == "Tests"] == [
        "laboratory, 5 Jan 2026, tank: 1.2 mg/kg"
    ]
