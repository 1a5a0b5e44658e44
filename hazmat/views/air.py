"""Limits in air of one country as at a day, and a level that was measured held against them. Nothing is kept."""

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_GET

from hazmat.edge.air import of_country
from hazmat.edge.places import called
from hazmat.forms.air import AirForm
from hazmat.queries.yards import Standing
from hazmat.rulebooks.airbook import air_words
from hazmat.views.access import in_yard, page

ALWAYS = ("only_raises", "causes_cancer")
"""What is said above every list of limits."""


@require_GET
@in_yard("see")
def air_limits(request: HttpRequest, here: Standing) -> HttpResponse:
    """The limits of a country on a day, each with its document; where none stands, that is said."""
    today = timezone.localdate(timezone=here.zone)
    form = AirForm(request.GET.dict(), here.named.place, today)
    form.is_valid()
    asked = form.cleaned_data
    country, on = asked.get("country") or here.named.place[:2], asked.get("on") or today
    return page(
        request, here, "hazmat/air_limits.html", form=form, country=called(country), on=on,
        lists=of_country(country, on, form.measured()), always=[air_words()[key] for key in ALWAYS],
        plain=not request.GET and not form.errors, measured=form.measured() is not None,
    )  # fmt: skip
