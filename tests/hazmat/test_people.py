"""A second person joins by a page: let in, given a link, signed in, given a role more, put out, or leaving alone."""

import re
from base64 import b64decode
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any
from urllib.parse import unquote

import pytest
import time_machine
from django.test import Client

from hazmat.actions.people import add_member, end_member, leave_yard, new_door, walk_through
from hazmat.book.act import Refused
from hazmat.book.entry import Entry
from hazmat.models import Door, Member, Person, Yard
from hazmat.queries.yards import people, roles_of
from tests.browsing import at, token
from tests.cast import Cast, opened, order, person

pytestmark = pytest.mark.django_db
LINK = re.compile(r"http://[\w.:]+(/door/[\w-]+/)")


def let_in(cast: Cast, client: Client, handle: str = "ana", role: str = "technician", **more: Any) -> Any:
    """The answer to the form that lets somebody in."""
    page = client.get(at(cast, "people")).content.decode()
    told = {"act": letting_in(page), "called": handle.title(), "handle": handle, "roles": [role]}
    return client.post(at(cast, "people"), {**told, **more})


def letting_in(page: str) -> str:
    """The token of the form that lets somebody in, the last one on the page People."""
    return unescape(re.findall(r'name="act" value="([^"]+)"', page)[-1])


def path_in(answer: Any) -> str:
    """The path of the link on a page."""
    found = LINK.search(unescape(answer.content.decode()))
    assert found, "the page shows no link"
    return found[1]


def text_of(answer: Any) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())).split())


# ------------------------------------------------------------------ let in


def test_whoever_is_let_in_gets_a_link_at_once_and_lands_in_the_yard(cast: Cast) -> None:
    shown = let_in(cast, cast.client("manager"))
    assert shown.status_code == 200
    assert "no-store" in shown["Cache-Control"]
    words = text_of(shown)
    assert "Ana may now work here." in words
    assert "It opens once, until" in words
    guest, where = Client(), path_in(shown)
    welcome = guest.get(where)
    assert "Welcome, Ana" in text_of(welcome)
    assert "You work in Test Yard." in text_of(welcome)
    came = guest.post(where, follow=True)
    assert came.redirect_chain[-1][0] == at(cast, "next")
    assert guest.get(at(cast, "units")).status_code == 200
    for again in (Client().get(where), Client().post(where)):
        assert again.status_code == 410
        assert "This link is used up" in text_of(again)


def test_the_code_for_a_camera_is_a_picture_of_our_own(cast: Cast) -> None:
    """An SVG inside the page itself; what it says is read off the screen in the tests of pages."""
    page = let_in(cast, cast.client("manager")).content.decode()
    found = re.search(r'<img class="camera" src="data:image/svg\+xml([^"]*)"', page)
    assert found
    head, _, body = unescape(found[1]).partition(",")
    drawn = b64decode(body).decode() if "base64" in head else unquote(body)
    assert "<svg" in drawn
    assert "href" not in drawn


@pytest.mark.parametrize(("host", "alone"), [("localhost:8000", True), ("127.0.0.1", True), ("testserver", False)])
def test_an_address_of_this_computer_alone_is_said_to_be_one(host: str, alone: bool, cast: Cast) -> None:
    shown = cast.client("manager").post(at(cast, "make_link", person=cast.words["person"]), headers={"host": host})
    assert ("known to this computer alone" in text_of(shown)) == alone
    assert f"http://{host}/door/" in text_of(shown)


def test_sent_twice_one_person_is_let_in_and_the_link_on_the_screen_is_the_one_that_opens(cast: Cast) -> None:
    client = cast.client("manager")
    page = client.get(at(cast, "people")).content.decode()
    told = {"act": letting_in(page), "called": "Ana", "handle": "ana", "roles": ["visitor"]}
    first, second = (path_in(client.post(at(cast, "people"), told)) for _ in range(2))
    assert Entry.objects.count() == cast.entries_before + 1
    assert Client().post(first).status_code == 410
    assert Client().post(second).status_code == 302
    later = client.post(at(cast, "people"), told)
    assert later.status_code == 302
    assert not Door.objects.filter(used_at=None).exists()


def test_one_role_more_for_somebody_who_signs_in_needs_no_link(cast: Cast) -> None:
    cast.client("technician")
    sent = let_in(cast, cast.client("manager"), "technician", "yard_hand")
    assert sent.status_code == 302
    assert not Door.objects.exists()
    assert cast.yard_id is not None
    assert roles_of(cast.yard_id, cast.people["technician"].pk) == ("technician", "yard_hand")


def test_nobody_gets_a_link_into_a_yard_that_somebody_else_runs(cast: Cast) -> None:
    """A person who never signed in and works elsewhere is let in here, without a link."""
    elsewhere, guest = opened(person("other_boss"), "Third Yard"), person("guest")
    boss = next(one for one, _ in people(elsewhere.pk))
    add_member(order(elsewhere.pk, boss.pk), person=guest.pk, roles=("technician",))
    early = new_door(guest)
    sent = let_in(cast, cast.client("manager"), "guest")
    assert sent.status_code == 302
    assert walk_through(early) is None
    assert not Door.objects.exists()


