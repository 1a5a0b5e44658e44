"""Acts and standings: what one act writes, what a second one changes, what cannot be written."""

from datetime import timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hazmat.actions.papers import issue_paper, print_and_seal
from hazmat.actions.people import add_member, end_member, erase_aside, new_door, walk_through
from hazmat.actions.units import add_photographs, correct_unit, log_unit, prove_dead
from hazmat.book.act import VERBS, Refused
from hazmat.book.aside import Aside, words_of
from hazmat.book.canonical import parsed
from hazmat.book.entry import Entry
from hazmat.book.ids import new_id
from hazmat.book.receipt import Receipt
from hazmat.book.standing import standing
from hazmat.core.unitnow import UnitNow
from hazmat.models import Assessment, Door, Look, Member, Person, Space, Unit, UnitStanding, Yard
from hazmat.queries.units import UNITS, listed, unit_now
from hazmat.queries.yards import member_of, people, roles_of, yards_of
from tests.cast import LINE, look_in, opened, order, person, pictured
from tests.conftest import ROOT

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def logged(yard: Yard, boss: Person, **more: Any) -> tuple[Receipt, UnitNow]:
    receipt = log_unit(order(yard.pk, boss.pk), look=look_in(**more), place="NZ")
    return receipt, UNITS.kept(receipt.the("hazmat.unit"))  # type: ignore[return-value]


def test_one_act_writes_the_unit_and_its_answer(yard: Yard, boss: Person) -> None:
    receipt, now = logged(yard, boss, aside={"owner": "Mere Example", "owner_phone": ""}, note="by the creek")
    assert receipt.seq == 2
    assert [table for table, _ in receipt.records] == [
        "hazmat.unit", "hazmat.holder", "hazmat.space", "hazmat.look", "hazmat.assessment",
    ]  # fmt: skip
    assert dict(now.line) == LINE
    assert now.answer["id"] == now.tag
    assert now.answer["rulebook"] == "nz"
    assert (now.arrival, now.note, now.seq) == ("found", "by the creek", "2")
    assert words_of([now.look]) == {"owner": "Mere Example"}
    assert "Mere" not in Entry.objects.get(seq=2).body


def test_the_answer_is_the_one_that_assess_gives(yard: Yard, boss: Person) -> None:
    """Held against the command's own way in: bytes in, bytes out."""
    import json

    from hazmat.edge.lines import Assessor
    from hazmat.edge.writer import JsonLines

    _, now = logged(yard, boss)
    on = timezone.localdate(timezone=ZoneInfo("Pacific/Auckland"))
    line = json.dumps({**LINE, "id": now.tag}).encode()
    (answer,) = Assessor(None, on, on).answers([line])
    assert json.loads(JsonLines().line(answer)) == now.answer  # type: ignore[arg-type]


def test_the_law_is_that_of_the_place_else_of_the_yard(boss: Person) -> None:
    yard = opened(boss, "Dry Yard", "US", state="US-OR")
    here = {key: value for key, value in LINE.items() if key != "found_in"}
    for line, law in ((here, "us"), (LINE, "nz"), ({**LINE, "found_in": "FJ"}, None)):
        receipt = log_unit(order(yard.pk, boss.pk), look=look_in(line=line), place="US-OR")
        assert UNITS.kept(receipt.the("hazmat.unit")).answer["rulebook"] == law  # type: ignore[union-attr]


def test_sent_twice_it_is_written_once(yard: Yard, boss: Person) -> None:
    asked = order(yard.pk, boss.pk)
    first = log_unit(asked, look=look_in(), place="NZ")
    second = log_unit(asked, look=look_in(note="changed"), place="NZ")
    assert (second.seq, second.hash, second.records, second.again) == (first.seq, first.hash, first.records, True)
    assert Unit.objects.count() == Look.objects.count() == 1


def test_an_act_of_another_is_not_given_away(yard: Yard, boss: Person) -> None:
    asked = order(yard.pk, boss.pk)
    log_unit(asked, look=look_in(), place="NZ")
    other = person("other")
    with pytest.raises(Refused, match="already used for something else"):
        log_unit(order(yard.pk, other.pk, act=asked.act), look=look_in(), place="NZ")
    with pytest.raises(Refused, match="already used for something else"):
        add_member(order(yard.pk, boss.pk, act=asked.act), person=other.pk, roles=("visitor",))
    assert Entry.objects.count() == 2


