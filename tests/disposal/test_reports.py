"""Reports after a year, certificates in time, and what one more year of storage asks, in the United States.

Expected days are worked by hand from the text: 40 CFR 761.65(a)(2) (notice 30 days before the first year ends,
attempts begun within 270 days), 761.218(b) (certificate within 30 days of completed disposal), 761.219(a) and (b)
(handed over within 9 months of removal, certificate within 13 months, disposal within 1 year, report within 45 days).
That months end on the same day of the month, and that a certificate counts from the day on which it came, is a house
rule.
"""

import io
import json
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
import time_machine
from django.core.management import call_command
from django.test import Client

from disposal.actions.certificates import close_load, enter_certificate
from disposal.actions.handing import receive_load
from disposal.core.clocks import Clock, Sent, Unclocked, certificate_due, report_of
from disposal.core.loadin import Arrived, Line
from disposal.core.loadnow import CertificateNow
from disposal.queries.due import due, late_by, soon
from hazmat import rulebooks
from hazmat.core.codes import spaced
from hazmat.core.law import LawDay
from hazmat.models import Person, Yard
from tests.cast import ZONE, opened
from tests.disposal.sending import Sender, now, unit_now
from tests.disposal.test_load_pages import text

REMOVED = date(2026, 1, 20)


def law(name: str, on: date) -> LawDay:
    return LawDay(rulebooks.rulebook(name), on)


def asked(handed: date, on: date = date(2027, 2, 21), book: str = "us", **more: Any) -> Clock | Unclocked | None:
    told: dict[str, Any] = {"removed": REMOVED, "klass": "from_500", **more}
    sent = Sent(thing="unit", code="K7M4PX", rulebook=book, handed=handed, **told)
    return report_of(sent, law(book, on), law("handling", on))


def clock(handed: date, on: date = date(2027, 2, 21), **more: Any) -> Clock:
    found = asked(handed, on, **more)
    assert isinstance(found, Clock)
    return found


def test_handed_over_on_the_last_day_of_nine_months_and_no_certificate() -> None:
    """9 months after 2026-01-20 is 2026-10-20, 13 months 2027-02-20, and 45 days on from there 2027-04-06."""
    found = clock(date(2026, 10, 20))
    assert (found.name, found.start, found.due, found.law) == (
        "report_no_certificate",
        date(2027, 2, 20),
        date(2027, 4, 6),
        True,
    )
    assert found.says.cite.startswith("40 CFR 761.219(b)")
    assert [note.basis for note in found.notes] == ["judgement"]
    assert "within 45 days of that day" in found.says.says


def test_handed_over_a_day_later_the_facility_reports() -> None:
    """The year ends on 2027-01-20, and 45 days on from there is 2027-03-06."""
    found = clock(date(2026, 10, 21))
    assert (found.name, found.start, found.due) == ("report_of_facility", date(2027, 1, 20), date(2027, 3, 6))
    assert found.says.cite.startswith("40 CFR 761.219(a)")
    in_time = {"certified": date(2027, 2, 1), "disposed": date(2027, 1, 20)}
    assert asked(date(2026, 10, 21), **in_time) is None
    late = clock(date(2026, 10, 21), certified=date(2027, 2, 1), disposed=date(2027, 1, 21))
    assert (late.name, late.due) == ("report_of_facility", date(2027, 3, 6))


def test_a_certificate_that_shows_disposal_after_the_year() -> None:
    """2027-01-21 lies after 2027-01-20; the certificate came on 2027-02-01, and 45 days on from there is 2027-03-18."""
    handed, came = date(2026, 6, 1), date(2027, 2, 1)
    found = clock(handed, certified=came, disposed=date(2027, 1, 21))
    assert (found.name, found.start, found.due) == ("report_late_disposal", came, date(2027, 3, 18))
    assert asked(handed, certified=came, disposed=date(2027, 1, 20)) is None


def test_a_certificate_that_came_on_the_last_day_of_thirteen_months_and_a_day_later() -> None:
    handed, disposed = date(2026, 6, 1), date(2026, 12, 1)
    assert asked(handed, certified=date(2027, 2, 20), disposed=disposed) is None
    found = clock(handed, certified=date(2027, 2, 21), disposed=disposed)
    assert (found.name, found.due) == ("report_no_certificate", date(2027, 4, 6))


@pytest.mark.parametrize(
    ("on", "words", "overdue"),
    [
        (date(2027, 2, 19), "not begun", False),
        (date(2027, 2, 20), "45 days left", False),
        (date(2027, 4, 5), "1 day left", False),
        (date(2027, 4, 6), "last day today", False),
        (date(2027, 4, 7), "overdue by 1 day", True),
    ],
)
def test_both_sides_of_its_first_and_last_day(on: date, words: str, overdue: bool) -> None:
    found = clock(date(2026, 10, 20), on)
    assert (found.words, found.overdue) == (words, overdue)


def test_a_month_without_that_day_ends_on_its_last() -> None:
    """Nine months after 31 May 2026 is 28 February 2027: the earlier of the two readings."""
    removed = date(2026, 5, 31)
    assert clock(date(2027, 2, 28), removed=removed).name == "report_no_certificate"
    assert clock(date(2027, 3, 1), removed=removed).name == "report_of_facility"


