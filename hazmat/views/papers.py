"""Papers of a unit: issuing one, its page, its sealed PDF."""

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest
from django.http.response import HttpResponseBase
from django.shortcuts import redirect
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from hazmat.actions.papers import KINDS, issue_paper, print_and_seal
from hazmat.book.act import Refused
from hazmat.book.canonical import parsed
from hazmat.core.codes import spaced
from hazmat.models import Paper
from hazmat.papers import CannotPrint
from hazmat.queries.papers import outdated
from hazmat.queries.units import UNITS
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, new_token, order, page
from hazmat.views.files import sent
from hazmat.views.saved import saved
from hazmat.views.units import the_unit

CHOOSE = (
    "Choose the site sheet, the notice, the unit tag, the letter to the owner, gear cards, or the label of a bottle."
)


@require_POST
@in_yard("issue_paper")
def issue(request: HttpRequest, here: Standing, tag: str) -> HttpResponseBase:
    """Freeze a paper of a unit, then print and seal it; what cannot be printed now waits on its own page."""
    unit = the_unit(here, tag)
    kind = request.POST.get("kind", "")
    if kind not in KINDS:
        messages.error(request, CHOOSE)
        return redirect("unit", yard=here.yard.code, tag=tag)
    try:
        bottle = request.POST.get("bottle", "")
        receipt = issue_paper(order(request, here), unit=UUID(unit.unit), kind=kind, bottle=bottle)
    except Refused as refusal:
        messages.error(request, str(refusal))
        return redirect("unit", yard=here.yard.code, tag=tag)
    saved(request, here, receipt)
    return printed(request, here, receipt.the("hazmat.paper"))


def printed(request: HttpRequest, here: Standing, paper: UUID) -> HttpResponseBase:
    """Print and seal a paper that was just issued, and on to its page; what cannot be printed now waits there."""
    _print(request, here, paper)
    return redirect("paper", yard=here.yard.code, paper=paper)


def _print(request: HttpRequest, here: Standing, paper: UUID) -> None:
    try:
        print_and_seal(here.yard.pk, here.person.pk, here.named.zone, paper)
    except (CannotPrint, Refused) as cannot:
        messages.error(request, str(cannot))


@require_http_methods(["GET", "POST"])
@in_yard("see")
def paper(request: HttpRequest, here: Standing, paper: UUID) -> HttpResponseBase:
    """One paper: what it says, its code, whether it is sealed."""
    if request.method == "POST":
        return _seal(request, yard=here.yard.code, paper=paper)
    found = _the_paper(here, paper)
    payload = parsed(found.payload)
    of = f"papers/of_{payload['of']['what']}.html" if "of" in payload else ""
    return page(
        request, here, "hazmat/paper.html", paper=found, payload=payload, of=of, code=spaced(found.code),
        seal=getattr(found, "seal", None), corrected_by=getattr(found, "replaced_by", None), act=new_token(here),
        outdated=_outdated(here, found),
    )  # fmt: skip


def _outdated(here: Standing, paper: Paper) -> bool:
    """Whether a paper of a unit no longer says what holds; a paper of something else says so beside what it is of."""
    unit = UNITS.kept(paper.unit_id) if paper.unit_id else None
    return unit is not None and str(paper.pk) in [one.id for one in outdated(unit, here.facts)]


@in_yard("seal_paper")
def _seal(request: HttpRequest, here: Standing, paper: UUID) -> HttpResponseBase:
    """Print and seal a paper that waits for it; one that is sealed already is shown."""
    if getattr(_the_paper(here, paper), "seal", None) is None:
        _print(request, here, paper)
    return redirect("paper", yard=here.yard.code, paper=paper)


def _the_paper(here: Standing, paper: UUID) -> Paper:
    found = Paper.objects.select_related("unit", "seal", "replaced_by").filter(pk=paper, yard=here.yard.pk).first()
    if found is None:
        raise Http404
    return found


@require_GET
@in_yard("see_private")
def paper_pdf(request: HttpRequest, here: Standing, paper: UUID) -> HttpResponseBase:
    """The sealed PDF itself. Every paper names at least whoever issued it, so it is for those who work here."""
    found = _the_paper(here, paper)
    seal = getattr(found, "seal", None)
    if seal is None:
        raise Http404
    return sent(seal.sha256, "application/pdf", f"{found.kind}-{found.number}.pdf")