def test_a_correction_replaces_and_judges_again(yard: Yard, boss: Person) -> None:
    receipt, before = logged(yard, boss)
    unit = receipt.the("hazmat.unit")
    line = {**LINE, "plate_words": ["PYRANOL 75 L"]}
    correct_unit(
        order(yard.pk, boss.pk, said="plate wiped"),
        unit=unit,
        based_on=UUID(before.look),
        look=look_in(line=line),
        place="NZ",
    )
    after = UNITS.kept(unit)
    assert after is not None
    assert after.line["plate_words"] == ["PYRANOL 75 L"]
    assert (before.answer["basis"], after.answer["basis"]) == ("undetermined", "plate")
    assert Assessment.objects.count() == 2
    assert Look.objects.get(pk=UUID(before.look)).line != Look.objects.get(pk=UUID(after.look)).line
    assert parsed(Entry.objects.get(seq=3).body)["said"] == "plate wiped"
    assert UNITS.fold([unit], at=2)[unit] == before
    assert standing("hazmat.unit", unit, at=2) == before
    assert standing("hazmat.unit", unit) == after


def test_two_people_correct_at_once(yard: Yard, boss: Person) -> None:
    receipt, before = logged(yard, boss)
    unit, based_on = receipt.the("hazmat.unit"), UUID(before.look)
    correct_unit(order(yard.pk, boss.pk), unit=unit, based_on=based_on, look=look_in(note="mine"), place="NZ")
    with pytest.raises(Refused, match="in the meantime"):
        correct_unit(order(yard.pk, boss.pk), unit=unit, based_on=based_on, look=look_in(note="theirs"), place="NZ")
    assert UNITS.kept(unit).note == "mine"  # type: ignore[union-attr]


def test_a_line_that_assess_would_refuse_writes_nothing(yard: Yard, boss: Person) -> None:
    with pytest.raises(Refused, match="density_kg_l"):
        logged(yard, boss, line={**LINE, "density_kg_l": "880"})
    assert Unit.objects.count() == 0
    assert Yard.objects.get(pk=yard.pk).seq == 1


def test_a_printed_tag_hangs_on_one_unit(yard: Yard, boss: Person) -> None:
    log_unit(order(yard.pk, boss.pk), look=look_in(), place="NZ", tag="K7M4PK")
    with pytest.raises(Refused, match="hangs on another unit"):
        log_unit(order(yard.pk, boss.pk), look=look_in(), place="NZ", tag="K7M4PK")
    assert unit_now(yard.pk, "K7M4PK") is not None


def test_a_drawn_tag_gives_way_to_a_printed_one(yard: Yard, boss: Person) -> None:
    """The tag that the next entry would draw hangs on another unit already."""
    from hazmat.actions.codes import drawn

    log_unit(order(yard.pk, boss.pk), look=look_in(), place="NZ", tag=drawn(yard.pk, 3, 0))
    _, now = logged(yard, boss)
    assert now.tag != drawn(yard.pk, 3, 0)
    assert Unit.objects.count() == 2


def test_each_oil_space_has_a_holder(yard: Yard, boss: Person) -> None:
    logged(yard, boss, line={**LINE, "spaces": [{"name": "tap changer"}]})
    assert sorted(Space.objects.values_list("name", flat=True)) == ["tank", "tap changer"]
    assert Space.objects.values("holder").distinct().count() == 2


def test_what_happened_earlier_is_folded_in_its_place(yard: Yard, boss: Person) -> None:
    receipt, _ = logged(yard, boss)
    unit = receipt.the("hazmat.unit")
    told = {"dead": "yes", "how": "detector, then earths", "proved_by": "Mere Example", "earthed": True}
    early = timezone.now() - timedelta(days=2)
    late = order(yard.pk, boss.pk)
    prove_dead(late, unit=unit, proved={**told, "dead": "no"})
    prove_dead(order(yard.pk, boss.pk, happened_at=early), unit=unit, proved=told)
    now = UNITS.kept(unit)
    assert now is not None
    assert now.proved is not None
    assert now.proved.dead == "no"
    assert UNITS.differs([unit]) == []


def test_pictures_are_added_and_named_in_the_entry(yard: Yard, boss: Person) -> None:
    receipt, _ = logged(yard, boss)
    unit = receipt.the("hazmat.unit")
    one = pictured()
    add_photographs(order(yard.pk, boss.pk), unit=unit, pictures=[one])
    now = UNITS.kept(unit)
    assert now is not None
    assert [photo.sha256 for photo in now.photographs] == [one.sha256]
    body = parsed(Entry.objects.get(seq=3).body)
    assert {file["sha256"] for file in body["files"]} == {one.sha256, one.thumb}
    assert "174.8" not in Entry.objects.get(seq=3).body
    with pytest.raises(Refused, match="at least one picture"):
        add_photographs(order(yard.pk, boss.pk), unit=unit, pictures=[])


