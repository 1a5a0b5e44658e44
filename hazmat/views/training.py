"""Training of one person, recording and correcting it, certificates; who may do what today; letting work go ahead."""

from datetime import date
from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from hazmat import rulebooks
from hazmat.actions.training import certificate_name
from hazmat.actions.training import override_training as write_override
from hazmat.actions.training import record_training as write_training
from hazmat.book.aside import words_by_record, words_of
from hazmat.core.bulk import CARE
from hazmat.core.law import LawDay
from hazmat.core.reported import SENT_AS
from hazmat.core.training import WORDS, Held, ends_soon, kinds, state
from hazmat.core.training import current as that_counts
from hazmat.forms.tags import Finder
from hazmat.forms.training import OverrideForm, TrainingForm, shown
from hazmat.models import Person, Training, Unit
from hazmat.queries.training import OF_DRUMS, house_on, trainings, who_may
from hazmat.queries.yards import Standing
from hazmat.queries.yards import people as people_of
from hazmat.views.access import act_in, in_yard, page, token_in
from hazmat.views.files import sent
from hazmat.views.people import of_here
from hazmat.views.saved import write
from hazmat.views.waiting import report_with, written

STATES = {"holds": "holds", "run_out": "ran out", "not_yet": "yet to come", "unknown": "not known"}
"""How training stands, in words."""


@require_GET
@in_yard("see")
def training(request: HttpRequest, here: Standing, person: UUID) -> HttpResponse:
    """What one person is trained for: each kind as it stands, then everything that was written down."""
    found, today = of_here(here, person), timezone.localdate(timezone=here.zone)
    told, house = trainings(here.yard.pk, [person])[person], house_on(today)
    held, private = that_counts(told), "see_private" in here.may
    given = words_by_record(UUID(one.id) for one in told) if private else {}
    rows = [
        {"kind": one, "held": held.get(one.key), **_standing(held.get(one.key), today, house)}
        for one in kinds(house.book)
    ]
    names = {one.key: one.name for one in kinds(house.book)}
    past = [
        {"one": one, "name": names.get(one.kind, one.kind), "by": given.get(UUID(one.id), {}).get("given_by", "")}
        for one in told
    ]
    return page(
        request, here, "hazmat/training.html", person_of=found, rows=rows, past=past, alone=_alone(here),
        private=private,
    )  # fmt: skip


def _standing(one: Held | None, today: date, house: LawDay) -> dict[str, Any]:
    """How one kind stands, in a word, and whether it runs out soon."""
    found = state(one, today)
    return {"state": found, "says": STATES[found], "soon": one is not None and ends_soon(one, today, house)}


def _alone(here: Standing) -> bool:
    """Whether nobody else works in this book."""
    return len(people_of(here.yard.pk)) == 1


@require_http_methods(["GET", "POST"])
@in_yard("record_training")
def record_training(request: HttpRequest, here: Standing, person: UUID) -> HttpResponse:
    """Write down that somebody was trained."""
    return _recorded(request, here, of_here(here, person), None)


@require_http_methods(["GET", "POST"])
@in_yard("record_training")
def correct_training(request: HttpRequest, here: Standing, training: UUID) -> HttpResponse:
    """Write training down anew in the place of what was wrong."""
    old = _the_training(here, training)
    return _recorded(request, here, of_here(here, old.person_id), old)


def _recorded(request: HttpRequest, here: Standing, person: Person, old: Training | None) -> HttpResponse:
    """The page and its one act. What cannot be written yet is kept: text in the page, the file beside the book."""
    act, initial = token_in(request, here), {"kind": request.GET.get("kind", "")}
    if old:
        initial = shown(old, words_of([old.pk]).get("given_by", "") if old.aside else "")
    offered = kinds(rulebooks.rulebook(rulebooks.HANDLING))
    form = TrainingForm(request.POST or None, kinds=offered, zone=here.zone, initial=initial)
    kept, wrong = report_with(act_in(act), request.FILES) if request.method == "POST" else (None, "")
    if wrong:
        form.add_error("report", wrong)
    more: dict[str, Any] = {"replaces": old.pk} if old else {}
    if write(
        request, here, form,
        lambda asked: write_training(asked, person=person.pk, certificate=kept, **form.told(), **more),
    ):  # fmt: skip
        written(act_in(act))
        return redirect("training", yard=here.yard.code, person=person.pk)
    return page(
        request, here, "hazmat/record_training.html", person_of=person, form=form, act=act, old=old, waiting=kept
    )


def _the_training(here: Standing, training: UUID) -> Training:
    """What is written down under this key in this yard. Raises Http404."""
    found = Training.objects.filter(pk=training, yard=here.yard.pk).first()
    if found is None:
        raise Http404
    return found


@require_GET
@in_yard("see_private")
def training_certificate(request: HttpRequest, here: Standing, training: UUID) -> HttpResponseBase:
    """The certificate of a training, to be saved: names stand in it, so it is for those who work here."""
    found = _the_training(here, training)
    if found.certificate_kind not in SENT_AS:
        return redirect("training", yard=here.yard.code, person=found.person_id)
    media, _ = SENT_AS[found.certificate_kind]
    return sent(found.certificate, media, certificate_name(found), saved=found.certificate_kind == "pdf")


@require_GET
@in_yard("see")
def who(request: HttpRequest, here: Standing) -> HttpResponse:
    """Who may do what today, at one care of hands; the worst where none is picked."""
    picked = request.GET.get("care", CARE[-1])
    care = picked if picked in CARE else CARE[-1]
    today = timezone.localdate(timezone=here.zone)
    house = rulebooks.rulebook(rulebooks.HANDLING)
    found = who_may(here.yard.pk, today, care, stores=here.named.stores or False)
    names = {one.key: one.name for one in kinds(house)}
    rows = [
        {
            "of": one,
            "cells": [{"work": WORDS[work], "may": may} for work, may in one.may.items()],
            "own": [names[kind] for kind in one.own if kind in names],
        }
        for one in found
    ]
    cares = [{"care": one, "says": house.class_words[one].says, "on": one == care} for one in CARE]
    return page(request, here, "hazmat/who_may.html", rows=rows, cares=cares, today=today, alone=len(found) == 1)


@require_http_methods(["GET", "POST"])
@in_yard("override_training")
def override_training(request: HttpRequest, here: Standing) -> HttpResponse:
    """Let one piece of work go ahead until the end of today, although training ran out."""
    works = [one for one in WORDS if here.named.stores or one not in OF_DRUMS]
    picked = {name: request.GET.get(name, "") for name in ("person", "work")}
    members = [(person.pk, person.called) for person, _ in people_of(here.yard.pk)]
    form = OverrideForm(request.POST or None, people=members, works=works, find=finder(here), initial=picked)
    if write(request, here, form, lambda asked: write_override(asked, **form.told())):
        return redirect("who", yard=here.yard.code)
    return page(request, here, "hazmat/override_training.html", form=form, act=token_in(request, here))


def finder(here: Standing) -> Finder:
    """Finds the unit of a tag in this yard."""

    def find(tag: str) -> UUID | None:
        return Unit.objects.filter(yard=here.yard.pk, tag=tag).values_list("pk", flat=True).first()

    return find
