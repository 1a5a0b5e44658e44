"""Clocks: how long each thing may still stay, soonest first."""

from collections.abc import Iterable
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_GET

from disposal.core.clocks import SILENCE, Clock
from disposal.queries.due import due, house_day
from hazmat import rulebooks
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page

SIZE = 200
"""Most things of each list on the page; the command `due` lists all of them. Source: our own choice."""


@require_GET
@in_yard("see")
def clocks(request: HttpRequest, here: Standing) -> HttpResponse:
    """Every clock of the yard, and every thing that lacks the day that its clock would count from."""
    on = timezone.localdate(timezone=here.zone)
    found = due(here.yard.pk, on)
    law = rulebooks.law_of(here.named.place)
    return page(
        request, here, "disposal/clocks.html", on=on, clocks=found.clocks[:SIZE], apart=found.apart[:SIZE],
        more_clocks=len(found.clocks[SIZE:]), more_apart=len(found.apart[SIZE:]), books=_books(found.clocks),
        silence=rulebooks.rulebook(law).silences.get(SILENCE) if law else None,
        overdue=sum(one.overdue for one in found.clocks), soon=int(house_day(on).number("clock_soon")),
    )  # fmt: skip


def _books(clocks: Iterable[Clock]) -> list[dict[str, Any]]:
    """The rulebooks whose clocks stand on the page, and the last day on which each is known to hold."""
    seen = {one.rulebook: one for one in clocks}
    return [{"book": rulebooks.rulebook(name), "good_until": one.good_until} for name, one in sorted(seen.items())]
