"""Verdicts: a named person on named evidence, a second one where the yard asks for it, and what ends a release."""

import re
from datetime import timedelta
from html import unescape
from typing import Any
from uuid import UUID

import pytest
from django.test import Client
from django.utils import timezone

from hazmat import papers
from hazmat.actions.people import add_member, end_member
from hazmat.actions.results import enter_result
from hazmat.actions.units import correct_unit, log_unit
from hazmat.actions.verdicts import reading, second_verdict, sign_verdict
from hazmat.actions.yards import set_yard
from hazmat.book.act import Refused
from hazmat.book.entry import Entry
from hazmat.book.prove import prove
from hazmat.core.unitnow import UnitNow
from hazmat.edge.story import story
from hazmat.models import Assessment, Member, Particulars, Person, Result, Second, Unit, UnitStanding, Verdict, Yard
from hazmat.queries.next import lines
from hazmat.queries.units import UNITS
from hazmat.queries.yards import particulars, yard_facts
from tests.browsing import at, token
from tests.cast import LINE, Cast, look_in, opened, order, person, reported

pytestmark = [pytest.mark.both, pytest.mark.django_db]
SCREEN = {"how": "screen", "on": "2026-01-05", "set_point": "50", "colour": "blue_violet", "control_ok": True}


def the(unit: UUID | str) -> UnitNow:
    found = UNITS.kept(UUID(str(unit)))
    assert found is not None
    return found


def logged(yard: Yard, boss: Person, line: dict[str, Any] = LINE) -> UnitNow:
    return the(log_unit(order(yard.pk, boss.pk), look=look_in(line=line), place="NZ").the("hazmat.unit"))


def with_result(yard: Yard, boss: Person, value: str = "1.2", line: dict[str, Any] = LINE, **more: Any) -> UnitNow:
    now = logged(yard, boss, line)
    enter_result(order(yard.pk, boss.pk), unit=UUID(now.unit), told=reported(value, **more), place="NZ")
    return the(now.unit)


def signed(yard: Yard, by: Person, now: UnitNow, decision: Any = "release", **more: Any) -> UnitNow:
    told = {"reason": "report read", "evidence": [one.id for one in now.counting], "read": reading(now), **more}
    sign_verdict(order(yard.pk, by.pk), unit=UUID(now.unit), decision=decision, **told)
    return the(now.unit)


def seconded(yard: Yard, by: Person, now: UnitNow, **more: Any) -> UnitNow:
    verdict = UUID(now.verdicts[-1].id)
    second_verdict(order(yard.pk, by.pk), verdict=verdict, **{"read": reading(now), **more})
    return the(now.unit)


def two_needed(yard: Yard, boss: Person) -> Person:
    """A second person in the yard, and the policy that asks for one."""
    other = person("other")
    add_member(order(yard.pk, boss.pk), person=other.pk, roles=("safety_officer",))
    set_yard(order(yard.pk, boss.pk), based_on=particulars(yard.pk).pk, name="Test Yard", two=True)
    return other


# ------------------------------------------------------------------ signing


def test_a_release_names_who_on_what_and_how_it_was_judged(yard: Yard, boss: Person) -> None:
    now = signed(yard, boss, with_result(yard, boss))
    assert (now.stands, now.held, now.waits) == ("released", False, "")
    assert now.decided
    assert (now.decided.signer, now.decided.evidence) == (str(boss.pk), (now.results[0].id,))
    assert (now.decided.klass, now.decided.basis, now.decided.care) == ("up_to_50", "established", "lt2")
    assert (now.oil.klass, now.oil.care, now.oil.known) == ("up_to_50", "lt2", "low")
    row = UnitStanding.objects.get(unit=now.unit)
    assert (row.held, row.waits) == (False, "")
    kept = Verdict.objects.get()
    assert kept.assessment == Assessment.objects.get(unit=now.unit, entry__seq=int(now.assessed))
    assert UNITS.fold([UUID(now.unit)])[UUID(now.unit)] == now
    assert prove().faults == []


