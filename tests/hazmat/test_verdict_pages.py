"""The pages of verdicts: what a release lacks, who signed on what, the second reading, how the yard works."""

import re
from html import unescape
from uuid import UUID

import pytest
from django.test import Client
from django.utils import timezone

from hazmat import papers
from hazmat.actions.results import enter_result
from hazmat.actions.verdicts import reading
from hazmat.actions.yards import set_yard
from hazmat.models import Result, Unit, Verdict, Yard
from hazmat.queries.next import lines
from hazmat.queries.yards import particulars, yard_facts
from tests.browsing import at, token
from tests.cast import Cast, opened, order, person, reported
from tests.hazmat.signing import logged, seconded, signed, the, with_result

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def shown(client: Client, cast: Cast, tag: str) -> str:
    return " ".join(unescape(client.get(at(cast, "unit", tag=tag)).content.decode()).split())


def strip(page: str) -> str:
    found = re.search(r'<section class="strip.*?</section>', page)
    assert found
    return found[0]


def fresh(cast: Cast, value: str | None = "1.2") -> str:
    """The tag of a unit, perhaps with a result."""
    boss = cast.people["boss"]
    assert cast.yard_id is not None
    yard = Yard.objects.get(pk=cast.yard_id)
    return (with_result(yard, boss, value) if value else logged(yard, boss)).tag


def test_the_release_is_offered_and_says_what_it_lacks(cast: Cast) -> None:
    """A safety officer finds the answer on the page, ticked nothing, and cannot get past it."""
    client, tag = cast.client("safety_officer"), fresh(cast, None)
    where = at(cast, "sign_verdict", tag=tag)
    page = unescape(client.get(where).content.decode())
    assert 'value="release"' in page
    assert "What a release lacks" in page
    assert "A release rests on a laboratory result of this very unit" in page
    told = {"act": token(page), "decision": "release", "reason": "looks fine", "read": reading_of(page)}
    refused = client.post(where, told)
    assert refused.status_code == 422
    body = unescape(refused.content.decode())
    assert "This unit cannot be released yet. A release rests on a laboratory result" in body
    assert "looks fine" in body
    assert strip(shown(client, cast, tag)).count("HOLD: not proven") == 1


def reading_of(page: str) -> str:
    found = re.search(r'name="read"[^>]*value="([^"]*)"', page)
    assert found
    return found[1]


def test_a_release_by_page_says_who_on_what_and_when(cast: Cast) -> None:
    client, tag = cast.client("safety_officer"), fresh(cast)
    assert "Sign a verdict</a>" in shown(client, cast, tag)
    assert "nobody has released it" in strip(shown(client, cast, tag))
    where = at(cast, "sign_verdict", tag=tag)
    page = client.get(where).content.decode()
    assert "What a release lacks" not in page
    assert "It will read: signed by one person." in page
    told = {
        "act": token(page),
        "decision": "release",
        "reason": "read against <tag> and bottle",
        "read": reading_of(page),
    }
    unread = client.post(where, told)
    assert unread.status_code == 422
    assert "Tick the results that you read" in unread.content.decode()
    told["evidence"] = str(Result.objects.get(unit__tag=tag).pk)
    assert client.post(where, told).status_code == 302
    assert client.post(where, told).status_code == 302
    assert Verdict.objects.filter(unit__tag=tag).count() == 1
    page = shown(client, cast, tag)
    assert "Released: a named person read the results of its oil." in strip(page)
    assert "Released by Safety Officer, " in strip(page)
    assert "signed by one person" in strip(page)
    assert "laboratory, 5 Jan 2026, tank: 1.2 mg/kg (Example Laboratory, report of 9 Jan 2026)" in strip(page)
    assert "frees no core, wood or paper" in strip(page)
    assert "read against <tag> and bottle" in page
    assert "A verdict was signed: release." in page
    assert not re.search(r"\b(clean|PCB-free)\b", page)


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"decision": "hold"}, "Write why you decide so"),
        ({"reason": "x"}, "Pick what you decide."),
        ({"decision": "burn", "reason": "x"}, "Pick one of the three answers."),
        ({"decision": "hold", "reason": "x", "evidence": "0"}, "This is none of the answers"),
        ({"decision": "hold", "reason": "x" * 1001}, "This is 1001 characters long"),
        ({"decision": "hold", "reason": "kept words", "read": "0"}, "Something was written about this unit"),
    ],
)
def test_what_is_wrong_with_a_verdict_is_said(cast: Cast, told: dict[str, str], says: str) -> None:
    client, tag = cast.client("safety_officer"), fresh(cast)
    where = at(cast, "sign_verdict", tag=tag)
    page = client.get(where).content.decode()
    sent = client.post(where, {"act": token(page), "read": reading_of(page), **told})
    assert sent.status_code == 422
    assert says in unescape(sent.content.decode())
    assert told.get("reason", "") in sent.content.decode()
    assert not Verdict.objects.filter(unit__tag=tag).exists()


