"""A sample of each act on what was tried on the oil of a unit, and on the gear that it was tried with."""

from datetime import date

from hazmat.actions.breakdowns import record_breakdown
from hazmat.actions.clues import record_clues
from hazmat.actions.conditions import record_condition
from hazmat.actions.extensions import extend_use
from hazmat.actions.screens import read_screen, record_screen
from hazmat.actions.sidehazards import walk_hazards
from hazmat.actions.spaces import add_space, remove_part
from hazmat.actions.tools import add_tool, clean_tool, retire_tool
from hazmat.actions.units import log_unit, prove_dead
from hazmat.book.act import Order
from hazmat.core.clues import CluesIn
from hazmat.core.condition import ConditionIn
from hazmat.core.extended import ExtensionIn
from hazmat.core.screened import ScreenIn
from hazmat.core.shots import ShotsIn
from hazmat.core.tools import ToolIn
from hazmat.core.walked import Walk
from tests.cast import LINE, Cast, look_in, order
from tests.faults.sampling import Act, asked
from tests.hazmat.signing import DEAD

TUBE = ScreenIn(way="colour", space="tank", set_point="50", colours=("yellow", "blue_violet"))
SHOTS = ShotsIn(asked={"method": "iec_60156", "shots": "48 55 60 52 58 >60"}, space="tank")
CELL = ToolIn(kind="cell", words="glass", kept=True)

SLIP = ConditionIn(
    asked={"water": "<5", "water_c": "18", "flash": "61", "cup": "closed", "halogens": ">1000", "cold": "yes"},
    space="tank", methods={"flash": "closed cup, by hand"}, tester="Example Laboratory",
)  # fmt: skip


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
    cell = add_tool(asked(cast), told=CELL).the("hazmat.tool")
    old = record_breakdown(asked(cast), unit=unit, told=SHOTS, cell=cell).the("hazmat.breakdown")
    one = asked(cast)
    return one, lambda: record_breakdown(one, unit=unit, told=SHOTS, replaces=old, why="a slip", cell=cell)


def _add_tool(cast: Cast) -> tuple[Order, Act]:
    one = asked(cast)
    return one, lambda: add_tool(one, told=CELL)


def _clean_tool(cast: Cast) -> tuple[Order, Act]:
    tool = add_tool(asked(cast), told=CELL).the("hazmat.tool")
    one = asked(cast)
    return one, lambda: clean_tool(one, tool=tool, with_what="kerosene", how="rinsed", note="three times")


def _retire_tool(cast: Cast) -> tuple[Order, Act]:
    tool = add_tool(asked(cast), told=CELL).the("hazmat.tool")
    one = asked(cast)
    return one, lambda: retire_tool(one, tool=tool, reason="cracked")


def _add_space(cast: Cast) -> tuple[Order, Act]:
    seen = log_unit(asked(cast), look=look_in(), place="NZ")
    one, unit, look = asked(cast), seen.the("hazmat.unit"), seen.the("hazmat.look")
    return one, lambda: add_space(one, unit=unit, based_on=look, space={"name": "tap changer"}, place="NZ")


def _remove_part(cast: Cast) -> tuple[Order, Act]:
    line = {**LINE, "spaces": [{"name": "bushing", "kind": "bushing"}]}
    unit = log_unit(asked(cast), look=look_in(line=line), place="NZ").the("hazmat.unit")
    prove_dead(asked(cast), unit=unit, proved=DEAD)
    one = asked(cast)
    return one, lambda: remove_part(one, unit=unit, space="bushing", place="NZ")


def _record_condition(cast: Cast) -> tuple[Order, Act]:
    unit = log_unit(asked(cast), look=look_in(), place="NZ").the("hazmat.unit")
    old = record_condition(asked(cast), unit=unit, told=SLIP).the("hazmat.condition")
    one = asked(cast)
    return one, lambda: record_condition(one, unit=unit, told=SLIP, replaces=old, why="a slip")


def _extend_use(cast: Cast) -> tuple[Order, Act]:
    unit = log_unit(asked(cast), look=look_in(), place="NZ").the("hazmat.unit")
    told = ExtensionIn(until=date(2031, 12, 31), given_on=date(2026, 1, 20), by="The Minister", number="E-7")
    old = extend_use(asked(cast), unit=unit, told=told, place="NZ").the("hazmat.extension")
    one = asked(cast)
    return one, lambda: extend_use(one, unit=unit, told=told, place="NZ", replaces=old, why="a slip")


def _walk_hazards(cast: Cast) -> tuple[Order, Act]:
    unit = log_unit(asked(cast), look=look_in(), place="NZ").the("hazmat.unit")
    walk = Walk(seen={"asbestos": "yes", "gas": "no"}, lead="0.4", unit="%", gas_free="yes", note="grey gasket")
    one = asked(cast)
    return one, lambda: walk_hazards(one, unit=unit, walk=walk)


def _record_clues(cast: Cast) -> tuple[Order, Act]:
    unit = log_unit(asked(cast), look=look_in(), place="NZ").the("hazmat.unit")
    told = CluesIn(asked={"phases": "3", "kv": "11", "fuse_a": "15"}, sources={"fuse_a": "said"})
    one = asked(cast)
    return one, lambda: record_clues(one, unit=unit, told=told, note="link in the drop-out")
