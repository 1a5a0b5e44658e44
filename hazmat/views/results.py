"""Results of laboratories: entering one, and amending one by a later report."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from hazmat.actions.bottles import spaces
from hazmat.actions.results import enter_result as write_result
from hazmat.book.act import Order
from hazmat.book.receipt import Receipt
from hazmat.core.unitnow import ResultNow, UnitNow
from hazmat.forms.results import AmendForm, ResultForm, shown
from hazmat.queries.yards import Standing
from hazmat.views.access import act_in, in_yard, page, the, token_in
from hazmat.views.saved import write
from hazmat.views.units import the_unit
from hazmat.views.waiting import report_with, written


@require_http_methods(["GET", "POST"])
@in_yard("enter_result")
def enter_result(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Enter what the report of a laboratory says of one sample of a unit."""
    now = the_unit(here, tag)
    picked = {"bottle": request.GET.get("bottle", "")}
    form = ResultForm(request.POST or None, unit=now, spaces=spaces(now), zone=here.zone, initial=picked)
    return _entered(request, here, now, form, None)


@require_http_methods(["GET", "POST"])
@in_yard("enter_result")
def amend_result(request: HttpRequest, here: Standing, tag: str, result: UUID) -> HttpResponse:
    """Enter an amended report in the place of the one that it corrects."""
    now = the_unit(here, tag)
    old = the(now.results, result)
    form = AmendForm(request.POST or None, unit=now, spaces=spaces(now), zone=here.zone, initial=shown(old))
    return _entered(request, here, now, form, old)


def _entered(
    request: HttpRequest, here: Standing, now: UnitNow, form: ResultForm, old: ResultNow | None
) -> HttpResponse:
    """The page and its one act. What cannot be written yet is kept: text in the page, the report beside the book."""
    act = token_in(request, here)
    report, wrong = report_with(act_in(act), request.FILES) if request.method == "POST" else (None, "")
    if wrong:
        form.add_error("report", wrong)

    def enter(asked: Order) -> Receipt:
        amended = {"replaces": UUID(old.id), "why": form.cleaned_data["why"]} if old else {}
        return write_result(asked, unit=UUID(now.unit), told=form.told(report), place=here.named.place, **amended)

    if write(request, here, form, enter, "The unit is judged by it; nobody released it."):
        written(act_in(act))
        return redirect("unit", yard=here.yard.code, tag=now.tag)
    return page(request, here, "hazmat/enter_result.html", unit=now, form=form, act=act, old=old, waiting=report)