def test_a_quick_test_below_the_line_does_not_open_the_gate(yard: Yard, boss: Person) -> None:
    now = logged(yard, boss, {**LINE, "fluid": "mineral", "tests": [SCREEN]})
    with pytest.raises(Refused, match="cannot be released yet") as wrong:
        signed(yard, boss, now)
    assert "none that counts is in this book" in str(wrong.value)
    assert "A screen, a plate, a float test or somebody's word lifts nothing" in str(wrong.value)
    assert (now.stands, now.held) == ("hold", True)


def test_what_is_high_is_not_released(yard: Yard, boss: Person) -> None:
    with pytest.raises(Refused, match="cannot be released yet"):
        signed(yard, boss, with_result(yard, boss, "62"))


@pytest.mark.parametrize("decision", ["pcb_route", "hold"])
def test_a_hold_or_the_route_can_always_be_signed(yard: Yard, boss: Person, decision: str) -> None:
    for now in (logged(yard, boss), with_result(yard, boss), with_result(yard, boss, "62")):
        assert signed(yard, boss, now, decision).stands == decision


def test_evidence_counts_and_is_of_this_unit(yard: Yard, boss: Person) -> None:
    now, other = with_result(yard, boss), with_result(yard, boss)
    with pytest.raises(Refused, match="does not count or is of another unit"):
        signed(yard, boss, now, evidence=[other.results[0].id])
    with pytest.raises(Refused, match="rests on at least one result that is named"):
        signed(yard, boss, now, evidence=[])
    old = now.results[0].id
    told = reported("1.1")
    enter_result(
        order(yard.pk, boss.pk), unit=UUID(now.unit), told=told, place="NZ", replaces=UUID(old), why="second run"
    )
    with pytest.raises(Refused, match="does not count"):
        signed(yard, boss, the(now.unit), evidence=[old])
    for reason in ("", "  \n"):
        with pytest.raises(Refused, match="Write why you decide so"):
            signed(yard, boss, the(now.unit), reason=reason)
    assert not Verdict.objects.exists()


def test_a_mixed_sample_cannot_be_the_only_evidence(yard: Yard, boss: Person) -> None:
    """The unit is low by its own sample; the mixed one that is named beside it proves nothing."""
    now = with_result(yard, boss)
    mixed = {**reported().test, "composite": True}
    enter_result(order(yard.pk, boss.pk), unit=UUID(now.unit), told=reported(test=mixed), place="NZ")
    now = the(now.unit)
    own, other = (one.id for one in now.results)
    assert not now.asks_hold
    with pytest.raises(Refused, match="a mixed sample"):
        signed(yard, boss, now, evidence=[other])
    assert signed(yard, boss, now, evidence=[other, own]).stands == "released"


def test_nobody_signs_what_he_has_not_read(yard: Yard, boss: Person) -> None:
    """Somebody entered a result, or signed, while the form was open."""
    now = with_result(yard, boss)
    before = reading(now)
    enter_result(order(yard.pk, boss.pk), unit=UUID(now.unit), told=reported("1.4"), place="NZ")
    with pytest.raises(Refused, match="in the meantime"):
        signed(yard, boss, the(now.unit), read=before)
    now = the(now.unit)
    before = reading(now)
    signed(yard, boss, now, "hold")
    with pytest.raises(Refused, match="in the meantime"):
        signed(yard, boss, the(now.unit), read=before)
    early = order(yard.pk, boss.pk, happened_at=timezone.now() - timedelta(hours=1))
    now = the(now.unit)
    with pytest.raises(Refused, match="before the verdict that stands"):
        sign_verdict(early, unit=UUID(now.unit), decision="hold", reason="x", evidence=[], read=reading(now))


def test_a_unit_of_another_yard_is_not_there(yard: Yard, boss: Person) -> None:
    now, other = with_result(yard, boss), opened(person("stranger"), "Other Yard", "US", state="US-OR")
    with pytest.raises(Refused, match="no such unit"):
        signed(other, boss, now)
    signed(yard, boss, now)
    with pytest.raises(Refused, match="no such verdict"):
        seconded(other, boss, the(now.unit))


