"""Pages as people use them: signing in, one look, a unit's story, forms that come twice or too late."""

import re
from html import unescape

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from hazmat.actions.papers import issue_paper, print_and_seal
from hazmat.book.act import Refused
from hazmat.book.entry import Entry
from hazmat.models import Paper, Person, Photograph, Seal, Unit
from hazmat.queries.units import unit_now
from tests.browsing import at, jpeg, the_look, token
from tests.cast import ZONE, Cast, file_of, order

pytestmark = pytest.mark.django_db


# ------------------------------------------------------------------ signing in


def test_home_is_the_only_yard(cast: Cast) -> None:
    assert cast.client("visitor").get("/")["Location"] == at(cast, "next")
    assert Client().get("/")["Location"] == "/sign-in/"


def test_signing_in_leads_on_within_this_house_only(cast: Cast) -> None:
    one = cast.people["technician"]
    one.set_password("a long enough word")
    one.save()
    words = {"username": "Technician", "password": "a long enough word"}
    onward = at(cast, "units")
    assert Client().post("/sign-in/", {**words, "next": onward})["Location"] == onward
    assert Client().post("/sign-in/", {**words, "next": "https://example.org/"})["Location"] == "/"
    wrong = Client().post("/sign-in/", {**words, "password": "wrong"})
    assert wrong.status_code == 200
    assert "sessionid" not in wrong.cookies


# ------------------------------------------------------------------ one look


def test_the_shortest_look_is_a_whole_answer(cast: Cast) -> None:
    client = cast.client("yard_hand")
    sent = client.post(at(cast, "look"), the_look(client, cast), follow=True)
    assert sent.status_code == 200
    unit = Unit.objects.exclude(tag=cast.words["tag"]).get()
    assert sent.redirect_chain[-1][0] == at(cast, "unit", tag=unit.tag)
    page = unescape(sent.content.decode())
    now = unit_now(unit.yard_id, unit.tag)
    assert now is not None
    for reason in now.answer["because"]:
        assert reason["says"] in page
        assert reason["cite"] in page
    assert "HOLD" in page


def test_sent_twice_it_is_one_unit(cast: Cast) -> None:
    client = cast.client("yard_hand")
    told = the_look(client, cast)
    first = client.post(at(cast, "look"), told)
    second = client.post(at(cast, "look"), told)
    assert first["Location"] == second["Location"]
    assert Entry.objects.count() == cast.entries_before + 1


def test_a_picture_is_kept_with_the_unit(cast: Cast) -> None:
    client = cast.client("technician")
    told = the_look(client, cast)
    client.post(at(cast, "look"), {**told, "pictures_plate": jpeg()})
    photo = Photograph.objects.exclude(pk=cast.words["picture"]).get()
    assert photo.shows == "plate"
    for size in ("full", "thumb"):
        sent = client.get(at(cast, "photograph", picture=photo.pk, size=size))
        assert file_of(sent)[:2] == b"\xff\xd8"
    assert client.get(at(cast, "photograph", picture=photo.pk, size="huge")).status_code == 404


@pytest.mark.parametrize(
    ("name", "data"),
    [("page.jpg", b"<html><script>alert(1)</script></html>"), ("empty.jpg", b""), ("cut.jpg", b"\xff\xd8\xff\xe0" * 9)],
)
def test_what_is_no_picture_is_said_and_the_words_are_kept(name: str, data: bytes, cast: Cast) -> None:
    client = cast.client("technician")
    told = the_look(client, cast, note="beside the shed")
    bad = SimpleUploadedFile(name, data, "image/jpeg")
    sent = client.post(at(cast, "look"), {**told, "pictures_whole": bad, "pictures_plate": jpeg()})
    assert sent.status_code == 422
    page = unescape(sent.content.decode())
    assert name in page
    assert "beside the shed" in page
    assert Entry.objects.count() == cast.entries_before
    again = client.post(at(cast, "look"), told)
    assert again.status_code == 302
    assert Photograph.objects.exclude(pk=cast.words["picture"]).get().shows == "plate"


def test_words_of_the_plate_are_words(cast: Cast) -> None:
    client = cast.client("technician")
    evil = "</textarea><script>alert(1)</script>{{ 7 }}"
    sent = client.post(at(cast, "look"), the_look(client, cast, note=evil), follow=True)
    page = sent.content.decode()
    assert "<script>alert" not in page
    assert evil in unescape(page)


