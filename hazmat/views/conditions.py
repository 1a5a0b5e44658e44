"""Condition tests of oil: one slip written down, and what its figures settle; they say nothing about PCB."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from hazmat.actions.bottles import spaces
from hazmat.actions.conditions import record_condition as write_condition
from hazmat.book.act import Order
from hazmat.book.receipt import Receipt
from hazmat.core.condition import ConditionNow
from hazmat.core.unitnow import UnitNow
from hazmat.edge.conditions import told
from hazmat.edge.story import sampling_refused
from hazmat.forms.conditions import ConditionForm, shown_condition
from hazmat.queries.yards import Standing
from hazmat.views.access import act_in, in_yard, page, the, token_in
from hazmat.views.saved import write
from hazmat.views.units import the_unit
from hazmat.views.waiting import wait_with, written


@require_http_methods(["GET", "POST"])
@in_yard("record_condition")
def record_condition(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Write down a condition test."""
    return _recorded(request, here, the_unit(here, tag), None)


@require_http_methods(["GET", "POST"])
@in_yard("record_condition")
def correct_condition(request: HttpRequest, here: Standing, tag: str, condition: UUID) -> HttpResponse:
    """Write a test in the place of one that was written down wrong."""
    now = the_unit(here, tag)
    return _recorded(request, here, now, the(now.conditions, condition))


@require_GET
@in_yard("see")
def condition(request: HttpRequest, here: Standing, tag: str, condition: UUID) -> HttpResponse:
    """One test: every figure with its method, what the sums make of it, and which test is next."""
    now = the_unit(here, tag)
    test = the(now.conditions, condition)
    return page(request, here, "hazmat/condition.html", unit=now, test=test, told=told(now, test))


def _recorded(request: HttpRequest, here: Standing, now: UnitNow, old: ConditionNow | None) -> HttpResponse:
    act = token_in(request, here)
    kept, wrong = wait_with(act_in(act), request.FILES) if request.method == "POST" else ([], [])
    initial: dict[str, Any] = shown_condition(old) if old else {}
    form = ConditionForm(
        request.POST or None, today=timezone.localdate(timezone=here.zone), unit=now, spaces=spaces(now),
        zone=here.zone, corrects=old is not None, initial=initial,
    )  # fmt: skip
    for says in wrong if form.is_bound else ():
        form.add_error(None, says)

    def record(asked: Order) -> Receipt:
        return write_condition(
            asked, unit=UUID(now.unit), told=form.told(), note=form.cleaned_data["note"], pictures=kept,
            replaces=UUID(old.id) if old else None, why=form.reason,
        )  # fmt: skip

    if receipt := write(request, here, form, record, "It says nothing about PCB."):
        written(act_in(act))
        return redirect("condition", here.yard.code, now.tag, receipt.the("hazmat.condition"))
    return page(
        request, here, "hazmat/record_condition.html", unit=now, form=form, act=act, old=old, waiting=len(kept),
        untested=not now.counting, refused=sampling_refused(now, here.named.place),
    )  # fmt: skip
