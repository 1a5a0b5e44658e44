"""Where a drum is: on a load, away, back, in a bay; and what is refused while it is away."""

from typing import Any
from uuid import UUID

import pytest

from disposal.actions.bays import add_bay, put_in_bay
from disposal.models import Item, Load, Partner, Received, Signature
from disposal.queries.stands import standing_in
from hazmat.book.act import Refused, book
from hazmat.book.ids import new_id
from tests.disposal.pours import Place, drum_now, same_from_records

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def loaded(place: Place, drum: UUID, minute: int) -> tuple[UUID, UUID]:
    """A drum put on a load, by records alone; the keys of load and item."""
    with book(place.order(minute), "plan_load") as act:
        firm = act.write(Partner(name="A Firm"))
        load = act.write(Load(number=str(act.seq), carrier=firm, facility=firm))
        item = act.write(Item(load=load, drum_id=drum))
    return load.pk, item.pk


def signed(place: Place, load: UUID, party: str, minute: int) -> None:
    with book(place.order(minute), "sign_load") as act:
        act.write(Signature(load_id=load, party=party, inked="ink"))


def test_nothing_is_done_with_a_drum_that_is_signed_away(place: Place) -> None:
    unit, drum, other = place.unit("80"), place.drum(), place.drum()
    place.pour(unit, drum, "30")
    load, item = loaded(place, drum, 20)
    assert (drum_now(drum).place, drum_now(drum).signed_away) == ("on_load", False)
    signed(place, load, "yard", 30)
    for call in (
        lambda: place.pour(unit, drum, "1", minute=31),
        lambda: place.pour(drum, other, "1", minute=31),
        lambda: place.pour(unit, drum, "1", minute=29),
    ):
        with pytest.raises(Refused, match="is signed away with load"):
            call()
    signed(place, load, "carrier", 40)
    assert drum_now(drum).place == "gone"
    with book(place.order(50), "receive_load") as act:
        act.write(Received(load_id=load, item_id=item, drum_id=drum, arrival="refused"))
    assert (drum_now(drum).place, drum_now(drum).load) == ("here", "")
    with pytest.raises(Refused, match="was signed away at that time"):
        place.pour(unit, drum, "1", minute=45)
    place.pour(unit, drum, "1", minute=50)
    same_from_records(drum, other)


def test_a_bay_holds_what_was_put_there_last(place: Place) -> None:
    unit, drum = place.unit(), place.drum()
    one, two = (add_bay(place.order(1), name=name).the("disposal.bay") for name in ("B1", "B2"))
    put_in_bay(place.order(10), bay=one, drum=drum)
    put_in_bay(place.order(20), bay=two, drum=drum)
    put_in_bay(place.order(15), bay=one, drum=drum)
    put_in_bay(place.order(10), bay=one, unit=unit)
    assert drum_now(drum).bay == "B2"
    found = standing_in(place.yard.pk)
    stands = {one.bay.name: ([row.pk for row in one.drums], [row.pk for row in one.units]) for one in found}
    assert stands == {"B1": ([], [unit]), "B2": ([drum], [])}
    add_bay(place.order(30), name="North", instead_of=two)
    assert drum_now(drum).bay == "North"
    with pytest.raises(Refused, match="renamed in the meantime"):
        add_bay(place.order(31), name="South", instead_of=two)
    load, _ = loaded(place, drum, 40)
    assert drum_now(drum).bay == "North"
    signed(place, load, "yard", 41)
    signed(place, load, "carrier", 42)
    assert drum_now(drum).bay == ""
    same_from_records(drum)


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"bay": new_id()}, "no such bay"),
        ({"drum": new_id()}, "no such drum"),
        ({"drum": None}, "which drum or unit"),
        ({"drum": None, "unit": new_id()}, "no such unit"),
    ],
)
def test_a_put_that_cannot_be(place: Place, asked: dict[str, Any], says: str) -> None:
    bay, drum = add_bay(place.order(), name="B1").the("disposal.bay"), place.drum()
    with pytest.raises(Refused, match=says):
        put_in_bay(place.order(1), **{"bay": bay, "drum": drum, **asked})
    with pytest.raises(Refused, match="There is a bay “b1” already"):
        add_bay(place.order(), name="b1")
    with pytest.raises(Refused, match="Give the bay a name"):
        add_bay(place.order(), name=" ")
    with pytest.raises(Refused, match=r"before bay B1 was added|before drum"):
        put_in_bay(place.order(-1), bay=bay, drum=drum)