# ------------------------------------------------------------------ what ends a release


def test_an_amended_report_ends_a_release_that_stays_in_the_past(yard: Yard, boss: Person) -> None:
    now = signed(yard, boss, with_result(yard, boss))
    told = {"told": reported("62"), "place": "NZ", "replaces": UUID(now.results[0].id), "why": "jars mixed up"}
    enter_result(order(yard.pk, boss.pk), unit=UUID(now.unit), **told)  # type: ignore[arg-type]
    after = the(now.unit)
    assert (after.stands, after.held, after.decided, after.waits) == ("hold", True, None, "verdict")
    assert after.lapsed
    assert after.lapsed.decision == "release"
    assert UNITS.fold([UUID(now.unit)], at=int(now.seq))[UUID(now.unit)].stands == "released"
    words = story(after, yard_facts(particulars(yard.pk))).hold
    assert (words.on, "PCB route" in words.says) == (True, True)
    assert "that release no longer stands" in words.lapsed
    assert prove().faults == []


def test_a_correction_that_changes_what_it_is_ends_a_release(yard: Yard, boss: Person) -> None:
    """Somebody finds a PCB mark under the paint: other evidence speaks against the low figure."""
    now = signed(yard, boss, with_result(yard, boss))
    look = look_in(line={**LINE, "marks": ["pcb_mark"]})
    correct_unit(order(yard.pk, boss.pk), unit=UUID(now.unit), based_on=UUID(now.look), look=look, place="NZ")
    after = the(now.unit)
    assert (after.stands, after.lapsed is not None) == ("hold", True)
    same = signed(yard, boss, with_result(yard, boss))
    look = look_in(note="moved to the shed")
    correct_unit(order(yard.pk, boss.pk), unit=UUID(same.unit), based_on=UUID(same.look), look=look, place="NZ")
    assert the(same.unit).stands == "released"


def test_an_entry_that_is_late_changes_what_holds_now_and_not_what_was_signed(yard: Yard, boss: Person) -> None:
    """A result kept on a phone since yesterday is written down after the release of today."""
    yesterday = timezone.now() - timedelta(days=1)
    one = order(yard.pk, boss.pk, happened_at=yesterday - timedelta(days=1))
    unit = log_unit(one, look=look_in(), place="NZ").the("hazmat.unit")
    enter_result(order(yard.pk, boss.pk), unit=unit, told=reported(), place="NZ")
    now = signed(yard, boss, the(unit))
    assert now.stands == "released"
    late = order(yard.pk, boss.pk, happened_at=yesterday)
    enter_result(late, unit=unit, told=reported("620"), place="NZ")
    after = the(unit)
    assert (after.stands, after.answer["care"]) == ("hold", "ge500")
    assert after.lapsed
    assert [one.test["value"] for one in after.results] == ["620", "1.2"]
    assert UNITS.fold([unit])[unit] == after
    assert prove().faults == []


# ------------------------------------------------------------------ a second person


def test_where_the_yard_asks_for_two_one_decides_nothing(yard: Yard, boss: Person) -> None:
    other = two_needed(yard, boss)
    now = signed(yard, boss, with_result(yard, boss))
    assert (now.stands, now.waits, now.oil.known) == ("hold", "second", "untested")
    with pytest.raises(Refused, match="has to be somebody else"):
        seconded(yard, boss, now)
    after = seconded(yard, other, now)
    assert (after.stands, after.waits, after.oil.known) == ("released", "", "low")
    assert after.decided
    assert (after.decided.signer, after.decided.second) == (str(boss.pk), str(other.pk))
    with pytest.raises(Refused, match="waits for nobody"):
        seconded(yard, other, after)
    assert Second.objects.count() == 1
    assert prove().faults == []


