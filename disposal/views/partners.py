"""Partners: the list, one firm with its licences, writing down a firm and a licence, correcting either."""

from datetime import date
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from disposal.actions.partners import add_licence as write_licence
from disposal.actions.partners import add_partner as write_partner
from disposal.core.partnernow import LicenceNow, PartnerNow
from disposal.forms.partners import WHATS, LicenceForm, PartnerForm
from disposal.models import Partner
from disposal.queries.partners import partner_now
from disposal.queries.partners import partners as every_partner
from hazmat.book.aside import words_of
from hazmat.queries.entries import entries_of, told
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page, the, token_in
from hazmat.views.saved import write


@require_GET
@in_yard("see")
def partners(request: HttpRequest, here: Standing) -> HttpResponse:
    """The firms of the yard, by name, and what each may do today."""
    today = timezone.localdate(timezone=here.zone)
    rows = [{"firm": one, "may": _may(one, today)} for one in every_partner(here.yard.pk)]
    return page(request, here, "disposal/partners.html", rows=rows)


def _may(firm: PartnerNow, today: date) -> list[str]:
    """What a licence in force today lets a firm do, in words."""
    return [says[3:] for what, says in WHATS if firm.may(what, today)]


@require_GET
@in_yard("see")
def partner(request: HttpRequest, here: Standing, partner: UUID) -> HttpResponse:
    """One firm with its licences and its loads."""
    firm = the_firm(here, partner)
    today = timezone.localdate(timezone=here.zone)
    licences = [{"licence": one, "says": dict(WHATS)[one.what], "state": _state(one, today)} for one in firm.licences]
    keys = {UUID(firm.id), UUID(firm.record)}
    entries = sorted({one for key in keys for one in entries_of(key, Partner)}, key=lambda one: -one.seq)
    return page(
        request, here, "disposal/partner.html", firm=firm, licences=licences, entries=told(entries),
        aside=words_of([firm.record]) if "see_private" in here.may else {},
    )  # fmt: skip


def _state(one: LicenceNow, today: date) -> str:
    """How a licence stands today, in words."""
    if one.in_force(today):
        return "in force today"
    return "not in force yet" if one.since > today else "not in force any more"


def the_firm(here: Standing, key: UUID) -> PartnerNow:
    """The firm that a record of this key began or corrected. Raises Http404."""
    found = partner_now(here.yard.pk, key)
    if found is None:
        raise Http404
    return found


@require_http_methods(["GET", "POST"])
@in_yard("add_partner")
def add_partner(request: HttpRequest, here: Standing) -> HttpResponse:
    """Write down a firm."""
    return _write_partner(request, here, None)


@require_http_methods(["GET", "POST"])
@in_yard("add_partner")
def correct_partner(request: HttpRequest, here: Standing, partner: UUID) -> HttpResponse:
    """Correct what a firm is called and how it is reached."""
    return _write_partner(request, here, the_firm(here, partner))


def _write_partner(request: HttpRequest, here: Standing, firm: PartnerNow | None) -> HttpResponse:
    form = PartnerForm(request.POST or None)
    if firm and request.method == "GET":
        form = PartnerForm.of(firm, words_of([firm.record]))
    corrects = UUID(firm.record) if firm else None
    if receipt := write(request, here, form, lambda asked: write_partner(asked, **form.told(), corrects=corrects)):
        return redirect("partner", yard=here.yard.code, partner=receipt.the("disposal.partner"))
    act = token_in(request, here)
    return page(request, here, "disposal/add_partner.html", form=form, firm=firm, act=act)


@require_http_methods(["GET", "POST"])
@in_yard("add_licence")
def add_licence(request: HttpRequest, here: Standing, partner: UUID) -> HttpResponse:
    """Write down a licence of a firm."""
    return _write_licence(request, here, the_firm(here, partner), None)


@require_http_methods(["GET", "POST"])
@in_yard("add_licence")
def correct_licence(request: HttpRequest, here: Standing, partner: UUID, licence: UUID) -> HttpResponse:
    """Correct a licence that was written down wrongly."""
    firm = the_firm(here, partner)
    return _write_licence(request, here, firm, the(firm.licences, licence))


def _write_licence(request: HttpRequest, here: Standing, firm: PartnerNow, licence: LicenceNow | None) -> HttpResponse:
    form = LicenceForm(request.POST or None)
    if licence and request.method == "GET":
        form = LicenceForm.of(licence)
    corrects = UUID(licence.id) if licence else None
    if write(
        request,
        here,
        form,
        lambda asked: write_licence(asked, partner=UUID(firm.id), **form.cleaned_data, corrects=corrects),
    ):
        return redirect("partner", yard=here.yard.code, partner=firm.id)
    act = token_in(request, here)
    return page(request, here, "disposal/add_licence.html", form=form, firm=firm, licence=licence, act=act)
