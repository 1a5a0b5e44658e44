"""Who is at a job: signing in with the card read, looking on, signing out, the list on paper."""

import re
from datetime import datetime, timedelta
from html import unescape
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import time_machine
from django.utils import timezone

from hazmat.actions.crews import issue_crew_list, sign_out_crew
from hazmat.actions.people import erase_aside
from hazmat.actions.units import log_unit
from hazmat.book.act import Refused
from hazmat.book.aside import words_of
from hazmat.book.canonical import parsed
from hazmat.book.entry import Entry
from hazmat.models import Crew, Paper, SignIn
from hazmat.queries.crews import jobs
from tests.browsing import at, token
from tests.cast import LINE, ZONE, Cast, look_in
from tests.hazmat.crewing import DAY, People

pytestmark = pytest.mark.django_db
NAMED = "Wiremu Gatepost"


@pytest.fixture
def crew(cast: Cast) -> People:
    """The technician may sample a unit of raised care."""
    found = People(cast)
    found.trained("technician", "sampling", "raised_care")
    return found


def text_of(answer: Any) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())).split())


def sampling(crew: People) -> Any:
    return next(one for one in jobs(crew.yard, unit=crew.unit, on=crew.today) if one.work == "sample")


def low(crew: People, **more: Any) -> Any:
    """A fresh unit whose care is not the highest: an old pole transformer of New Zealand."""
    return log_unit(crew.order(), look=look_in(line={**LINE, **more}), place="NZ").the("hazmat.unit")


def test_the_first_one_opens_the_job_and_the_next_joins_it(crew: People) -> None:
    crew.signed("technician", by="technician")
    crew.signed("yard_hand", part="looks_on", by="technician")
    job = sampling(crew)
    assert [(one.name, one.part, one.read, one.by) for one in job.signed] == [
        ("Technician", "works", "self", ""), ("Yard Hand", "looks_on", "leader", "Technician"),
    ]  # fmt: skip
    assert Crew.objects.filter(work="sample").count() == 1


def test_whoever_is_not_trained_can_look_on_alone(crew: People) -> None:
    with pytest.raises(Refused, match=r"does not do this work\. This person can look on"):
        crew.signed("yard_hand")
    with pytest.raises(Refused, match="Nobody has written down training in oil sampling"):
        crew.signed("safety_officer")
    crew.signed("safety_officer", part="looks_on")


def test_training_that_ran_out_works_once_it_was_let_through(crew: People) -> None:
    crew.trained("safety_officer", "sampling", "raised_care", until=crew.today - DAY)
    with pytest.raises(Refused, match=r"Training in oil sampling ran out on .*This person can look on"):
        crew.signed("safety_officer")
    crew.let("safety_officer", unit=low(crew))
    with pytest.raises(Refused, match="ran out"):
        crew.signed("safety_officer")
    crew.let("safety_officer", unit=crew.unit)
    crew.signed("safety_officer")


def test_what_nobody_may_do_nobody_signs_in_for(crew: People) -> None:
    with pytest.raises(Refused, match="After a fire nobody"):
        crew.signed("technician", work="fire")


def test_the_worse_of_two_cares_decides(crew: People) -> None:
    """An askarel is of the highest care: training for raised care is not enough."""
    pcb = low(crew, plate_words=["ASKAREL 165 GAL"], fluid="askarel")
    with pytest.raises(Refused, match="work at highest care and masks and breathing apparatus"):
        crew.signed("technician", unit=pcb)


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"read": False}, "tick that it was read"),
        ({"work": "juggle"}, "Pick which work"),
        ({"part": "sings"}, "Pick which work"),
        ({"person": None}, "Write the name"),
        ({"person": None, "name": NAMED}, "no training is known, so that person looks on"),
    ],
)
def test_what_is_not_signed(crew: People, more: dict[str, Any], says: str) -> None:
    before = Entry.objects.count()
    with pytest.raises(Refused, match=says):
        crew.signed("technician", **more)
    assert Entry.objects.count() == before


def test_nobody_of_another_yard(crew: People) -> None:
    with pytest.raises(Refused, match="Nobody of this yard"):
        crew.signed("outsider")


def test_a_stranger_stands_on_the_list_and_his_name_can_be_erased(crew: People) -> None:
    seen = crew.signed("technician", person=None, name=f" {NAMED} ", part="looks_on")
    record = seen.the("hazmat.signin")
    assert NAMED not in Entry.objects.get(yard=crew.yard, seq=seen.seq).body
    assert sampling(crew).signed[0].name == NAMED
    with pytest.raises(Refused, match="is on this list already"):
        crew.signed("technician", person=None, name=NAMED.upper(), part="looks_on")
    erase_aside(crew.order(), record=record, why="asked for")
    assert words_of([record]) == {}
    page = text_of(crew.cast.client("technician").get(at(crew.cast, "crew", tag=crew.cast.words["tag"])))
    assert "name erased" in page


def test_twice_on_one_list_only_after_signing_out(crew: People) -> None:
    first = crew.signed("technician").the("hazmat.signin")
    with pytest.raises(Refused, match="Technician is on this list already"):
        crew.signed("technician", part="looks_on")
    sign_out_crew(crew.order(), signed_in=first)
    crew.signed("technician")
    assert [one.left_at is None for one in sampling(crew).signed] == [False, True]
    with pytest.raises(Refused, match="signed out already"):
        sign_out_crew(crew.order(), signed_in=first)


def test_nobody_leaves_before_he_came(crew: People) -> None:
    seen = crew.signed("technician")
    with pytest.raises(Refused, match="before that person signed in"):
        sign_out_crew(
            crew.order(happened_at=timezone.now() - timedelta(minutes=5)), signed_in=seen.the("hazmat.signin")
        )


