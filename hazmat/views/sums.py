"""Named calculations, without any register: the list of them, and each with the values that others published."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.safestring import SafeString
from django.views.decorators.http import require_GET

from hazmat.core.air import Against
from hazmat.core.sums.frame import Sum, Worked
from hazmat.edge.air import against_limits
from hazmat.edge.ready import ready
from hazmat.edge.sums import Held, beside, given_words, held, rows
from hazmat.forms.sums import SumForm
from hazmat.papers.plots import air_svg, bars_svg
from hazmat.queries.units import unit_now
from hazmat.queries.yards import Standing
from hazmat.rulebooks.sumbook import shelf, sums
from hazmat.views.access import in_yard, page


@require_GET
@in_yard("see")
def sums_list(request: HttpRequest, here: Standing) -> HttpResponse:
    """Every named calculation, under what it is about."""
    return page(request, here, "hazmat/sums.html", rows=[(says, held.values()) for says, held in shelf().items()])


@require_GET
@in_yard("see")
def sum_page(request: HttpRequest, here: Standing, sum: str) -> HttpResponse:
    """One calculation: what it asks, what comes out, how, and what others published for it. Nothing is kept."""
    asked = sums().get(sum)
    if asked is None:
        raise Http404
    today = timezone.localdate(timezone=here.zone)
    tag, typed = request.GET.get("of", ""), {key: value for key, value in request.GET.items() if key != "of"}
    now = unit_now(here.yard.pk, tag) if tag else None
    form = SumForm(typed or None, asked, today, initial=ready(now).get(sum, {}) if now else {})
    form.is_valid()
    worked = form.worked
    limits = against_limits(asked, worked, today) if worked else []
    return page(
        request, here, "hazmat/sum.html", asked=asked, form=form, worked=worked, of=now,
        rows=rows(asked, worked) if worked else (),
        drawn=bars_svg(side) if worked and (side := beside(asked, form.asked_for(form.cleaned_data), today)) else "",
        given=given_words(asked, form.asked_for(form.cleaned_data)) if worked else (),
        said=asked.said(worked) if worked else (),
        checks=_checks(sum, today), limits=limits, level=_level(asked, worked, limits),
    )  # fmt: skip


def _level(asked: Sum, worked: Worked | None, limits: Sequence[Against]) -> SafeString:
    """What a sum tells of the air, drawn against these limits."""
    value = worked.values[asked.in_air] if worked and limits else None
    return air_svg(value, limits) if isinstance(value, Decimal) else SafeString("")


@cache
def _checks(name: str, today: date) -> list[dict[str, Any]]:
    """Each published value beside ours, with what it was worked out from."""
    asked = sums()[name]
    boxes = {box.key: box for box in asked.boxes}
    found: list[tuple[Held, str]] = [
        (held(asked, check, today), ", ".join(_box_words(boxes[key].unit, value) for key, value in check.give.items()))
        for check in asked.checks
    ]
    return [{"held": one, "given": given} for one, given in found]


def _box_words(unit: str, value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{' '.join(map(str, value)) if isinstance(value, list) else value} {unit}".strip()