# ------------------------------------------------------------------ a unit


def test_a_correction_from_an_old_page_is_kept_and_not_written(cast: Cast) -> None:
    client, tag = cast.client("technician"), cast.words["tag"]
    page = client.get(at(cast, "correct_unit", tag=tag)).content.decode()
    based_on = re.search(r'name="based_on"[^>]*value="([^"]+)"', page)
    assert based_on
    told = {
        "act": token(page),
        "based_on": based_on[1],
        "kind": "transformer",
        "arrival": "found",
        "said": "plate wiped",
    }
    later = {**told, "act": token(client.get(at(cast, "correct_unit", tag=tag)).content.decode()), "note": "the second"}
    assert client.post(at(cast, "correct_unit", tag=tag), told).status_code == 302
    sent = client.post(at(cast, "correct_unit", tag=tag), later)
    assert sent.status_code == 422
    assert "in the meantime" in sent.content.decode()
    assert "the second" in sent.content.decode()
    assert Entry.objects.count() == cast.entries_before + 1


def test_proved_dead_needs_a_name_and_a_way(cast: Cast) -> None:
    client, tag = cast.client("technician"), cast.words["tag"]
    told = {"act": token(client.get(at(cast, "prove_dead", tag=tag)).content.decode()), "dead": "yes"}
    sent = client.post(at(cast, "prove_dead", tag=tag), told)
    assert sent.status_code == 422
    assert "without a name it is a claim" in unescape(sent.content.decode())
    whole = {**told, "proved_by": "Mere Example", "how": "detector before and after", "earthed": "yes"}
    assert client.post(at(cast, "prove_dead", tag=tag), whole).status_code == 302
    now = unit_now(cast.yard_id, tag)  # type: ignore[arg-type]
    assert now is not None
    assert now.proved is not None
    assert (now.proved.dead, now.proved.earthed, now.proved.detector_before) == ("yes", True, None)


def test_a_proof_that_lacks_a_part_is_asked_for_again(cast: Cast) -> None:
    """Steps of sampling stand on the page only once all that belongs to a proof was answered with yes."""
    client, tag = cast.client("technician"), cast.words["tag"]
    looked_at = ("detector_before", "detector_after", "back_feed", "earthed")
    for answers in (("yes", "yes", "yes", "no"), ("unknown", "yes", "yes", "yes"), ("yes",) * 4):
        told = {"act": token(client.get(at(cast, "prove_dead", tag=tag)).content.decode()), "dead": "yes"}
        told |= {"proved_by": "Mere Example", "how": "detector", **dict(zip(looked_at, answers, strict=True))}
        assert client.post(at(cast, "prove_dead", tag=tag), told).status_code == 302
        page = unescape(client.get(at(cast, "unit", tag=tag)).content.decode())
        whole = set(answers) == {"yes"}
        assert ("No sampling steps are given" in page) != whole
        assert ("Write down who proved it dead" in page) != whole
        assert ("Said to be, not with all that belongs to a proof" in page) != whole


def test_private_words_are_for_those_who_work_here(cast: Cast) -> None:
    client = cast.client("technician")
    told = the_look(client, cast, note="n", owner="Mere Private")
    where = client.post(at(cast, "look"), told)["Location"]
    assert "Mere Private" in client.get(where).content.decode()
    assert "Mere Private" not in cast.client("visitor").get(where).content.decode()


def test_a_tag_that_is_typed_leads_to_its_unit(cast: Cast) -> None:
    tag = cast.words["tag"]
    client = cast.client("visitor")
    for typed in (tag, tag.lower(), f"{tag[:3]} {tag[3:]}"):
        assert client.get(at(cast, "units"), {"search": typed})["Location"] == at(cast, "unit", tag=tag)
    assert client.get(at(cast, "units"), {"search": "kva", "kind": "nonsense", "below": "-1"}).status_code == 200


