"""Drums and slop cans: what goes in and out, whose oil it is, what it counts as, and what is refused."""

from datetime import timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from disposal.actions.drums import label_drum
from disposal.models import Drum, DrumStanding, Move
from disposal.queries.drums import DRUMS
from hazmat.actions.bottles import label_bottle
from hazmat.actions.codes import drawn
from hazmat.actions.units import log_unit
from hazmat.book.act import Refused
from hazmat.book.ids import new_id
from hazmat.book.prove import prove
from hazmat.book.standing import standing
from hazmat.models import Bottle, Particulars, Unit, Yard
from tests.cast import look_in, opened, person
from tests.disposal.pours import DEAD, Place, drum_now, same_from_records, unit_now

pytestmark = [pytest.mark.both, pytest.mark.django_db]
MINERAL = {"kind": "transformer", "mounting": "pole", "built": "1968", "fluid": "mineral", "fluid_volume_l": "75"}


# ------------------------------------------------------------------ labels and codes


def test_a_drum_has_a_code_and_is_empty(place: Place) -> None:
    drum = place.drum("205.5", un_mark="UN 1A1/X1.4/250")
    now = drum_now(drum)
    assert (now.kind, now.capacity_l, now.un_mark, now.litres, now.kg) == ("drum", "205.5", "UN 1A1/X1.4/250", "0", "0")
    assert (now.sources, now.date, now.dated_by, now.place) == ((), "", "", "here")
    same_from_records(drum)


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"capacity_l": ""}, "how many litres it takes"),
        ({"capacity_l": "0"}, "is no amount"),
        ({"capacity_l": "-5"}, "is no amount"),
        ({"capacity_l": "NaN"}, "is no amount"),
        ({"kind": "slop_can"}, "A slop can is for one unit"),
        ({"for_unit": new_id()}, "A slop can is for one unit"),
        ({"kind": "slop_can", "for_unit": new_id()}, "no such unit"),
        ({"kind": "barrel"}, "neither a drum nor a slop can"),
    ],
)
def test_a_label_that_cannot_be(place: Place, asked: dict[str, Any], says: str) -> None:
    with pytest.raises(Refused, match=says):
        label_drum(place.order(), **{"kind": "drum", "capacity_l": "200", **asked})
    assert not Drum.objects.exists()


def test_no_two_things_of_a_yard_share_a_code(place: Place) -> None:
    """A tag that was printed elsewhere may be the next code that would be drawn, for a drum as for a bottle."""
    seq = Yard.objects.get(pk=place.yard.pk).seq
    log_unit(place.order(), look=look_in(), place="US-OR", tag=drawn(place.yard.pk, seq + 2, 0))
    code = Drum.objects.get(pk=place.drum()).code
    assert code != drawn(place.yard.pk, seq + 2, 0)
    with pytest.raises(Refused, match="is the code of a drum"):
        log_unit(place.order(), look=look_in(), place="US-OR", tag=code)


