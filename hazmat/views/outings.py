"""Out alone: who is out, going out, coming back."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from hazmat.actions.outings import come_back as write_back
from hazmat.actions.outings import go_out as write_out
from hazmat.book.act import Refused
from hazmat.core.outing import OutNow
from hazmat.forms.outings import OutForm
from hazmat.models import Outing
from hazmat.papers.frame import said
from hazmat.queries.emergency import emergency_card
from hazmat.queries.mine import in_office
from hazmat.queries.outings import open_outings
from hazmat.queries.yards import Standing
from hazmat.queries.yards import people as people_of
from hazmat.views.access import in_yard, new_token, order, page, token_in
from hazmat.views.saved import saved, write
from hazmat.views.training import finder


@require_http_methods(["GET", "POST"])
@in_yard("go_out")
def out(request: HttpRequest, here: Standing) -> HttpResponse:
    """Who is out, late ones first; a form to go, or to put it off."""
    everybody = open_outings(here.yard.pk)
    mine = next((one for one in everybody if one.person == str(here.person.pk)), None)
    form = OutForm(request.POST or None, zone=here.zone, find=finder(here), initial=_initial(request, mine))
    if write(request, here, form, lambda asked: write_out(asked, **form.told())):
        return redirect("out", yard=here.yard.code)
    card = emergency_card(here.yard.pk)
    return page(
        request, here, "hazmat/out.html", rows=[_row(here, one) for one in everybody], mine=mine, form=form,
        act=token_in(request, here), alone=len(people_of(here.yard.pk)) == 1,
        numbers=card.words.get("numbers", "") if card else "",
    )  # fmt: skip


def _initial(request: HttpRequest, mine: OutNow | None) -> dict[str, Any]:
    """What stood there before is not typed again; the moment is."""
    if mine is None:
        return {"unit": request.GET.get("unit", "")}
    return {"where": mine.where, "phone": mine.phone, "whom": mine.whom, "unit": mine.tag}


def _row(here: Standing, one: OutNow) -> dict[str, Any]:
    """One person who is out, and what to do where that person is late."""
    late = one.late(timezone.now())
    slots = {"who": one.called, **({"whom": one.whom} if one.whom else {})}
    do = said("out_do" if one.whom else "out_unnamed", **slots) if late else ""
    own = one.person == str(here.person.pk)
    return {"one": one, "late": late, "do": do, "own": own, "back": own or in_office(here), "act": new_token(here)}


@require_POST
@in_yard("come_back")
def come_back(request: HttpRequest, here: Standing, outing: UUID) -> HttpResponse:
    """Somebody is back."""
    if not Outing.objects.filter(pk=outing, yard=here.yard.pk).exists():
        raise Http404
    try:
        saved(request, here, write_back(order(request, here), outing=outing))
    except Refused as refusal:
        messages.error(request, str(refusal))
    return redirect("out", yard=here.yard.code)
