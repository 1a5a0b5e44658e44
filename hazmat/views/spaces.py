"""Oil spaces of a unit: adding one that was found, and taking one off under a tag of its own."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from hazmat.actions.spaces import add_space as write_space
from hazmat.actions.spaces import remove_part as write_part
from hazmat.book.act import Order
from hazmat.book.receipt import Receipt
from hazmat.edge.spaces import spaces_of
from hazmat.forms.spaces import PartForm, SpaceForm
from hazmat.models import Unit
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page, token_in
from hazmat.views.saved import write
from hazmat.views.units import as_key, the_unit


@require_http_methods(["GET", "POST"])
@in_yard("add_space")
def add_space(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Write down one more oil space."""
    now = the_unit(here, tag)
    form = SpaceForm(request.POST or None, zone=here.zone, initial={"based_on": now.look})

    def add(asked: Order) -> Receipt:
        based_on = as_key(form.cleaned_data["based_on"])
        return write_space(asked, unit=UUID(now.unit), based_on=based_on, space=form.told(), place=here.named.place)

    if write(request, here, form, add, "The unit is judged again: its worst oil space decides."):
        return redirect("unit", here.yard.code, tag)
    return page(request, here, "hazmat/add_space.html", unit=now, form=form, act=token_in(request, here))


@require_http_methods(["GET", "POST"])
@in_yard("remove_part")
def remove_part(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Take an oil space off, which is a unit of its own from then on."""
    now = the_unit(here, tag)
    told = [one for one in spaces_of(now, here.named.place) if one.off]
    form = PartForm(
        request.POST or None, zone=here.zone, spaces=[one.name for one in told],
        initial={"space": request.GET.get("space", "")},
    )  # fmt: skip

    def take_off(asked: Order) -> Receipt:
        found = form.cleaned_data
        return write_part(
            asked, unit=UUID(now.unit), space=found["space"], tag=found["tag"], place=here.named.place
        )  # fmt: skip

    if receipt := write(request, here, form, take_off, "It is on hold by itself, under its own tag."):
        part = Unit.objects.get(pk=receipt.the("hazmat.unit"))
        return redirect("unit", here.yard.code, part.tag)
    return page(request, here, "hazmat/remove_part.html", unit=now, form=form, spaces=told, act=token_in(request, here))