@pytest.mark.parametrize("act", [prove_dead, add_photographs, correct_unit])
def test_a_unit_of_another_yard_is_not_there(act: Any, yard: Yard, boss: Person) -> None:
    receipt, now = logged(yard, boss)
    other = opened(boss, "Other")
    more: dict[str, Any] = {
        prove_dead: {"proved": {"dead": "no"}},
        add_photographs: {"pictures": [pictured()]},
        correct_unit: {"based_on": UUID(now.look), "look": look_in(), "place": "NZ"},
    }[act]
    with pytest.raises(Refused, match="no such unit"):
        act(order(other.pk, boss.pk), unit=receipt.the("hazmat.unit"), **more)


def test_lists_go_by_key(yard: Yard, boss: Person) -> None:
    tags = [logged(yard, boss)[1].tag for _ in range(7)]
    first = listed(yard.pk, size=3)
    assert [one.tag for one in first] == tags[:2:-1]
    second = listed(yard.pk, size=3, below=first[2].logged)
    assert [one.tag for one in second] == [tags[3], tags[2], tags[1], tags[0]]
    assert [one.tag for one in listed(yard.pk, search=tags[0].lower())] == [tags[0]]
    assert listed(yard.pk, search="oil kva 75", size=50)
    assert listed(yard.pk, search="pyranol") == []
    assert listed(yard.pk, kind="drum") == []
    assert len(listed(yard.pk, held=True)) == 7


STEPS = st.lists(st.tuples(st.sampled_from(["correct", "dead", "picture"]), st.integers(-3, 3)), max_size=6)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25)
@given(steps=STEPS)
def test_a_kept_standing_is_the_fold_of_its_records(steps: list[tuple[str, int]], yard: Yard, boss: Person) -> None:
    """Whatever happened in whatever order, and in whatever order it was written down."""
    receipt, _ = logged(yard, boss)
    unit, begun = receipt.the("hazmat.unit"), timezone.now()
    for what, hours in steps:
        asked = order(yard.pk, boss.pk, happened_at=begun + timedelta(hours=hours))
        now = UNITS.kept(unit)
        assert now is not None
        if what == "correct":
            correct_unit(asked, unit=unit, based_on=UUID(now.look), look=look_in(note=str(hours)), place="NZ")
        elif what == "dead":
            prove_dead(asked, unit=unit, proved={"dead": "no", "how": str(hours)})
        else:
            add_photographs(asked, unit=unit, pictures=[pictured()])
    assert UNITS.differs([unit]) == []
    notes = [hours for what, hours in steps if what == "correct"]
    deaths = [(hours, place) for place, (what, hours) in enumerate(steps) if what == "dead"]
    now = UNITS.kept(unit)
    assert now is not None
    assert now.note == (str(notes[-1]) if notes else "")
    assert (now.proved.how if now.proved else None) == (str(max(deaths)[0]) if deaths else None)
    assert len(now.photographs) == sum(what == "picture" for what, _ in steps)


def test_standings_can_be_dropped_and_made_again(yard: Yard, boss: Person) -> None:
    for _ in range(3):
        logged(yard, boss)
    before = list(UnitStanding.objects.order_by("logged").values())
    assert UNITS.rebuild(yard.pk) == 3
    assert list(UnitStanding.objects.order_by("logged").values()) == before
    UnitStanding.objects.filter(tag=before[0]["tag"]).update(care="lt2")
    assert "differs in care" in UNITS.differs([before[0]["unit"]])[0]


# ------------------------------------------------------------------ people


