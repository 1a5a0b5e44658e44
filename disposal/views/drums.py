"""Drums: the list, one drum as a story, labelling one, pouring into one."""

from datetime import date
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from disposal.actions.drums import label_drum as write_label
from disposal.actions.drums import not_drained
from disposal.actions.drums import pour as write_pour
from disposal.core.drumnow import DrumNow
from disposal.core.drumtold import told as told_of
from disposal.forms.drums import LabelDrumForm, PourForm, WarmthForm
from disposal.models import Drum, DrumStanding
from disposal.papers.plots import drum_svg
from disposal.queries.drums import DRUMS, drum_now, listed
from disposal.queries.due import clock_of_drum
from disposal.queries.filling import filled, in_drum, marked, over_words
from disposal.queries.papers import outdated_label, papers_of
from hazmat import rulebooks
from hazmat.actions.bottles import spaces
from hazmat.book.act import Order, Refused
from hazmat.book.receipt import Receipt
from hazmat.core.codes import spaced
from hazmat.core.measures import figure_words
from hazmat.core.unitnow import UnitNow
from hazmat.edge.story import story
from hazmat.forms.listing import ListForm
from hazmat.queries.entries import SHOWN, past
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, new_token, order, page, token_in
from hazmat.views.saved import saved, write
from hazmat.views.units import the_unit

PAGE = 50
"""Drums on one page of the list. Source: our own choice."""


def the_drum(here: Standing, code: str) -> DrumNow:
    """The drum of this code in this yard. Raises Http404."""
    found = drum_now(here.yard.pk, code)
    if found is None:
        raise Http404
    return found


def words_of(drum: DrumNow) -> Any:
    """A drum in words."""
    return told_of(drum, rulebooks.law, rulebooks.rulebook(rulebooks.HANDLING))


def lines_of(rows: list[DrumStanding]) -> list[dict[str, Any]]:
    """Drums as lines of a list."""
    values = [DRUMS.unpacked(row.body) for row in rows]
    return [{"drum": one, "words": words_of(one)} for one in values]


@require_GET
@in_yard("see")
def drums(request: HttpRequest, here: Standing) -> HttpResponse:
    """The drums of the yard, the newest first, by key."""
    below = ListForm(request.GET).below()
    rows = listed(here.yard.pk, below=below, size=PAGE)
    more = rows[PAGE - 1].logged if len(rows) > PAGE else None
    return page(request, here, "disposal/drums.html", rows=lines_of(rows[:PAGE]), more=more, first=below is None)


@require_GET
@in_yard("see")
def drum(request: HttpRequest, here: Standing, drum: str) -> HttpResponse:
    """One drum as a story, from top to bottom."""
    now = the_drum(here, drum)
    key, whole = UUID(now.drum), "whole" in request.GET
    today, liquid = timezone.localdate(timezone=here.zone), in_drum(now)
    warmth = WarmthForm(request.GET if "at" in request.GET else None)
    asked = warmth.cleaned_data["at"] if warmth.is_valid() else ""
    full = filled(now, liquid, asked, today)
    entries, older = past(key, Drum, whole=whole)
    return page(
        request, here, "disposal/drum.html", drum=now, words=words_of(now), papers=papers_of(drum=key),
        outdated=outdated_label(now), entries=entries, older=older,
        moves=now.moves if whole else now.moves[-SHOWN:], act=new_token(here),
        clock=clock_of_drum(now, today), warmth=warmth, filling=full, mark=marked(now, liquid, today),
        drawn=drum_svg(full.capacity, full.most, full.held, full.at),
    )  # fmt: skip


@require_http_methods(["GET", "POST"])
@in_yard("label_drum")
def label_drum(request: HttpRequest, here: Standing) -> HttpResponse:
    """Give a drum its code."""
    return _labelling(request, here, None)


