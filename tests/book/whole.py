"""A book in which every kind of record occurs, through real acts."""

from uuid import UUID

from hazmat.actions.bottles import hand_bottle
from hazmat.actions.people import add_member, end_member, erase_aside
from hazmat.actions.units import add_photographs, correct_unit, prove_dead
from hazmat.models import Bottle, Member, Unit
from hazmat.queries.units import UNITS
from tests.cast import Cast, look_in, make_cast, order, person, pictured

PROVED = {"dead": "yes", "how": "detector, then earths", "proved_by": "Mere Example", "earthed": True, "permit": "P-7"}


def whole_book() -> Cast:
    """The cast, and one of each act on its unit; the personal data of the first look are erased."""
    cast = make_cast()
    boss, yard = cast.people["boss"], cast.yard_id
    assert yard is not None
    unit = Unit.objects.get(tag=cast.words["tag"])
    before = UNITS.kept(unit.pk)
    assert before is not None
    prove_dead(order(yard, boss.pk), unit=unit.pk, proved=PROVED)
    bottle = Bottle.objects.get(code=cast.words["bottle"]).pk
    names = {"gave": "Mere Example", "took": "A Courier"}
    hand_bottle(order(yard, boss.pk), bottle=bottle, what="spoiled", place="NZ", names=names, note="it broke")
    add_photographs(order(yard, boss.pk), unit=unit.pk, pictures=[pictured()])
    look = look_in(
        aside={"owner": "Mere Example"}, note="by the creek", claims={"drained": "yes"}, seen={"plate": "partly"}
    )
    correct_unit(order(yard, boss.pk), unit=unit.pk, based_on=UUID(before.look), look=look, place="NZ")
    now = UNITS.kept(unit.pk)
    assert now is not None
    correct_unit(order(yard, boss.pk, said="again"), unit=unit.pk, based_on=UUID(now.look), look=look, place="NZ")
    erase_aside(order(yard, boss.pk), record=UUID(now.look), why="asked for by the person")
    extra = person("extra")
    add_member(order(yard, boss.pk), person=extra.pk, roles=("technician",))
    end_member(order(yard, boss.pk), member=Member.objects.get(person=extra).pk)
    return cast
