"""What is not done with units and drums that are signed away, on a load, or were not proved dead yet."""

from datetime import timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest

from disposal.actions.bays import add_bay, put_in_bay
from disposal.models import Certificate, Item, Load, Move, Partner, Proof, Received, Signature
from disposal.queries.stands import bay_of_unit, bay_of_units
from hazmat.actions.units import correct_unit, prove_dead
from hazmat.book.act import Refused, book
from hazmat.book.record import Record
from hazmat.models import Fate, Particulars
from tests.cast import look_in
from tests.disposal.pours import DEAD, Place, drum_now, same_from_records, unit_now

pytestmark = [pytest.mark.both, pytest.mark.django_db]
MINERAL = {"kind": "transformer", "mounting": "pole", "built": "1968", "fluid": "mineral", "fluid_volume_l": "75"}


def write(place: Place, minute: int, verb: str, record: Record) -> Record:
    with book(place.order(minute), verb) as act:
        return act.write(record)


def loaded(place: Place, minute: int, **of: UUID) -> tuple[UUID, UUID]:
    """A drum or a unit put on a load, by records alone; the keys of load and item."""
    with book(place.order(minute), "plan_load") as act:
        firm = act.write(Partner(name="A Firm"))
        load = act.write(Load(number=str(act.seq), carrier=firm, facility=firm))
        item = act.write(Item(load=load, **{f"{name}_id": key for name, key in of.items()}))
    return load.pk, item.pk


def signed(place: Place, load: UUID, party: str, minute: int) -> None:
    write(place, minute, "sign_load", Signature(load_id=load, party=party, inked="ink"))


def gone(place: Place, minute: int, load: UUID, unit: UUID) -> None:
    """The carrier took a unit."""
    with book(place.order(minute), "sign_load") as act:
        act.write(Signature(load_id=load, party="carrier", inked="ink"))
        act.write(Fate(unit_id=unit, what="gone", load="7"))


def back(place: Place, minute: int, load: UUID, item: UUID, unit: UUID) -> None:
    """The facility refused it."""
    with book(place.order(minute), "receive_load") as act:
        act.write(Received(load_id=load, item_id=item, unit_id=unit, arrival="refused"))
        act.write(Fate(unit_id=unit, what="back", load="7"))


def proven(place: Place, minute: int, load: UUID, item: UUID, **of: UUID) -> None:
    with book(place.order(minute), "enter_certificate") as act:
        paper = act.write(Certificate(load_id=load, number="CD-1", issued_on=act.order.happened_at.date()))
        named = {f"{name}_id": key for name, key in of.items()}
        act.write(Proof(load_id=load, certificate=paper, item_id=item, **named))


def test_nothing_is_drained_from_a_unit_that_is_signed_away(place: Place) -> None:
    unit, drum = place.unit("80"), place.drum()
    load, item = loaded(place, 20, unit=unit)
    signed(place, load, "yard", 30)
    for minute in (31, 29):
        with pytest.raises(Refused, match="is signed away with load"):
            place.pour(unit, drum, minute=minute)
    gone(place, 40, load, unit)
    with pytest.raises(Refused, match="This unit is not here any more"):
        place.pour(unit, drum, minute=41)
    back(place, 50, load, item, unit)
    for minute in (30, 35, 45):
        with pytest.raises(Refused, match="was signed away at that time"):
            place.pour(unit, drum, minute=minute)
    place.pour(unit, drum, minute=29)
    place.pour(unit, drum, minute=50)
    same_from_records(drum)


def test_what_is_on_a_load_is_taken_off_before_oil_moves(place: Place) -> None:
    unit, drum, other = place.unit("80"), place.drum(), place.drum()
    place.pour(unit, drum, "30")
    load, item = loaded(place, 20, drum=drum)
    says = rf"is on load {drum_now(drum).load}; take it off there first"
    for source, into, minute in ((unit, drum, 21), (drum, other, 21), (unit, drum, 19)):
        with pytest.raises(Refused, match=says):
            place.pour(source, into, "1", minute=minute)
    write(place, 30, "take_off_load", Item(load_id=load, drum_id=drum, off="it leaks", replaces_id=item))
    place.pour(unit, drum, "1", minute=31)
    place.pour(drum, other, "1", minute=32)
    same_from_records(drum, other)


