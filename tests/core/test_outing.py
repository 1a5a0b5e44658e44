"""Out alone: due back in the time of a yard, across its zone and its changes of clock.

The instants of the changes are those that the authorities of each place announced: 29 Mar and 25 Oct 2026 in London,
8 Mar and 1 Nov 2026 in Los Angeles, 27 Sep 2026 and 4 Apr 2027 in Auckland, half an hour on Lord Howe Island.
"""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo, available_timezones

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat import rulebooks
from hazmat.core.law import LawDay
from hazmat.core.outing import OutNow, due_refusal, instant_of

HOUSE = LawDay(rulebooks.rulebook(rulebooks.HANDLING), date(2026, 11, 27))
NOW = datetime(2026, 11, 27, 1, 0, tzinfo=UTC)
ENDS = [("9999-12-31 23:00", "America/Los_Angeles"), ("0001-01-01 00:30", "Asia/Tokyo")]
ZONES = sorted(zone for zone in available_timezones() if "/" in zone and not zone.startswith("Etc/"))


def typed(written: str) -> datetime:
    """A day and time as a box gives it, without a zone."""
    return datetime.fromisoformat(written)


@pytest.mark.parametrize(
    ("written", "zone", "utc"),
    [
        ("2026-11-27 14:00", "Pacific/Auckland", "2026-11-27 01:00"),
        ("2026-11-27 14:00", "Europe/London", "2026-11-27 14:00"),
        ("2026-06-01 14:00", "Europe/London", "2026-06-01 13:00"),
        ("2026-11-27 14:00", "Australia/Adelaide", "2026-11-27 03:30"),
        # it comes twice: the first of the two
        ("2026-10-25 01:30", "Europe/London", "2026-10-25 00:30"),
        ("2026-11-01 01:30", "America/Los_Angeles", "2026-11-01 08:30"),
        ("2027-04-04 02:30", "Pacific/Auckland", "2027-04-03 13:30"),
        ("2027-04-04 01:45", "Australia/Lord_Howe", "2027-04-03 14:45"),
        # just before and after the hour that never comes
        ("2026-03-29 00:59", "Europe/London", "2026-03-29 00:59"),
        ("2026-03-29 02:00", "Europe/London", "2026-03-29 01:00"),
        ("2026-09-27 03:00", "Pacific/Auckland", "2026-09-26 14:00"),
    ],
)
def test_a_typed_time_is_an_instant(written: str, zone: str, utc: str) -> None:
    found = instant_of(typed(written), ZoneInfo(zone))
    assert found == typed(utc).replace(tzinfo=UTC)


@pytest.mark.parametrize(
    ("written", "zone"),
    [
        ("2026-03-29 01:00", "Europe/London"), ("2026-03-29 01:59", "Europe/London"),
        ("2026-03-08 02:30", "America/Los_Angeles"), ("2026-09-27 02:30", "Pacific/Auckland"),
        ("2026-10-04 02:15", "Australia/Lord_Howe"),
    ],
)  # fmt: skip
def test_a_time_that_the_clocks_leave_out_is_refused(written: str, zone: str) -> None:
    with pytest.raises(ValueError, match="never comes; write an hour before or after"):
        instant_of(typed(written), ZoneInfo(zone))


@pytest.mark.parametrize(("written", "zone"), ENDS)
def test_the_ends_of_the_calendar_are_refused(written: str, zone: str) -> None:
    with pytest.raises(ValueError, match="end of the calendar"):
        instant_of(typed(written), ZoneInfo(zone))


@given(st.datetimes(typed("2020-01-01"), typed("2037-12-31")), st.sampled_from(ZONES))
def test_in_every_zone_the_clock_shows_what_was_typed_or_nothing_is_taken(local: datetime, name: str) -> None:
    zone = ZoneInfo(name)
    try:
        found = instant_of(local, zone)
    except ValueError:
        either_side = [local + step * timedelta(hours=3) for step in (-1, 1)]
        before, after = (one.replace(tzinfo=zone).utcoffset() for one in either_side)
        assert before != after, "refused on a day without a change of clock"
        return
    assert found.astimezone(zone).replace(tzinfo=None) == local
    earlier = [found - timedelta(minutes=step) for step in range(30, 181, 30)]
    assert all(one.astimezone(zone).replace(tzinfo=None) != local for one in earlier), "the second of two was taken"


# ------------------------------------------------------------------ what can be written down


@pytest.mark.parametrize(
    ("away", "meant", "refused"),
    [
        (timedelta(seconds=-1), False, "has passed"), (timedelta(0), True, "has passed"),
        (timedelta(seconds=1), False, ""), (timedelta(hours=24), False, ""),
        (timedelta(hours=24, seconds=1), False, "more than 24 hours"), (timedelta(hours=24, seconds=1), True, ""),
        (timedelta(days=9), True, ""),
    ],
)  # fmt: skip
def test_due_back(away: timedelta, meant: bool, refused: str) -> None:
    says = due_refusal(NOW, NOW + away, meant, HOUSE)
    assert (refused in says) if refused else says == ""


def test_a_day_with_25_hours_is_more_than_24_hours() -> None:
    """From noon to noon over the night in which London puts its clocks back."""
    left, due = (instant_of(typed(f"2026-10-{day} 12:00"), ZoneInfo("Europe/London")) for day in (24, 25))
    assert due - left == timedelta(hours=25)
    assert due_refusal(left, due, False, HOUSE)
    spring = [instant_of(typed(f"2026-03-{day} 12:00"), ZoneInfo("Europe/London")) for day in (28, 29)]
    assert due_refusal(*spring, False, HOUSE) == ""  # type: ignore[misc]  # two instants


def test_late_from_the_very_moment_on() -> None:
    out = OutNow(id="1", person="p", called="Ana", left_at=NOW - timedelta(hours=1), due_back=NOW)
    assert not out.late(NOW - timedelta(seconds=1))
    assert out.late(NOW)
    assert out.late(NOW.astimezone(ZoneInfo("Pacific/Auckland")))
