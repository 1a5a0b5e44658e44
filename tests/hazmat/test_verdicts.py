"""Verdicts: a named person on named evidence, a second one where the yard asks for it, and what ends a release."""

from datetime import timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone

from hazmat.actions.bottles import hand_bottle
from hazmat.actions.people import add_member, end_member
from hazmat.actions.results import enter_result
from hazmat.actions.units import correct_unit, log_unit
from hazmat.actions.verdicts import reading, second_verdict, sign_verdict
from hazmat.actions.yards import set_yard
from hazmat.book.act import Refused
from hazmat.book.entry import Entry
from hazmat.book.prove import prove
from hazmat.edge.story import story
from hazmat.models import Assessment, Bottle, Member, Particulars, Person, Second, UnitStanding, Verdict, Yard
from hazmat.queries.units import UNITS
from hazmat.queries.yards import particulars, yard_facts
from tests.cast import LINE, ZONE, look_in, opened, order, person, reported
from tests.hazmat.signing import entered, filled, logged, seconded, signed, the, two_needed, with_result

pytestmark = [pytest.mark.both, pytest.mark.django_db]
SCREEN = {"how": "screen", "on": "2026-01-05", "set_point": "50", "colour": "blue_violet", "control_ok": True}


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


def test_a_result_that_establishes_nothing_cannot_be_the_only_evidence(yard: Yard, boss: Person) -> None:
    """One in mg/L without a density gives no mg/kg (the unit of the line of each law); the other one does."""
    now = with_result(yard, boss)
    odd = {"how": "laboratory", "on": "2026-01-05", "value": "1.2", "unit": "mg/L"}
    enter_result(order(yard.pk, boss.pk), unit=UUID(now.unit), told=reported(test=odd), place="NZ")
    now = the(now.unit)
    own, other = (one.id for one in now.results)
    assert not now.asks_hold
    with pytest.raises(Refused, match="rests on at least one result that is named"):
        signed(yard, boss, now, evidence=[other])
    assert signed(yard, boss, now, evidence=[other, own]).stands == "released"


def test_nobody_signs_before_the_result_came_in(yard: Yard, boss: Person) -> None:
    past = timezone.now() - timedelta(days=1)
    unit = log_unit(order(yard.pk, boss.pk, happened_at=past), look=look_in(), place="NZ").the("hazmat.unit")
    enter_result(order(yard.pk, boss.pk), unit=unit, told=reported(), place="NZ")
    now, early = the(unit), order(yard.pk, boss.pk, happened_at=past + timedelta(hours=1))
    asked: dict[str, Any] = {"unit": unit, "reason": "read", "read": reading(now)}
    with pytest.raises(Refused, match="came in after that"):
        sign_verdict(early, decision="release", evidence=[now.results[0].id], **asked)
    sign_verdict(early, decision="hold", evidence=[], **asked)


def test_a_bottle_that_was_lost_after_all_ends_its_release(yard: Yard, boss: Person) -> None:
    when = timezone.now() - timedelta(days=2)
    unit = log_unit(order(yard.pk, boss.pk, happened_at=when), look=look_in(), place="NZ").the("hazmat.unit")
    code = filled(yard, boss, the(unit), when)
    test = {"how": "laboratory", "value": "1.2", "unit": "mg/kg"}
    day = timezone.localdate(timezone=ZoneInfo(ZONE))
    now = signed(yard, boss, entered(yard, boss, the(unit), test=test, bottle=code, reported_on=day))
    assert now.stands == "released"
    told: dict[str, Any] = {"what": "lost", "place": "NZ", "names": {"gave": "Mere Example"}}
    hand_bottle(order(yard.pk, boss.pk), bottle=Bottle.objects.get(code=code).pk, **told)
    after = the(unit)
    assert (after.stands, after.waits, after.oil.known) == ("hold", "verdict", "untested")
    with pytest.raises(Refused, match="was lost or spoiled"):
        signed(yard, boss, after)


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


def test_nobody_brings_back_alone_a_release_that_somebody_spoke_against(yard: Yard, boss: Person) -> None:
    """A release of two, then the route by one of them, who takes it back with a release of one."""
    other = two_needed(yard, boss)
    now = seconded(yard, other, signed(yard, boss, with_result(yard, boss)))
    now = signed(yard, other, now, "pcb_route", evidence=[])
    assert (now.stands, now.waits) == ("hold", "second")
    now = signed(yard, other, now)
    assert (now.stands, now.held, now.waits, now.decided) == ("hold", True, "second", None)
    after = seconded(yard, boss, now)
    assert (after.stands, after.waits, after.decided and after.decided.signer) == ("released", "", str(other.pk))


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
