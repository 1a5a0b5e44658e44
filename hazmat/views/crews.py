"""Jobs of today at a unit: who is there, signing in and out, the list on paper."""

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from hazmat.actions.crews import care_of
from hazmat.actions.crews import issue_crew_list as write_list
from hazmat.actions.crews import sign_in_crew as write_in
from hazmat.actions.crews import sign_out_crew as write_out
from hazmat.book.act import Refused
from hazmat.core.training import WORDS, needs
from hazmat.edge.story import story
from hazmat.forms.crews import SignInForm
from hazmat.models import Crew, SignIn
from hazmat.queries.crews import Job, jobs
from hazmat.queries.training import OF_DRUMS, house_on
from hazmat.queries.units import LEFT
from hazmat.queries.yards import Standing
from hazmat.queries.yards import people as people_of
from hazmat.views.access import in_yard, new_token, order, page, token_in
from hazmat.views.papers import printed
from hazmat.views.saved import saved, write
from hazmat.views.units import the_unit


@require_http_methods(["GET", "POST"])
@in_yard("see")
def crew(request: HttpRequest, here: Standing, tag: str) -> HttpResponseBase:
    """The jobs of today at a unit, and of an earlier day where somebody never signed out; for those who work, signing
    in."""
    if request.method == "POST":
        return _sign_in(request, yard=here.yard.code, tag=tag)
    return _page(request, here, tag, None)


@in_yard("sign_in_crew")
def _sign_in(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    now = the_unit(here, tag)
    form = _form(request, here)
    if write(request, here, form, lambda asked: write_in(asked, unit=UUID(now.unit), **form.told())):
        return redirect("crew", yard=here.yard.code, tag=tag)
    return _page(request, here, tag, form)


def _form(request: HttpRequest, here: Standing) -> SignInForm:
    """The form, with whoever asks picked first."""
    members = sorted(people_of(here.yard.pk), key=lambda one: one[0].pk != here.person.pk)
    works = [work for work in WORDS if here.named.stores or work not in OF_DRUMS]
    initial = {"who": str(here.person.pk), "part": "works", "work": request.GET.get("work", "")}
    people = [(one.pk, f"{one.called} (me)" if one.pk == here.person.pk else one.called) for one, _ in members]
    return SignInForm(request.POST or None, works=works, people=people, initial=initial)


def _page(request: HttpRequest, here: Standing, tag: str, form: SignInForm | None) -> HttpResponse:
    now, today = the_unit(here, tag), timezone.localdate(timezone=here.zone)
    open_ = now.stands not in LEFT and "sign_in_crew" in here.may
    private = "see_private" in here.may
    told = [_told(here, one) for one in jobs(here.yard.pk, unit=UUID(now.unit)) if one.on == today or one.there]
    care, house = care_of(now), house_on(today)
    asked = [{"work": WORDS[work], "says": needs(work, care, house).says} for work in WORDS]
    return page(
        request, here, "hazmat/crew.html", unit=now, words=story(now, here.facts), jobs=told, today=today,
        form=(form or _form(request, here)) if open_ else None, act=token_in(request, here), private=private,
        asked=asked, care=house.book.class_words[care].says, step=care,
    )  # fmt: skip


def _told(here: Standing, job: Job) -> dict[str, object]:
    """One job, with a token for each that can still sign out, and one for its list."""
    rows = [{"one": one, "act": new_token(here)} for one in job.signed]
    return {"job": job, "work": WORDS[job.work], "rows": rows, "print": new_token(here)}


@require_POST
@in_yard("sign_out_crew")
def sign_out_crew(request: HttpRequest, here: Standing, signed: UUID) -> HttpResponse:
    """Somebody leaves a job."""
    found = SignIn.objects.select_related("crew__unit").filter(pk=signed, yard=here.yard.pk).first()
    if found is None:
        raise Http404
    try:
        saved(request, here, write_out(order(request, here), signed_in=signed))
    except Refused as refusal:
        messages.error(request, str(refusal))
    return redirect("crew", yard=here.yard.code, tag=found.crew.unit.tag)


@require_POST
@in_yard("issue_crew_list")
def issue_crew_list(request: HttpRequest, here: Standing, crew: UUID) -> HttpResponseBase:
    """Freeze the list of a job, then print and seal it."""
    found = Crew.objects.select_related("unit").filter(pk=crew, yard=here.yard.pk).first()
    if found is None:
        raise Http404
    try:
        receipt = write_list(order(request, here), crew=crew)
    except Refused as refusal:
        messages.error(request, str(refusal))
        return redirect("crew", yard=here.yard.code, tag=found.unit.tag)
    saved(request, here, receipt)
    return printed(request, here, receipt.the("hazmat.paper"))
