"""Who is asking, in which yard, and whether he may; and the token that every form carries from birth."""

import functools
from collections.abc import Callable, Iterable
from typing import Any, Protocol, TypeVar
from uuid import UUID

from django.core import signing
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.cache import never_cache

from hazmat.actions.units import Kept
from hazmat.book.act import Order, Refused
from hazmat.book.ids import new_id
from hazmat.queries.yards import Standing, member_of
from hazmat.views.waiting import report_with, wait_with

ACT_SALT = "oilward.act"
View = Callable[..., HttpResponseBase]
UNSAID = frozenset(("csrfmiddlewaretoken",))
"""Fields that are not carried over when a form is sent by somebody who is signed out."""


def in_yard(act: str) -> Callable[[View], View]:
    """A view inside one yard: `view(request, here, …)`, for members who may do this act.

    Nobody signed in: to the sign-in page, and whatever was posted is carried along. No role in the yard: 404, as if
    there were no such yard. A role that does not allow it: a plain refusal.
    """

    def wrap(view: View) -> View:
        @never_cache
        @functools.wraps(view)
        def guarded(request: HttpRequest, yard: str, **words: Any) -> HttpResponseBase:
            if not request.user.is_authenticated:
                return signed_out(request)
            here = member_of(yard, request.user)
            if here is None:
                raise Http404
            request.here = here  # type: ignore[attr-defined]  # base.html and the pages that tell of errors read it
            if act not in here.may:
                raise PermissionDenied(act)
            return view(request, here, **words)

        guarded.needs = act  # type: ignore[attr-defined]  # read by the test of every page against every role
        return guarded

    return wrap


def signed_out(request: HttpRequest) -> HttpResponse:
    """Ask to sign in; what was posted waits in the page, and files of a form of ours wait beside the book."""
    if request.method != "POST":
        return redirect(f"{reverse('sign_in')}?{urlencode({'next': request.get_full_path()})}")
    return sent_again(request, "hazmat/signed_out.html", 401)


def sent_again(request: HttpRequest, template: str, status: int) -> HttpResponse:
    """A page that holds whatever was posted, to be sent once more; files of a form of ours wait beside the book."""
    kept = [(name, value) for name, values in request.POST.lists() if name not in UNSAID for value in values]
    found: list[Kept] = []
    wrong: list[str] = []
    report = None
    if token_data(token := request.POST.get("act", "")):
        found, wrong = wait_with(act_in(token), request.FILES)
        report, says = report_with(act_in(token), request.FILES)
        wrong += [says] if says else []
    told = {
        "fields": kept, "action": request.get_full_path(), "pictures": len(found), "report": report, "wrong": wrong,
    }  # fmt: skip
    return render(request, template, told, status=status)


def new_token(here: Standing) -> str:
    """The id of an act that a form may become, bound to this person and yard."""
    return signing.dumps({"a": str(new_id()), "p": str(here.person.pk), "y": str(here.yard.pk)}, salt=ACT_SALT)


def token_data(token: str) -> dict[str, str] | None:
    """What a token says; None where it is not one of ours."""
    try:
        found: dict[str, str] = signing.loads(token, salt=ACT_SALT)
    except signing.BadSignature:
        return None
    return found


def act_of(request: HttpRequest, here: Standing) -> UUID:
    """The id of the act that this form becomes. Raises Refused where the form is not of this person and yard."""
    token = request.POST.get("act", "")
    if not _is_of(token, here):
        raise Refused("This form belongs to another person or yard; what you typed is kept, send it once more.")
    return act_in(token)


def _is_of(token: str, here: Standing) -> bool:
    told = token_data(token)
    return told is not None and (told["p"], told["y"]) == (str(here.person.pk), str(here.yard.pk))


def act_in(token: str) -> UUID:
    """The id of the act that a token of ours names. Raises Refused for any other text."""
    told = token_data(token)
    if told is None:
        raise Refused("This form carries no token of ours; open it again from its page.")
    return UUID(told["a"])


def token_in(request: HttpRequest, here: Standing) -> str:
    """The token of a form that is shown: the posted one where it is of this person and yard, else a new one."""
    posted = request.POST.get("act", "")
    return posted if _is_of(posted, here) else new_token(here)


def order(request: HttpRequest, here: Standing, happened_at: Any = None, said: str | None = None) -> Order:
    """The order for an act from this form."""
    return Order(
        yard=here.yard.pk, by=here.person.pk, act=act_of(request, here), happened_at=happened_at or timezone.now(),
        zone=here.named.zone, said=said,
    )  # fmt: skip


class HasId(Protocol):
    """Whatever is on record under an id."""

    @property
    def id(self) -> str: ...


One = TypeVar("One", bound=HasId)


def the(kept: Iterable[One], key: UUID) -> One:
    """The one of these with this id. Raises Http404."""
    found = next((one for one in kept if one.id == str(key)), None)
    if found is None:
        raise Http404
    return found


def page(request: HttpRequest, here: Standing, template: str, status: int | None = None, **told: Any) -> HttpResponse:
    """A page of a yard: what every such page needs, and what this one tells.

    Without a status: 200, and 422 where a form was sent that comes back.
    """
    shown = status or (422 if request.method == "POST" else 200)
    base = {
        "yard": here.facts, "person": here.person, "may": here.may, "zone": here.zone,
        "now": timezone.localtime(timezone=here.zone),
    }  # fmt: skip
    with timezone.override(here.zone):
        return render(request, template, {**base, **told}, status=shown)
