"""A sample of each act on what was tried on the oil of a unit."""

from hazmat.actions.breakdowns import record_breakdown
from hazmat.actions.screens import read_screen, record_screen
from hazmat.actions.units import log_unit
from hazmat.book.act import Order
from hazmat.core.screened import ScreenIn
from hazmat.core.shots import ShotsIn
from tests.cast import Cast, look_in, order
from tests.faults.sampling import Act, asked

TUBE = ScreenIn(way="colour", space="tank", set_point="50", colours=("yellow", "blue_violet"))
SHOTS = ShotsIn(asked={"method": "iec_60156", "shots": "48 55 60 52 58 >60"}, space="tank", cell="kept")


def _record_screen(cast: Cast) -> tuple[Order, Act]:
    unit = log_unit(asked(cast), look=look_in(), place="NZ").the("hazmat.unit")
    old = record_screen(asked(cast), unit=unit, told=TUBE, place="NZ").the("hazmat.screen")
    one = asked(cast)
    return one, lambda: record_screen(one, unit=unit, told=TUBE, place="NZ", replaces=old, why="a slip")


def _read_screen(cast: Cast) -> tuple[Order, Act]:
    unit = log_unit(asked(cast), look=look_in(), place="NZ").the("hazmat.unit")
    apart = ScreenIn(way="colour", space="tank", set_point="50", colours=("blue_violet",), apart=True)
    screen = record_screen(asked(cast), unit=unit, told=apart, place="NZ").the("hazmat.screen")
    one = order(cast.yard_id, cast.people["manager"].pk)
    return one, lambda: read_screen(one, screen=screen, colour="yellow", place="NZ")


def _record_breakdown(cast: Cast) -> tuple[Order, Act]:
    unit = log_unit(asked(cast), look=look_in(), place="NZ").the("hazmat.unit")
    old = record_breakdown(asked(cast), unit=unit, told=SHOTS).the("hazmat.breakdown")
    one = asked(cast)
    return one, lambda: record_breakdown(one, unit=unit, told=SHOTS, replaces=old, why="a slip")
