"""Notes of injuries and exposures: for the person, the safety officer and the manager alone; what first aid says."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from hazmat import rulebooks
from hazmat.actions.injuries import note_injury as write_note
from hazmat.actions.people import erase_aside
from hazmat.book.act import Refused
from hazmat.core import accident
from hazmat.core.law import LawDay
from hazmat.forms.injuries import CAME, EraseForm, NoteForm
from hazmat.models import InjuryNote
from hazmat.queries.injuries import Note, notes
from hazmat.queries.training import house_on
from hazmat.queries.yards import Standing
from hazmat.queries.yards import people as people_of
from hazmat.views.access import in_yard, new_token, order, page, token_in
from hazmat.views.saved import saved, write


@require_GET
@in_yard("note_injury")
def injuries(request: HttpRequest, here: Standing) -> HttpResponse:
    """The notes that whoever asks may read, each with what first aid says and whom to tell; then all of both."""
    house = house_on(timezone.localdate(timezone=here.zone))
    law = rulebooks.law_of(here.named.place)
    found = notes(here.yard.pk, here.person.pk, all_of_them="see_health" in here.may)
    rows = [_row(here, one, law, house) for one in found]
    return page(
        request, here, "hazmat/injuries.html", rows=rows, everybody="see_health" in here.may,
        aid=accident.first_aid(accident.HARMS, house), tell=accident.rows_of(law, house),
    )  # fmt: skip


def _row(here: Standing, note: Note, law: str | None, house: LawDay) -> dict[str, Any]:
    told = note.told
    harms = told.get("harms", [])
    return {
        "note": note, "harms": [accident.HARMS[one] for one in harms], "came": CAME.get(told.get("event", ""), ""),
        "aid": accident.first_aid(harms, house), "electrical": not set(accident.ELECTRICAL).isdisjoint(harms),
        "tell": accident.notify(law, told["event"], house) if told.get("event") else None, "act": new_token(here),
    }  # fmt: skip


@require_http_methods(["GET", "POST"])
@in_yard("note_injury")
def note_injury(request: HttpRequest, here: Standing) -> HttpResponse:
    """Write a note; what first aid says stands above the form."""
    members = [(person.pk, person.called) for person, _ in people_of(here.yard.pk)]
    form = NoteForm(request.POST or None, people=members, zone=here.zone, initial={"about": str(here.person.pk)})
    if write(request, here, form, lambda asked: write_note(asked, told=form.told())):
        return redirect("injuries", yard=here.yard.code)
    house = house_on(timezone.localdate(timezone=here.zone))
    return page(
        request, here, "hazmat/note_injury.html", form=form, act=token_in(request, here),
        aid=accident.first_aid(accident.HARMS, house),
    )  # fmt: skip


@require_POST
@in_yard("erase_aside")
def erase_note(request: HttpRequest, here: Standing, note: UUID) -> HttpResponse:
    """Erase what a note says; that there was one stays."""
    if not InjuryNote.objects.filter(pk=note, yard=here.yard.pk).exists():
        raise Http404
    form = EraseForm(request.POST)
    if not form.is_valid():
        messages.error(request, str(form.errors["why"][0]))
        return redirect("injuries", yard=here.yard.code)
    try:
        saved(request, here, erase_aside(order(request, here), record=note, why=form.cleaned_data["why"]))
    except Refused as refusal:
        messages.error(request, str(refusal))
    return redirect("injuries", yard=here.yard.code)
