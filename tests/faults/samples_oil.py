"""A sample of each act on what was tried on the oil of a unit."""

from hazmat.actions.breakdowns import record_breakdown
from hazmat.actions.conditions import record_condition
from hazmat.actions.screens import record_screen
from hazmat.actions.units import log_unit
from hazmat.book.act import Order
from hazmat.core.condition import ConditionIn
from hazmat.core.screened import ScreenIn
from hazmat.core.shots import ShotsIn
from tests.cast import Cast, look_in
from tests.faults.sampling import Act, asked

TUBE = ScreenIn(way="colour", space="tank", set_point="50", colours=("yellow", "blue_violet"))
SHOTS = ShotsIn(asked={"method": "iec_60156", "shots": "48 55 60 52 58 >60"}, space="tank", cell="kept")

SLIP = ConditionIn(
    asked={"water": "<5", "water_c": "18", "flash": "61", "cup": "closed", "halogens": ">1000", "cold": "yes"},
    space="tank", methods={"flash": "closed cup, by hand"}, tester="Example Laboratory",
)  # fmt: skip


def _record_screen(cast: Cast) -> tuple[Order, Act]:
    unit = log_unit(asked(cast), look=look_in(), place="NZ").the("hazmat.unit")
    old = record_screen(asked(cast), unit=unit, told=TUBE, place="NZ").the("hazmat.screen")
    one = asked(cast)
    return one, lambda: record_screen(one, unit=unit, told=TUBE, place="NZ", replaces=old, why="a slip")


def _record_breakdown(cast: Cast) -> tuple[Order, Act]:
    unit = log_unit(asked(cast), look=look_in(), place="NZ").the("hazmat.unit")
    old = record_breakdown(asked(cast), unit=unit, told=SHOTS).the("hazmat.breakdown")
    one = asked(cast)
    return one, lambda: record_breakdown(one, unit=unit, told=SHOTS, replaces=old, why="a slip")


def _record_condition(cast: Cast) -> tuple[Order, Act]:
    unit = log_unit(asked(cast), look=look_in(), place="NZ").the("hazmat.unit")
    old = record_condition(asked(cast), unit=unit, told=SLIP).the("hazmat.condition")
    one = asked(cast)
    return one, lambda: record_condition(one, unit=unit, told=SLIP, replaces=old, why="a slip")
