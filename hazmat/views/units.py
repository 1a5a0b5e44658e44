"""Units: the list, one unit as a story, correcting it, proving it dead, adding pictures."""

from typing import Any, get_args
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from hazmat import rulebooks
from hazmat.actions.papers import CARDS, OF_BOTTLE
from hazmat.actions.units import add_photographs as write_photographs
from hazmat.actions.units import correct_unit as write_correction
from hazmat.actions.units import prove_dead as write_proof
from hazmat.book.act import Refused
from hazmat.book.aside import words_by_record
from hazmat.core.asks import extendable
from hazmat.core.codes import read_code
from hazmat.core.telling import claims, place_words, private, proof
from hazmat.core.unitnow import PaperKind, UnitNow
from hazmat.edge.air import line_beside
from hazmat.edge.hazards import hazards
from hazmat.edge.likely import Likely, likely
from hazmat.edge.ready import ready
from hazmat.edge.results import results_of
from hazmat.edge.shapes import Slip
from hazmat.edge.spaces import core_of, looked_for, spaces_of
from hazmat.edge.story import on_record, screens_of, story
from hazmat.forms.dead import DeadForm
from hazmat.forms.fields import Words
from hazmat.forms.listing import ListForm
from hazmat.forms.look import LookForm
from hazmat.models import Unit
from hazmat.papers.plots import results_svg
from hazmat.queries.codes import kind_of
from hazmat.queries.entries import past
from hazmat.queries.papers import outdated
from hazmat.queries.spills import spills_of
from hazmat.queries.tools import doubts_of
from hazmat.queries.units import aside_of, listed, tag_of, unit_now
from hazmat.queries.verdicts import signed, tested, unreported
from hazmat.queries.yards import Standing
from hazmat.rulebooks.sumbook import sums
from hazmat.views.access import act_of, in_yard, new_token, order, page, token_in
from hazmat.views.saved import saved, write
from hazmat.views.waiting import wait_with, written

KINDS = tuple(kind for kind in get_args(PaperKind) if kind not in (OF_BOTTLE, CARDS))
"""Papers of a unit that nothing more is asked for."""
PAGE = 50
"""Units on one page of the list. Source: our own choice."""
LONGEST_WHY = 1000
"""Characters of the reason of a correction. Source: our own choice, as the box of the page says."""


def the_unit(here: Standing, tag: str) -> UnitNow:
    """The unit of this tag in this yard. Raises Http404."""
    found = unit_now(here.yard.pk, tag)
    if found is None:
        raise Http404
    return found


SIZED = ("transformer", "regulator")
"""Kinds whose size and year are asked by clues. Source: the ratings of the sum are of these."""


def likely_of(unit: UnitNow, here: Standing) -> Likely | None:
    """What the clues on record come to today; None where there are none, or no sum takes them any more."""
    if not unit.clues:
        return None
    last = unit.clues[-1]
    try:
        return likely(last.asked, last.sources, unit.line.get("fluid"), timezone.localdate(timezone=here.zone))
    except Slip:
        return None


def _extendable(unit: UnitNow) -> bool:
    """Whether the law that it was judged by lets an authority extend its use."""
    name = unit.answer["rulebook"]
    return bool(name) and extendable(str(unit.line.get("kind")), rulebooks.rulebook(name))


def private_of(here: Standing, unit: UnitNow) -> dict[str, Any]:
    """Personal data about a unit, for those who may read them."""
    return aside_of(unit) if "see_private" in here.may else {}


def _asks(here: Standing, unit: UnitNow) -> str:
    """Which signature this unit waits for that this person can give: `sign_verdict`, `second_verdict` or none."""
    waiting = unit.waiting
    if unit.waits == "second" and waiting and waiting.signer != str(here.person.pk):
        return "second_verdict" if "second_verdict" in here.may else ""
    return "sign_verdict" if unit.waits == "verdict" and "sign_verdict" in here.may else ""


def pictured(here: Standing, unit: UnitNow) -> list[dict[str, Any]]:
    """Its photographs; for those who may read personal data, with the place that a camera wrote into each."""
    taken = words_by_record(photo.id for photo in unit.photographs) if "see_private" in here.may else {}
    return [{"photo": photo, "place": place_words(taken.get(UUID(photo.id), {}))} for photo in unit.photographs]


@require_GET
@in_yard("see")
def units(request: HttpRequest, here: Standing) -> HttpResponse:
    """The units of the yard, the newest first, by key."""
    form = ListForm(request.GET)
    search, wanted = form.asked()
    typed = search.strip()
    try:
        tag = read_code(typed) if typed else ""
    except ValueError:
        tag = ""
    if tag and (kind := kind_of(here.yard.pk, tag)):
        return redirect(kind, here.yard.code, tag)
    below = form.below()
    rows = listed(here.yard.pk, search=search, below=below, size=PAGE, **wanted)
    more = rows[PAGE - 1].logged if len(rows) > PAGE else None
    asked = request.GET.copy()
    asked.pop("below", None)
    return page(
        request, here, "hazmat/units.html", form=form, rows=rows[:PAGE], more=more, asked=asked.urlencode(),
        first=below is None, filtered=wanted != {"left": False},
    )  # fmt: skip