def test_a_code_that_a_drum_took_is_drawn_for_nothing_else(place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    """Planted: every draw begins with the code of the drum that is there."""
    unit, taken = place.unit(), drum_now(place.drum()).code
    free = drawn
    monkeypatch.setattr("hazmat.actions.codes.drawn", lambda yard, seq, n: taken if n == 0 else free(yard, seq, n))
    bottle = label_bottle(place.order(), unit=unit, space="tank").the("hazmat.bottle")
    codes = {
        taken, Bottle.objects.get(pk=bottle).code, unit_now(place.unit()).tag, drum_now(place.drum()).code,
    }  # fmt: skip
    assert len(codes) == 4


# ------------------------------------------------------------------ what a drum counts as


def test_a_drum_counts_as_its_source(place: Place) -> None:
    unit, drum = place.unit("80"), place.drum()
    place.pour(unit, drum, "30", kg="26.4", tool="hose 2", note="slow")
    now = drum_now(drum)
    assert (now.klass, now.care, now.known, now.rulebook) == ("50_to_499", "50_499", "high", "us")
    assert (now.litres, now.kg) == ("30", "26.4")
    (source,) = now.sources
    assert (source.tag, source.space, source.litres) == (unit_now(unit).tag, "tank", "30")
    (move,) = now.moves
    assert (move.way, move.other_kind, move.other, move.tool, move.note) == ("in", "unit", source.tag, "hose 2", "slow")
    same_from_records(drum)


def test_a_result_that_changes_moves_every_drum_downstream(place: Place) -> None:
    unit, first, second, beside = place.unit("80"), place.drum(), place.drum(), place.drum()
    place.pour(unit, first, "30")
    place.pour(first, second, "10", minute=20)
    seq = Yard.objects.get(pk=place.yard.pk).seq
    place.correct(unit, "620")
    for drum in (first, second):
        assert (drum_now(drum).klass, drum_now(drum).care) == ("from_500", "ge500")
        assert standing("disposal.drum", drum, at=seq).klass == "50_to_499"
    assert drum_now(beside).klass == "undetermined"
    place.correct(unit)
    assert (drum_now(second).known, drum_now(first).known) == ("untested", "untested")
    assert (drum_now(first).litres, drum_now(second).litres) == ("20", "10")
    same_from_records(first, second, beside)


def test_the_date_is_the_oldest_of_the_sources(place: Place) -> None:
    """Three additions with their days of removal: the drum carries the earliest. 40 CFR 761.65(a)(1), (c)(8)."""
    drum = place.drum()
    for minute, day in enumerate(("2026-05-15", "2026-03-02", "2026-08-30"), 10):
        place.pour(place.unit("80", decided_waste=day), drum, minute=minute)
    assert (drum_now(drum).date, drum_now(drum).dated_by) == ("2026-03-02", "law")
    assert str(DrumStanding.objects.get(pk=drum).date) == "2026-03-02"
    same_from_records(drum)


def test_where_nobody_wrote_a_day_down_the_first_draining_stands_in(place: Place) -> None:
    """Its day is the day in the zone of the yard, and goes with the oil into the next drum."""
    unit, first, second = place.unit("80"), place.drum(), place.drum()
    place.pour(unit, first, minute=10)
    place.pour(first, second, "5", minute=24 * 60 - 1)
    zone = ZoneInfo(Particulars.objects.get(yard=place.yard).zone)
    day = (place.begun + timedelta(minutes=10)).astimezone(zone).date().isoformat()
    for drum in (first, second):
        assert (drum_now(drum).date, drum_now(drum).dated_by) == (day, "poured")


# ------------------------------------------------------------------ how much


def test_no_more_comes_out_than_was_in(place: Place) -> None:
    unit, first, second = place.unit("80"), place.drum(), place.drum()
    place.pour(unit, first, "30")
    for litres in ("50", "30.1"):
        with pytest.raises(Refused, match=rf"was 30 L at that time; {litres} L cannot have come out"):
            place.pour(first, second, litres, minute=20)
    place.pour(first, second, "30", minute=20)
    with pytest.raises(Refused, match="Nothing was in drum"):
        place.pour(first, second, "1", minute=30)
    assert (drum_now(first).litres, drum_now(second).litres) == ("0", "30")
    same_from_records(first, second)


def test_a_late_entry_never_makes_a_later_balance_wrong(place: Place) -> None:
    unit, first, second, third = place.unit("80"), place.drum(), place.drum(), place.drum("25")
    place.pour(unit, first, "30", minute=10)
    place.pour(first, second, "20", minute=30)
    with pytest.raises(Refused, match=r"more would have come out of drum .* than was in it then"):
        place.pour(first, second, "10.1", minute=20)
    place.pour(first, third, "10", minute=20)
    place.pour(unit, third, "15", minute=40)
    with pytest.raises(Refused, match="would have held more than the 25 L"):
        place.pour(unit, third, "1", minute=15)
    with pytest.raises(Refused, match="Nothing was in drum"):
        place.pour(first, second, "1", minute=9)
    assert (drum_now(first).litres, drum_now(third).litres) == ("0", "25")
    same_from_records(first, second, third)


def test_no_more_goes_in_than_to_the_brim(place: Place) -> None:
    unit, drum = place.unit("80"), place.drum("200")
    with pytest.raises(Refused, match=r"takes 200 L, and 0 L was in it at that time; 200.1 L more does not fit"):
        place.pour(unit, drum, "200.1")
    place.pour(unit, drum, "150")
    with pytest.raises(Refused, match="150 L was in it at that time; 51 L more does not fit"):
        place.pour(unit, drum, "51", minute=11)
    place.pour(unit, drum, "50", minute=11)
    assert drum_now(drum).litres == "200"


def test_no_more_comes_out_of_a_unit_than_it_held(place: Place) -> None:
    unit, drum = place.unit("80", proved=DEAD, **MINERAL), place.drum()
    place.pour(unit, drum, "70")
    with pytest.raises(Refused, match=r"this unit held 75 L, and 70 L came out already; 5.1 L more cannot be"):
        place.pour(unit, drum, "5.1", minute=11)
    place.pour(unit, drum, "5", minute=11, all_out=True)
    heavy = place.unit("80", density_kg_l="0.88", fluid_mass_kg="88")
    with pytest.raises(Refused, match="this unit held 100 L, and 0 L came out already; 101 L more"):
        place.pour(heavy, drum, "101", minute=12)
    with pytest.raises(Refused, match=r"held 88 kg, and 0 kg came out already; 89 kg more|held 100 L"):
        place.pour(heavy, drum, "", kg="89", minute=12)


def test_what_was_not_weighed_is_not_made_up(place: Place) -> None:
    drum = place.drum()
    place.pour(place.unit("80"), drum, "30", minute=10)
    place.pour(place.unit("80"), drum, "", kg="20", minute=11)
    now = drum_now(drum)
    assert (now.litres, now.between_l, now.kg, now.between_kg) == ("", ("30", ""), "", ("20", ""))
    other = place.drum()
    place.pour(place.unit("80", density_kg_l="0.88"), other, "50")
    assert (drum_now(other).litres, drum_now(other).kg) == ("50", "44")
    same_from_records(drum, other)


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"litres": ""}, "Write how much was poured"),
        ({"litres": "0"}, "is no amount"),
        ({"litres": "-1"}, "is no amount"),
        ({"litres": "1e3"}, "is no amount"),
        ({"litres": "1000000000000000000"}, "is no amount"),
        ({"kg": "Infinity"}, "is no amount"),
        ({"minute": 3 * 24 * 60}, "lies in the future"),
        ({"minute": -1}, "before drum .* was labelled"),
        ({"into": new_id()}, "no such drum"),
        ({"unit": new_id()}, "no such unit"),
        ({"space": "moon"}, "no oil space “moon”"),
        ({"unit": None}, "out of which unit or which other drum"),
        ({"unit": None, "from_drum": new_id()}, "no such drum"),
    ],
)
def test_a_pour_that_cannot_be(place: Place, asked: dict[str, Any], says: str) -> None:
    unit, into = place.unit("80"), place.drum()
    more = {name: asked[name] for name in asked if name not in ("minute", "litres", "into")}
    with pytest.raises(Refused, match=says):
        place.pour(unit, asked.get("into", into), asked.get("litres", "10"), minute=asked.get("minute", 10), **more)
    assert not Move.objects.exists()
    assert drum_now(into).sources == ()