def test_a_late_pour_changes_no_drum_that_went_on(place: Place) -> None:
    unit, late, first, second = place.unit("80"), place.unit("120"), place.drum(), place.drum()
    place.pour(unit, first, "30")
    place.pour(first, second, "10", minute=30)
    load, item = loaded(place, 40, drum=second)
    says = "Oil went on from there into drum .*"
    with pytest.raises(Refused, match=rf"{says}on load {drum_now(second).load}; take it off there first"):
        place.pour(late, first, minute=20)
    for party, minute in (("yard", 41), ("carrier", 42)):
        signed(place, load, party, minute)
    with pytest.raises(Refused, match=rf"{says}signed away"):
        place.pour(late, first, minute=20)
    proven(place, 60, load, item, drum=second)
    with pytest.raises(Refused, match=rf"{says}destroyed"):
        place.pour(late, first, minute=20)
    place.pour(unit, first, "1", minute=20)
    place.pour(late, first, "1", minute=31)
    assert [one.unit for one in drum_now(second).sources] == [str(unit)]
    same_from_records(first, second)


def test_what_is_proven_stays_destroyed_whatever_is_said_of_it_later(place: Place) -> None:
    """It was missing; the certificate is as of a day before the facility said that it came in after all."""
    drum = place.drum()
    place.pour(place.unit("80"), drum)
    load, item = loaded(place, 20, drum=drum)
    signed(place, load, "carrier", 30)
    write(place, 50, "receive_load", Received(load_id=load, item_id=item, drum_id=drum, arrival="missing"))
    write(place, 500, "receive_load", Received(load_id=load, item_id=item, drum_id=drum, arrival="yes"))
    proven(place, 400, load, item, drum=drum)
    now = drum_now(drum)
    assert (now.place, now.certificate, now.load) == ("destroyed", "CD-1", str(now.load))
    assert [bool(end) for _, end in now.away] == [False]
    same_from_records(drum)


def test_a_drain_lies_after_the_proof_of_death(place: Place) -> None:
    unit, drum = place.unit("80", **MINERAL), place.drum()
    prove_dead(place.order(60), unit=unit, proved=DEAD)
    with pytest.raises(Refused, match="nobody had proved it dead by that time"):
        place.pour(unit, drum, minute=59)
    assert not Move.objects.exists()
    place.pour(unit, drum, minute=60)
    prove_dead(place.order(90), unit=unit, proved=DEAD)
    place.pour(unit, drum, minute=70)
    prove_dead(place.order(80), unit=unit, proved={**DEAD, "dead": "no"})
    with pytest.raises(Refused, match="nobody had proved it dead by that time"):
        place.pour(unit, drum, minute=85)
    place.pour(unit, drum, minute=91)
    container = place.unit("80")
    prove_dead(place.order(60), unit=container, proved=DEAD)
    place.pour(container, place.drum(), minute=30)


def test_a_drum_is_no_younger_than_the_first_draining(place: Place) -> None:
    """A day of decision that lies after the oil was drained cannot be when that oil became waste."""
    place.begun -= timedelta(days=3)
    zone = ZoneInfo(Particulars.objects.get(yard=place.yard).zone)
    drained = place.begun.astimezone(zone).date()
    before, on, after = ((drained + timedelta(days=days)).isoformat() for days in (-1, 0, 1))
    for day, (date, by) in {after: (on, "poured"), on: (on, "law"), before: (before, "law")}.items():
        unit, drum = place.unit("80"), place.drum()
        place.pour(unit, drum, minute=0)
        look = look_in(line={**unit_now(unit).line, "decided_waste": day})
        based_on = UUID(unit_now(unit).look)
        correct_unit(place.order(4 * 24 * 60), unit=unit, based_on=based_on, look=look, place="US-OR")
        assert (drum_now(drum).date, drum_now(drum).dated_by) == (date, by)
        same_from_records(drum)


def test_a_unit_that_came_back_stands_in_no_bay_until_it_is_put_in_one(place: Place) -> None:
    unit = place.unit("80")
    one, two = (add_bay(place.order(1), name=name).the("disposal.bay") for name in ("B1", "B2"))
    put_in_bay(place.order(10), bay=one, unit=unit)
    load, item = loaded(place, 20, unit=unit)
    signed(place, load, "yard", 30)
    gone(place, 40, load, unit)
    back(place, 50, load, item, unit)
    assert unit_now(unit).stands == "hold"
    assert (bay_of_unit(unit_now(unit)), bay_of_units(place.yard.pk)) == ("", {})
    put_in_bay(place.order(60), bay=two, unit=unit)
    assert (bay_of_unit(unit_now(unit)), bay_of_units(place.yard.pk)) == ("B2", {unit: "B2"})
