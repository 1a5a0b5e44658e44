"""Forms that come late, from somebody else or from elsewhere, and links: nothing is lost, nothing given away."""

import re
from html import unescape
from typing import Any

import pytest
from django.test import Client

from hazmat.actions.people import add_member, new_door
from hazmat.book import files
from hazmat.book.entry import Entry
from hazmat.models import Door, Look, Photograph, Yard
from hazmat.views.access import act_in
from hazmat.views.waiting import waiting
from tests.browsing import at, jpeg, the_look, token
from tests.cast import Cast, order

pytestmark = pytest.mark.django_db


def test_a_link_signs_in_once(cast: Cast) -> None:
    secret, client = new_door(cast.people["technician"]), Client()
    assert client.get(f"/door/{secret}/").status_code == 200
    assert client.get(f"/door/{secret}/").status_code == 200
    sent = client.post(f"/door/{secret}/", follow=True)
    assert sent.redirect_chain[-1][0] == at(cast, "next")
    assert Client().post(f"/door/{secret}/").status_code == 410


def test_a_link_is_made_for_people_of_this_yard_only(cast: Cast) -> None:
    client = cast.client("manager")
    sent = client.post(at(cast, "make_link", person=cast.people["visitor"].pk))
    found = re.search(r"/door/[\w-]+/", sent.content.decode())
    assert found
    assert Client().post(found[0], follow=True).redirect_chain[-1][0] == at(cast, "next")
    assert client.post(at(cast, "make_link", person=cast.people["outsider"].pk)).status_code == 404


def test_a_link_opens_no_yard_of_somebody_else(cast: Cast) -> None:
    """Letting a stranger in, whose name is easily found out, must not make his own yard open to us."""
    client, outsider = cast.client("manager"), cast.people["outsider"]
    early = new_door(outsider)
    page = client.get(at(cast, "people")).content.decode()
    told = {"act": token(page), "called": "Somebody", "handle": outsider.handle, "roles": ["visitor"]}
    assert client.post(at(cast, "people"), told).status_code == 302
    sent = client.post(at(cast, "make_link", person=outsider.pk), follow=True)
    assert "/door/" not in sent.content.decode()
    assert "also works in a yard that you do not run" in sent.content.decode()
    assert Client().post(f"/door/{early}/").status_code == 410
    assert not Door.objects.filter(person=outsider).exists()
    elsewhere = Yard.objects.get(code=cast.other_yard)
    add_member(order(elsewhere.pk, outsider.pk), person=cast.people["manager"].pk, roles=("technician",))
    assert "/door/" not in client.post(at(cast, "make_link", person=outsider.pk), follow=True).content.decode()
    add_member(order(elsewhere.pk, outsider.pk), person=cast.people["manager"].pk, roles=("manager",))
    assert "/door/" in client.post(at(cast, "make_link", person=outsider.pk)).content.decode()


def test_signed_out_while_filling_in(cast: Cast) -> None:
    """Nothing typed is lost, the picture waits, and sent again it is one entry."""
    client = cast.client("technician")
    told = the_look(client, cast, note="under the <ash> tree")
    client.logout()
    sent = client.post(at(cast, "look"), {**told, "pictures_whole": jpeg()})
    assert sent.status_code == 401
    page = unescape(sent.content.decode())
    assert "under the <ash> tree" in page
    assert token(sent.content.decode()) == told["act"]
    assert Entry.objects.count() == cast.entries_before
    client.force_login(cast.people["technician"])
    again = client.post(at(cast, "look"), told)
    assert again.status_code == 302
    assert Look.objects.get(note__contains="ash")
    assert Photograph.objects.exclude(pk=cast.words["picture"]).count() == 1
    assert waiting(act_in(told["act"])) == []


def csrf(page: str) -> str:
    """The token against forged forms on a page."""
    found = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)
    assert found, "the page has no form"
    return found[1]