# ------------------------------------------------------------------ links that are out


def test_a_link_that_is_out_is_seen_by_whoever_may_give_it_and_taken_back(cast: Cast) -> None:
    client, who = cast.client("manager"), cast.people["visitor"]
    where = at(cast, "take_back_link", person=who.pk)
    assert "A link is out" not in text_of(client.get(at(cast, "people")))
    with time_machine.travel(datetime(2026, 11, 25, 1, 0, tzinfo=UTC), tick=False):
        path = path_in(client.post(at(cast, "make_link", person=who.pk)))
        assert "A link is out , not used yet, until 27 Nov 2026, 14:00" in text_of(client.get(at(cast, "people")))
        assert "A link is out" not in text_of(cast.client("technician").get(at(cast, "people")))
        said = client.post(where, follow=True)
        assert "The link of Visitor is taken back" in text_of(said)
        assert "A link is out" not in text_of(said)
        assert Client().post(path).status_code == 410
        assert "No link of Visitor was out" in text_of(client.post(where, follow=True))
    assert cast.entries() == cast.entries_before


def test_a_link_that_was_used_or_is_past_its_time_is_out_no_more(cast: Cast) -> None:
    client, who = cast.client("manager"), cast.people["visitor"]
    Client().post(path_in(client.post(at(cast, "make_link", person=who.pk))))
    assert "A link is out" not in text_of(client.get(at(cast, "people")))
    start = datetime(2026, 11, 25, 1, 0, tzinfo=UTC)
    with time_machine.travel(start, tick=False):
        new_door(who)
    for late, out in ((timedelta(days=2), True), (timedelta(days=2, seconds=1), False)):
        with time_machine.travel(start + late, tick=False):
            assert ("A link is out" in text_of(client.get(at(cast, "people")))) == out


def test_a_fresh_link_closes_the_one_before(cast: Cast) -> None:
    client, who = cast.client("manager"), cast.people["visitor"]
    first, second = (path_in(client.post(at(cast, "make_link", person=who.pk))) for _ in range(2))
    assert Client().get(first).status_code == 410
    assert Client().post(first).status_code == 410
    assert Client().post(second).status_code == 302


def test_links_are_the_managers_business(cast: Cast) -> None:
    new_door(cast.people["visitor"])
    where = at(cast, "take_back_link", person=cast.people["visitor"].pk)
    for role, status in (("technician", 403), ("visitor", 403), ("outsider", 404)):
        assert cast.client(role).post(where).status_code == status
    manager = cast.client("manager")
    assert manager.get(where).status_code == 405
    assert manager.post(at(cast, "take_back_link", person=cast.people["outsider"].pk)).status_code == 404
    assert Door.objects.filter(used_at=None).count() == 1


def test_whoever_opens_a_link_on_somebody_elses_device_is_told(cast: Cast) -> None:
    where = f"/door/{new_door(cast.people['visitor'])}/"
    assert "Manager, who is signed in here now, is then signed out" in text_of(cast.client("manager").get(where))
    assert "is then signed out" not in text_of(cast.client("visitor").get(where))
    assert "is then signed out" not in text_of(Client().get(where))


# ------------------------------------------------------------------ a role ends


def ended(cast: Cast, client: Client, role: str) -> Any:
    """End the only role of the one who plays this role, from the page People."""
    page = client.get(at(cast, "people")).content.decode()
    where = at(cast, "end_member", member=Member.objects.get(person=cast.people[role], yard=cast.yard_id).pk)
    act = re.search(rf'action="{where}">.*?name="act" value="([^"]+)"', page, re.DOTALL)
    assert act
    return client.post(where, {"act": unescape(act[1])}, follow=True)


def test_with_the_last_role_the_yard_closes(cast: Cast) -> None:
    """Said in words; the link that is out and the device that is signed in open nothing any more."""
    inside, link = cast.client("technician"), new_door(cast.people["technician"])
    assert inside.get(at(cast, "units")).status_code == 200
    manager = cast.client("manager")
    assert "It is the last one: Technician can then no longer sign in" in text_of(manager.get(at(cast, "people")))
    said = text_of(ended(cast, manager, "technician"))
    assert "Technician holds no role here any more" in said
    assert "links that were out are closed" in said
    for name in ("next", "units", "people", "look"):
        assert inside.get(at(cast, name)).status_code == 404
    assert Client().post(f"/door/{link}/").status_code == 410
    assert "You have no role in any yard" in text_of(inside.get("/"))


def test_with_one_role_of_two_the_yard_stays_open(cast: Cast) -> None:
    assert cast.yard_id is not None
    who, boss = cast.people["visitor"], cast.people["boss"]
    visitor = Member.objects.get(person=who)
    add_member(order(cast.yard_id, boss.pk), person=who.pk, roles=("technician",))
    secret = new_door(who)
    end_member(order(cast.yard_id, boss.pk), member=visitor.pk)
    assert roles_of(cast.yard_id, who.pk) == ("technician",)
    assert walk_through(secret) == who


