"""Next: what needs me, soonest first."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from hazmat.queries.next import lines
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page


@require_GET
@in_yard("see")
def next(request: HttpRequest, here: Standing) -> HttpResponse:
    """The home of a yard."""
    today = timezone.localdate(timezone=here.zone)
    told = [
        {"says": one.says, "mark": one.mark, "url": reverse(one.link, kwargs=one.words)}
        for one in lines(here.yard.pk, here.yard.code, today)
    ]
    return page(request, here, "hazmat/next.html", lines=told)
