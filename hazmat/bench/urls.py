"""The addresses of the bench: all real ones, and the empty page."""

from django.http import HttpRequest, HttpResponse
from django.urls import path

from hazmat.conf.urls import urlpatterns as real
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page


@in_yard("see")
def empty(request: HttpRequest, here: Standing) -> HttpResponse:
    """What every page of a yard costs before it says anything."""
    return page(request, here, "base.html")


urlpatterns = [path("<code:yard>/empty/", empty), *real]
