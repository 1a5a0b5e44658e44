"""The plan of sampling a unit, as it goes along to the unit."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from hazmat.edge.air import line_beside
from hazmat.edge.plan import plan_of
from hazmat.edge.results import results_of
from hazmat.edge.story import story
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, new_token, page
from hazmat.views.units import the_unit


@require_GET
@in_yard("see")
def sampling_plan(request: HttpRequest, here: Standing, tag: str) -> HttpResponse:
    """What to do, in order, what to bring and write down; without proof of death what that lacks, and no more."""
    now = the_unit(here, tag)
    air = line_beside(now, results_of(now, here.named.place).near.values())
    return page(
        request, here, "hazmat/sampling_plan.html", unit=now, words=story(now, here.facts), air=air,
        kind={"name": "sampling_plan", "act": new_token(here)}, plan=plan_of(now, here.named.place),
    )  # fmt: skip
