"""Loads: the list, one load as a story, planning one, changing the plan, what goes on it and what comes off."""

from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from disposal.actions.loads import change_load as write_change
from disposal.actions.loads import plan_load as write_plan
from disposal.actions.loads import put_on_load as write_put
from disposal.actions.loads import take_off_load as write_off
from disposal.core.loadnow import SIGNING, LoadNow, Party
from disposal.core.odd import odd, unsettled
from disposal.core.partnernow import What
from disposal.core.proving import owed
from disposal.forms.loads import PlanForm, PutForm, TakeOffForm
from disposal.models import DrumStanding, Load
from disposal.queries.drums import DRUMS
from disposal.queries.due import late_by
from disposal.queries.loads import listed, load_now, thing_of
from disposal.queries.open_loads import wanted_number
from disposal.queries.papers import outdated_sheet, papers_of
from disposal.queries.partners import partner_now, partners
from disposal.views.items import drum_strength, shown
from hazmat.book.act import Order, Refused
from hazmat.book.aside import words_by_record
from hazmat.book.entry import Entry
from hazmat.book.receipt import Receipt
from hazmat.core.codes import spaced
from hazmat.core.measures import day_words
from hazmat.forms.listing import ListForm
from hazmat.queries.entries import past
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, new_token, page, the, token_data, token_in
from hazmat.views.saved import write

PAGE = 50
"""Loads on one page of the list. Source: our own choice."""
OFFERED = 100
"""Most drums that are offered with a box each; any other goes on by its code. Source: our own choice."""


@require_GET
@in_yard("see")
def loads(request: HttpRequest, here: Standing) -> HttpResponse:
    """The loads of the yard, the newest first, by key."""
    below = ListForm(request.GET).below()
    rows = listed(here.yard.pk, below=below, size=PAGE)
    more = rows[PAGE - 1].number if len(rows) > PAGE else None
    return page(request, here, "disposal/loads.html", rows=rows[:PAGE], more=more, first=below is None)


def the_load(here: Standing, number: int) -> LoadNow:
    """The load of this number in this yard. Raises Http404."""
    found = load_now(here.yard.pk, str(number))
    if found is None:
        raise Http404
    return found


@require_GET
@in_yard("see")
def load(request: HttpRequest, here: Standing, load: int) -> HttpResponse:
    """One load as a story: how it stands, what to do next, what is on it, who signed, what arrived, what is proven."""
    now = the_load(here, load)
    names = words_by_record(one.record for one in now.signatures) if "see_private" in here.may else {}
    signatures: list[dict[str, Any]] = [{"signed": one, **names.get(UUID(one.record), {})} for one in now.signatures]
    entries, older = past(UUID(now.load), Load, whole="whole" in request.GET)
    return page(
        request, here, "disposal/load.html", load=now, rows=shown(now), signatures=signatures,
        papers=[
            {"paper": one, "codes": _codes(now, one.items), "late": late_by(one, here.named.place)}
            for one in now.certificates
        ],
        wanted=wanted_number(now, here.facts), sheets=papers_of(load=UUID(now.load)),
        outdated=outdated_sheet(now, here.facts), act=new_token(here),
        entries=entries, older=older, owed=owed(now), odd=odd(now),
        to_settle=any(not one.lost for one in unsettled(now)) and not now.closed_at,
        only_lost=bool(now.lost) and all(one in now.lost for one in now.items if one.owes),
        next=next((one for one in SIGNING if one not in now.signed), ""), warnings=warnings(here, now),
    )  # fmt: skip


def _codes(now: LoadNow, items: tuple[str, ...]) -> str:
    return ", ".join(one.called for one in now.items if one.id in items)


ASKED: tuple[tuple[Party, What, str], ...] = (("carrier", "carry", "to carry"), ("facility", "take_in", "to take in"))
"""Which licence each firm of a load needs, and its words."""


def warnings(here: Standing, now: LoadNow) -> list[str]:
    """Which licence is not in force: today before the hand-over; later on the days of hand-over and receipt.

    After the hand-over this only warns: what is on the road has to arrive somewhere.
    """
    firms = [(partner_now(here.yard.pk, UUID(getattr(now, party))), what, words) for party, what, words in ASKED]
    if now.closed_at and not now.handed_over_at:
        return []
    return [
        f"{firm.name} has no licence {words} on record that is in force on {day_words(on)}{which}."
        for firm, what, words in firms
        for on, which in _days_of(here, now)
        if firm and not firm.may(what, on)
    ]


