"""Breakdown tests of oil: typed on one line, shown shot by shot; they say nothing about PCB."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.dateparse import parse_datetime
from django.views.decorators.http import require_GET, require_http_methods

from hazmat.actions.bottles import spaces
from hazmat.actions.breakdowns import record_breakdown as write_breakdown
from hazmat.book.act import Order
from hazmat.book.receipt import Receipt
from hazmat.core.shots import BreakdownNow
from hazmat.core.unitnow import UnitNow
from hazmat.edge.story import sampling_refused
from hazmat.edge.sums import given_words, rows, work
from hazmat.forms.breakdowns import BreakdownForm, shown_breakdown
from hazmat.forms.tools import offered
from hazmat.papers.plots import shots_svg
from hazmat.queries.tools import Doubt, at_hand, doubts_of, named
from hazmat.queries.yards import Standing
from hazmat.rulebooks.sumbook import sums
from hazmat.views.access import act_in, in_yard, page, the, token_in
from hazmat.views.saved import warned, write
from hazmat.views.units import the_unit
from hazmat.views.waiting import wait_with, written


@require_http_methods(["GET", "POST"])
@in_yard("record_breakdown")
def record_breakdown(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Write down a breakdown test."""
    return _recorded(request, here, the_unit(here, tag), None)


@require_http_methods(["GET", "POST"])
@in_yard("record_breakdown")
def correct_breakdown(request: HttpRequest, here: Standing, tag: str, breakdown: UUID) -> HttpResponse:
    """Write a test in the place of one that was written down wrong."""
    now = the_unit(here, tag)
    return _recorded(request, here, now, the(now.breakdowns, breakdown))


@require_GET
@in_yard("see")
def breakdown(request: HttpRequest, here: Standing, tag: str, breakdown: UUID) -> HttpResponse:
    """One test: every shot, mean and spread, and what the method asks that was not met."""
    now = the_unit(here, tag)
    test = the(now.breakdowns, breakdown)
    asked, cells = sums()["breakdown"], named(here.yard.pk, test.tools)
    at = parse_datetime(test.at)
    day = timezone.localdate(at, here.zone)
    worked = work(asked, test.asked, day)
    return page(
        request, here, "hazmat/breakdown.html", unit=now, test=test, rows=rows(asked, worked), said=asked.said(worked),
        given=given_words(asked, test.asked), plot=shots_svg(str(test.asked["shots"]), worked.values),
        late=test.out_of_calibration(day.isoformat()), cells=cells, doubts=_doubts(now, test.id),
        pcb_first=not now.counting and (test.told.get("cell") == "shared" or any(not one.told.kept for one in cells)),
    )  # fmt: skip


def _doubts(unit: UnitNow, test: str) -> list[Doubt]:
    """What is in doubt about this test."""
    return [one for one in doubts_of(unit) if one.use.test == test]


def _recorded(request: HttpRequest, here: Standing, now: UnitNow, old: BreakdownNow | None) -> HttpResponse:
    act = token_in(request, here)
    kept, wrong = wait_with(act_in(act), request.FILES) if request.method == "POST" else ([], [])
    initial: dict[str, Any] = shown_breakdown(old) if old else {}
    replaces = UUID(old.id) if old else None
    cells = offered(at_hand(here.yard.pk, cell=True, instead=replaces, keep=old.tools if old else ()), here.zone)
    form = BreakdownForm(
        request.POST or None, cells=cells, today=timezone.localdate(timezone=here.zone), unit=now, spaces=spaces(now),
        zone=here.zone, corrects=old is not None, initial=initial,
    )  # fmt: skip
    for says in wrong if form.is_bound else ():
        form.add_error(None, says)

    def record(asked: Order) -> Receipt:
        return write_breakdown(
            asked, unit=UUID(now.unit), told=form.told(), note=form.cleaned_data["note"], pictures=kept,
            replaces=replaces, why=form.reason, cell=form.coded_cell,
        )  # fmt: skip

    if receipt := write(request, here, form, record, "It says nothing about PCB."):
        written(act_in(act))
        made = receipt.the("hazmat.breakdown")
        if form.coded_cell:
            warned(request, _doubts(the_unit(here, tag=now.tag), str(made)))
        return redirect("breakdown", here.yard.code, now.tag, made)
    return page(
        request, here, "hazmat/record_breakdown.html", unit=now, form=form, act=act, old=old, waiting=len(kept),
        untested=not now.counting, refused=sampling_refused(now, here.named.place),
    )  # fmt: skip
