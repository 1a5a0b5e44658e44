"""Extensions of use of a unit: writing one down, correcting one."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from hazmat.actions.extensions import extend_use as write_extension
from hazmat.book.act import Order
from hazmat.book.receipt import Receipt
from hazmat.core.extended import ExtensionNow
from hazmat.core.unitnow import UnitNow
from hazmat.forms.extensions import CorrectedForm, ExtensionForm
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page, the, token_in
from hazmat.views.saved import write
from hazmat.views.units import the_unit


@require_http_methods(["GET", "POST"])
@in_yard("extend_use")
def extend_use(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Write down that an authority extended the use of a unit."""
    now = the_unit(here, tag)
    return _written(request, here, now, ExtensionForm(request.POST or None, zone=here.zone), None)


@require_http_methods(["GET", "POST"])
@in_yard("extend_use")
def correct_extension(request: HttpRequest, here: Standing, tag: str, extension: UUID) -> HttpResponse:
    """Put another extension in the place of one that was written down wrongly."""
    now = the_unit(here, tag)
    old = the(now.extensions, extension)
    known = {name: getattr(old, name) for name in ("by", "given_on", "until", "number", "note")}
    return _written(request, here, now, CorrectedForm(request.POST or None, zone=here.zone, initial=known), old)


def _written(
    request: HttpRequest, here: Standing, now: UnitNow, form: ExtensionForm, old: ExtensionNow | None
) -> HttpResponse:
    def extend(asked: Order) -> Receipt:
        corrected = {"replaces": UUID(old.id), "why": form.cleaned_data["why"]} if old else {}
        return write_extension(asked, unit=UUID(now.unit), told=form.told(), place=here.named.place, **corrected)

    if write(request, here, form, extend, "It lifts no hold, and puts off only what the law lets it put off."):
        return redirect("unit", here.yard.code, now.tag)
    act = token_in(request, here)
    return page(request, here, "hazmat/extend_use.html", unit=now, form=form, act=act, old=old)