def _days_of(here: Standing, now: LoadNow) -> list[tuple[date, str]]:
    """The days on which the licences of a load have to be in force, each once, with what happened on it."""
    days = {timezone.localdate(timezone=here.zone): ""} if not now.received_at else {}
    for at, which in (
        (now.received_at, ", the day of the receipt"), (now.handed_over_at, ", the day of the hand-over"),
    ):  # fmt: skip
        if at:
            days[datetime.fromisoformat(at).astimezone(here.zone).date()] = which
    return sorted(days.items())


def sent_before(request: HttpRequest, here: Standing) -> bool:
    """Whether this form stands in the book already: what it was filled from has changed by it."""
    data = token_data(request.POST.get("act", "")) if request.method == "POST" else None
    return data is not None and Entry.objects.filter(act=data["a"], yard=here.yard.pk, by=here.person.pk).exists()


@require_http_methods(["GET", "POST"])
@in_yard("plan_load")
def plan_load(request: HttpRequest, here: Standing) -> HttpResponse:
    """Plan a load."""
    firms = partners(here.yard.pk)
    form = PlanForm(request.POST or None, zone=here.zone, firms=firms)
    if receipt := write(request, here, form, lambda asked: write_plan(asked, **form.told())):
        number = Load.objects.values_list("number", flat=True).get(pk=receipt.the("disposal.load"))
        return redirect("load", yard=here.yard.code, load=number)
    act = token_in(request, here)
    return page(request, here, "disposal/plan_load.html", form=form, firms=firms, act=act)


@require_http_methods(["GET", "POST"])
@in_yard("change_load")
def change_load(request: HttpRequest, here: Standing, load: int) -> HttpResponse:
    """Change the plan of a load before anybody signed."""
    now = the_load(here, load)
    told = {name: _first(here, getattr(now, name)) for name in ("carrier", "facility")}
    initial = {**told, "official": now.official, "note": now.note}
    form = PlanForm(request.POST or None, zone=here.zone, firms=partners(here.yard.pk), initial=initial)
    based_on = request.POST.get("based_on") or now.seq
    if write(
        request, here, form, lambda asked: write_change(asked, load=UUID(now.load), based_on=based_on, **form.told())
    ):
        return redirect("load", yard=here.yard.code, load=load)
    act = token_in(request, here)
    return page(request, here, "disposal/change_load.html", load=now, form=form, act=act, based_on=based_on)


def _first(here: Standing, firm: str) -> str:
    """The id by which a firm stands in a list, from the record that a load names."""
    found = partner_now(here.yard.pk, UUID(firm))
    return found.id if found else ""


@require_http_methods(["GET", "POST"])
@in_yard("put_on_load")
def put_on_load(request: HttpRequest, here: Standing, load: int) -> HttpResponse:
    """Put drums and units on a load."""
    now = the_load(here, load)
    if sent_before(request, here):
        return redirect("load", yard=here.yard.code, load=load)
    rows = DrumStanding.objects.filter(yard=here.yard.pk, place="here").order_by("-logged")[:OFFERED]
    drums = [drum for row in rows if (drum := DRUMS.kept(row.drum)) and drum.sources]
    form = PutForm(request.POST or None, zone=here.zone, drums=drums)

    def put(asked: Order) -> Receipt:
        code = form.cleaned_data["code"]
        found = thing_of(here.yard.pk, code) if code else None
        if code and found is None:
            raise Refused(f"This yard has neither a unit nor a drum {spaced(code)}; look at its code once more.")
        items = [*form.ticked(), *([form.typed(*found)] if found else [])]
        return write_put(asked, load=UUID(now.load), items=items)

    if write(request, here, form, put):
        return redirect("load", yard=here.yard.code, load=load)
    rows_ = [{"drum": drum, "on": on, "kg": kg, "strength": drum_strength(drum)} for drum, on, kg in form.rows()]
    act = token_in(request, here)
    return page(request, here, "disposal/put_on_load.html", load=now, form=form, rows=rows_, act=act)


@require_http_methods(["GET", "POST"])
@in_yard("take_off_load")
def take_off_load(request: HttpRequest, here: Standing, load: int, item: UUID) -> HttpResponse:
    """Take an item off a load, with the reason."""
    now = the_load(here, load)
    one = the(now.items, item)
    form = TakeOffForm(request.POST or None, zone=here.zone)
    if write(
        request,
        here,
        form,
        lambda asked: write_off(asked, load=UUID(now.load), item=item, why=form.cleaned_data["why"]),
    ):
        return redirect("load", yard=here.yard.code, load=load)
    act = token_in(request, here)
    return page(request, here, "disposal/take_off_load.html", load=now, item=one, form=form, act=act)
