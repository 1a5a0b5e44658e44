"""Pages with a long past: a unit with n entries, and a drum with n moves, against a page that says nothing."""

from uuid import UUID

from django.utils import timezone

from disposal.actions.drums import label_drum, pour
from disposal.models import Drum
from hazmat.actions.units import log_unit, prove_dead
from hazmat.bench.pages import REQUESTS, against_empty, served
from hazmat.bench.seeded import PLACE, ZONE
from hazmat.book.act import Order
from hazmat.book.ids import new_id
from hazmat.core.facts import TANK
from hazmat.core.lookin import LookIn
from hazmat.edge.bench import Measured
from hazmat.models import Person, Unit, Yard

PROOF = {
    "dead": "yes", "how": "detector, then earths", "detector_before": True, "detector_after": True, "back_feed": True,
    "earthed": True,
}  # fmt: skip


LOOK = LookIn(arrival="gate", line={"kind": "transformer", "mounting": "pole"}, sources={}, leak="none", note="")


def unit_story(n: int) -> Measured:
    """The page of one unit with n entries about it."""
    with served(1) as (port, cookie, yard, person):
        unit = _proved(yard, person)
        for _ in range(n):
            prove_dead(_asked(yard, person), unit=unit.pk, proved=PROOF)
        return against_empty("unit_story", n, 8.0, port, cookie, yard, [f"/{yard.code}/units/{unit.tag}/"] * REQUESTS)


def drum_page(n: int) -> Measured:
    """The page of one drum into which oil was poured n times."""
    with served(1) as (port, cookie, yard, person):
        unit = _proved(yard, person)
        drum: UUID = label_drum(_asked(yard, person), kind="drum", capacity_l="205").the("disposal.drum")
        for _ in range(n):
            pour(_asked(yard, person), into=drum, place=PLACE, unit=unit.pk, space=TANK, kg="0.1", tool="pump")
        code = Drum.objects.get(pk=drum).code
        return against_empty("drum_page", n, 8.0, port, cookie, yard, [f"/{yard.code}/drums/{code}/"] * REQUESTS)


def _proved(yard: Yard, person: Person) -> Unit:
    """A unit that was proved dead."""
    unit = Unit.objects.get(pk=log_unit(_asked(yard, person), look=LOOK, place=PLACE).the("hazmat.unit"))
    prove_dead(_asked(yard, person), unit=unit.pk, proved=PROOF)
    return unit


def _asked(yard: Yard, person: Person) -> Order:
    return Order(yard=yard.pk, by=person.pk, act=new_id(), happened_at=timezone.now(), zone=ZONE)
