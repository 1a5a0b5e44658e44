"""Bays: what stands where, adding one, renaming one, putting something into one."""

from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_GET, require_http_methods

from disposal.actions.bays import add_bay as write_bay
from disposal.actions.bays import put_in_bay as write_put
from disposal.forms.bays import BayForm, PutForm
from disposal.queries.bays import BayNow, bays
from disposal.queries.stands import standing_in
from disposal.views.drums import lines_of, the_drum
from hazmat.book.act import Order
from hazmat.book.receipt import Receipt
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page, token_in
from hazmat.views.saved import write
from hazmat.views.units import the_unit


@require_GET
@in_yard("see")
def all_bays(request: HttpRequest, here: Standing) -> HttpResponse:
    """The bays of the yard, and what stands in each."""
    rows = [{"bay": one.bay, "drums": lines_of(one.drums), "units": one.units} for one in standing_in(here.yard.pk)]
    return page(request, here, "disposal/bays.html", rows=rows)


@require_http_methods(["GET", "POST"])
@in_yard("add_bay")
def add_bay(request: HttpRequest, here: Standing) -> HttpResponse:
    """Add a bay."""
    return _naming(request, here, None)


@require_http_methods(["GET", "POST"])
@in_yard("add_bay")
def rename_bay(request: HttpRequest, here: Standing, bay: UUID) -> HttpResponse:
    """Give a bay another name; what it was called stays in the day-book."""
    found = next((one for one in bays(here.yard.pk) if one.bay == bay), None)
    if found is None:
        raise Http404
    return _naming(request, here, found)


def _naming(request: HttpRequest, here: Standing, bay: BayNow | None) -> HttpResponse:
    initial = {"name": bay.name, "note": bay.note} if bay else {}
    form = BayForm(request.POST or None, zone=here.zone, initial=initial)

    def name(asked: Order) -> Receipt:
        told = {name: form.cleaned_data[name] for name in ("name", "note")}
        return write_bay(asked, instead_of=bay.record if bay else None, **told)

    if write(request, here, form, name):
        return redirect("bays", yard=here.yard.code)
    return page(request, here, "disposal/add_bay.html", bay=bay, form=form, act=token_in(request, here))


@require_http_methods(["GET", "POST"])
@in_yard("put_in_bay")
def put_drum(request: HttpRequest, here: Standing, drum: str) -> HttpResponse:
    """Write down that a drum was put into a bay."""
    now = the_drum(here, drum)
    back = redirect("drum", yard=here.yard.code, drum=drum)
    return _putting(request, here, back, {"drum": UUID(now.drum)}, code=now.code, what="drum")


@require_http_methods(["GET", "POST"])
@in_yard("put_in_bay")
def put_unit(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Write down that a unit was put into a bay."""
    now = the_unit(here, tag)
    back = redirect("unit", yard=here.yard.code, tag=tag)
    return _putting(request, here, back, {"unit": UUID(now.unit)}, code=now.tag, what="unit")


def _putting(
    request: HttpRequest, here: Standing, back: Any, thing: dict[str, UUID], *, code: str, what: str
) -> HttpResponse:
    offered = [(str(one.bay), one.name) for one in bays(here.yard.pk)]
    form = PutForm(request.POST or None, zone=here.zone, bays=offered)
    if write(request, here, form, lambda asked: write_put(asked, bay=UUID(form.cleaned_data["bay"]), **thing)):
        found: HttpResponse = back
        return found
    return page(
        request, here, "disposal/put_in_bay.html", code=code, what=what, back=back.url, form=form,
        none=not offered, act=token_in(request, here),
    )  # fmt: skip
