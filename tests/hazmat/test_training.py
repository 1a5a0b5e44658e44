"""Training written down, corrected and run out; work let go ahead; who may do what; the pages."""

import re
from datetime import date, datetime, timedelta
from html import unescape
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from hazmat.actions.people import end_member
from hazmat.actions.training import record_training
from hazmat.book.act import Refused
from hazmat.book.aside import words_of
from hazmat.book.entry import Entry
from hazmat.core.bulk import COLUMN_VALUES
from hazmat.models import Member, Override, Training
from hazmat.queries.training import may_now, who_may
from hazmat.roles import WORK
from tests.browsing import at, jpeg, token
from tests.cast import ZONE, Cast, file_of, opened, order, person
from tests.hazmat.crewing import DAY, People

pytestmark = pytest.mark.django_db


@pytest.fixture
def crew(cast: Cast) -> People:
    return People(cast)


def text_of(answer: Any) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())).split())


def word(crew: People, who: str, work: str, care: str = "lt2", on: date | None = None) -> str:
    found = may_now(crew.yard, crew.id(who), work, care, on or crew.today, None)
    assert found is not None
    return found.word


def test_every_work_is_somebodys_and_the_table_knows_the_same_works() -> None:
    assert set(WORK) == set(COLUMN_VALUES["work"])
    assert {work for work, who in WORK.items() if not who} == {"fire"}
    assert all("visitor" not in who for who in WORK.values())


# ------------------------------------------------------------------ written down


def test_training_lets_somebody_work_and_who_gave_it_stands_apart(crew: People) -> None:
    assert word(crew, "technician", "sample") == "no"
    crew.trained("technician", "sampling", given_by="A Teacher")
    assert word(crew, "technician", "sample") == "yes"
    record = Training.objects.get(person=crew.id("technician"))
    assert words_of([record.pk]) == {"given_by": "A Teacher"}
    assert "A Teacher" not in Entry.objects.latest("seq").body


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"kind": "juggling"}, "not known here"),
        ({"until": date(2020, 1, 4)}, "run out before it was done"),
        ({"done_on": date(2999, 1, 1)}, "has not come yet"),
    ],
)
def test_what_cannot_be_is_refused(crew: People, more: dict[str, Any], says: str) -> None:
    told = {"kind": "sampling", "done_on": date(2020, 1, 5), **more}
    with pytest.raises(Refused, match=says):
        record_training(crew.order(), person=crew.id("technician"), **told)


def test_the_day_is_that_of_the_yard(crew: People) -> None:
    """At noon in London of 27 Nov it is 28 Nov in Auckland already: that day may stand there, the next may not."""
    noon = datetime(2026, 11, 27, 12, 0, tzinfo=ZoneInfo("Europe/London"))
    asked = crew.order(happened_at=noon)
    told = {"person": crew.id("technician"), "kind": "sampling"}
    with pytest.raises(Refused, match="has not come yet"):
        record_training(asked, done_on=date(2026, 11, 29), **told)
    record_training(crew.order(happened_at=noon), done_on=date(2026, 11, 28), **told)


def test_only_somebody_of_this_yard_is_trained_here(crew: People) -> None:
    with pytest.raises(Refused, match="Nobody of this yard"):
        crew.trained("outsider", "sampling")


def test_a_correction_stands_in_its_place_once(crew: People) -> None:
    crew.trained("technician", "sampling", until=crew.today - DAY)
    old = Training.objects.get(person=crew.id("technician"))
    crew.trained("technician", "sampling", until=crew.today, replaces=old.pk)
    assert word(crew, "technician", "sample") == "yes"
    with pytest.raises(Refused, match="corrected meanwhile"):
        crew.trained("technician", "sampling", replaces=old.pk)
    with pytest.raises(Refused, match="corrected meanwhile"):
        crew.trained("yard_hand", "sampling", replaces=old.pk)


# ------------------------------------------------------------------ run out, and let through


def test_the_last_day_counts_whole(crew: People) -> None:
    crew.trained("technician", "sampling", until=crew.today)
    assert word(crew, "technician", "sample") == "yes"
    assert word(crew, "technician", "sample", on=crew.today + DAY) == "no"


def test_what_ran_out_is_let_through_until_the_end_of_that_day_for_that_work_alone(crew: People) -> None:
    crew.trained("technician", "sampling", "screening", until=crew.today - DAY)
    crew.let("technician")
    assert word(crew, "technician", "sample") == "let"
    assert word(crew, "technician", "screen") == "no"
    assert word(crew, "technician", "sample", on=crew.today + DAY) == "no"
    assert Override.objects.get().on == crew.today


