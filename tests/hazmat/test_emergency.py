"""What a yard needs in an emergency: written down by its manager, printed with empty boxes where nothing is known."""

import re
from datetime import date
from html import unescape
from typing import Any
from uuid import UUID

import pytest
import time_machine

from hazmat.actions.emergency import issue_emergency_sheet, set_emergency
from hazmat.actions.papers import private_words
from hazmat.book.act import Refused
from hazmat.book.aside import words_of
from hazmat.book.canonical import parsed
from hazmat.book.entry import Entry
from hazmat.models import EmergencyCard, Paper
from hazmat.papers.people import BOXES, SHEET
from hazmat.papers.render import html
from hazmat.queries.emergency import emergency_card, outdated_sheet
from tests.browsing import at, token
from tests.cast import Cast
from tests.hazmat.crewing import People

pytestmark = pytest.mark.django_db
NUMBER = "111, then 1 for the fire hall"


@pytest.fixture
def crew(cast: Cast) -> People:
    return People(cast)


def text_of(answer: Any) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())).split())


def card(crew: People, **told: str) -> None:
    now = emergency_card(crew.yard)
    set_emergency(crew.order(), told=told, based_on=UUID(now.id) if now else None)


def sheet(crew: People) -> Paper:
    return Paper.objects.get(pk=issue_emergency_sheet(crew.order()).the("hazmat.paper"))


def printed(paper: Paper) -> str:
    return html(parsed(paper.payload), private_words(paper), paper.code)


def boxes(page: str) -> dict[str, str]:
    """What stands in each box of a sheet."""
    return dict(re.findall(r'<span class="name">([^<]+)</span><b>([^<]*)</b>', page))


def test_numbers_and_names_stand_apart(crew: People) -> None:
    card(crew, numbers=NUMBER, first_aiders="Mere Example")
    body = Entry.objects.latest("seq").body
    assert NUMBER not in body
    assert "Mere" not in body
    assert words_of([EmergencyCard.objects.get().pk]) == {"numbers": NUMBER, "first_aiders": "Mere Example"}


def test_what_nobody_wrote_down_is_an_empty_box_and_never_invented(crew: People) -> None:
    told = boxes(printed(sheet(crew)))
    assert told == dict.fromkeys(BOXES.values(), "")
    card(crew, numbers=NUMBER)
    told = boxes(printed(sheet(crew)))
    assert told == {**dict.fromkeys(BOXES.values(), ""), "Emergency number": NUMBER}


def test_the_payload_holds_every_step_and_no_number(crew: People) -> None:
    card(crew, numbers=NUMBER)
    paper = sheet(crew)
    told = parsed(paper.payload)
    assert NUMBER not in paper.payload
    assert [one["title"] for one in told["sections"]] == [
        "Electric shock", "Fire with oil", "Spill", "Eye, skin, mouth, breath", "Somebody is not back",
    ]  # fmt: skip
    assert all(len(one["says"]) >= 3 and one["cite"] for one in told["sections"])
    assert "Do not touch the person" in told["sections"][0]["says"][0]
    assert "Everybody out" in told["sections"][1]["says"][0]


def test_a_change_makes_the_sheet_old_and_a_fresh_one_holds(crew: People) -> None:
    facts = crew.here("boss").facts
    assert outdated_sheet(crew.yard, facts) is None
    first = sheet(crew)
    assert outdated_sheet(crew.yard, facts) is None
    card(crew, numbers=NUMBER)
    old = outdated_sheet(crew.yard, facts)
    assert old is not None
    says = f"Emergency sheet {first.number} says what no longer holds: print a new one, and take the old one away"
    assert says in crew.lines("yard_hand")
    assert says not in crew.lines("visitor")
    second = sheet(crew)
    assert second.replaces_id == first.pk
    assert outdated_sheet(crew.yard, facts) is None


def test_two_who_change_it_at_once_write_nothing_over(crew: People) -> None:
    card(crew, numbers="1")
    with pytest.raises(Refused, match="Somebody changed this in the meantime"):
        set_emergency(crew.order(), told={"numbers": "2"}, based_on=None)


def test_no_box_no_word(crew: People) -> None:
    with pytest.raises(Refused, match="no box for favourite colour"):
        card(crew, **{"favourite colour": "teal"})


def test_the_manager_writes_and_everybody_who_works_prints(crew: People) -> None:
    path = at(crew.cast, "set_emergency")
    client = crew.cast.client("manager")
    form = token(client.get(path).content.decode())
    back = client.post(path, {"act": form, "numbers": "9" * 49, "hospital": "Estuary Hospital"})
    assert back.status_code == 422
    assert "Estuary Hospital" in back.content.decode()
    done = client.post(path, {"act": form, "numbers": NUMBER, "hospital": "Estuary Hospital"}, follow=True)
    assert "Print the sheet anew, and hang it up." in text_of(done)
    hand = crew.cast.client("yard_hand")
    page = hand.get(at(crew.cast, "emergency"))
    assert NUMBER in text_of(page)
    assert "not written down" in text_of(page)
    act = token(page.content.decode().partition("emergency/sheet/")[2])
    paper = hand.post(at(crew.cast, "issue_emergency_sheet"), {"act": act}, follow=True)
    assert "Emergency sheet" in text_of(paper)
    assert Paper.objects.filter(kind=SHEET).count() == 1


@pytest.mark.parametrize(("who", "status"), [("safety_officer", 403), ("technician", 403), ("visitor", 403)])
def test_nobody_but_the_manager_changes_it(crew: People, who: str, status: int) -> None:
    assert crew.cast.client(who).get(at(crew.cast, "set_emergency")).status_code == status


def test_the_buttons_stand_on_keeping_and_at_the_foot_of_members_alone(crew: People) -> None:
    for who, there in (("technician", True), ("visitor", False)):
        page = crew.cast.client(who).get(at(crew.cast, "keeping")).content.decode()
        assert (at(crew.cast, "emergency") in page) == there


def test_the_sheet_of_tomorrow_says_the_same(crew: People) -> None:
    """Its own day is no reason to print it anew."""
    sheet(crew)
    with time_machine.travel(date(2030, 1, 1)):
        assert outdated_sheet(crew.yard, crew.here("boss").facts) is None