def test_a_drum_is_not_poured_into_itself(place: Place) -> None:
    drum = place.drum()
    place.pour(place.unit("80"), drum)
    with pytest.raises(Refused, match="which other drum"):
        place.pour(drum, drum, "5", minute=20)


def test_nothing_is_drained_before_the_unit_was_logged(place: Place) -> None:
    drum = place.drum()
    look = look_in(line={"kind": "drum", "found_in": "US-OR"})
    late = log_unit(place.order(60), look=look, place="US-OR").the("hazmat.unit")
    with pytest.raises(Refused, match="before the unit was logged"):
        place.pour(late, drum, minute=59)
    place.pour(late, drum, minute=60)


def test_nothing_is_drained_before_it_is_proved_dead(place: Place) -> None:
    drum = place.drum()
    with pytest.raises(Refused, match="It is not drained: nobody has written down that it was proved dead"):
        place.pour(place.unit("80", **MINERAL), drum)
    with pytest.raises(Refused, match="a sealed can is not opened"):
        place.pour(place.unit(kind="capacitor", proved=DEAD), drum)
    place.pour(place.unit("80", proved=DEAD, **MINERAL), drum)


def test_drums_of_another_yard_are_not_there(place: Place) -> None:
    drum = place.drum()
    other = Place(opened(person("other"), "Other Yard", "US", state="US-OR"), place.boss)
    unit = other.unit("80")
    with pytest.raises(Refused, match="no such drum"):
        other.pour(unit, drum)
    with pytest.raises(Refused, match="no such unit"):
        place.pour(unit, drum)