def test_at_one_unit_is_not_everywhere(crew: People) -> None:
    crew.trained("technician", "sampling", until=crew.today - DAY)
    crew.let("technician", unit=crew.unit)
    assert word(crew, "technician", "sample") == "no"
    found = may_now(crew.yard, crew.id("technician"), "sample", "lt2", crew.today, crew.unit)
    assert found is not None
    assert found.word == "let"


@pytest.mark.parametrize(
    ("who", "more", "says"),
    [
        ("technician", {}, "Nothing that this work needs has run out"),
        ("technician", {"reason": "  "}, "Write why it cannot wait"),
        ("technician", {"work": "juggle"}, "Pick which work"),
        ("yard_hand", {}, "no work of that person"),
        ("technician", {"work": "fire"}, "no work of that person"),
        ("outsider", {}, "Nobody of this yard"),
    ],
)
def test_what_is_not_let_through(crew: People, who: str, more: dict[str, Any], says: str) -> None:
    """Training that nobody wrote down counts as not trained, and no word stands in for it."""
    with pytest.raises(Refused, match=says):
        crew.let(who, **more)


def test_it_is_told_on_the_day_book(crew: People) -> None:
    crew.trained("technician", "sampling", until=crew.today - DAY)
    crew.let("technician", reason="the pan is full")
    told = text_of(crew.cast.client("visitor").get(at(crew.cast, "day_book")))
    assert "Technician may go ahead on" in told
    assert "although training ran out: draw a sample, anywhere in this yard; why: the pan is full." in told


# ------------------------------------------------------------------ a lone book


def test_alone_ones_own_word_counts_and_is_told_as_such(db: None) -> None:
    lone = person("lone", "Lone Larkin")
    yard = opened(lone, "Van")
    told = {"person": lone.pk, "kind": "sampling", "done_on": date(2020, 1, 5)}
    record_training(order(yard.pk, lone.pk), **told)
    (mine,) = who_may(yard.pk, date(2026, 11, 27), "lt2", stores=False)
    assert mine.may["sample"].word == "yes"
    assert mine.own == ("sampling",)
    assert "drums" not in mine.may
    client = Client()
    client.force_login(lone)
    page = text_of(client.get(f"/{yard.code}/people/may/?care=lt2"))
    assert "You work alone in this book, so your own word counts" in page
    assert "Said by Lone Larkin in person: Oil sampling." in page


# ------------------------------------------------------------------ Next


@pytest.mark.parametrize(("days", "says"), [(31, ""), (30, "runs out on"), (0, "runs out on"), (-1, "ran out on")])
def test_next_says_so_thirty_days_before_and_once_it_ran_out(crew: People, days: int, says: str) -> None:
    crew.trained("technician", "sampling", until=crew.today + days * DAY)
    for who, whose in (("technician", "Your training"), ("manager", "Training of Technician")):
        found = [one for one in crew.lines(who) if one.startswith(whose)]
        assert len(found) == bool(says)
        assert all(says in one for one in found)
    assert not [one for one in crew.lines("yard_hand") if "training" in one.lower()]


def test_a_refresher_takes_the_line_away(crew: People) -> None:
    crew.trained("technician", "sampling", until=crew.today - DAY)
    crew.trained("technician", "sampling", until=crew.today + 90 * DAY, done_on=date(2026, 1, 1))
    assert not [one for one in crew.lines("technician") if "training" in one.lower()]


def test_who_left_is_named_no_more(crew: People) -> None:
    crew.trained("technician", "sampling", until=crew.today - DAY)
    end_member(crew.order(), member=Member.objects.get(person=crew.id("technician")).pk)
    assert not [one for one in crew.lines("manager") if "Training of Technician" in one]


# ------------------------------------------------------------------ pages


def test_the_form_keeps_what_was_typed_and_the_certificate(crew: People) -> None:
    client, cast = crew.cast.client("safety_officer"), crew.cast
    path = at(cast, "record_training", person=crew.id("technician"))
    sent = {"act": token(client.get(path).content.decode()), "kind": "sampling", "done_on": "", "given_by": "A Teacher"}
    back = client.post(path, {**sent, "report": jpeg()})
    assert back.status_code == 422
    assert "Write the day on which it was done" in text_of(back)
    assert "A Teacher" in back.content.decode()
    assert "is kept; you need not send it again" in text_of(back)
    done = client.post(path, {**sent, "done_on": "2026-01-05", "until": "2028-01-05"}, follow=True)
    assert "Training of Technician was written down: oil sampling, done on 5 Jan 2026" in text_of(done)
    found = Training.objects.get(person=crew.id("technician"))
    assert found.certificate_kind == "picture"
    opened_file = client.get(at(cast, "training_certificate", training=found.pk))
    assert opened_file["Content-Type"] == "image/jpeg"
    assert file_of(opened_file)[:2] == b"\xff\xd8"
    assert cast.client("visitor").get(at(cast, "training_certificate", training=found.pk)).status_code == 403