def test_what_has_no_report() -> None:
    handed = date(2026, 6, 1)
    assert asked(handed, klass="below_50") is None
    assert asked(handed, book="nz", klass="undetermined") is None
    assert (
        report_of(Sent(thing="unit", code="K", klass="x", rulebook="", handed=handed), None, law("us", handed)) is None
    )
    assert isinstance(asked(handed, removed=None), Unclocked)
    assert clock(handed, klass="undetermined").name == "report_no_certificate"
    assert clock(handed, klass="50_to_499").name == "report_no_certificate"


def test_the_last_day_of_a_certificate() -> None:
    """Disposal complete on 2026-11-25: 30 days on from there is 2026-12-25."""
    assert certificate_due(date(2026, 11, 25), law("us", date(2026, 12, 1))) == date(2026, 12, 25)
    assert certificate_due(date(2026, 11, 25), law("nz", date(2026, 12, 1))) is None
    assert certificate_due(date(2026, 11, 25), None) is None


@pytest.mark.parametrize(
    ("issued", "done", "place", "late"),
    [
        ("2026-12-25", "2026-11-25", "US-OR", False),
        ("2026-12-26", "2026-11-25", "US-OR", True),
        ("2026-12-26", "", "US-OR", False),
        ("2026-12-26", "2026-11-25", "NZ", False),
        ("2026-12-26", "2026-11-25", "FJ", False),
    ],
)
def test_a_certificate_that_is_dated_late(issued: str, done: str, place: str, late: bool) -> None:
    found = late_by(CertificateNow(id="c", number="CD-1", issued_on=issued, done_on=done), place)
    assert (found is not None) == late
    if found:
        assert found.last == date(2026, 12, 25)
        assert found.says.cite.startswith("40 CFR 761.218(b)")


# ------------------------------------------------------------------ in a yard


def at(year: int, month: int, day: int) -> datetime:
    return datetime(year, month, day, 12, 0, tzinfo=ZoneInfo(ZONE))


US = {"line": {"kind": "capacitor", "built": "1970", "found_in": "US-OR", "decided_waste": "2026-01-20"}}
"""A capacitor of 1970 is taken as 500 ppm or more: 40 CFR 761.2(a)(3)."""


def handed(boss: Person, *units: dict[str, Any]) -> tuple[Sender, UUID]:
    """A yard in Oregon, and a load that was handed over on 20 October 2026."""
    sender = Sender(opened(boss, "Oregon Yard", "US", state="US-OR").pk, boss.pk)
    sender.now = at(2026, 10, 20)
    load = sender.load(*(sender.unit(**one) for one in units))
    sender.signed(load, "yard", "carrier", "facility")
    return sender, load


@pytest.mark.django_db
def test_the_page_next_and_the_command_tell_of_it(boss: Person, capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    with time_machine.travel(at(2027, 3, 20), tick=False):
        sender, load = handed(boss, US, US)
        one, back = now(load).items
        sender.now = at(2026, 10, 22)
        lines = [Arrived(item=UUID(one.id), arrival="yes"), Arrived(item=UUID(back.id), arrival="refused")]
        receive_load(sender.order(), load=load, lines=lines)
        reports = [told for told in due(sender.yard, date(2027, 3, 20)).clocks if told.name.startswith("report")]
        assert [(told.code, told.due) for told in reports] == [(one.code, date(2027, 4, 6))]
        assert one.code in [told.code for told in soon(sender.yard, date(2027, 3, 20))]
        code, client = Yard.objects.get(pk=sender.yard).code, Client()
        client.force_login(boss)
        page = " ".join(text(client.get(f"/{code}/clocks/")).split())
        assert "17 days left last day 6 Apr 2027" in page
        assert "No certificate by, 20 Feb 2027" in page
        assert f"Unit {spaced(one.code)}: 17 days left" in text(client.get(f"/{code}/"))
        call_command("due", "--on", "2027-03-20", "--format", "jsonl", stdout=io.StringIO())
        told = [json.loads(line) for line in capfdbinary.readouterr().out.splitlines()]
        assert [row["due"] for row in told if row["name"] == "report_no_certificate"] == ["2027-04-06"]


@pytest.mark.django_db
def test_it_ends_with_its_load(boss: Person) -> None:
    """The certificate came on 2027-02-01 and names 2027-01-21, a day after the year: report by 2027-03-18."""

    def reports(sender: Sender) -> list[tuple[str, date]]:
        found = due(sender.yard, date(2027, 2, 21)).clocks
        return [(one.name, one.due) for one in found if one.name.startswith("report")]

    with time_machine.travel(at(2027, 2, 21), tick=False):
        sender, load = handed(boss, US)
        sender.now = at(2026, 10, 22)
        sender.arrived(load, "yes")
        assert reports(sender) == [("report_no_certificate", date(2027, 4, 6))]
        sender.now = at(2027, 2, 1) - timedelta(seconds=1)
        lines = [Line(written=unit_now(now(load).items[0].of).tag)]
        enter_certificate(
            sender.order(),
            load=load,
            number="CD-1",
            issued_on=date(2027, 1, 30),
            done_on=date(2027, 1, 21),
            lines=lines,
        )
        assert reports(sender) == [("report_late_disposal", date(2027, 3, 18))]
        close_load(sender.order(), load=load)
        assert reports(sender) == []
