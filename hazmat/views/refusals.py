"""Pages for what cannot be shown or done: in plain words, with what to do next."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form that does not come from one of our own pages, or whose page was open in another sign-in."""
    return render(request, "403_csrf.html", status=403)