@pytest.mark.parametrize("role", ["technician", "yard_hand", "visitor"])
def test_only_the_office_writes_training_down(crew: People, role: str) -> None:
    path = at(crew.cast, "record_training", person=crew.id("technician"))
    before = Entry.objects.count()
    assert crew.cast.client(role).post(path, {"kind": "dead", "done_on": "2020-01-05"}).status_code == 403
    assert Entry.objects.count() == before


def test_a_visitor_sees_training_without_who_gave_it(crew: People) -> None:
    crew.trained("technician", "sampling", given_by="A Teacher")
    path = at(crew.cast, "training", person=crew.id("technician"))
    assert "A Teacher" in text_of(crew.cast.client("yard_hand").get(path))
    assert "A Teacher" not in text_of(crew.cast.client("visitor").get(path))


def test_a_file_that_is_none_is_refused_in_words(crew: People) -> None:
    client = crew.cast.client("manager")
    path = at(crew.cast, "record_training", person=crew.id("technician"))
    sent = {"act": token(client.get(path).content.decode()), "kind": "sampling", "done_on": "2026-01-05"}
    bad = client.post(path, {**sent, "report": SimpleUploadedFile("card.pdf", b"nothing of the sort")})
    assert bad.status_code == 422
    assert "A report is a PDF or a picture of it" in text_of(bad)


def test_the_page_of_who_may_what_has_a_word_and_a_reason_for_each(crew: People) -> None:
    crew.trained("technician", "sampling", "raised_care", until=crew.today)
    page = text_of(crew.cast.client("visitor").get(at(crew.cast, "who") + "?care=50_499"))
    assert "Trained in oil sampling and work at raised care." in page
    assert "After a fire nobody of the yard goes in" in page
    worst = text_of(crew.cast.client("visitor").get(at(crew.cast, "who") + "?care=nonsense"))
    assert "500 mg/kg or more , shown below" in worst.replace("more, ", "more , ")
    assert "Nobody has written down training in work at highest care" in worst


def test_letting_work_go_ahead_by_its_page(crew: People) -> None:
    crew.trained("technician", "sampling", until=crew.today - DAY)
    client, path = crew.cast.client("manager"), at(crew.cast, "override_training")
    sent = {
        "act": token(client.get(path).content.decode()), "person": str(crew.id("technician")), "work": "sample",
        "unit": "K7M4PX", "reason": "it leaks",
    }  # fmt: skip
    back = client.post(path, sent)
    assert back.status_code == 422
    assert "it leaks" in back.content.decode()
    tag = crew.cast.words["tag"]
    done = client.post(path, {**sent, "unit": f"{tag[:3]} {tag[3:].lower()}"}, follow=True)
    assert done.redirect_chain[-1][0] == at(crew.cast, "who")
    assert Override.objects.get().unit_id == crew.unit
    assert crew.cast.client("safety_officer").get(path).status_code == 403


def test_the_page_people_says_what_runs_out(crew: People) -> None:
    crew.trained("technician", "sampling", until=crew.today + 3 * DAY)
    assert "Training of Technician in oil sampling runs out on" in text_of(
        crew.cast.client("manager").get(at(crew.cast, "people"))
    )
    assert "oil sampling runs out" not in text_of(crew.cast.client("yard_hand").get(at(crew.cast, "people")))


def test_the_end_of_the_day_is_midnight_of_the_yard(crew: People) -> None:
    """Two minutes before midnight in Auckland it holds, two minutes after it does not."""
    crew.trained("technician", "sampling", until=date(2026, 11, 26))
    late = datetime(2026, 11, 27, 23, 58, tzinfo=ZoneInfo(ZONE))
    with time_machine.travel(late, tick=False):
        crew.let("technician")
        assert word(crew, "technician", "sample") == "let"
    with time_machine.travel(late + timedelta(minutes=4), tick=False):
        assert word(crew, "technician", "sample") == "no"
