"""Handing over: who signs, what arrived, and the pictures of signatures."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect
from django.views.decorators.http import require_GET, require_http_methods

from disposal.actions.handing import receive_load as write_receipt
from disposal.actions.handing import settle_arrival as write_settled
from disposal.actions.handing import sign_load as write_signature
from disposal.actions.handing import waiting
from disposal.core.loadnow import PARTIES, SIGNING
from disposal.core.odd import unsettled
from disposal.forms.loads import ReceiveForm, SettleForm
from disposal.forms.signing import SignForm
from disposal.models import Signature
from disposal.queries.open_loads import wanted_number
from disposal.views.items import shown
from disposal.views.loads import sent_before, the_load, warnings
from hazmat.book.act import Order
from hazmat.book.receipt import Receipt
from hazmat.queries.yards import Standing
from hazmat.views.access import act_in, in_yard, page, token_in
from hazmat.views.files import sent
from hazmat.views.saved import write
from hazmat.views.waiting import wait_with, written


@require_http_methods(["GET", "POST"])
@in_yard("sign_load")
def sign_load(request: HttpRequest, here: Standing, load: int, party: str) -> HttpResponse:
    """One party signs for a load: ink, drawn, or a typed name with a tick."""
    now = the_load(here, load)
    who = next((one for one in SIGNING if one == party), None)
    if who is None:
        raise Http404
    act = token_in(request, here)
    kept, wrong = wait_with(act_in(act), request.FILES) if request.method == "POST" else ([], [])
    picture = kept[-1].sha256 if kept else ""
    form = SignForm(request.POST or None, zone=here.zone, party=who, waiting=picture)
    for says in wrong if form.is_bound else ():
        form.add_error("pictures", says)
    if write(request, here, form, lambda asked: write_signature(asked, load=UUID(now.load), party=who, **form.told())):
        written(act_in(act))
        return redirect("load", yard=here.yard.code, load=load)
    return page(
        request, here, "disposal/sign_load.html", load=now, party=who, who=PARTIES[who], form=form, act=act,
        rows=[one for one in shown(now) if one.item.aboard], waiting=len(kept), warnings=warnings(here, now),
        wanted=wanted_number(now, here.facts),
    )  # fmt: skip


@require_http_methods(["GET", "POST"])
@in_yard("receive_load")
def receive_load(request: HttpRequest, here: Standing, load: int) -> HttpResponse:
    """Write down what the facility took in, refused or never got, one line an item."""
    now = the_load(here, load)
    if sent_before(request, here):
        return redirect("load", yard=here.yard.code, load=load)
    form = ReceiveForm(request.POST or None, zone=here.zone, load=now, items=waiting(now))

    def receive(asked: Order) -> Receipt:
        return write_receipt(asked, load=UUID(now.load), lines=form.told(), extra=form.cleaned_data.get("extra", ""))

    if write(request, here, form, receive):
        return redirect("load", yard=here.yard.code, load=load)
    act = token_in(request, here)
    return page(request, here, "disposal/receive_load.html", load=now, form=form, act=act)


@require_http_methods(["GET", "POST"])
@in_yard("settle_arrival")
def settle_arrival(request: HttpRequest, here: Standing, load: int) -> HttpResponse:
    """Write down how it was settled that something arrived otherwise than it was sent."""
    now = the_load(here, load)
    if sent_before(request, here):
        return redirect("load", yard=here.yard.code, load=load)
    differences = [one for one in unsettled(now) if not one.lost]
    form = SettleForm(request.POST or None, zone=here.zone, differences=differences)
    if write(request, here, form, lambda asked: write_settled(asked, load=UUID(now.load), lines=form.told())):
        return redirect("load", yard=here.yard.code, load=load)
    act = token_in(request, here)
    return page(request, here, "disposal/settle_arrival.html", load=now, form=form, act=act)


@require_GET
@in_yard("see_private")
def signature(request: HttpRequest, here: Standing, signature: UUID) -> HttpResponseBase:
    """The picture of a signed sheet, or of what was drawn."""
    found = Signature.objects.filter(pk=signature, yard=here.yard.pk).exclude(file="").first()
    if found is None:
        raise Http404
    return sent(found.file, "image/jpeg", f"signature-{found.party}.jpg")
