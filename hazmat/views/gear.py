"""Gear cards of a unit: which task, one card with its questions, a sheet of up to four to print."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.http.response import HttpResponseBase
from django.shortcuts import redirect
from django.utils.http import urlencode
from django.views.decorators.http import require_GET, require_http_methods

from hazmat.actions.papers import issue_paper
from hazmat.book.act import Refused
from hazmat.core.gearcard import TASK_WORDS, Card
from hazmat.core.law import LawDay
from hazmat.core.unitnow import UnitNow
from hazmat.core.wear import glove
from hazmat.edge.gear import Answers, cards_of, house_of, on_record
from hazmat.edge.story import story
from hazmat.forms.gear import CardForm, SheetForm, WorkForm
from hazmat.papers.gearsheet import Cards, card_says
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, new_token, order, page, token_in
from hazmat.views.papers import printed
from hazmat.views.saved import saved
from hazmat.views.units import the_unit

KIND = "gear_card"


def asked_of(answers: Answers) -> str:
    """Answers as an address carries them; empty where nobody answered."""
    air = {"air": answers.air} if answers.air != "unknown" else {}
    return urlencode({**answers.said, **air})


def filled(request: HttpRequest, known: Mapping[str, str]) -> QueryDict | None:
    """What the address answers, with what the book knows where it says nothing; None where it answers nothing."""
    if not request.GET:
        return None
    found = request.GET.copy()
    for key, one in known.items():
        found.setdefault(key, one)
    return found


@require_http_methods(["GET", "POST"])
@in_yard("see")
def gear(request: HttpRequest, here: Standing, tag: str) -> HttpResponseBase:
    """The tasks of a unit, each with who may do it; and the sheet of cards, for those who may print."""
    if request.method == "POST":
        return _print(request, yard=here.yard.code, tag=tag)
    now = the_unit(here, tag)
    known = leak_of(now)
    house = house_of(now)
    return _tasks(
        request, here, now, WorkForm(filled(request, known), house=house, initial=known), SheetForm(house=house)
    )


@in_yard("issue_paper")
def _print(request: HttpRequest, here: Standing, tag: str) -> HttpResponseBase:
    """Freeze a sheet of cards, then print and seal it."""
    now = the_unit(here, tag)
    sheet = SheetForm(request.POST, house=house_of(now))
    if not sheet.is_valid():
        return _tasks(request, here, now, WorkForm(request.POST, house=house_of(now)), sheet)
    cards = Cards(tasks=tuple(sheet.cleaned_data["tasks"]), answers=sheet.answers())
    try:
        receipt = issue_paper(order(request, here), unit=UUID(now.unit), kind=KIND, cards=cards)
    except Refused as refusal:
        messages.error(request, str(refusal))
        return redirect("gear", yard=here.yard.code, tag=tag)
    saved(request, here, receipt)
    return printed(request, here, receipt.the("hazmat.paper"))


def _tasks(request: HttpRequest, here: Standing, now: UnitNow, form: WorkForm, sheet: SheetForm) -> HttpResponse:
    answers = form.answers()
    return page(
        request, here, "hazmat/gear.html", unit=now, words=story(now, here.facts), form=form, sheet=sheet,
        act=token_in(request, here), cards=cards_of(now, TASK_WORDS, here.facts, answers), asked=asked_of(answers),
        answers=[*answers.said.items(), ("air", answers.air)],
    )  # fmt: skip


@require_GET
@in_yard("see")
def gear_card(request: HttpRequest, here: Standing, tag: str, task: str) -> HttpResponse:
    """One card: what to wear, what never, who may; the answers in the address change it, and nothing is kept."""
    now = the_unit(here, tag)
    if task not in TASK_WORDS:
        raise Http404
    house, known = house_of(now), leak_of(now)
    form = CardForm(filled(request, known), house=house, initial=known)
    answers = form.answers()
    (card,) = cards_of(now, [task], here.facts, answers)
    return page(
        request, here, "hazmat/gear_card.html", unit=now, words=story(now, here.facts), form=form,
        asked=asked_of(answers), act=new_token(here), answers=[*answers.said.items(), ("air", answers.air)],
        **told(card, form, house),
    )  # fmt: skip


def leak_of(now: UnitNow) -> dict[str, str]:
    """What stands as picked, since the book knows it."""
    return {"leak": on_record(now)["leak"]}


def told(card: Card, form: CardForm, house: LawDay) -> dict[str, Any]:
    """What a page says of a card: its lines with their documents, and of the gloves that somebody wears."""
    worn = form.gloves()
    verdict = glove(house, worn[0], card.hands, *worn[1:]) if worn else None
    return {
        "card": card_says(card), "gloves": {"verdict": verdict[0], "why": verdict[1]} if verdict else None,
    }  # fmt: skip
