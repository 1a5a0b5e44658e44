"""Sample bottles: labelling one, its trail, and the next hand."""

from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_GET, require_http_methods

from hazmat.actions.bottles import hand_bottle as write_hand
from hazmat.actions.bottles import label_bottle as write_label
from hazmat.actions.bottles import spaces, the_bottle
from hazmat.book.act import Order
from hazmat.book.aside import words_by_record
from hazmat.book.receipt import Receipt
from hazmat.core.trail import FOLLOWS, BottleNow
from hazmat.core.unitnow import UnitNow
from hazmat.forms.bottles import DONE, POINTS, HandForm, LabelForm
from hazmat.forms.tools import offered
from hazmat.models import Bottle
from hazmat.queries.tools import Doubt, at_hand, doubts_of, named
from hazmat.queries.units import UNITS
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, new_token, page, token_in
from hazmat.views.saved import warned, write
from hazmat.views.units import the_unit


@require_http_methods(["GET", "POST"])
@in_yard("label_bottle")
def label_bottle(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Label a bottle for one oil space of a unit, before or at filling."""
    now = the_unit(here, tag)
    form = LabelForm(request.POST or None, zone=here.zone, spaces=spaces(now))

    def label(asked: Order) -> Receipt:
        return write_label(asked, unit=UUID(now.unit), space=form.cleaned_data["space"])

    if receipt := write(request, here, form, label):
        code = Bottle.objects.values_list("code", flat=True).get(pk=receipt.the("hazmat.bottle"))
        return redirect("bottle", yard=here.yard.code, bottle=code)
    act = token_in(request, here)
    return page(request, here, "hazmat/label_bottle.html", unit=now, form=form, act=act)


@require_GET
@in_yard("see")
def bottle(request: HttpRequest, here: Standing, bottle: str) -> HttpResponse:
    """A bottle and its trail."""
    now, kept, _ = _the_bottle(here, bottle)
    return _page(request, here, now, kept)


@require_http_methods(["GET", "POST"])
@in_yard("hand_bottle")
def hand_bottle(request: HttpRequest, here: Standing, bottle: str) -> HttpResponse:
    """Write down what happened to a bottle."""
    now, kept, key = _the_bottle(here, bottle)
    gear = offered(at_hand(here.yard.pk, cell=False), here.zone) if "filled" in FOLLOWS[kept.state] else []
    form = HandForm(request.POST or None, zone=here.zone, bottle=kept, gear=gear)
    if write(request, here, form, lambda asked: write_hand(asked, bottle=key, place=here.named.place, **form.told())):
        if form.cleaned_data.get("gear"):
            warned(request, _doubts(_the_bottle(here, bottle)[0], bottle))
        return redirect("bottle", yard=here.yard.code, bottle=bottle)
    return _page(request, here, now, kept, form)


def _doubts(unit: UnitNow, code: str) -> list[Doubt]:
    """What is in doubt about the filling of this bottle."""
    return [one for one in doubts_of(unit) if one.use.bottle == code]


def _the_bottle(here: Standing, code: str) -> tuple[UnitNow, BottleNow, UUID]:
    """The unit, the bottle as it stands, and its key. Raises Http404."""
    found = Bottle.objects.filter(yard=here.yard.pk, code=code).first()
    now = UNITS.kept(found.unit_id) if found else None
    if found is None or now is None:
        raise Http404
    return now, the_bottle(now, code), found.pk


def _page(
    request: HttpRequest, here: Standing, unit: UnitNow, kept: BottleNow, form: HandForm | None = None
) -> HttpResponse:  # fmt: skip
    names = words_by_record(one.record for one in kept.trail) if "see_private" in here.may else {}
    gear = {one.id: one for one in named(here.yard.pk, (tool for step in kept.trail for tool in step.tools))}
    trail: list[dict[str, Any]] = [
        {
            "step": one, "says": DONE[one.what], "gear": [gear[tool] for tool in one.tools],
            **names.get(UUID(one.record), {}),
        }
        for one in kept.trail
    ]  # fmt: skip
    return page(
        request, here, "hazmat/bottle.html", unit=unit, bottle=kept, trail=trail, form=form,
        space=unit.oil_spaces[kept.space], point=dict(POINTS).get(kept.point, ""), act=token_in(request, here),
        doubts=_doubts(unit, kept.code), print=new_token(here),
        open="hand_bottle" in here.may and bool(FOLLOWS[kept.state]),
    )  # fmt: skip
