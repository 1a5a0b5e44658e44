"""What is dangerous in a unit besides its oil: what to do about it, hot work, and a walk round it written down."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from hazmat.actions.sidehazards import walk_hazards as write_walk
from hazmat.book.act import Order
from hazmat.book.receipt import Receipt
from hazmat.edge.hazards import hazards, last_walk
from hazmat.forms.hazards import HazardsForm, shown
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page, token_in
from hazmat.views.saved import write
from hazmat.views.units import the_unit


@require_http_methods(["GET", "POST"])
@in_yard("walk_hazards")
def walk_hazards(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Write down a walk, below what is known and what to do about it."""
    now = the_unit(here, tag)
    told = hazards(now)
    asked = [one.key for one in (*told.found, *told.unseen, *told.none)]
    form = HazardsForm(request.POST or None, asked=asked, zone=here.zone, initial=shown(last_walk(now)))

    def record(asked: Order) -> Receipt:
        return write_walk(asked, unit=UUID(now.unit), walk=form.walk())

    if write(request, here, form, record, "It lifts no hold."):
        return redirect("walk_hazards", here.yard.code, tag)
    act = token_in(request, here)
    return page(request, here, "hazmat/walk_hazards.html", unit=now, form=form, act=act, told=told)
