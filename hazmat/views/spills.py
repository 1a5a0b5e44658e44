"""Spills: the list, one spill as a story, its note, who was told, steps of the cleanup, the signed end, its paper."""

from collections.abc import Callable, Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from hazmat import rulebooks
from hazmat.actions.spill_papers import issue_spill_note as write_note
from hazmat.actions.spills import close_spill as write_end
from hazmat.actions.spills import correct_spill as write_correction
from hazmat.actions.spills import old_stain as write_stain
from hazmat.actions.spills import open_spill as write_spill
from hazmat.actions.spills import reading
from hazmat.actions.spills import spill_step as write_step
from hazmat.actions.spills import told_of_spill as write_told
from hazmat.book.act import Order, Refused
from hazmat.book.aside import words_by_record, words_of
from hazmat.book.receipt import Receipt
from hazmat.core.amended import Amendable, counting
from hazmat.core.codes import read_code, spaced
from hazmat.core.gear import FOR_LEAK, worn_for
from hazmat.core.law import LawDay
from hazmat.core.spill import Asked, soonest
from hazmat.core.spillnow import SpillNow, late, left_words, still_open
from hazmat.forms.spills import EndForm, SpillForm, StepForm, ToldForm, shown_account, shown_step, shown_told
from hazmat.models import Spill
from hazmat.papers.spill import facts_of
from hazmat.queries.entries import past
from hazmat.queries.spills import ended, judged, leaker, open_first, papers_of, private_of, spill_now
from hazmat.queries.yards import Standing
from hazmat.views.access import act_in, in_yard, new_token, order, page, token_in
from hazmat.views.papers import printed
from hazmat.views.saved import saved, write
from hazmat.views.waiting import wait_with, written

IN_GALLONS = ("US",)
"""Countries whose people measure oil in US gallons. Source: common practice, no source."""
SHOWN = 50
"""Spills that ended, as a page shows them at once. Source: our own choice."""
LOCAL = "%Y-%m-%dT%H:%M"
"""A moment as the box of a browser takes it. Source: HTML, datetime-local."""


@require_GET
@in_yard("see")
def all_spills(request: HttpRequest, here: Standing) -> HttpResponse:
    """The spills of the yard: those that are open, the soonest deadline first, then those that ended."""
    rows = [{"spill": one, "says": says} for one, says in open_first(here.yard.pk, here.named.place)]
    whole = "whole" in request.GET
    past_ones = ended(here.yard.pk, most=None if whole else SHOWN + 1)
    shown = past_ones if whole else past_ones[:SHOWN]
    return page(request, here, "hazmat/spills.html", rows=rows, ended=shown, more=len(past_ones) > len(shown))


@require_GET
@in_yard("see")
def spill(request: HttpRequest, here: Standing, spill: UUID) -> HttpResponse:
    """One spill as a story: what to do now, who is told by when, the sum, what was done, how it ended."""
    now = the_spill(here, spill)
    found = judged(now, here.named.place)
    entries, older = past(spill, Spill, whole="whole" in request.GET)
    members = "see_private" in here.may
    told = counting(now.told)
    names = words_by_record(UUID(one.id) for one in told) if members else {}
    return page(
        request, here, "hazmat/spill.html", spill=now, found=found, facts=facts_of(now),
        asked=[_line(one, now) for one in soonest(found.asked)], gear=_gear(found.care),
        told=[{"one": one, "who": names.get(UUID(one.id), {}).get("who", "")} for one in told],
        steps=counting(now.steps), private=private_of(now) if members else {}, entries=entries, older=older,
        papers=papers_of(spill), act=new_token(here), levels=found.of("level"), keep=found.of("keep"),
        know=found.of("know"), first=found.of("now"), left=still_open(now, found.asked),
    )  # fmt: skip


def _line(one: Asked, spill: SpillNow) -> dict[str, Any]:
    """What is asked, with how it stands: when it was done, or the time left."""
    done = spill.done.get(one.name)
    left = left_words(one.due, timezone.now()) if one.due and not done else ""
    return {"ask": one, "done": done, "late": late(spill, one), "left": left, "over": left.startswith("overdue")}


def _gear(care: str) -> str:
    """What is worn for a leak at this care of hands."""
    house = LawDay(rulebooks.rulebook(rulebooks.HANDLING), timezone.now().date())
    (task,) = worn_for([{"act": FOR_LEAK, "says": ""}], care, True, house)
    return task["says"]