@pytest.mark.parametrize("word", ["Ana\u202egnp.exe", "A\x00na", "Ana\x1b[2J"])
def test_words_that_would_read_otherwise_than_they_stand_are_refused_on_every_form(word: str, cast: Cast) -> None:
    """A mark that turns the letters after it, or a character that nobody sees, on a paper or in the day-book."""
    tag, before = cast.words["tag"], cast.entries()
    client = cast.client("safety_officer")
    page = client.get(at(cast, "prove_dead", tag=tag)).content.decode()
    whole = {"act": token(page), "dead": "yes", "proved_by": "Ana", "how": "detector"}
    for name in ("proved_by", "how", "permit", "approach"):
        answer = client.post(at(cast, "prove_dead", tag=tag), {**whole, name: word})
        assert answer.status_code == 422
        assert "cannot be seen or printed" in answer.content.decode()
    page = client.get(at(cast, "correct_unit", tag=tag)).content.decode()
    based_on = re.search(r'name="based_on"[^>]*value="([^"]+)"', page)
    assert based_on
    told = {**the_look(client, cast), "act": token(page), "based_on": based_on[1], "said": word}
    answer = client.post(at(cast, "correct_unit", tag=tag), told)
    assert answer.status_code == 422
    assert "Why you correct it: There is a character" in answer.content.decode()
    boss = cast.client("manager")
    page = boss.get(at(cast, "people")).content.decode()
    new = {"act": token(page), "called": "Ana", "handle": "ana", "roles": ["visitor"]}
    for name in ("called", "handle"):
        assert boss.post(at(cast, "people"), {**new, name: word}).status_code == 422
    assert cast.entries() == before


# ------------------------------------------------------------------ papers


@pytest.mark.parametrize("kind", ["site_sheet", "notice", "unit_tag"])
def test_a_paper_is_issued_printed_and_sealed(kind: str, cast: Cast) -> None:
    client, tag = cast.client("technician"), cast.words["tag"]
    act = token(client.get(at(cast, "unit", tag=tag)).content.decode())
    sent = client.post(at(cast, "issue_paper", tag=tag), {"act": act, "kind": kind})
    paper = Paper.objects.exclude(pk=cast.words["paper"]).get()
    assert sent["Location"] == at(cast, "paper", paper=paper.pk)
    assert Entry.objects.count() == cast.entries_before + 2
    assert file_of(client.get(at(cast, "paper_pdf", paper=paper.pk)))[:5] == b"%PDF-"
    client.post(at(cast, "issue_paper", tag=tag), {"act": act, "kind": kind})
    assert Paper.objects.count() == 2
    client.post(at(cast, "paper", paper=paper.pk))
    assert Entry.objects.count() == cast.entries_before + 2


def test_a_visitor_reads_a_paper_without_the_names_in_its_pdf(cast: Cast) -> None:
    paper = cast.words["paper"]
    visitor, hand = cast.client("visitor"), cast.client("yard_hand")
    pdf = at(cast, "paper_pdf", paper=paper)
    assert visitor.get(pdf).status_code == 403
    page = visitor.get(at(cast, "paper", paper=paper)).content.decode()
    assert pdf not in page
    assert "names people" in page
    assert file_of(hand.get(pdf))[:5] == b"%PDF-"
    assert pdf in hand.get(at(cast, "paper", paper=paper)).content.decode()


def test_a_paper_that_is_not_sealed_waits_on_next(cast: Cast) -> None:
    client, boss = cast.client("manager"), cast.people["boss"]
    unit = Unit.objects.get(tag=cast.words["tag"])
    issued = issue_paper(order(unit.yard_id, boss.pk), unit=unit.pk, kind="notice").the("hazmat.paper")
    page = client.get(at(cast, "next")).content.decode()
    assert "not sealed" in page
    assert client.get(at(cast, "paper_pdf", paper=issued)).status_code == 404
    client.post(at(cast, "paper", paper=issued))
    assert file_of(client.get(at(cast, "paper_pdf", paper=issued)))
    assert "not sealed" not in client.get(at(cast, "next")).content.decode()


def test_a_paper_that_somebody_else_sealed_is_shown_as_it_stands(cast: Cast) -> None:
    """Two people press the button of one waiting paper: the first one seals it, the other one sees it sealed."""
    boss, unit = cast.people["boss"], Unit.objects.get(tag=cast.words["tag"])
    paper = issue_paper(order(unit.yard_id, boss.pk), unit=unit.pk, kind="notice").the("hazmat.paper")
    for role in ("manager", "technician", "yard_hand"):
        answer = cast.client(role).post(at(cast, "paper", paper=paper), follow=True)
        assert answer.status_code == 200
        assert list(answer.context["messages"]) == []
    assert Seal.objects.filter(paper=paper).count() == 1