@require_http_methods(["GET", "POST"])
@in_yard("label_drum")
def label_slop_can(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Give a slop can of one unit its code."""
    return _labelling(request, here, the_unit(here, tag))


def _labelling(request: HttpRequest, here: Standing, unit: UnitNow | None) -> HttpResponse:
    form = LabelDrumForm(request.POST or None, zone=here.zone)

    def label(asked: Order) -> Receipt:
        told = {name: form.cleaned_data[name] for name in ("capacity_l", "un_mark")}
        return write_label(
            asked, kind="slop_can" if unit else "drum", for_unit=UUID(unit.unit) if unit else None, **told
        )

    if receipt := write(request, here, form, label):
        code = Drum.objects.values_list("code", flat=True).get(pk=receipt.the("disposal.drum"))
        return redirect("drum", yard=here.yard.code, drum=code)
    act = token_in(request, here)
    return page(request, here, "disposal/label_drum.html", unit=unit, form=form, act=act)


@require_http_methods(["GET", "POST"])
@in_yard("pour")
def drain(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Write down that oil of a unit was drained into a drum."""
    now = the_unit(here, tag)
    form = PourForm(
        request.POST or None, zone=here.zone, spaces=spaces(now), drums=_offered(here), into=_chosen(request, here)
    )
    if done := _poured(request, here, form, unit=UUID(now.unit)):
        return done
    words = story(now, here.facts)
    return page(
        request, here, "disposal/drain.html", unit=now, form=form,
        hold=words.hold, wear=words.wear, refused=not_drained(now, here.named.place), act=token_in(request, here),
    )  # fmt: skip


@require_http_methods(["GET", "POST"])
@in_yard("pour")
def pour(request: HttpRequest, here: Standing, drum: str) -> HttpResponse:
    """Write down that oil was poured out of this drum into another one."""
    now = the_drum(here, drum)
    form = PourForm(request.POST or None, zone=here.zone, drums=_offered(here, now.drum))
    if done := _poured(request, here, form, from_drum=UUID(now.drum)):
        return done
    return page(
        request, here, "disposal/pour.html", drum=now, words=words_of(now),
        form=form, act=token_in(request, here),
    )  # fmt: skip


def _poured(
    request: HttpRequest, here: Standing, form: PourForm, *, unit: UUID | None = None, from_drum: UUID | None = None
) -> HttpResponse | None:
    """The answer to a form that was written down; None where it was not, with what is wrong in the form."""
    if request.method != "POST" or not form.is_valid():
        return None
    try:
        asked = order(request, here, form.happened_at())
        receipt = write_pour(asked, place=here.named.place, unit=unit, from_drum=from_drum, **form.told())
    except Refused as refusal:
        form.add_error(None, str(refusal))
        return None
    saved(request, here, receipt)
    into = DRUMS.kept(form.told()["into"])
    if into and not form.told()["celsius"]:
        _warn_unsaid(request, into, timezone.localdate(timezone=here.zone))
    return redirect("drum", yard=here.yard.code, drum=into.code) if into else redirect("drums", yard=here.yard.code)


def _warn_unsaid(request: HttpRequest, into: DrumNow, on: date) -> None:
    """Say on the next page that a drum may be too full, where nobody wrote how warm the liquid was."""
    full = filled(into, in_drum(into), "", on)
    if full.stands in ("over", "full") and full.most is not None and full.held is not None:
        at = figure_words(full.at) if full.at is not None else ""
        messages.warning(request, over_words("pour_unsaid", at, full.most, full.held, f"drum {spaced(into.code)}"))


def _offered(here: Standing, less: str = "") -> list[tuple[str, str]]:
    """The drums that are here, the newest first, as a form offers them."""
    rows = DrumStanding.objects.filter(yard=here.yard.pk, place="here").order_by("-logged")
    values = [DRUMS.unpacked(row.body) for row in rows if str(row.drum) != less]
    return [(one.drum, _named(one)) for one in values]


def _named(drum: DrumNow) -> str:
    kind = f"slop can of {spaced(drum.for_unit)}" if drum.for_unit else "drum"
    words = words_of(drum)
    return f"{spaced(drum.code)}, {kind}, {words.strength or 'empty'}"


def _chosen(request: HttpRequest, here: Standing) -> str:
    """The drum that the address asks for, empty where none is."""
    found = drum_now(here.yard.pk, request.GET.get("into", ""))
    return found.drum if found else ""
