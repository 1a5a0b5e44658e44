"""The letter to the owner through the acts: a lone person prints it from the unit's page; names stand in the aside."""

import re
from uuid import UUID

import pytest
from django.urls import reverse

from hazmat.actions.papers import issue_paper, private_words
from hazmat.actions.units import log_unit
from hazmat.book.canonical import parsed
from hazmat.book.prove import prove
from hazmat.models import Paper, Person, Unit, Yard
from tests.cast import Cast, file_of, look_in, order
from tests.hazmat.test_verdicts import seconded, signed, two_needed, with_result
from tests.papers.poppler import text_of

pytestmark = pytest.mark.django_db


def issued(yard: Yard, boss: Person, unit: str) -> Paper:
    seen = issue_paper(order(yard.pk, boss.pk), unit=UUID(unit), kind="owner_letter")
    return Paper.objects.get(pk=seen.the("hazmat.paper"))


def test_it_names_who_released_it_beside_its_words(yard: Yard, boss: Person) -> None:
    boss.called = "Sina Signer"
    boss.save()
    paper = issued(yard, boss, signed(yard, boss, with_result(yard, boss)).unit)
    payload = parsed(paper.payload)
    assert payload["stands"] == "released"
    assert payload["proven"]["verdicts"][0]["by"] == "by one person"
    assert private_words(paper)["signer"] == "Sina Signer"
    assert "Sina" not in paper.payload
    assert str(boss.pk) not in paper.payload
    assert prove().faults == []


def test_it_names_both_where_two_signed(yard: Yard, boss: Person) -> None:
    other = two_needed(yard, boss)
    now = signed(yard, boss, with_result(yard, boss))
    waiting = issued(yard, boss, now.unit)
    assert parsed(waiting.payload)["stands"] == "hold"
    assert "signer" not in private_words(waiting)
    paper = issued(yard, boss, seconded(yard, other, now).unit)
    told = parsed(paper.payload)["proven"]["verdicts"]
    assert [one["by"] for one in told] == ["by two people"]
    assert (private_words(paper)["signer"], private_words(paper)["second"]) == (boss.called, other.called)
    assert paper.replaces_id == waiting.pk


def test_a_lone_person_prints_it_from_the_page_of_the_unit(cast: Cast) -> None:
    boss, client = cast.people["boss"], cast.client("boss")
    assert cast.yard_id is not None
    look = look_in(aside={"owner": "Mere Example", "where": "behind the shed"})
    seen = log_unit(order(cast.yard_id, boss.pk), look=look, place="NZ")
    tag = Unit.objects.get(pk=seen.the("hazmat.unit")).tag
    page = client.get(reverse("unit", kwargs={"yard": cast.yard, "tag": tag})).content.decode()
    form = next(one for one in page.split("<form") if 'value="owner_letter"' in one)
    act = re.search(r'name="act" value="([^"]+)"', form)
    assert act
    at = reverse("issue_paper", kwargs={"yard": cast.yard, "tag": tag})
    shown = client.post(at, {"act": act[1], "kind": "owner_letter"}).headers["Location"]
    told = client.get(shown).content.decode()
    assert "Letter to the owner" in told
    pdf = file_of(client.get(f"{shown}pdf/"))
    words = text_of(pdf)
    assert "Mere Example behind the shed" in words
    assert "Nothing about its oil is proven" in words
