"""Verdicts: signing one, and reading one as the second person."""

from collections.abc import Iterable
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from hazmat import rulebooks
from hazmat.actions.verdicts import reading
from hazmat.actions.verdicts import second_verdict as write_second
from hazmat.actions.verdicts import sign_verdict as write_verdict
from hazmat.book.act import Refused
from hazmat.core.parts import lacking
from hazmat.core.unitnow import ResultNow, UnitNow
from hazmat.edge.results import results_of, short_of
from hazmat.edge.story import story
from hazmat.forms.verdicts import VerdictForm
from hazmat.models import Verdict
from hazmat.papers.plots import results_svg
from hazmat.queries.tools import Doubt, doubts_of
from hazmat.queries.units import UNITS
from hazmat.queries.verdicts import signed, tested
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, order, page, token_in
from hazmat.views.saved import saved, write
from hazmat.views.units import the_unit


@require_http_methods(["GET", "POST"])
@in_yard("sign_verdict")
def sign_verdict(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Sign a verdict on a unit, on the results that are named."""
    now = the_unit(here, tag)
    initial = {"read": reading(now)}
    form = VerdictForm(request.POST or None, results=now.counting, initial=initial)
    if write(request, here, form, lambda asked: write_verdict(asked, unit=UUID(now.unit), **form.told())):
        return redirect("unit", yard=here.yard.code, tag=tag)
    place = here.named.place
    lacks = [
        *lacking(now, rulebooks.rulebook(rulebooks.HANDLING)),
        *short_of(now, place, here.facts["guard"]),
    ]
    told, doubts = results_of(now, place), _doubts(now, now.counting)
    return page(
        request, here, "hazmat/sign_verdict.html", unit=now, form=form,
        act=token_in(request, here), lacks=lacks, words=story(now, here.facts), two=here.facts["two"],
        results=now.counting, tests=tested(now, told, doubts), together=told.together, doubts=doubts,
        plot=results_svg(now.counting, told),
    )  # fmt: skip


def _doubts(unit: UnitNow, results: Iterable[ResultNow]) -> list[Doubt]:
    """What is in doubt about the samples of these results."""
    bottles = {one.bottle for one in results if one.bottle}
    return [one for one in doubts_of(unit) if one.use.bottle in bottles] if bottles else []


@require_http_methods(["GET", "POST"])
@in_yard("second_verdict")
def second_verdict(request: HttpRequest, here: Standing, verdict: UUID) -> HttpResponse:
    """Read a verdict and its evidence as the second person, and sign it too."""
    found = Verdict.objects.filter(pk=verdict, yard=here.yard.pk).first()
    now = UNITS.kept(found.unit_id) if found else None
    if found is None or now is None:
        raise Http404
    wrong = ""
    if request.method == "POST":
        try:
            receipt = write_second(order(request, here), verdict=verdict, read=request.POST.get("read", ""))
        except Refused as refusal:
            wrong = str(refusal)
        else:
            saved(request, here, receipt)
            return redirect("unit", yard=here.yard.code, tag=now.tag)
    told = next(one for one in signed(now) if one["verdict"].id == str(verdict))
    mine = str(here.person.pk) == told["verdict"].signer
    return page(
        request, here, "hazmat/second_verdict.html", 422 if wrong else 200, unit=now, told=told, wrong=wrong,
        mine=mine, read=reading(now), doubts=_doubts(now, told["evidence"]),
        act=token_in(request, here), words=story(now, here.facts),
    )  # fmt: skip
