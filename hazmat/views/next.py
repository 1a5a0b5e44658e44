"""Next: what needs me, soonest first."""

from collections.abc import Iterable

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from hazmat.queries.mine import my_lines
from hazmat.queries.next import Line
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page


@require_GET
@in_yard("see")
def next(request: HttpRequest, here: Standing) -> HttpResponse:
    """The home of a yard."""
    return page(request, here, "hazmat/next.html", lines=linked(my_lines(here, timezone.now())))


def linked(lines: Iterable[Line]) -> list[dict[str, str]]:
    """Lines as pages draw them, each with the address of its act."""
    return [{"says": one.says, "mark": one.mark, "url": reverse(one.link, kwargs=one.words)} for one in lines]
