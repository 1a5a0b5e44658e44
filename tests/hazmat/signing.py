"""What tests of results and verdicts do again and again, each through the real acts."""

from datetime import datetime
from typing import Any
from uuid import UUID

from hazmat.actions.bottles import hand_bottle, label_bottle
from hazmat.actions.people import add_member
from hazmat.actions.results import enter_result
from hazmat.actions.units import log_unit, prove_dead
from hazmat.actions.verdicts import reading, second_verdict, sign_verdict
from hazmat.actions.yards import set_yard
from hazmat.core.unitnow import UnitNow
from hazmat.models import Bottle, Person, Yard
from hazmat.queries.units import UNITS
from hazmat.queries.yards import particulars
from tests.cast import LINE, look_in, order, person, reported

DEAD = {
    "dead": "yes", "how": "detector before and after", "proved_by": "Mere Example", "detector_before": True,
    "detector_after": True, "back_feed": True, "earthed": True,
}  # fmt: skip


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


def entered(yard: Yard, boss: Person, now: UnitNow, value: str = "1.2", **more: Any) -> UnitNow:
    given = {"place": "NZ", **{key: more.pop(key) for key in ("replaces", "why") if key in more}}
    enter_result(order(yard.pk, boss.pk), unit=UUID(now.unit), told=reported(value, **more), **given)
    return the(now.unit)


def filled(yard: Yard, boss: Person, now: UnitNow, when: datetime, space: str = "tank") -> str:
    """A bottle of a unit that was proved dead, filled then; its code."""
    early = order(yard.pk, boss.pk, happened_at=when)
    prove_dead(early, unit=UUID(now.unit), proved=DEAD)
    key = label_bottle(order(yard.pk, boss.pk, happened_at=when), unit=UUID(now.unit), space=space).the("hazmat.bottle")
    asked = order(yard.pk, boss.pk, happened_at=when)
    hand_bottle(asked, bottle=key, what="filled", place="NZ", names={"gave": "Mere Example"})
    return str(Bottle.objects.get(pk=key).code)