@require_GET
@in_yard("see")
def unit(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """One unit as a story, from top to bottom."""
    now = the_unit(here, tag)
    aside = private_of(here, now)
    entries, older = past(UUID(now.unit), Unit, whole="whole" in request.GET)
    told, doubts = results_of(now, here.named.place), doubts_of(now)
    return page(
        request, here, "hazmat/unit.html", unit=now, aside=aside, words=story(now, here.facts),
        verdicts=signed(now), tests=tested(now, told, doubts), doubts=doubts, asks=_asks(here, now),
        entries=entries, older=older, act=new_token(here), proof=proof(now), facts=on_record(now),
        electrical=any(task["act"] == "prove_dead" for task in now.answer["next"]),
        proved=now.proved is not None and now.proved.whole, claims=claims(now), private=private(aside),
        outdated=outdated(now, here.facts), unreported=unreported(now), screens=screens_of(now, here.named.place),
        spaces=spaces_of(now, here.named.place), looked_for=looked_for(now), core=core_of(now),
        parent=tag_of(now.parent), spills=spills_of(now),
        likely=likely_of(now, here), sized=now.line.get("kind") in SIZED,
        sums=[{"name": name, "says": sums()[name].says} for name in ready(now)],
        extendable=_extendable(now), hazards=hazards(now), air=line_beside(now, told.near.values()),
        together=told.together, plot=results_svg(now.counting, told),
        pictures=pictured(here, now),
        kinds=[{"name": kind, "act": new_token(here)} for kind in KINDS], left=now.stands in ("gone", "destroyed"),
    )  # fmt: skip


@require_http_methods(["GET", "POST"])
@in_yard("correct_unit")
def correct_unit(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Correct what is on record: a new look replaces the old one, and the unit is judged again."""
    now = the_unit(here, tag)
    token = token_in(request, here)
    if request.method == "GET":
        form = LookForm.from_unit(now, private_of(here, now), here=here.facts)
        form.initial["act"] = token
        return _correcting(request, here, now, form, now.look)
    filled_in = request.POST.copy()
    filled_in["act"] = token
    form = LookForm(filled_in, here=here.facts)
    based_on = request.POST.get("based_on", "")
    if form.is_valid():
        try:
            look = form.look()
            receipt = write_correction(
                order(request, here, said=_said(request)), unit=UUID(now.unit),
                based_on=as_key(based_on), look=look, place=here.named.place,
            )  # fmt: skip
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            saved(request, here, receipt, "The old words stay in the day-book.")
            return redirect("unit", yard=here.yard.code, tag=tag)
    return _correcting(request, here, now, form, based_on, 422)


def as_key(text: str) -> UUID:
    """The key of what a form was filled from. Raises Refused."""
    try:
        return UUID(text)
    except ValueError:
        raise Refused("This form does not say what it was filled from; open it again from the unit's page.") from None


def _said(request: HttpRequest) -> str | None:
    """Why it is corrected. Raises Refused where the day-book could not show it."""
    try:
        return Words(label="", most=LONGEST_WHY, rows=2).clean(request.POST.get("said")) or None
    except ValidationError as wrong:
        raise Refused(f"Why you correct it: {wrong.messages[0]}") from None


def _correcting(
    request: HttpRequest, here: Standing, now: UnitNow, form: LookForm, based_on: str, status: int = 200
) -> HttpResponse:
    return page(
        request, here, "hazmat/correct_unit.html", unit=now, form=form, based_on=based_on,
        said=request.POST.get("said", ""),
    )  # fmt: skip


@require_http_methods(["GET", "POST"])
@in_yard("prove_dead")
def prove_dead(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Write down whether the unit was proved dead, by whom and how."""
    now = the_unit(here, tag)
    form = DeadForm(request.POST or None, zone=here.zone)
    if write(request, here, form, lambda asked: write_proof(asked, unit=UUID(now.unit), proved=form.proved())):
        return redirect("unit", yard=here.yard.code, tag=tag)
    acts = rulebooks.rulebook(rulebooks.HANDLING).acts
    own = [task["says"].rstrip(".") for task in now.answer["next"] if task["act"] == "prove_dead"]
    caution = own[0] if own else next(one.says for one in acts if one.act == "prove_dead")
    act = token_in(request, here)
    return page(request, here, "hazmat/prove_dead.html", unit=now, form=form, act=act, prove_dead=caution)


@require_POST
@in_yard("add_photographs")
def add_photographs(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Add pictures; those that could not be read are named, the others are kept."""
    now = the_unit(here, tag)
    try:
        act = act_of(request, here)
        pictures, wrong = wait_with(act, request.FILES)
        for says in wrong:
            messages.error(request, says)
        receipt = write_photographs(order(request, here), unit=UUID(now.unit), pictures=pictures)
        written(act)
        saved(request, here, receipt)
    except Refused as refusal:
        messages.error(request, str(refusal))
    return redirect("unit", yard=here.yard.code, tag=tag)
