"""What tests of screens do again and again, each through the real acts."""

from typing import Any
from uuid import UUID

from hazmat.actions.screens import record_screen
from hazmat.actions.units import log_unit
from hazmat.core.screened import ScreenIn
from hazmat.core.unitnow import UnitNow
from hazmat.models import Person, Yard
from hazmat.queries.units import UNITS
from tests.cast import look_in, order

COLOURS = ("yellow", "blue_violet", "unclear")


def a_unit(yard: Yard, boss: Person) -> UUID:
    return log_unit(order(yard.pk, boss.pk), look=look_in(), place="NZ").the("hazmat.unit")


def now_of(unit: UUID) -> UnitNow:
    found = UNITS.kept(unit)
    assert found
    return found


def screened(yard: Yard, boss: Person, unit: UUID, *colours: str, **more: Any) -> UUID:
    how = {name: more.pop(name) for name in ("replaces", "why") if name in more}
    told = ScreenIn(**{"way": "colour", "space": "tank", "set_point": "50", "colours": colours, **more})
    return record_screen(order(yard.pk, boss.pk), unit=unit, told=told, place="NZ", **how).the("hazmat.screen")


def keys(unit: UnitNow) -> set[str]:
    return {one["key"] for one in unit.answer["because"]}
