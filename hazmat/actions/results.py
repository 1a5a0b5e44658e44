"""Results of laboratories: what a report says is written down and the unit judged by it, in one act."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from hazmat.actions.amending import amended
from hazmat.actions.bottles import no_such_space, spaces
from hazmat.actions.units import current, law_day, write_assessment
from hazmat.book import files
from hazmat.book.act import Act, Order, Refused, book, verb
from hazmat.book.canonical import instant
from hazmat.book.receipt import Receipt
from hazmat.core.facts import TANK
from hazmat.core.measures import day_words
from hazmat.core.reported import SENT_AS, KeptReport, Reported, ReportKind
from hazmat.core.trail import BottleNow
from hazmat.core.unitnow import ResultNow, UnitNow
from hazmat.edge.reports import Report
from hazmat.models import Result


def keep_report(report: Report, name: str) -> KeptReport:
    """Keep the file of a report that was looked into; what an act takes of it."""
    return KeptReport(sha256=files.keep(report.data), kind=report.kind, name=name)


@verb
def enter_result(
    order: Order, *, unit: UUID, told: Reported, place: str, replaces: UUID | None = None, why: str = ""
) -> Receipt:
    """Write down a result and judge the unit by it. `replaces`: the result that an amended report takes the place of.

    Without a report of its own an amended result keeps the one of the result that it replaces. Raises Refused.
    """
    with book(order, "enter_result") as act:
        now = current(order.yard, unit)
        _refuse_gone(now, replaces)
        old = amended(now.counting, replaces, why, "result")
        bottle = _bottle(now, told)
        test = {**told.test, **_sample(now, bottle, told, order.zone)}
        _refuse_days(act, now, test, told, bottle)
        report = told.report or _same_report(old)
        act.write(
            Result(
                unit_id=unit, bottle_id=bottle.id if bottle else None, test=test, reported_on=told.reported_on,
                laboratory=told.laboratory, job=told.job, why=why.strip(), replaces_id=replaces,
                report=report.sha256 if report else "", report_kind=report.kind if report else "",
            )
        )  # fmt: skip
        if report:
            act.name_file(report.sha256, f"report.{SENT_AS[report.kind][1]}")
        others = [one.test for one in now.counting if one is not old]
        write_assessment(act, unit, now.tag, now.screened_line, place, [*others, test], now)
    return act.receipt


def _refuse_gone(now: UnitNow, replaces: UUID | None) -> None:
    """Refuse to amend a result of oil that was taken off with its part."""
    old = next((one for one in now.results if one.id == str(replaces)), None)
    if old and old.test.get("space", TANK) in now.spaces_off:
        raise Refused(no_such_space(now, str(old.test["space"])))


def _same_report(old: ResultNow | None) -> KeptReport | None:
    if old is None or not old.report:
        return None
    kind: ReportKind = "pdf" if old.report_kind == "pdf" else "picture"
    return KeptReport(sha256=old.report, kind=kind, name="")


def _bottle(now: UnitNow, told: Reported) -> BottleNow | None:
    """The bottle of the sample, None where it came into no bottle of this book. Raises Refused."""
    if not told.bottle:
        return None
    bottle = next((one for one in now.bottles if one.code == told.bottle), None)
    if bottle is None:
        raise Refused("This bottle is not of this unit; look at its label, and enter the result at its own unit.")
    if bottle.filled_at is None:
        raise Refused("Nobody has written down that this bottle was filled; write that on its page first.")
    if not bottle.unbroken and not told.gap:
        raise Refused(
            "The trail of this bottle has a gap; tick that you know, and its result raises but proves nothing."
        )
    return bottle


def _sample(now: UnitNow, bottle: BottleNow | None, told: Reported, zone: str) -> dict[str, Any]:
    """What the book knows of the sample: oil space, day and code. One with a gap in its trail never establishes.

    Raises Refused for an oil space that is not on record, or a sample without its day.
    """
    if bottle is None:
        if not told.test.get("on"):
            raise Refused("Write the day on which the sample was drawn; the report names it.")
        if told.test.get("space", TANK) not in spaces(now):
            raise Refused(no_such_space(now, told.test["space"]))
        return {}
    if now.oil_spaces[bottle.space] in now.spaces_off:
        raise Refused(no_such_space(now, now.oil_spaces[bottle.space]))
    drawn = datetime.fromisoformat(bottle.filled_at or bottle.labelled_at).astimezone(ZoneInfo(zone)).date()
    found = {"space": now.oil_spaces[bottle.space], "on": drawn.isoformat(), "sample": bottle.code}
    return found if bottle.unbroken else {**found, "composite": True}


def _refuse_days(act: Act, now: UnitNow, test: Mapping[str, Any], told: Reported, bottle: BottleNow | None) -> None:
    """Refuse a report from before its sample or after today, and a result entered before there was a sample."""
    drawn, today = date.fromisoformat(test["on"]), law_day(act.order, act)
    if told.reported_on < drawn:
        raise Refused(
            f"The report is of {day_words(told.reported_on)} and its sample was drawn on {day_words(drawn)}; "
            "look at both days, or at which bottle it is."
        )
    if told.reported_on > today:
        raise Refused(f"The day of the report has not come yet (today is {day_words(today)}); mend the day.")
    since = bottle.filled_at if bottle and bottle.filled_at else now.logged_at
    if instant(act.order.happened_at) < since:
        raise Refused("This lies before the unit was logged or its bottle filled; write when the result came in.")
