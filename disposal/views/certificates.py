"""Certificates of a facility, their copies, and closing a load."""

from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from disposal.actions.certificates import close_load as write_close
from disposal.actions.certificates import enter_certificate as write_certificate
from disposal.core.proving import owed
from disposal.forms.certificates import CertificateForm
from disposal.forms.loads import CloseForm
from disposal.models import Certificate
from disposal.queries.open_loads import wanted_number
from disposal.views.loads import sent_before, the_load
from hazmat.core.reported import SENT_AS
from hazmat.queries.yards import Standing
from hazmat.views.access import act_in, in_yard, page, token_in
from hazmat.views.files import sent
from hazmat.views.saved import write
from hazmat.views.waiting import report_with, written


@require_http_methods(["GET", "POST"])
@in_yard("enter_certificate")
def enter_certificate(request: HttpRequest, here: Standing, load: int) -> HttpResponse:
    """Write down a certificate; a code that is one slip away comes back as a question."""
    now = the_load(here, load)
    if sent_before(request, here):
        return redirect("load", yard=here.yard.code, load=load)
    act = token_in(request, here)
    copy, wrong = report_with(act_in(act), request.FILES) if request.method == "POST" else (None, "")
    today = timezone.localdate(timezone=here.zone)
    form = CertificateForm(request.POST or None, zone=here.zone, load=now, today=today)
    if form.is_bound and wrong:
        form.add_error("report", wrong)
    file: dict[str, Any] = {"file": copy.sha256, "file_kind": copy.kind} if copy else {}
    if write(request, here, form, lambda asked: write_certificate(asked, load=UUID(now.load), **form.told(), **file)):
        written(act_in(act))
        return redirect("load", yard=here.yard.code, load=load)
    return page(request, here, "disposal/enter_certificate.html", load=now, form=form, act=act, waiting=copy)


@require_GET
@in_yard("see_private")
def certificate(request: HttpRequest, here: Standing, certificate: UUID) -> HttpResponseBase:
    """The copy of a certificate; names stand in it, so it is for members only."""
    found = (
        Certificate.objects.select_related("load").filter(pk=certificate, yard=here.yard.pk).exclude(file="").first()
    )
    if found is None:
        raise Http404
    media, ending = SENT_AS[found.file_kind]
    return sent(found.file, media, f"certificate-{found.load.number}.{ending}", saved=found.file_kind == "pdf")


@require_http_methods(["GET", "POST"])
@in_yard("close_load")
def close_load(request: HttpRequest, here: Standing, load: int) -> HttpResponse:
    """Close a load of which nothing owes a proof; what still does is named."""
    now = the_load(here, load)
    form = CloseForm(request.POST or None, zone=here.zone)
    if write(request, here, form, lambda asked: write_close(asked, load=UUID(now.load))):
        return redirect("load", yard=here.yard.code, load=load)
    act = token_in(request, here)
    return page(
        request, here, "disposal/close_load.html", load=now, form=form, act=act, owed=owed(now),
        wanted=wanted_number(now, here.facts),
    )  # fmt: skip