def test_signed_in_anew_while_filling_in(cast: Cast) -> None:
    """A browser that holds forms against forgery: signing in anew makes the old page's token stale; nothing is lost."""
    client = Client(enforce_csrf_checks=True)
    client.force_login(cast.people["technician"])
    page = client.get(at(cast, "look")).content.decode()
    told = {"act": token(page), "kind": "transformer", "arrival": "found", "note": "by the ford"}
    client.post("/sign-out/", {"csrfmiddlewaretoken": csrf(page)})
    sent = client.post(at(cast, "look"), {**told, "csrfmiddlewaretoken": csrf(page), "pictures_whole": jpeg()})
    assert sent.status_code == 401
    held = sent.content.decode()
    secret = new_door(cast.people["technician"])
    door = client.get(f"/door/{secret}/").content.decode()
    assert client.post(f"/door/{secret}/", {"csrfmiddlewaretoken": csrf(door)}).status_code == 302
    again = client.post(at(cast, "look"), {**told, "csrfmiddlewaretoken": csrf(held)})
    assert again.status_code == 403
    page = again.content.decode()
    assert "by the ford" in page
    assert "nothing is lost" in page
    assert Entry.objects.count() == cast.entries_before
    assert token(page) == told["act"]
    last = client.post(at(cast, "look"), {**told, "csrfmiddlewaretoken": csrf(page)})
    assert last.status_code == 302
    assert Entry.objects.count() == cast.entries_before + 1
    assert Photograph.objects.exclude(pk=cast.words["picture"]).count() == 1


@pytest.mark.parametrize("where", ["/sign-in/", "/sign-out/"])
def test_a_forged_sign_in_is_not_offered_again(where: str, cast: Cast) -> None:
    client = Client(enforce_csrf_checks=True)
    act = the_look(cast.client("technician"), cast)["act"]
    sent = client.post(where, {"username": "x", "password": "y", "act": act})
    assert sent.status_code == 403
    assert act not in sent.content.decode()


def test_a_form_from_another_site_is_not_offered_again(cast: Cast) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(cast.people["technician"])
    told = the_look(client, cast)
    sent = client.post(at(cast, "look"), told, headers={"origin": "https://elsewhere.example"})
    assert sent.status_code == 403
    assert told["act"] not in sent.content.decode()


def test_a_stranger_cannot_leave_pictures(cast: Cast) -> None:
    before = set(files.kept())
    sent = Client().post(at(cast, "look"), {"act": "made-up", "pictures_whole": jpeg("red")})
    assert sent.status_code == 401
    assert set(files.kept()) == before


def test_a_form_of_somebody_else_is_not_taken(cast: Cast) -> None:
    told = the_look(cast.client("technician"), cast, note="mine")
    sent = cast.client("manager").post(at(cast, "look"), told)
    assert sent.status_code == 422
    page = sent.content.decode()
    assert "mine" in page
    assert token(page) != told["act"]
    assert Entry.objects.count() == cast.entries_before


@pytest.mark.parametrize("name", ["look", "correct_unit", "prove_dead", "people"])
@pytest.mark.parametrize("bad", ["", "no token of ours", None])
def test_a_form_with_a_strange_token_can_be_sent_once_more(name: str, bad: str | None, cast: Cast) -> None:
    """Whatever stood in the form as its token, the page that comes back carries a good one."""
    words = {"tag": cast.words["tag"]} if name in ("correct_unit", "prove_dead") else {}
    more: dict[str, Any] = {
        "look": {"kind": "transformer", "arrival": "found"},
        "correct_unit": {"kind": "transformer", "arrival": "found", "based_on": cast_look(cast), "said": "wiped"},
        "prove_dead": {"dead": "no"},
        "people": {"called": "Ana", "handle": "ana", "roles": ["yard_hand"]},
    }[name]
    client = cast.client("boss")
    if bad is None:
        bad = token(cast.client("technician").get(at(cast, "look")).content.decode())
    sent = client.post(at(cast, name, **words), {**more, "act": bad})
    assert sent.status_code == 422
    page = sent.content.decode()
    assert token(page) != bad
    assert Entry.objects.count() == cast.entries_before
    done = 200 if name == "people" else 302  # whoever is let in gets a link, which is shown at once and never again
    assert client.post(at(cast, name, **words), {**more, "act": token(page)}).status_code == done
    assert Entry.objects.count() == cast.entries_before + 1


def cast_look(cast: Cast) -> str:
    """The look that the unit of the cast stands on."""
    return str(Look.objects.get().pk)


def test_a_form_without_our_own_token_is_refused(cast: Cast) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(cast.people["technician"])
    sent = client.post(at(cast, "look"), {"kind": "drum"})
    assert sent.status_code == 403
    assert Entry.objects.count() == cast.entries_before
