"""Screens of oil in the yard: by the colour seen, or a drop of it in water."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods

from hazmat.actions.bottles import spaces
from hazmat.actions.screens import read_screen as write_reading
from hazmat.actions.screens import record_screen as write_screen
from hazmat.book.act import Order
from hazmat.book.receipt import Receipt
from hazmat.core.screened import ScreenNow
from hazmat.core.unitnow import UnitNow
from hazmat.edge.story import sampling_refused
from hazmat.forms.screens import ReadForm, ScreenForm, shown_screen
from hazmat.models import Photograph, Screen
from hazmat.queries.units import UNITS
from hazmat.queries.yards import Standing, people
from hazmat.views.access import act_in, in_yard, page, the, token_in
from hazmat.views.saved import write
from hazmat.views.units import the_unit
from hazmat.views.waiting import wait_with, written

PAIR = 2
"""Readers of a screen, each apart. Source: our own choice."""


@require_http_methods(["GET", "POST"])
@in_yard("record_screen")
def record_screen(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Write down what a screen showed."""
    return _recorded(request, here, the_unit(here, tag), None)


@require_http_methods(["GET", "POST"])
@in_yard("record_screen")
def correct_screen(request: HttpRequest, here: Standing, tag: str, screen: UUID) -> HttpResponse:
    """Write a screen in the place of one that was written down wrong."""
    now = the_unit(here, tag)
    return _recorded(request, here, now, the(now.screens, screen))


@require_http_methods(["GET", "POST"])
@in_yard("read_screen")
def read_screen(request: HttpRequest, here: Standing, screen: UUID) -> HttpResponse:
    """Read a screen as the second person, who is not shown what the first one saw."""
    found = Screen.objects.select_related("entry").filter(pk=screen, yard=here.yard.pk).first()
    now = UNITS.kept(found.unit_id) if found else None
    if found is None or now is None:
        raise Http404
    one = the(now.screens, screen)
    form = ReadForm(request.POST or None, zone=here.zone)

    def read(asked: Order) -> Receipt:
        return write_reading(asked, screen=screen, place=here.named.place, **form.told())

    if write(request, here, form, read, "The unit is judged by both."):
        return redirect("unit", yard=here.yard.code, tag=now.tag)
    return page(
        request, here, "hazmat/read_screen.html", unit=now, screen=one, form=form, act=token_in(request, here),
        mine=found.entry.by_id == here.person.pk, pictures=Photograph.objects.filter(entry=found.entry_id),
    )  # fmt: skip


def _recorded(request: HttpRequest, here: Standing, now: UnitNow, old: ScreenNow | None) -> HttpResponse:
    act = token_in(request, here)
    kept, wrong = wait_with(act_in(act), request.FILES) if request.method == "POST" else ([], [])
    form = ScreenForm(
        request.POST or None, unit=now, spaces=spaces(now), zone=here.zone, corrects=old is not None,
        initial=shown_screen(old) if old else {}, alone=len(people(here.yard.pk)) < PAIR,
    )  # fmt: skip
    for says in wrong if form.is_bound else ():
        form.add_error(None, says)

    def record(asked: Order) -> Receipt:
        return write_screen(
            asked, unit=UUID(now.unit), told=form.told(), place=here.named.place, pictures=kept,
            replaces=UUID(old.id) if old else None, why=form.reason,
        )  # fmt: skip

    if write(request, here, form, record, "The unit is judged by it; nobody released it."):
        written(act_in(act))
        return redirect("unit", yard=here.yard.code, tag=now.tag)
    return page(
        request, here, "hazmat/record_screen.html", unit=now, form=form, act=act, old=old, waiting=len(kept),
        refused=sampling_refused(now, here.named.place),
    )  # fmt: skip
