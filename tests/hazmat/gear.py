"""Units, bottles and gear for the tests of sampling gear, a line each."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any
from uuid import UUID

from django.utils import timezone

from hazmat.actions.bottles import hand_bottle, label_bottle
from hazmat.actions.breakdowns import record_breakdown
from hazmat.actions.results import enter_result
from hazmat.actions.tools import add_tool, clean_tool, retire_tool
from hazmat.actions.units import log_unit
from hazmat.actions.verdicts import reading, sign_verdict
from hazmat.core.shots import ShotsIn
from hazmat.core.tools import Kind, ToolIn
from hazmat.core.unitnow import UnitNow
from hazmat.models import Bottle
from hazmat.queries.tools import Doubt, Trace, doubts_of, tools, traces
from hazmat.queries.units import UNITS
from tests.cast import LINE, look_in, order, reported

DEAD = {
    "dead": "yes", "how": "detector", "proved_by": "Mere Example", "detector_before": True, "detector_after": True,
    "back_feed": True, "earthed": True,
}  # fmt: skip
START = timezone.now() - timedelta(days=20)
SHOTS = {"method": "iec_60156", "shots": "48 55 60 52 58 63"}


@dataclass
class Gear:
    """Acts of one person in one yard; `at`: minutes after the start of the tests, units are logged at its beginning."""

    yard: UUID
    by: UUID

    def order(self, at: int) -> Any:
        return order(self.yard, self.by, happened_at=START + timedelta(minutes=at))

    def unit(self, spaces: tuple[str, ...] = ()) -> UUID:
        line = {**LINE, "spaces": [{"name": name} for name in spaces]} if spaces else LINE
        return log_unit(self.order(0), look=look_in(line=line, proved=DEAD), place="NZ").the("hazmat.unit")

    def tool(self, kind: Kind = "thief", **more: Any) -> UUID:
        return add_tool(self.order(0), told=ToolIn(kind=kind, **more)).the("hazmat.tool")

    def filled(self, unit: UUID, at: int, *gear: UUID, space: str = "tank") -> str:
        """A bottle of this unit, filled with this gear; its code."""
        bottle = label_bottle(self.order(1), unit=unit, space=space).the("hazmat.bottle")
        told: dict[str, Any] = {"what": "filled", "place": "NZ", "names": {"gave": "M"}, "gear": gear}
        hand_bottle(self.order(at), bottle=bottle, **told)
        return Bottle.objects.get(pk=bottle).code

    def shot(self, unit: UUID, at: int, cell: UUID | None, **more: Any) -> UUID:
        told = ShotsIn(asked=SHOTS, space="tank", cell=more.pop("words", ""))
        return record_breakdown(self.order(at), unit=unit, told=told, cell=cell, **more).the("hazmat.breakdown")

    def cleaned(self, tool: UUID, at: int) -> None:
        clean_tool(self.order(at), tool=tool, with_what="kerosene", how="rinsed three times")

    def retired(self, tool: UUID, at: int) -> None:
        retire_tool(self.order(at), tool=tool, reason="bent")

    def released(self, unit: UUID) -> None:
        """A low result, and a release signed on it."""
        low = reported("1.2", reported_on=date(2026, 1, 9))
        result = enter_result(order(self.yard, self.by), unit=unit, told=low, place="NZ").the("hazmat.result")
        told: dict[str, Any] = {"decision": "release", "reason": "report read", "evidence": [str(result)]}
        sign_verdict(order(self.yard, self.by), unit=unit, read=reading(now(unit)), **told)
        assert now(unit).oil.known == "low"

    def trace(self, tool: UUID) -> Trace:
        return traces(tools(self.yard, pk=tool), None)[0]


def now(unit: UUID) -> UnitNow:
    found = UNITS.kept(unit)
    assert found is not None
    return found


def doubts(unit: UUID) -> list[Doubt]:
    return doubts_of(now(unit))


def before(unit: UUID) -> list[list[str]]:
    """Of each doubt of a unit the tags of the oils before."""
    return [[one.use.tag for one in doubt.before] for doubt in doubts(unit)]