def test_a_person_who_works_elsewhere_too_keeps_that(cast: Cast) -> None:
    elsewhere = opened(cast.people["technician"], "Own Van")
    inside = cast.client("technician")
    ended(cast, cast.client("manager"), "technician")
    assert inside.get(at(cast, "next")).status_code == 404
    assert inside.get(f"/{elsewhere.code}/").status_code == 200


def test_a_manager_who_ends_his_own_last_role_is_out(cast: Cast) -> None:
    client = cast.client("manager")
    said = ended(cast, client, "manager")
    assert said.redirect_chain[-1][0] == "/"
    assert "You have left" in text_of(said)


# ------------------------------------------------------------------ leaving


def leaving(cast: Cast, client: Client) -> dict[str, str]:
    page = client.get(at(cast, "people")).content.decode()
    act = re.search(rf'action="{at(cast, "leave_yard")}">.*?name="act" value="([^"]+)"', page, re.DOTALL)
    assert act, "the page offers no way to leave"
    return {"act": unescape(act[1])}


def test_whoever_works_here_may_leave(cast: Cast) -> None:
    assert cast.yard_id is not None
    who = cast.people["technician"]
    add_member(order(cast.yard_id, cast.people["boss"].pk), person=who.pk, roles=("yard_hand",))
    client, link, before = cast.client("technician"), new_door(who), cast.entries()
    told = leaving(cast, client)
    for _ in range(2):
        said = client.post(at(cast, "leave_yard"), told, follow=True)
        assert said.redirect_chain[-1][0] == "/"
        assert "You have left" in text_of(said)
    assert cast.entries() == before + 1
    assert roles_of(cast.yard_id, who.pk) == ()
    assert client.get(at(cast, "next")).status_code == 404
    assert walk_through(link) is None
    written = Entry.objects.order_by("-seq").filter(yard=cast.yard_id).first()
    assert written is not None
    assert (written.verb, written.by_id) == ("leave_yard", who.pk)
    book = text_of(cast.client("manager").get(at(cast, "day_book")))
    assert "Left the yard, where the roles were technician, yard hand." in book


def test_a_form_of_whoever_left_opens_nothing_else(cast: Cast) -> None:
    """The old form leads home; any other one, or that of somebody else, finds no yard."""
    client = cast.client("technician")
    told = leaving(cast, client)
    client.post(at(cast, "leave_yard"), told)
    assert client.post(at(cast, "leave_yard"), {}).status_code == 404
    assert cast.client("outsider").post(at(cast, "leave_yard"), told).status_code == 404
    other = at(cast, "leave_yard").replace(cast.yard, cast.other_yard)
    assert client.post(other, told).status_code == 404


def test_the_last_manager_cannot_leave(cast: Cast) -> None:
    """Of the cast, boss and manager manage; once the other one is out, the one who stays is told why."""
    assert cast.yard_id is not None
    boss = cast.people["boss"]
    assert "I leave this yard" in text_of(cast.client("boss").get(at(cast, "people")))
    leave_yard(order(cast.yard_id, cast.people["manager"].pk))
    page = text_of(cast.client("boss").get(at(cast, "people")))
    assert "I leave this yard" not in page
    assert "You are the last yard manager" in page
    with pytest.raises(Refused, match="last yard manager"):
        leave_yard(order(cast.yard_id, boss.pk))
    assert len(roles_of(cast.yard_id, boss.pk)) == 4


def test_whoever_is_refused_is_told_on_the_page(cast: Cast) -> None:
    """The page was open while the other manager left."""
    client = cast.client("boss")
    told = leaving(cast, client)
    assert cast.yard_id is not None
    leave_yard(order(cast.yard_id, cast.people["manager"].pk))
    assert "You are the last yard manager; make" in text_of(client.post(at(cast, "leave_yard"), told, follow=True))


def test_nobody_alone_is_asked_to_leave(cast: Cast) -> None:
    client = cast.client("outsider")
    yard = Yard.objects.get(code=cast.other_yard)
    page = text_of(client.get(f"/{yard.code}/people/"))
    assert "I leave this yard" not in page
    assert "last yard manager" not in page


def test_a_stranger_cannot_leave(cast: Cast) -> None:
    assert cast.yard_id is not None
    with pytest.raises(Refused, match="no role in this yard"):
        leave_yard(order(cast.yard_id, cast.people["outsider"].pk))
    assert Person.objects.filter(handle="outsider").exists()


def test_a_visitor_only_looks(cast: Cast) -> None:
    page = cast.client("visitor").get(at(cast, "people")).content.decode()
    assert "I leave this yard" not in page
    act = token(cast.client("manager").get(at(cast, "people")).content.decode())
    assert cast.client("visitor").post(at(cast, "leave_yard"), {"act": act}).status_code == 403
