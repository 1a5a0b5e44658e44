"""Pages for what cannot be shown or done: in plain words, with what to do next."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from hazmat.views.access import sent_again, token_data

ELSEWHERE = " checking failed"
"""In Django's reason for a form that another site sent."""


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form that does not come from one of our own pages, or whose page was open in another sign-in.

    The second is common: somebody signs in anew while a form stands open. Such a form carries a token that we signed,
    and it is shown again with all that was typed, to be sent once more; whose form it is is looked at then.
    """
    inside = request.resolver_match is not None and "yard" in request.resolver_match.kwargs
    if inside and ELSEWHERE not in reason and token_data(request.POST.get("act", "")):
        return sent_again(request, "hazmat/send_again.html", 403)
    return render(request, "403_csrf.html", status=403)