def test_roles_come_and_go(yard: Yard, boss: Person) -> None:
    ana = person("ana")
    assert member_of(yard.code, ana) is None
    add_member(order(yard.pk, boss.pk), person=ana.pk, roles=("yard_hand", "technician"))
    assert roles_of(yard.pk, ana.pk) == ("technician", "yard_hand")
    with pytest.raises(Refused, match="holds these roles already"):
        add_member(order(yard.pk, boss.pk), person=ana.pk, roles=("yard_hand",))
    with pytest.raises(Refused, match="is no role"):
        add_member(order(yard.pk, boss.pk), person=ana.pk, roles=("king",))
    held = Member.objects.get(person=ana, role="technician")
    end_member(order(yard.pk, boss.pk), member=held.pk)
    assert roles_of(yard.pk, ana.pk) == ("yard_hand",)
    with pytest.raises(Refused, match="ended already"):
        end_member(order(yard.pk, boss.pk), member=held.pk)
    add_member(order(yard.pk, boss.pk), person=ana.pk, roles=("technician",))
    assert roles_of(yard.pk, ana.pk) == ("technician", "yard_hand")
    assert [one.called for one, _ in people(yard.pk)] == ["Ana", "Boss"]
    assert [one.name for one in yards_of(ana.pk)] == ["Test Yard"]


def test_the_last_manager_stays(yard: Yard, boss: Person) -> None:
    held = Member.objects.get(person=boss, role="manager")
    with pytest.raises(Refused, match="last yard manager"):
        end_member(order(yard.pk, boss.pk), member=held.pk)
    add_member(order(yard.pk, boss.pk), person=person("dev").pk, roles=("manager",))
    end_member(order(yard.pk, boss.pk), member=held.pk)
    assert "manager" not in roles_of(yard.pk, boss.pk)


def test_personal_data_are_erased_and_the_entry_stays(yard: Yard, boss: Person) -> None:
    receipt, now = logged(yard, boss, aside={"owner": "Mere Example"})
    body = Entry.objects.get(seq=receipt.seq).body
    with pytest.raises(Refused, match="Say which law"):
        erase_aside(order(yard.pk, boss.pk), record=UUID(now.look), why=" ")
    erase_aside(order(yard.pk, boss.pk), record=UUID(now.look), why="asked by the person, privacy law of the place")
    assert words_of([now.look]) == {}
    assert Entry.objects.get(seq=receipt.seq).body == body
    with pytest.raises(Refused, match="no personal data"):
        erase_aside(order(yard.pk, boss.pk), record=UUID(now.look), why="again")
    assert not Aside.objects.filter(record=now.look).exists()


def test_a_link_opens_once(boss: Person) -> None:
    secret = new_door(boss)
    assert Door.objects.get().digest != secret
    assert walk_through(secret) == boss
    assert walk_through(secret) is None
    assert walk_through("guessed") is None
    assert walk_through("") is None


@pytest.mark.parametrize(("hours", "opens"), [(47, True), (49, False)])
def test_a_link_is_open_for_two_days(hours: int, opens: bool, boss: Person) -> None:
    import time_machine

    secret = new_door(boss)
    with time_machine.travel(timezone.now() + timedelta(hours=hours), tick=False):
        assert (walk_through(secret) is not None) == opens


def test_somebody_put_out_has_no_role(yard: Yard, boss: Person) -> None:
    Person.objects.filter(pk=boss.pk).update(is_active=False)
    assert roles_of(yard.pk, boss.pk) == ()
    assert walk_through(new_door(Person.objects.get(pk=boss.pk))) is None


def test_a_yard_is_opened_once(boss: Person) -> None:
    from hazmat.actions.people import open_yard

    asked = order(new_id(), boss.pk)
    first = open_yard(asked, name="Once", country="NZ")
    again = open_yard(asked, name="Once", country="NZ")
    assert (again.yard, again.again) == (first.yard, True)
    assert Yard.objects.count() == 1


def test_every_act_has_words_for_the_day_book() -> None:
    """Acts are found in their register; each is drawn by a template of its own, and no template stands for nothing."""
    templates = {file.stem for file in (ROOT / "templates" / "_acts").glob("*.html")}
    assert templates == set(VERBS)


def test_a_seal_stands_behind_its_paper_where_the_clock_was_set_back(yard: Yard, boss: Person) -> None:
    """The paper was issued while the clock ran an hour ahead; afterwards it runs right."""
    receipt, now = logged(yard, boss)
    ahead = order(yard.pk, boss.pk, happened_at=timezone.now() + timedelta(hours=1))
    paper = issue_paper(ahead, unit=UUID(now.unit), kind="unit_tag").the("hazmat.paper")
    print_and_seal(yard.pk, boss.pk, "Pacific/Auckland", paper)
    kept = UNITS.kept(receipt.the("hazmat.unit"))
    assert kept
    assert [one.sealed is not None for one in kept.papers] == [True]
    assert UNITS.fold([UUID(now.unit)])[UUID(now.unit)] == kept
