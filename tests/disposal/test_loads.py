"""A load from its plan to its last proof, through the acts: what follows what, what is refused, what units learn."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest

from disposal.actions.certificates import close_load, enter_certificate
from disposal.actions.handing import receive_load, settle_arrival, sign_load
from disposal.actions.loads import change_load, plan_load, put_on_load, take_off_load
from disposal.core.loadin import PutOn, Settling
from disposal.models import Item, Load
from disposal.queries.loads import LOADS
from hazmat.book.act import Refused
from hazmat.book.aside import words_of
from hazmat.book.entry import Entry
from hazmat.book.ids import new_id
from hazmat.book.prove import prove
from hazmat.book.standing import standing
from hazmat.models import Fate, Person, Yard
from tests.cast import ZONE, opened, order, person
from tests.disposal.sending import DAY, Sender, certified, now, put, sign, today, unit_now

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def test_a_load_from_plan_to_close(sender: Sender) -> None:
    one, two = sender.unit(), sender.unit()
    load = sender.load(one, two, official="N-77", note="behind the shed")
    assert (now(load).state, now(load).official, now(load).carrier_name) == ("planned", "N-77", "Harbour Haulage")
    assert [item.kg for item in now(load).items] == ["250", "250"]
    sender.signed(load, "yard")
    assert (now(load).state, unit_now(one).stands) == ("signed", "hold")
    sender.signed(load, "carrier")
    assert (now(load).state, unit_now(one).stands, unit_now(two).stands) == ("handed_over", "gone", "gone")
    sender.signed(load, "facility")
    sender.arrived(load, "yes", "refused")
    assert (now(load).state, unit_now(two).stands) == ("received", "hold")
    certified(sender, load, unit_now(one).tag, done_on=today())
    kept = now(load)
    assert (kept.state, kept.items[0].certificate, kept.items[0].proven_on) == ("proven", "CD-1", today().isoformat())
    assert unit_now(one).stands == "destroyed"
    back = UUID(now(load).items[1].id)
    settle_arrival(sender.order(), load=load, lines=[Settling(item=back, says="it goes with the next load")])
    close_load(sender.order(), load=load)
    assert now(load).state == "closed"
    told = [(one.what, one.load, one.certificate, one.firm) for one in unit_now(one).fates]
    assert told == [
        ("gone", kept.number, "", "Harbour Haulage"), ("destroyed", kept.number, "CD-1", "Furnace Point")
    ]  # fmt: skip
    assert [one.what for one in unit_now(two).fates] == ["gone", "back"]
    assert LOADS.fold([load]) == {load: now(load)}
    assert prove().faults == []


def test_as_known_on_an_earlier_entry(sender: Sender) -> None:
    load = sender.load(sender.unit())
    before = int(now(load).seq)
    sender.signed(load, "yard", "carrier")
    assert standing("disposal.load", load, before).state == "planned"
    assert standing("disposal.load", load, before + 1).state == "signed"
    assert standing("disposal.load", load).state == "handed_over"


def test_names_stand_beside_the_book_and_not_in_it(sender: Sender) -> None:
    load = sender.load(sender.unit())
    sign_load(sender.order(), load=load, party="yard", inked="typed", name="Ana Signer", vehicle="ABC123")
    (signed,) = now(load).signatures
    assert words_of([signed.record]) == {"name": "Ana Signer", "vehicle": "ABC123"}
    assert not [body for body in Entry.objects.values_list("body", flat=True) if "Ana Signer" in body]


# ------------------------------------------------------------------ the plan


def test_a_plan_is_changed_before_anybody_signed(sender: Sender) -> None:
    load, other = sender.load(sender.unit()), sender.firm("Other Haulage", "carry")
    asked = {"load": load, "carrier": other, "facility": sender.facility}
    with pytest.raises(Refused, match="changed this load in the meantime"):
        change_load(sender.order(), based_on="1", **asked)
    change_load(sender.order(), based_on=now(load).seq, official="N-9", **asked)
    kept = now(load)
    assert (kept.load, kept.carrier_name, kept.official) == (str(load), "Other Haulage", "N-9")
    change_load(sender.order(), based_on=kept.seq, **asked)
    assert (now(load).official, Load.objects.filter(number=kept.number).count()) == ("", 3)
    assert LOADS.fold([load]) == {load: now(load)}
    sender.signed(load, "yard")
    with pytest.raises(Refused, match="has signed this list"):
        change_load(sender.order(), based_on=now(load).seq, **asked)
    assert prove().faults == []


def test_a_plan_names_firms_of_this_yard(sender: Sender) -> None:
    with pytest.raises(Refused, match="no such firm"):
        plan_load(sender.order(), carrier=sender.carrier, facility=new_id())
    assert not Load.objects.exists()


def test_a_load_of_another_yard_is_not_there(sender: Sender) -> None:
    load, other = sender.load(sender.unit()), person("other")
    elsewhere = opened(other, "Other Yard", "US", state="US-OR")
    asked = order(elsewhere.pk, other.pk)
    acts: list[Callable[[], Any]] = [
        lambda: sign_load(asked, load=load, party="yard", inked="typed", name="x"),
        lambda: put_on_load(asked, load=load, items=[]),
        lambda: receive_load(asked, load=load, lines=[]),
        lambda: close_load(asked, load=load),
        lambda: take_off_load(asked, load=load, item=UUID(now(load).items[0].id), why="x"),
        lambda: enter_certificate(asked, load=load, number="x", issued_on=today(), lines=[]),
        lambda: change_load(asked, load=load, based_on="1", carrier=sender.carrier, facility=sender.facility),
    ]
    for act in acts:
        with pytest.raises(Refused, match="no such load"):
            act()


# ------------------------------------------------------------------ on and off


def test_an_item_is_on_one_load_alone_until_it_is_off_or_back(sender: Sender) -> None:
    unit = sender.unit()
    first, second = sender.load(unit), sender.load()
    number = now(first).number
    with pytest.raises(Refused, match=f"is on load {number} already"):
        put(sender, second, unit)
    with pytest.raises(Refused, match=f"is on load {number} already"):
        put(sender, first, unit)
    early = sender.now
    take_off_load(sender.order(), load=first, item=UUID(now(first).items[0].id), why="wrong one")
    with pytest.raises(Refused, match=r"before .* came off its last load"):
        put(sender, second, unit, happened_at=early)
    put(sender, second, unit)
    sender.signed(second, "yard", "carrier")
    with pytest.raises(Refused, match="left with load"):
        put(sender, first, unit)
    sender.arrived(second, "refused")
    put(sender, first, unit)
    assert [one.off for one in now(first).items] == ["wrong one", ""]
    sender.signed(first, "yard", "carrier")
    sender.arrived(first, "missing")
    with pytest.raises(Refused, match="left with load"):
        put(sender, sender.load(), unit)
    assert prove().faults == []


def test_what_cannot_go_on(sender: Sender) -> None:
    load, unit = sender.load(), sender.unit()
    foreign = person("foreign")
    there = Sender(opened(foreign, "There").pk, foreign.pk).unit()
    for key, says in ((new_id(), "no such unit"), (there, "no such unit")):
        with pytest.raises(Refused, match=says):
            put(sender, load, key)
    with pytest.raises(Refused, match="no such drum"):
        put_on_load(sender.order(), load=load, items=[PutOn(thing="drum", of=unit)])
    with pytest.raises(Refused, match="at least one"):
        put_on_load(sender.order(), load=load, items=[])
    with pytest.raises(Refused, match="stands here twice"):
        put_on_load(sender.order(), load=load, items=[PutOn(thing="unit", of=unit)] * 2)
    with pytest.raises(Refused, match="cannot weigh nothing"):
        put(sender, load, unit, "0")
    put(sender, load, unit, "0.1")
    sender.signed(load, "yard")
    with pytest.raises(Refused, match="has signed this list"):
        put(sender, load, sender.unit())
    assert Item.objects.count() == 1


def test_one_that_cannot_go_keeps_all_of_the_form_off(sender: Sender) -> None:
    load = sender.load()
    with pytest.raises(Refused):
        put_on_load(
            sender.order(), load=load, items=[PutOn(thing="unit", of=sender.unit()), PutOn(thing="unit", of=new_id())]
        )
    assert not Item.objects.exists()


def test_a_late_entry_lies_neither_before_the_plan_nor_before_the_unit(sender: Sender) -> None:
    unit = sender.unit()
    logged = datetime.fromisoformat(unit_now(unit).logged_at)
    load = sender.load()
    planned = datetime.fromisoformat(now(load).planned_at)
    tick = timedelta(microseconds=1)
    with pytest.raises(Refused, match="before the load was planned"):
        put(sender, load, unit, happened_at=planned - tick)
    late = sender.unit()
    born = datetime.fromisoformat(unit_now(late).logged_at)
    assert logged < planned < born
    with pytest.raises(Refused, match="was logged"):
        put(sender, load, late, happened_at=born - tick)
    put(sender, load, late, happened_at=born)
    put(sender, load, unit, happened_at=planned)
    with pytest.raises(Refused, match="in the future"):
        put(sender, load, sender.unit(), happened_at=datetime.now(ZoneInfo(ZONE)) + timedelta(minutes=1))


def test_a_driver_refuses_an_item_and_the_list_is_shorter(sender: Sender) -> None:
    load = sender.load(sender.unit(), sender.unit())
    sender.signed(load, "yard")
    leaks, stays = now(load).items
    with pytest.raises(Refused, match="Write why"):
        take_off_load(sender.order(), load=load, item=UUID(leaks.id), why=" ")
    with pytest.raises(Refused, match="was put on"):
        take_off_load(
            sender.order(happened_at=datetime.fromisoformat(now(load).planned_at)),
            load=load,
            item=UUID(leaks.id),
            why="x",
        )
    take_off_load(sender.order(), load=load, item=UUID(leaks.id), why="driver: it leaks")
    assert [one.id for one in now(load).aboard] == [stays.id]
    assert now(load).came_off[0].off == "driver: it leaks"
    with pytest.raises(Refused, match="off this load already"):
        take_off_load(sender.order(), load=load, item=UUID(leaks.id), why="again")
    with pytest.raises(Refused, match="no such item"):
        take_off_load(sender.order(), load=load, item=new_id(), why="x")
    sender.signed(load, "carrier")
    with pytest.raises(Refused, match="The carrier has signed"):
        take_off_load(sender.order(), load=load, item=UUID(stays.id), why="too late")
    assert (unit_now(leaks.of).stands, unit_now(stays.of).stands) == ("hold", "gone")
    assert prove().faults == []


# ------------------------------------------------------------------ signing


def test_whoever_gives_signs_before_whoever_takes(sender: Sender) -> None:
    load = sender.load(sender.unit())
    for party, first in (("carrier", "the yard"), ("facility", "the yard")):
        with pytest.raises(Refused, match=f"signs, {first} has to"):
            sign(sender, load, party)
    sign(sender, load, "yard")
    with pytest.raises(Refused, match="signs, the carrier has to"):
        sign(sender, load, "facility")
    with pytest.raises(Refused, match="The yard has signed for this load already"):
        sign(sender, load, "yard")
    sign(sender, load, "carrier")
    sign(sender, load, "facility")
    assert [one.party for one in now(load).signatures] == ["yard", "carrier", "facility"]


def test_an_empty_load_is_not_signed(sender: Sender) -> None:
    load = sender.load()
    with pytest.raises(Refused, match="Nothing is on this load"):
        sign(sender, load, "yard")
    put(sender, load, sender.unit())
    sign(sender, load, "yard")
    take_off_load(sender.order(), load=load, item=UUID(now(load).items[0].id), why="driver: no room")
    with pytest.raises(Refused, match="Nothing is on this load"):
        sign(sender, load, "carrier")


def test_each_kind_of_signature_has_what_it_needs(sender: Sender) -> None:
    load = sender.load(sender.unit())
    with pytest.raises(Refused, match="Write the name"):
        sign(sender, load, "yard", name=" ")
    with pytest.raises(Refused, match="Photograph the signed sheet"):
        sign(sender, load, "yard", inked="ink")
    with pytest.raises(Refused, match="Nothing was drawn"):
        sign(sender, load, "yard", inked="drawn")
    with pytest.raises(Refused, match="Pick who signs"):
        sign(sender, load, "yard", inked="stamped")
    assert now(load).signatures == ()


def test_no_signature_lies_before_what_it_signs_for(sender: Sender) -> None:
    load = sender.load(sender.unit())
    tick = timedelta(microseconds=1)
    put_at = datetime.fromisoformat(now(load).happened_at)
    with pytest.raises(Refused, match="before the last thing"):
        sign(sender, load, "yard", at=put_at - tick)
    sign(sender, load, "yard", at=put_at)
    with pytest.raises(Refused, match="before the yard signed"):
        sign(sender, load, "carrier", at=put_at - tick)
    sign(sender, load, "carrier", at=put_at)
    with pytest.raises(Refused, match=r"before the yard signed|before the carrier signed"):
        sign(sender, load, "facility", at=put_at - tick)
    sign(sender, load, "facility", at=put_at)
    with pytest.raises(Refused, match="in the future"):
        sign(sender, sender.load(sender.unit()), "yard", at=datetime.now(ZoneInfo(ZONE)) + timedelta(minutes=1))


MOMENTS = (datetime(2026, 3, 7, 0, 0, tzinfo=ZoneInfo(ZONE)), datetime(2026, 3, 7, 23, 59, 59, tzinfo=ZoneInfo(ZONE)))


def days(since: int, until: int | None) -> dict[str, Any]:
    return {"since": DAY + timedelta(since), "until": None if until is None else DAY + timedelta(until)}


@pytest.mark.parametrize("what", ["carry", "take_in"])
@pytest.mark.parametrize("at", MOMENTS)
@pytest.mark.parametrize(
    ("licence", "holds"),
    [
        (days(0, 0), True), (days(-9, 0), True), (days(0, 9), True), (days(0, None), True), (days(-9, None), True),
        (days(1, 9), False), (days(1, None), False), (days(-9, -1), False),
    ],
)  # fmt: skip
def test_both_licences_hold_on_the_day_of_the_hand_over(
    yard: Yard, boss: Person, what: str, at: datetime, licence: dict[str, Any], holds: bool
) -> None:
    """The first and the last day of a licence count, in the zone of the yard, from midnight to midnight."""
    sender = Sender(yard.pk, boss.pk)
    sender.now = at - timedelta(seconds=60)
    firm = sender.firm("Bounded", what, **licence)
    load = sender.load(sender.unit(), **{"carrier" if what == "carry" else "facility": firm})
    sender.signed(load, "yard")
    if holds:
        sign(sender, load, "carrier", at=at)
        assert now(load).state == "handed_over"
        return
    words = "to carry" if what == "carry" else "to take in"
    with pytest.raises(Refused, match=f"Bounded has no licence {words} on record that is in force on 7 Mar 2026"):
        sign(sender, load, "carrier", at=at)
    assert now(load).state == "signed"
    assert not Fate.objects.exists()


def test_a_licence_to_carry_lets_nobody_take_in(sender: Sender) -> None:
    load = sender.load(sender.unit(), facility=sender.carrier)
    sender.signed(load, "yard")
    with pytest.raises(Refused, match="Harbour Haulage has no licence to take in"):
        sign(sender, load, "carrier")