def test_a_second_person_reads_it_on_a_page_of_his_own(cast: Cast) -> None:
    boss, manager = cast.people["boss"], cast.client("manager")
    assert cast.yard_id is not None
    yard = Yard.objects.get(pk=cast.yard_id)
    set_yard(order(yard.pk, boss.pk), based_on=particulars(yard.pk).pk, name="Test Yard", two=True)
    now = signed(yard, cast.people["safety_officer"], with_result(yard, boss))
    where = at(cast, "second_verdict", verdict=now.verdicts[-1].id)
    assert "You signed this verdict" in cast.client("safety_officer").get(where).content.decode()
    page = shown(manager, cast, now.tag)
    assert "HOLD: a release is signed and waits for a second person" in strip(page)
    assert where in page
    form = unescape(manager.get(where).content.decode())
    for words in ("Release it", "report read", "Safety Officer", "1.2 mg/kg", "Example Laboratory", "Read the report"):
        assert words in form
    own = cast.client("safety_officer").post(where, {"act": token_of(cast, "safety_officer"), "read": reading(now)})
    assert own.status_code == 422
    assert "the second person has to be somebody else" in own.content.decode()
    stale = manager.post(where, {"act": token(form), "read": "0"})
    assert stale.status_code == 422
    assert manager.post(where, {"act": token(form), "read": reading_of(form)}).status_code == 302
    page = shown(manager, cast, now.tag)
    assert "read a second time by Manager, " in strip(page)
    assert "A verdict was read and signed by a second person." in page
    assert "Read a second time by Manager" in manager.get(where).content.decode()


def token_of(cast: Cast, role: str) -> str:
    from hazmat.queries.yards import member_of
    from hazmat.views.access import new_token

    here = member_of(cast.yard, cast.people[role])
    assert here is not None
    return new_token(here)


def test_a_release_that_no_longer_stands_is_told_beside_the_hold(cast: Cast) -> None:
    boss = cast.people["boss"]
    assert cast.yard_id is not None
    yard = Yard.objects.get(pk=cast.yard_id)
    now = signed(yard, boss, with_result(yard, boss))
    told = {"told": reported("62"), "place": "NZ", "replaces": UUID(now.results[0].id), "why": "jars mixed up"}
    enter_result(order(yard.pk, boss.pk), unit=UUID(now.unit), **told)  # type: ignore[arg-type]
    page = shown(cast.client("visitor"), cast, now.tag)
    assert "PCB route: do not open" in strip(page)
    assert "It was released. What that rested on has changed since" in strip(page)
    assert "Released by Boss, " in strip(page)
    assert "This no longer stands: what it rested on has changed." in page
    assert "replaced by the report of 9 Jan 2026: jars mixed up" in page


def test_what_waits_for_a_signature_stands_under_next(cast: Cast) -> None:
    boss = cast.people["boss"]
    assert cast.yard_id is not None
    yard = Yard.objects.get(pk=cast.yard_id)
    tag = fresh(cast)

    def said() -> list[str]:
        told = lines(yard.pk, yard.code, timezone.localdate())
        return [one.says for one in told if one.words.get("tag") == tag]

    assert said() == [f"Transformer {tag[:3]} {tag[3:]}: a lab result is in, and nobody has signed a verdict on it"]
    set_yard(order(yard.pk, boss.pk), based_on=particulars(yard.pk).pk, name="Test Yard", two=True)
    now = signed(yard, boss, the(Unit.objects.get(tag=tag).pk))
    assert said() == [f"Transformer {tag[:3]} {tag[3:]}: a verdict waits for a second person"]
    seconded(yard, cast.people["manager"], now)
    assert said() == []
    assert cast.client("visitor").get(at(cast, "next")).status_code == 200


def test_a_paper_of_a_released_unit_says_so_without_a_name(cast: Cast) -> None:
    boss = cast.people["boss"]
    assert cast.yard_id is not None
    yard = Yard.objects.get(pk=cast.yard_id)
    now = signed(yard, boss, with_result(yard, boss))
    facts = yard_facts(particulars(yard.pk))
    made = papers.payload("site_sheet", now, facts, {}, "17", timezone.now(), "Ana")
    assert made.payload["hold"]["on"] is False
    assert made.payload["hold"]["says"] == "Released: a named person read the results of its oil."
    assert "Boss" not in str(made.payload)
    tests = [one["value"] for one in made.payload["facts"] if one["name"] == "Tests"]
    assert tests == ["laboratory, 5 Jan 2026, tank: 1.2 mg/kg"]


def test_the_manager_changes_how_the_yard_works_on_a_page(cast: Cast) -> None:
    client, where = cast.client("manager"), at(cast, "set_yard")
    assert where in client.get(at(cast, "keeping")).content.decode()
    assert where not in cast.client("technician").get(at(cast, "keeping")).content.decode()
    page = client.get(where).content.decode()
    assert 'value="Test Yard"' in page
    assert "Only one person here can sign" not in page
    based_on = re.search(r'name="based_on"[^>]*value="([^"]+)"', page)
    assert based_on
    told = {"act": token(page), "based_on": based_on[1], "name": "Hill Yard", "stores": "on", "two": "on"}
    refused = client.post(where, {**told, "name": "", "keeps": "the steel cabinet"})
    assert refused.status_code == 422
    assert "the steel cabinet" in refused.content.decode()
    assert client.post(where, told).status_code == 302
    keeping = client.get(at(cast, "keeping")).content.decode()
    assert "kept and sent out here" in keeping
    assert "two people" in keeping
    late = client.post(where, {**told, "act": token_of(cast, "manager")})
    assert late.status_code == 422
    assert "Somebody changed this in the meantime" in late.content.decode()
    assert "How the yard works was written down: Hill Yard" in client.get(at(cast, "day_book")).content.decode()


def test_one_person_alone_is_told_why_nobody_can_be_asked(db: None) -> None:
    lone = person("lone")
    yard = opened(lone, "Van")
    client = Client()
    client.force_login(lone)
    where = f"/{yard.code}/keeping/yard/"
    page = client.get(where).content.decode()
    assert "Only one person here can sign, so a verdict cannot ask for a second one yet" in page
    told = {"act": token(page), "name": "Van", "two": "on"}
    refused = client.post(where, told)
    assert refused.status_code == 422
    assert "only where two people can sign" in refused.content.decode()