@require_http_methods(["GET", "POST"])
@in_yard("open_spill")
def open_spill(request: HttpRequest, here: Standing) -> HttpResponse:
    """Open a spill note."""
    return _opened(request, here, old=False, act=write_spill)


@require_http_methods(["GET", "POST"])
@in_yard("old_stain")
def old_stain(request: HttpRequest, here: Standing) -> HttpResponse:
    """Note an old stain."""
    return _opened(request, here, old=True, act=write_stain)


def _opened(request: HttpRequest, here: Standing, *, old: bool, act: Callable[..., Receipt]) -> HttpResponse:
    token = token_in(request, here)
    kept, wrong = wait_with(act_in(token), request.FILES) if request.method == "POST" else ([], [])
    code = _code(request)
    measure = "US gallons" if here.named.country in IN_GALLONS else "L"
    initial = {"source": spaced(code), "found_by": here.person.called, "measure": measure}
    form = SpillForm(
        request.POST or None, zone=here.zone, old=old, spaces=_spaces(here, code), initial=initial,
    )  # fmt: skip
    for says in wrong if form.is_bound else ():
        form.add_error(None, says)

    def record(asked: Order) -> Receipt:
        return act(
            asked, told=form.told(), place=here.named.place, source=form.cleaned_data["source"], names=form.names(),
            space=form.cleaned_data.get("space", ""), pictures=kept,
        )  # fmt: skip

    if receipt := write(request, here, form, record):
        written(act_in(token))
        return redirect("spill", here.yard.code, receipt.the("hazmat.spill"))
    return page(
        request, here, "hazmat/open_spill.html", form=form, act=token, old=old, waiting=len(kept), correcting=None
    )


def _code(request: HttpRequest) -> str:
    """The tag or code that a link brought along, or that was typed; empty where it is none."""
    try:
        return read_code(request.POST.get("source", request.GET.get("of", "")).strip())
    except ValueError:
        return ""


def _spaces(here: Standing, code: str) -> tuple[str, ...]:
    found = leaker(here.yard.pk, code) if code else None
    return found.spaces if found and len(found.spaces) > 1 else ()


@require_http_methods(["GET", "POST"])
@in_yard("correct_spill")
def correct_spill(request: HttpRequest, here: Standing, spill: UUID) -> HttpResponse:
    """Correct what is on record of a spill: a new account stands in the place of the old one."""
    now = the_spill(here, spill)
    account = now.account
    local = datetime.fromisoformat(now.found_at).astimezone(here.zone)
    form = SpillForm(
        request.POST or None, zone=here.zone, old=now.old, corrects=True,
        spaces=_spaces(here, _code(request) or account.tag),
        initial=shown_account(account, words_of([account.id]), local.strftime(LOCAL)),
    )  # fmt: skip
    based_on = request.POST.get("based_on", account.id)

    def record(asked: Order) -> Receipt:
        return write_correction(
            asked, spill=spill, based_on=_key(based_on), told=form.told(), place=here.named.place,
            why=form.cleaned_data["why"], source=form.cleaned_data["source"], names=form.names(),
            space=form.cleaned_data.get("space", ""),
        )  # fmt: skip

    if write(request, here, form, record, "The old words stay in the day-book."):
        return redirect("spill", here.yard.code, spill)
    return page(
        request, here, "hazmat/open_spill.html", form=form, act=token_in(request, here), old=now.old, waiting=0,
        correcting=now, based_on=based_on,
    )  # fmt: skip


def _key(text: str) -> UUID:
    try:
        return UUID(text)
    except ValueError:
        raise Refused("This form does not say what it was filled from; open it again from the spill's page.") from None


@require_http_methods(["GET", "POST"])
@in_yard("told_of_spill")
def told_of_spill(request: HttpRequest, here: Standing, spill: UUID) -> HttpResponse:
    """Write down who was told."""
    now = the_spill(here, spill)
    old = _instead(request, now.told)
    asked = [one for one in soonest(judged(now, here.named.place).asked) if one.tells]
    initial = shown_told(old, words_of([old.id])) if old else {"duties": _ticked(request)}
    form = ToldForm(request.POST or None, zone=here.zone, asked=asked, amends=old is not None, initial=initial)

    def record(given: Order) -> Receipt:
        replaces = UUID(old.id) if old else None
        return write_told(given, spill=spill, place=here.named.place, replaces=replaces, **form.told())

    if write(request, here, form, record):
        return redirect("spill", here.yard.code, spill)
    return _form(request, here, now, form, "Write down who was told", "Write it down", numbers=asked)


