"""What a thing touched: of a unit or one of its oil spaces, a drum, gear, a bottle."""

from collections.abc import Collection
from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from disposal.actions.reached import hold_reached as write_hold
from disposal.actions.reached import readings
from disposal.forms.touched import HoldReachedForm
from disposal.papers.ways import Dot, drawn, ways_svg
from disposal.queries.touched import Left, Line, Side, to_hold, touched
from disposal.views.drums import the_drum
from hazmat.core.codes import spaced
from hazmat.core.unitnow import UnitNow
from hazmat.edge.story import story
from hazmat.models import Bottle, Space, Tool
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page, token_in
from hazmat.views.saved import write
from hazmat.views.tools import the_tool
from hazmat.views.units import the_unit


@require_GET
@in_yard("see")
def touched_unit(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Of a unit, or of the one oil space of it that is named."""
    now = the_unit(here, tag)
    spaces = Space.objects.filter(unit=UUID(now.unit))
    asked = request.GET.get("space", "")
    wanted = spaces.filter(name=asked) if asked else spaces
    holders = list(wanted.values_list("holder", flat=True))
    if not holders:
        raise Http404
    others = list(spaces.order_by("entry__seq", "pk").values_list("name", flat=True))
    return _page(
        request, here, "unit", tag, holders, space=asked, spaces=others if len(others) > 1 else [],
        amended=amended_of(now), hold=len(to_hold(UUID(now.unit))) if "hold_reached" in here.may else 0,
    )  # fmt: skip


@require_http_methods(["GET", "POST"])
@in_yard("hold_reached")
def hold_reached(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Hold each unit that the oil of this one reached and that nothing holds yet."""
    now = the_unit(here, tag)
    units = to_hold(UUID(now.unit))
    form = HoldReachedForm(request.POST or None, initial={"read": readings(units)})
    if write(request, here, form, lambda asked: write_hold(asked, unit=UUID(now.unit), **form.cleaned_data)):
        return redirect("touched_unit", yard=here.yard.code, tag=tag)
    return page(
        request, here, "disposal/hold_reached.html", unit=now, units=units, form=form, act=token_in(request, here)
    )


@require_GET
@in_yard("see")
def touched_drum(request: HttpRequest, here: Standing, drum: str) -> HttpResponse:
    """Of a drum or slop can."""
    now = the_drum(here, drum)
    return _page(request, here, now.kind, drum, [UUID(now.holder)])


@require_GET
@in_yard("see")
def touched_tool(request: HttpRequest, here: Standing, tool: str) -> HttpResponse:
    """Of sampling gear or a test cell."""
    now = the_tool(here, tool)
    holder = Tool.objects.values_list("holder", flat=True).get(pk=now.id)
    return _page(request, here, "gear", tool, [holder], kind=now.kind)


@require_GET
@in_yard("see")
def touched_bottle(request: HttpRequest, here: Standing, bottle: str) -> HttpResponse:
    """Of a sample bottle."""
    holder = Bottle.objects.filter(yard=here.yard, code=bottle).values_list("holder", flat=True).first()
    if holder is None:
        raise Http404
    return _page(request, here, "bottle", bottle, [holder])


@require_GET
@in_yard("see_private")
def letters(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """A draft for each facility that took in what the oil of a unit reached: words on a page, sent by nobody."""
    now = the_unit(here, tag)
    found = touched(Space.objects.filter(unit=UUID(now.unit)).values_list("holder", flat=True))
    firms: dict[str, list[Left]] = {}
    for one in found.left:
        if one.facility:
            firms.setdefault(one.facility, []).append(one)
    return page(
        request, here, "disposal/reached_letters.html", unit=now, words=story(now, here.facts),
        amended=amended_of(now)[-1:], today=timezone.localdate(timezone=here.zone), letters=[
            {"to": name, "things": things, "owed": not all(one.certificate for one in things)}
            for name, things in firms.items()
        ],
    )  # fmt: skip


def _page(
    request: HttpRequest, here: Standing, what: str, code: str, holders: Collection[UUID], **more: Any
) -> HttpResponse:
    found = touched(holders)
    begun = {str(one) for one in holders}
    start = Dot(key="", what=what, code=spaced(code), hops=0, to="")
    sides = [
        {"name": name, "heading": heading, "side": side, "none": none, "cut": _cut(side, begun),
         "picture": ways_svg(start, _dots(side, begun), title=f"{heading}: {what} {spaced(code)}", backwards=back)}
        for name, heading, side, back, none in (
            ("came", "Where its oil came from", found.came, True, "No other oil is on record that came into it"),
            ("went", "What its oil went into", found.went, False, "Nothing is on record that its oil went into"),
        )
    ]  # fmt: skip
    told = {"what": what, "code": code, "found": found, "sides": sides, **more}
    return page(request, here, "disposal/touched.html", **told)


def _cut(side: Side, begun: Collection[str]) -> bool:
    """Whether the drawing leaves anything out."""
    return len(drawn(_dots(side, begun))) < side.oil_many + side.gear_many


def _dots(side: Side, begun: Collection[str]) -> list[Dot]:
    return [_dot(one, begun) for one in side.lines]


def _dot(line: Line, begun: Collection[str]) -> Dot:
    other = line.other.holder
    return Dot(
        key=line.thing.holder, what=line.thing.what, code=spaced(line.thing.code), hops=line.hops,
        broken=line.last.event.how in ("touch", "trace"), to="" if other in begun else other,
    )  # fmt: skip


def amended_of(unit: UnitNow) -> list[dict[str, Any]]:
    """The results of a unit that a later report took the place of, each with that one."""
    by_id = {one.id: one for one in unit.results}
    return [{"old": one, "new": by_id[one.amended_by]} for one in unit.results if one.amended_by in by_id]
