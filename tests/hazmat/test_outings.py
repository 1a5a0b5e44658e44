"""Out alone: who is told when, putting it off, coming back, across time zones and changes of clock."""

import re
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import time_machine
from django.test import Client
from django.utils import timezone

from hazmat.actions.outings import come_back
from hazmat.actions.people import erase_aside, open_yard
from hazmat.book.act import Refused
from hazmat.book.entry import Entry
from hazmat.book.ids import new_id
from hazmat.models import Outing, Yard
from hazmat.queries.outings import open_outings
from tests.browsing import at, token
from tests.cast import ZONE, Cast, opened, order, person
from tests.hazmat.crewing import People

pytestmark = pytest.mark.django_db
SECOND = timedelta(seconds=1)


@pytest.fixture
def crew(cast: Cast) -> People:
    return People(cast)


def text_of(answer: Any) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())).split())


def late(crew: People, who: str, now: datetime) -> list[str]:
    return [one for one in crew.lines(who, now) if "due back" in one]


def test_before_the_moment_only_that_person_is_told_and_from_it_on_the_office_too(crew: People) -> None:
    due = timezone.now() + timedelta(hours=2)
    crew.out("technician")
    due = Outing.objects.latest("entry__seq").due_back
    for who in ("boss", "manager", "safety_officer"):
        assert late(crew, who, due - SECOND) == []
        (line,) = late(crew, who, due)
        assert line.startswith("Technician was due back")
        assert line.endswith("ring Technician now, then the person named, then the emergency service of the place")
        assert crew.lines(who, due)[0] == line
    for who in ("yard_hand", "visitor"):
        assert late(crew, who, due) == []
    assert late(crew, "technician", due - SECOND)[0].endswith("say when you are back, or put it off")
    assert "come back now, or put it off" in late(crew, "technician", due)[0]


def test_it_is_said_in_the_time_of_the_yard(crew: People) -> None:
    with time_machine.travel(datetime(2026, 11, 27, 1, 0, tzinfo=UTC), tick=False):
        crew.out("technician", timedelta(minutes=90))
        assert "due back 27 Nov 2026, 15:30" in late(crew, "technician", timezone.now())[0]


def test_coming_back_ends_it(crew: People) -> None:
    outing = crew.out("technician")
    come_back(crew.order("technician"), outing=outing)
    assert late(crew, "manager", timezone.now() + timedelta(days=1)) == []
    with pytest.raises(Refused, match="back already"):
        come_back(crew.order("technician"), outing=outing)


def test_going_again_puts_it_off_and_the_first_one_counts_no_more(crew: People) -> None:
    first = crew.out("technician", timedelta(hours=1))
    second = crew.out("technician", timedelta(hours=3))
    assert [one.id for one in open_outings(crew.yard)] == [str(second)]
    assert Outing.objects.get(pk=second).replaces_id == first
    assert late(crew, "manager", timezone.now() + timedelta(hours=2)) == []
    with pytest.raises(Refused, match="put it off meanwhile"):
        come_back(crew.order("technician"), outing=first)


def test_two_people_out_are_two_lines_soonest_first(crew: People) -> None:
    crew.out("technician", timedelta(hours=2))
    crew.out("yard_hand", timedelta(hours=1))
    told = late(crew, "manager", timezone.now() + timedelta(hours=3))
    assert [one.partition(" was")[0] for one in told] == ["Yard Hand", "Technician"]


def test_who_may_say_that_somebody_is_back(crew: People) -> None:
    outing = crew.out("technician")
    with pytest.raises(Refused, match="Only that person"):
        come_back(crew.order("yard_hand"), outing=outing)
    come_back(crew.order("safety_officer"), outing=outing)


def test_nobody_is_back_before_leaving(crew: People) -> None:
    outing = crew.out("technician")
    with pytest.raises(Refused, match="before that person went out"):
        come_back(crew.order("technician", happened_at=timezone.now() - timedelta(hours=1)), outing=outing)


@pytest.mark.parametrize(
    ("due", "more", "says"),
    [
        (timedelta(0), {}, "has passed already"), (timedelta(days=-1), {"meant": True}, "has passed already"),
        (timedelta(hours=24, minutes=1), {}, "more than 24 hours"), (timedelta(hours=1), {"where": " "}, "Write where"),
    ],
)  # fmt: skip
def test_what_is_not_taken(crew: People, due: timedelta, more: dict[str, Any], says: str) -> None:
    before = Entry.objects.count()
    with time_machine.travel(datetime(2026, 11, 27, 1, 0, tzinfo=UTC), tick=False), pytest.raises(Refused, match=says):
        crew.out("technician", due, **more)
    assert Entry.objects.count() == before


def test_a_day_is_taken_and_more_where_it_is_meant(crew: People) -> None:
    with time_machine.travel(datetime(2026, 11, 27, 1, 0, tzinfo=UTC), tick=False):
        crew.out("technician", timedelta(hours=24))
        crew.out("technician", timedelta(days=3), meant=True)