def test_a_hold_waits_for_nobody(yard: Yard, boss: Person) -> None:
    two_needed(yard, boss)
    now = signed(yard, boss, with_result(yard, boss), "hold")
    assert (now.stands, now.waits, now.decided and now.decided.two) == ("hold", "", False)
    assert (signed(yard, boss, now, "pcb_route").stands) == "hold"
    assert the(now.unit).waits == "second"


def test_a_second_person_signs_nothing_that_changed(yard: Yard, boss: Person) -> None:
    other = two_needed(yard, boss)
    now = signed(yard, boss, with_result(yard, boss))
    early = order(yard.pk, other.pk, happened_at=timezone.now() - timedelta(hours=1))
    with pytest.raises(Refused, match="before the verdict was signed"):
        second_verdict(early, verdict=UUID(now.verdicts[-1].id), read=reading(now))
    before = reading(now)
    enter_result(order(yard.pk, boss.pk), unit=UUID(now.unit), told=reported("62"), place="NZ")
    with pytest.raises(Refused, match="in the meantime"):
        seconded(yard, other, the(now.unit), read=before)
    with pytest.raises(Refused, match="has changed since it was signed"):
        seconded(yard, other, the(now.unit))
    later = signed(yard, boss, the(now.unit), "pcb_route")
    with pytest.raises(Refused, match="waits for nobody: it has its second person, or a later one"):
        second_verdict(order(yard.pk, other.pk), verdict=UUID(now.verdicts[0].id), read=reading(later))
    assert seconded(yard, other, later).stands == "pcb_route"


def test_in_a_book_of_one_nothing_is_locked(yard: Yard, boss: Person) -> None:
    with pytest.raises(Refused, match="only where two people can sign"):
        set_yard(order(yard.pk, boss.pk), based_on=particulars(yard.pk).pk, name="Test Yard", two=True)
    assert signed(yard, boss, with_result(yard, boss)).stands == "released"


@pytest.mark.parametrize(("roles", "possible"), [(("technician", "yard_hand"), False), (("manager",), True)])
def test_a_second_person_is_somebody_who_may_sign(
    yard: Yard, boss: Person, roles: tuple[str, ...], possible: bool
) -> None:
    other = person("other")
    add_member(order(yard.pk, boss.pk), person=other.pk, roles=roles)
    asked = {"based_on": particulars(yard.pk).pk, "name": "Test Yard", "two": True}
    if possible:
        set_yard(order(yard.pk, boss.pk), **asked)
        assert particulars(yard.pk).two is True
        for member in Member.objects.filter(person=other):
            end_member(order(yard.pk, boss.pk), member=member.pk)
        set_yard(order(yard.pk, boss.pk), based_on=particulars(yard.pk).pk, name="Test Yard", two=False)
        return
    with pytest.raises(Refused, match="let somebody in as safety officer or yard manager first"):
        set_yard(order(yard.pk, boss.pk), **asked)


# ------------------------------------------------------------------ how the yard works


def test_a_yard_changes_its_ways_and_keeps_its_country_and_zone(yard: Yard, boss: Person) -> None:
    before = particulars(yard.pk)
    told = {"name": " Hill Yard ", "phone": "+64 0 000 0000", "keeps": "the cabinet", "stores": True}
    set_yard(order(yard.pk, boss.pk), based_on=before.pk, **told)
    after = particulars(yard.pk)
    assert (after.name, after.keeps, after.stores, after.two) == ("Hill Yard", "the cabinet", True, False)
    assert (after.country, after.state, after.zone) == (before.country, before.state, before.zone)
    assert yard_facts(after)["phone"] == "+64 0 000 0000"
    assert not [body for body in Entry.objects.values_list("body", flat=True) if "+64 0 000 0000" in body]
    with pytest.raises(Refused, match="Somebody changed this in the meantime"):
        set_yard(order(yard.pk, boss.pk), based_on=before.pk, name="Mine")
    with pytest.raises(Refused, match="Write what the yard is called"):
        set_yard(order(yard.pk, boss.pk), based_on=after.pk, name=" ")
    assert Particulars.objects.filter(yard=yard).count() == 2
    assert prove().faults == []


# ------------------------------------------------------------------ pages


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
