"""What to do in an emergency: the card of the yard, changing it, the sheet for the wall."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from hazmat.actions.emergency import issue_emergency_sheet as write_sheet
from hazmat.actions.emergency import set_emergency as write_card
from hazmat.book.act import Refused
from hazmat.forms.emergency import EmergencyForm
from hazmat.models import Paper
from hazmat.papers.people import BOXES, SHEET, sheet_says
from hazmat.queries.emergency import emergency_card, outdated_sheet
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, new_token, order, page, token_in
from hazmat.views.papers import printed
from hazmat.views.saved import saved, write


@require_GET
@in_yard("see_private")
def emergency(request: HttpRequest, here: Standing) -> HttpResponse:
    """What to do, in order, with the numbers of the yard; and its sheet."""
    card = emergency_card(here.yard.pk)
    boxes = [{"name": name, "words": card.words.get(key, "") if card else ""} for key, name in BOXES.items()]
    last = Paper.objects.filter(yard=here.yard.pk, kind=SHEET, replaced_by=None).order_by("entry__seq").last()
    return page(
        request, here, "hazmat/emergency.html", boxes=boxes, says=sheet_says(card, here.facts, timezone.now()),
        last=last, old=outdated_sheet(here.yard.pk, here.facts), act=new_token(here),
    )  # fmt: skip


@require_http_methods(["GET", "POST"])
@in_yard("set_emergency")
def set_emergency(request: HttpRequest, here: Standing) -> HttpResponse:
    """Write down numbers, places and names for an emergency."""
    card = emergency_card(here.yard.pk)
    initial = {**card.words, "based_on": card.id} if card else {}
    form = EmergencyForm(request.POST or None, initial=initial)
    if write(
        request, here, form,
        lambda asked: write_card(asked, told=form.told(), based_on=form.cleaned_data["based_on"]),
        "Print the sheet anew, and hang it up.",
    ):  # fmt: skip
        return redirect("emergency", yard=here.yard.code)
    return page(request, here, "hazmat/set_emergency.html", form=form, act=token_in(request, here))


@require_POST
@in_yard("issue_emergency_sheet")
def issue_emergency_sheet(request: HttpRequest, here: Standing) -> HttpResponseBase:
    """Freeze the emergency sheet, then print and seal it."""
    try:
        receipt = write_sheet(order(request, here))
    except Refused as refusal:
        messages.error(request, str(refusal))
        return redirect("emergency", yard=here.yard.code)
    saved(request, here, receipt)
    return printed(request, here, receipt.the("hazmat.paper"))
