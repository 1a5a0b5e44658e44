"""A book in which every kind of record occurs, through real acts."""

from typing import Any
from uuid import UUID

from disposal.actions.bays import add_bay, put_in_bay
from disposal.actions.drums import pour
from disposal.models import Drum
from hazmat.actions.bottles import hand_bottle
from hazmat.actions.people import add_member, end_member, erase_aside
from hazmat.actions.results import enter_result
from hazmat.actions.units import add_photographs, correct_unit, prove_dead
from hazmat.actions.verdicts import reading, second_verdict, sign_verdict
from hazmat.actions.yards import set_yard
from hazmat.book.act import book
from hazmat.models import Bottle, Fate, Member, Unit
from hazmat.queries.units import UNITS
from hazmat.queries.yards import particulars
from tests.cast import Cast, look_in, make_cast, order, person, pictured, reported

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
    poured(cast, unit.pk)
    erase_aside(order(yard, boss.pk), record=UUID(now.look), why="asked for by the person")
    result = UUID(now.counting[-1].id)
    told = reported("1.3")
    enter_result(order(yard, boss.pk), unit=unit.pk, told=told, place="NZ", replaces=result, why="read off wrongly")
    set_yard(order(yard, boss.pk), based_on=particulars(yard).pk, name="Test Yard", phone="+64 0 000 0000", two=True)
    now = UNITS.kept(unit.pk)
    assert now is not None
    signed: dict[str, Any] = {
        "decision": "release",
        "reason": "report read",
        "evidence": [now.counting[-1].id],
        "read": reading(now),
    }
    verdict = sign_verdict(order(yard, boss.pk), unit=unit.pk, **signed).the("hazmat.verdict")
    now = UNITS.kept(unit.pk)
    assert now is not None
    second_verdict(order(yard, cast.people["manager"].pk), verdict=verdict, read=reading(now))
    with book(order(yard, boss.pk), "send_away") as act:
        act.write(Fate(unit=unit, what="gone", load="7", firm="A Firm"))
    extra = person("extra")
    add_member(order(yard, boss.pk), person=extra.pk, roles=("technician",))
    end_member(order(yard, boss.pk), member=Member.objects.get(person=extra).pk)
    return cast


def poured(cast: Cast, unit: UUID) -> None:
    """The unit is proved dead with all that belongs to a proof, drained into the drum, and the drum put into a bay."""
    boss, yard, drum = cast.people["boss"], cast.yard_id, Drum.objects.get(code=cast.words["drum"]).pk
    assert yard is not None
    whole = dict.fromkeys(("detector_before", "detector_after", "back_feed", "earthed"), True)
    prove_dead(order(yard, boss.pk), unit=unit, proved={**PROVED, **whole})
    told = {"litres": "20", "kg": "17.6", "tool": "hose 2", "note": "slow", "all_out": True}
    pour(order(yard, boss.pk), into=drum, unit=unit, space="tank", place="NZ", **told)  # type: ignore[arg-type]
    put_in_bay(order(yard, boss.pk), bay=cast.words["bay"], drum=drum)
    add_bay(order(yard, boss.pk), name="North", note="under the roof", instead_of=cast.words["bay"])
