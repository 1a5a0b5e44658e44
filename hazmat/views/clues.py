"""What a unit without a plate probably is: clues written down, and what they come to."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from hazmat.actions.clues import record_clues as write_clues
from hazmat.book.act import Order
from hazmat.book.receipt import Receipt
from hazmat.core.unitnow import UnitNow
from hazmat.edge.ready import ready
from hazmat.forms.clues import CluesForm
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page, token_in
from hazmat.views.saved import write
from hazmat.views.units import likely_of, the_unit


@require_http_methods(["GET", "POST"])
@in_yard("record_clues")
def record_clues(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """Write down clues, beside what those on record come to."""
    now = the_unit(here, tag)
    form = CluesForm(
        request.POST or None, fluid=now.line.get("fluid"), today=timezone.localdate(timezone=here.zone), zone=here.zone,
        initial=_known(now),
    )  # fmt: skip

    def record(asked: Order) -> Receipt:
        return write_clues(asked, unit=UUID(now.unit), told=form.told(), note=form.cleaned_data["note"])

    if write(request, here, form, record, "It decides no class, and nobody lifts by it."):
        return redirect("record_clues", here.yard.code, tag)
    return page(
        request, here, "hazmat/record_clues.html", unit=now, form=form, act=token_in(request, here),
        told=likely_of(now, here), last=now.clues[-1] if now.clues else None,
    )  # fmt: skip


def _known(now: UnitNow) -> dict[str, Any]:
    """What the boxes show: the clues on record, else what the line of the unit tells."""
    if now.clues:
        last = now.clues[-1]
        return {**last.asked, **{f"src_{key}": says for key, says in last.sources.items()}, "note": last.note}
    told = ready(now)
    return {**told.get("rating", {}), **told.get("build_year", {})}