def test_the_day_of_a_job_is_that_of_the_yard(crew: People) -> None:
    """Two minutes apart, on both sides of midnight in Auckland: two jobs."""
    late = datetime(2026, 11, 27, 23, 59, tzinfo=ZoneInfo(ZONE))
    for who, when in (("technician", late), ("boss", late + timedelta(minutes=2))):
        with time_machine.travel(when, tick=False):
            crew.signed(who, part="looks_on")
    found = [str(one.on) for one in jobs(crew.yard, unit=crew.unit) if one.work == "sample"]
    assert found == ["2026-11-28", "2026-11-27"]


def test_next_asks_after_who_never_signed_out(crew: People) -> None:
    now = timezone.now()
    crew.signed("technician")
    crew.signed("yard_hand", part="looks_on")
    says = "2 people stand on the list of a job of an earlier day: ask where they are, and sign them out"
    assert says not in crew.lines("yard_hand", now)
    assert says in crew.lines("yard_hand", now + DAY)
    assert says not in crew.lines("visitor", now + DAY)


def test_first_aid_is_missed_until_somebody_there_holds_it(crew: People) -> None:
    crew.trained("yard_hand", "first_aid", until=crew.today)
    crew.signed("technician")
    assert not sampling(crew).first_aid
    seen = crew.signed("yard_hand", part="looks_on")
    assert sampling(crew).first_aid
    sign_out_crew(crew.order(), signed_in=seen.the("hazmat.signin"))
    assert not sampling(crew).first_aid


def test_the_list_names_who_was_let_through_and_keeps_names_apart(crew: People) -> None:
    crew.trained("safety_officer", "sampling", "raised_care", until=crew.today - DAY)
    crew.let("safety_officer", reason="the pan is full")
    crew.signed("safety_officer")
    crew.signed("technician", person=None, name=NAMED, part="looks_on")
    seen = issue_crew_list(crew.order(), crew=sampling(crew).id)
    paper = Paper.objects.get(pk=seen.the("hazmat.paper"))
    told = parsed(paper.payload)
    assert [row["part"] for row in told["rows"]] == ["works", "looks on"]
    assert told["rows"][0]["let"] == "training had run out; let go ahead today: the pan is full"
    assert told["rows"][1]["let"] == ""
    assert words_of([paper.pk])["name_2"] == NAMED
    assert NAMED not in paper.payload
    assert told["first_aid"].startswith("Nobody on this list has first aid")
    again = issue_crew_list(crew.order(), crew=sampling(crew).id)
    assert Paper.objects.get(pk=again.the("hazmat.paper")).replaces_id == paper.pk


def test_a_list_of_one_job_replaces_no_list_of_another(crew: People) -> None:
    crew.signed("technician")
    issue_crew_list(crew.order(), crew=sampling(crew).id)
    other = issue_crew_list(crew.order(), crew=crew.cast.words["crew"])
    assert Paper.objects.get(pk=other.the("hazmat.paper")).replaces_id is None


# ------------------------------------------------------------------ pages


def signing(crew: People, by: str, **more: Any) -> Any:
    client, path = crew.cast.client(by), at(crew.cast, "crew", tag=crew.cast.words["tag"])
    page = client.get(path).content.decode()
    form = page.partition("Sign in</h2>")[2]
    sent = {"act": token(form), "work": "sample", "who": str(crew.id(by)), "part": "works", "read": "on", **more}
    return client.post(path, {key: value for key, value in sent.items() if value is not None}, follow=True)


def test_signing_in_and_out_by_the_page(crew: People) -> None:
    done = signing(crew, "technician")
    assert "Technician signed in: draw a sample, unit" in text_of(done)
    record = SignIn.objects.latest("entry__seq")
    client = crew.cast.client("technician")
    act = re.findall(r'name="act" value="([^"]+)"', done.content.decode())[0]
    left = client.post(at(crew.cast, "sign_out_crew", signed=record.pk), {"act": unescape(act)}, follow=True)
    assert "Somebody signed out: draw a sample, unit" in text_of(left)


def test_what_was_typed_comes_back_with_what_is_wrong(crew: People) -> None:
    back = signing(crew, "technician", who="stranger", name=NAMED, part="works", read=None)
    assert back.status_code == 422
    assert "tick that it was read" in text_of(back)
    assert NAMED in back.content.decode()
    named = signing(crew, "technician", name=NAMED)
    assert "This name is of nobody on the list" in text_of(named)


def test_a_visitor_sees_who_is_there_without_the_names_of_strangers(crew: People) -> None:
    crew.signed("technician", person=None, name=NAMED, part="looks_on")
    page = crew.cast.client("visitor").get(at(crew.cast, "crew", tag=crew.cast.words["tag"]))
    assert NAMED not in page.content.decode()
    assert "Somebody without an account" in text_of(page)
    assert "Sign in</button>" not in page.content.decode()


def test_the_paper_is_printed_from_the_page_and_leads_back(crew: People) -> None:
    crew.signed("technician")
    client = crew.cast.client("technician")
    page = client.get(at(crew.cast, "crew", tag=crew.cast.words["tag"])).content.decode()
    act = re.search(r'list/"><input[^>]+><input type="hidden" name="act" value="([^"]+)"', page)
    assert act
    sent = client.post(at(crew.cast, "issue_crew_list", crew=sampling(crew).id), {"act": unescape(act[1])}, follow=True)
    assert "List of a job" in text_of(sent)
    assert at(crew.cast, "crew", tag=crew.cast.words["tag"]) in sent.content.decode()