# ------------------------------------------------------------------ what meets what


def test_a_worse_class_a_better_one_and_untested_oil_are_refused(place: Place) -> None:
    """The pouring rules as they are met on the yard; each row has its cases in `fixtures/pours`."""
    drum, untested = place.drum(), place.drum()
    place.pour(place.unit("80"), drum, minute=10)
    place.pour(place.unit(), untested, minute=10)
    with pytest.raises(Refused, match="of a worse class than what is in the drum"):
        place.pour(place.unit("620"), drum, minute=11)
    with pytest.raises(Refused, match="Untested oil is not poured into oil of other units"):
        place.pour(place.unit(), drum, minute=11)
    with pytest.raises(Refused, match="keep them apart until both results exist"):
        place.pour(place.unit(), untested, minute=11)
    with pytest.raises(Refused, match="What is in this drum is not tested"):
        place.pour(drum, untested, "1", minute=11)
    place.pour(place.unit("120"), drum, minute=11)
    same_from_records(drum, untested)


def test_a_slop_can_is_for_one_unit(place: Place) -> None:
    unit, other = place.unit(), place.unit()
    can = place.drum("20", for_unit=unit)
    assert drum_now(can).for_unit == unit_now(unit).tag
    with pytest.raises(Refused, match="A slop can takes the oil of its own unit"):
        place.pour(other, can)
    with pytest.raises(Refused, match="has a slop can already"):
        place.drum("20", for_unit=unit)
    place.pour(unit, can, "19.9")
    with pytest.raises(Refused, match="has a slop can already"):
        place.drum("20", for_unit=unit)
    place.pour(unit, can, "0.1", minute=11)
    assert drum_now(place.drum("20", for_unit=unit)).kind == "slop_can"
    place.correct(other, "80")
    for _ in range(2):
        place.drum("20", for_unit=other)
    same_from_records(can)


def test_a_late_entry_does_not_walk_past_a_rule(place: Place) -> None:
    """Oil went on into a slop can since; what is poured in before that, on paper, would be in the can as well."""
    unit, other, drum = place.unit("80"), place.unit("80"), place.drum()
    can = place.drum("20", for_unit=unit)
    place.pour(unit, drum, "20", minute=10)
    place.pour(drum, can, "5", minute=30)
    with pytest.raises(Refused, match=r"Oil went on from there into drum .*A slop can takes the oil of its own unit"):
        place.pour(other, drum, minute=20)
    place.pour(other, drum, minute=40)
    worse, early = place.unit("620"), place.drum()
    place.pour(place.unit("80"), early, minute=30)
    with pytest.raises(Refused, match="of a worse class"):
        place.pour(worse, early, minute=20)
    assert [one.unit for one in drum_now(can).sources] == [str(unit)]
    same_from_records(drum, can, early)


# ------------------------------------------------------------------ standings that were tampered with


def test_a_standing_that_was_changed_is_named(place: Place) -> None:
    drum, gone = place.drum(), place.drum()
    place.pour(place.unit("80"), drum)
    code, there = drum_now(drum).code, DrumStanding.objects.get(pk=drum)
    DrumStanding.objects.filter(pk=drum).update(klass="below_50", body=there.body.replace("50_to_499", "below_50"))
    DrumStanding.objects.filter(pk=gone).delete()
    stranger = DrumStanding.objects.get(pk=drum)
    stranger.pk, stranger.logged = new_id(), 900
    stranger.save(force_insert=True)
    faults = prove().faults
    assert any(f"the standing of drum {code} ({drum}) differs in klass, body" in says for says in faults)
    assert any(f"the standing of drum {gone} is missing" in says for says in faults)
    assert any("has no drum behind it" in says for says in faults)
    assert DRUMS.rebuild(place.yard.pk) == 2
    same_from_records(drum, gone)


def test_logging_a_unit_asks_nothing_of_drums(place: Place, django_assert_num_queries: Any) -> None:
    with django_assert_num_queries(0):
        assert DRUMS.touched([Unit(tag="222222", arrival="gate")]) == []