def test_of_two_who_print_at_once_the_second_is_told_that_it_is_sealed(cast: Cast) -> None:
    boss, unit = cast.people["boss"], Unit.objects.get(tag=cast.words["tag"])
    paper = issue_paper(order(unit.yard_id, boss.pk), unit=unit.pk, kind="unit_tag").the("hazmat.paper")
    print_and_seal(unit.yard_id, boss.pk, ZONE, paper)
    with pytest.raises(Refused, match="sealed already"):
        print_and_seal(unit.yard_id, cast.people["technician"].pk, ZONE, paper)


def test_a_second_paper_replaces_the_first(cast: Cast) -> None:
    client, tag = cast.client("technician"), cast.words["tag"]
    act = token(client.get(at(cast, "unit", tag=tag)).content.decode())
    client.post(at(cast, "issue_paper", tag=tag), {"act": act, "kind": "unit_tag"})
    second = Paper.objects.exclude(pk=cast.words["paper"]).get()
    assert second.replaces_id == cast.words["paper"]


# ------------------------------------------------------------------ people


def test_somebody_is_let_in(cast: Cast) -> None:
    client = cast.client("manager")
    page = client.get(at(cast, "people")).content.decode()
    told = {"act": token(page), "called": "Ana", "handle": "Ana", "roles": ["yard_hand"]}
    assert client.post(at(cast, "people"), told).status_code == 200
    assert "Ana" in client.get(at(cast, "people")).content.decode()
    grows = "\ufb03" * 64  # one letter that is spelt as three
    for wrong in (
        {"roles": []}, {"handle": " "}, {"called": ""}, {"called": "\u200b"}, {"handle": "\u200b"}, {"handle": grows},
    ):  # fmt: skip
        assert client.post(at(cast, "people"), {**told, **wrong}).status_code == 422


def test_a_form_that_was_sent_for_somebody_else_lets_nobody_in(cast: Cast) -> None:
    client = cast.client("manager")
    told = {"act": token(client.get(at(cast, "people")).content.decode()), "called": "Ana", "handle": "ana"}
    told |= {"roles": ["yard_hand"]}
    assert client.post(at(cast, "people"), told).status_code == 200
    assert client.post(at(cast, "people"), told).status_code == 200
    other = client.post(at(cast, "people"), {**told, "called": "Ben", "handle": "ben"})
    assert other.status_code == 422
    assert "sent already, for somebody else" in other.content.decode()
    assert 'value="Ben"' in other.content.decode()
    assert not Person.objects.filter(handle="ben").exists()


def test_a_name_that_somebody_takes_at_the_same_moment(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    """Looked for and not found, then taken by another manager before it is written."""
    client = cast.client("manager")
    told = {"act": token(client.get(at(cast, "people")).content.decode()), "called": "Ana", "handle": "boss"}
    told |= {"roles": ["yard_hand"]}
    find = Person.objects.filter
    monkeypatch.setattr(Person.objects, "filter", lambda **asked: find(**asked).none())
    answer = client.post(at(cast, "people"), told)
    monkeypatch.undo()
    assert answer.status_code == 422
    assert "Somebody took this name just now" in answer.content.decode()
    assert cast.entries() == cast.entries_before


# ------------------------------------------------------------------ every page


@pytest.mark.parametrize("name", ["next", "look", "units", "day_book", "rule_book", "keeping", "people"])
def test_nothing_on_a_page_comes_from_elsewhere(name: str, cast: Cast) -> None:
    sent = cast.client("manager").get(at(cast, name))
    assert sent.status_code == 200
    page = sent.content.decode()
    assert re.findall(r'(?:src|action)="(?:https?:)?//', page) == []
    assert "style=" not in page
    assert re.findall(r"<script(?![^>]*src=)", page) == []
    policy = sent["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "no-store" in sent["Cache-Control"] or "no-cache" in sent["Cache-Control"]


def test_a_country_is_shown_by_its_name_beside_its_code(cast: Cast) -> None:
    tag = cast.words["tag"]
    unit = cast.client("manager").get(f"/{cast.yard}/units/{tag}/").content.decode()
    assert "<dd>New Zealand (NZ)</dd>" in re.sub(r" <span.*?</span>", "", unit)
    book = cast.client("manager").get(reverse("day_book", kwargs={"yard": cast.yard})).content.decode()
    assert "(New Zealand (NZ), Pacific/Auckland)" in book
    look = cast.client("manager").get(reverse("look", kwargs={"yard": cast.yard})).content.decode()
    assert '<option value="PT">Portugal (PT)</option>' in look
