"""Printing the label of a drum and the sheet of a load."""

from collections.abc import Callable

from django.contrib import messages
from django.http import Http404, HttpRequest
from django.http.response import HttpResponseBase
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from disposal.actions.papers import issue_drum_label, issue_load_sheet
from disposal.models import Drum, Load
from hazmat.book.act import Refused
from hazmat.book.receipt import Receipt
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, order
from hazmat.views.papers import printed
from hazmat.views.saved import saved


@require_POST
@in_yard("issue_drum_label")
def drum_label(request: HttpRequest, here: Standing, drum: str) -> HttpResponseBase:
    """Freeze the label of a drum, then print and seal it."""
    found = Drum.objects.filter(yard=here.yard.pk, code=drum).first()
    if found is None:
        raise Http404
    back = reverse("drum", kwargs={"yard": here.yard.code, "drum": drum})
    return _issued(request, here, lambda: issue_drum_label(order(request, here), drum=found.pk), back)


@require_POST
@in_yard("issue_load_sheet")
def load_sheet(request: HttpRequest, here: Standing, load: int) -> HttpResponseBase:
    """Freeze the hand-over sheet of a load, then print and seal it."""
    found = Load.objects.filter(yard=here.yard.pk, number=str(load), of=None).first()
    if found is None:
        raise Http404
    back = reverse("load", kwargs={"yard": here.yard.code, "load": load})
    return _issued(request, here, lambda: issue_load_sheet(order(request, here), load=found.pk), back)


def _issued(request: HttpRequest, here: Standing, issue: Callable[[], Receipt], back: str) -> HttpResponseBase:
    """On to the paper; where it was refused, back to what it would have been of, with the sentence."""
    try:
        receipt = issue()
    except Refused as refusal:
        messages.error(request, str(refusal))
        return redirect(back)
    saved(request, here, receipt)
    return printed(request, here, receipt.the("hazmat.paper"))