@require_http_methods(["GET", "POST"])
@in_yard("spill_step")
def spill_step(request: HttpRequest, here: Standing, spill: UUID) -> HttpResponse:
    """Write down a step of the cleanup."""
    now = the_spill(here, spill)
    old = _instead(request, now.steps)
    found = judged(now, here.named.place)
    asked = [one for one in soonest(found.asked) if not one.tells]
    token = token_in(request, here)
    kept, wrong = wait_with(act_in(token), request.FILES) if request.method == "POST" else ([], [])
    initial = shown_step(old) if old else {"duties": _ticked(request)}
    form = StepForm(request.POST or None, zone=here.zone, asked=asked, amends=old is not None, initial=initial)
    for says in wrong if form.is_bound else ():
        form.add_error(None, says)

    def record(given: Order) -> Receipt:
        return write_step(
            given, spill=spill, told=form.told(), place=here.named.place, pictures=kept, why=form.reason(),
            replaces=UUID(old.id) if old else None,
        )  # fmt: skip

    if write(request, here, form, record):
        written(act_in(token))
        return redirect("spill", here.yard.code, spill)
    told = {"levels": found.of("level"), "pictures": True, "waiting": len(kept), "gear": _gear(found.care)}
    return _form(request, here, now, form, "Write down a step of the cleanup", "Write it down", act=token, **told)


@require_http_methods(["GET", "POST"])
@in_yard("close_spill")
def close_spill(request: HttpRequest, here: Standing, spill: UUID) -> HttpResponse:
    """Sign the end of a spill."""
    now = the_spill(here, spill)
    found = judged(now, here.named.place)
    read = request.POST.get("read", reading(now))
    initial = {"statement": rulebooks.said("spill_note_sign"), "name": here.person.called}
    form = EndForm(request.POST or None, zone=here.zone, initial=initial)

    def record(given: Order) -> Receipt:
        words = {name: form.cleaned_data[name] for name in ("reached", "statement", "reason", "name")}
        return write_end(given, spill=spill, place=here.named.place, read=read, **words)

    if write(request, here, form, record):
        return redirect("spill", here.yard.code, spill)
    left, steps = still_open(now, found.asked), counting(now.steps)
    told = {"levels": found.of("level"), "left": left, "read": read, "steps": steps}
    return _form(request, here, now, form, "Sign the end of it", "Sign it", **told)


@require_POST
@in_yard("issue_spill_note")
def issue_spill_note(request: HttpRequest, here: Standing, spill: UUID) -> HttpResponseBase:
    """Freeze the note of a spill, then print and seal it."""
    the_spill(here, spill)
    try:
        receipt = write_note(order(request, here), spill=spill)
    except Refused as refusal:
        messages.error(request, str(refusal))
        return redirect("spill", yard=here.yard.code, spill=spill)
    saved(request, here, receipt)
    return printed(request, here, receipt.the("hazmat.paper"))


def _instead(request: HttpRequest, kept: Iterable[Any]) -> Any:
    """The line that is being amended, by the key that the link carries; None where it carries none."""
    wanted = request.GET.get("instead", "")
    every: list[Amendable] = list(kept)
    found = next((one for one in counting(every) if one.id == wanted), None)
    if wanted and found is None:
        raise Http404
    return found


def _ticked(request: HttpRequest) -> list[str]:
    """What a link ticks beforehand."""
    return [name for name in request.GET.getlist("of") if name]


def _form(
    request: HttpRequest, here: Standing, now: SpillNow, form: Any, title: str, button: str, **told: Any
) -> HttpResponse:
    told.setdefault("act", token_in(request, here))
    return page(request, here, "hazmat/spill_form.html", spill=now, form=form, title=title, button=button, **told)


def the_spill(here: Standing, spill: UUID) -> SpillNow:
    """The spill of this key in this yard. Raises Http404."""
    found = spill_now(here.yard.pk, spill)
    if found is None:
        raise Http404
    return found