def test_a_unit_of_another_yard_is_none(crew: People) -> None:
    with pytest.raises(Refused, match="no such unit"):
        crew.out("technician", unit=crew.yard)


def test_where_and_whom_stand_apart_and_can_be_erased(crew: People) -> None:
    outing = crew.out("technician", where="Pukeko Paddock", whom="Aroha, +64 0")
    body = Entry.objects.latest("seq").body
    assert "Pukeko" not in body
    assert "Aroha" not in body
    erase_aside(crew.order(), record=outing, why="asked for")
    (left,) = open_outings(crew.yard)
    assert (left.where, left.whom) == ("", "")
    page = text_of(crew.cast.client("manager").get(at(crew.cast, "out")))
    assert "not on record any more" in page


# ------------------------------------------------------------------ pages


def going(crew: People, **more: Any) -> Any:
    client, path = crew.cast.client("technician"), at(crew.cast, "out")
    form = client.get(path).content.decode().rpartition('<form method="post" novalidate>')[2]
    return client.post(path, {"act": token(form), "where": "Pukeko Paddock", **more}, follow=True)


@pytest.mark.parametrize("zone", ["Pacific/Auckland", "Australia/Lord_Howe", "America/St_Johns", "Asia/Kathmandu"])
def test_a_typed_moment_is_one_of_the_zone_of_the_yard(crew: People, zone: str) -> None:
    now, one = datetime(2026, 11, 27, 10, 0, tzinfo=ZoneInfo(zone)), person("zoned")
    with time_machine.travel(now, tick=False):
        seen = open_yard(order(new_id(), one.pk, zone=zone), name="Zoned", country="AU")
        yard = Yard.objects.get(pk=seen.yard)
        client = Client()
        client.force_login(one)
        path = f"/{yard.code}/out/"
        form = client.get(path).content.decode().rpartition('<form method="post" novalidate>')[2]
        told = {"act": token(form), "where": "the creek", "due_back": "2026-11-27T12:30"}
        assert client.post(path, told).status_code == 302
    assert Outing.objects.get(yard=yard).due_back - now == timedelta(hours=2, minutes=30)


def test_the_page_refuses_in_words_and_keeps_what_was_typed(crew: People) -> None:
    with time_machine.travel(datetime(2026, 9, 26, 20, 0, tzinfo=ZoneInfo(ZONE)), tick=False):
        for typed, says in (
            ("", "Write when you are due back"), ("2026-09-27T02:30", "never comes"),
            ("2026-09-26T19:59", "has passed already"), ("2026-09-29T20:00", "tick that it is meant"),
            ("soon", "This is no day and time"),
        ):  # fmt: skip
            back = going(crew, due_back=typed)
            assert back.status_code == 422
            assert says in text_of(back)
            assert "Pukeko Paddock" in back.content.decode()
        done = going(crew, due_back="2026-09-29T20:00", meant="on")
        assert "Somebody went out alone, due back 29 Sep 2026, 20:00." in text_of(done)


def test_the_page_says_what_to_do_in_order(crew: People) -> None:
    crew.out("technician", whom="Aroha, +64 0")
    crew.out("yard_hand", whom="")
    with time_machine.travel(timezone.now() + timedelta(hours=3)):
        page = text_of(crew.cast.client("manager").get(at(crew.cast, "out")))
    assert (
        "Ring Technician now. No answer: ring the person named, Aroha, +64 0. Still nothing: ring the emergency" in page
    )
    assert "Ring Yard Hand now. No answer, and nobody was named: ring the emergency service" in page
    assert "I spoke to Technician, who is back or well" in page


def test_back_by_the_page(crew: People) -> None:
    outing = crew.out("technician")
    client = crew.cast.client("technician")
    page = client.get(at(crew.cast, "out")).content.decode()
    act = unescape(re.findall(r'back/"><input[^>]+><input type="hidden" name="act" value="([^"]+)"', page)[0])
    done = client.post(at(crew.cast, "come_back", outing=outing), {"act": act}, follow=True)
    assert "Somebody who was out alone is back." in text_of(done)
    assert open_outings(crew.yard) == []


def test_words_typed_with_braces_are_words(crew: People) -> None:
    crew.out("technician", whom="{due} {nobody}")
    with time_machine.travel(timezone.now() + timedelta(hours=3)):
        answer = crew.cast.client("manager").get(at(crew.cast, "out"))
    assert "ring the person named, {due} {nobody}." in text_of(answer)


def test_a_visitor_does_not_see_where_anybody_is(crew: People) -> None:
    assert crew.cast.client("visitor").get(at(crew.cast, "out")).status_code == 403


def test_alone_in_a_book_one_is_told_that_nobody_reads_it(crew: People) -> None:
    told = "Nobody else works in this book, so nobody reads here that you are late"
    assert told not in text_of(crew.cast.client("technician").get(at(crew.cast, "out")))
    lone = person("lone")
    client = Client()
    client.force_login(lone)
    assert told in text_of(client.get(f"/{opened(lone, 'Van').code}/out/"))
