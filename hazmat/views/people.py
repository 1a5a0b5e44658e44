"""People of a yard: who does what, letting somebody in, ending a role, leaving, a link to sign in by."""

import functools
from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

import segno
from django.contrib import messages
from django.db import IntegrityError, transaction
from django.http import Http404, HttpRequest
from django.http.request import split_domain_port
from django.http.response import HttpResponseBase
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from hazmat.actions.people import add_member, close_doors, last_manager, new_door
from hazmat.actions.people import end_member as write_end
from hazmat.actions.people import leave_yard as write_leave
from hazmat.book.act import Refused
from hazmat.book.entry import Entry
from hazmat.forms.people import MemberForm
from hazmat.models import Member, Person
from hazmat.queries.mine import training_lines
from hazmat.queries.yards import Standing, links_out, member_of, roles_of, yards_of
from hazmat.queries.yards import people as people_of
from hazmat.roles import WORDS, may
from hazmat.views.access import View, in_yard, new_token, order, page, token_data, token_in
from hazmat.views.next import linked

OURS_ALONE = ("localhost", "127.0.0.1", "[::1]")
"""Names by which a machine calls itself."""


@require_http_methods(["GET", "POST"])
@in_yard("see")
def people(request: HttpRequest, here: Standing) -> HttpResponseBase:
    """The people; for a yard manager, with a form to let somebody in."""
    if request.method == "POST":
        return _let_in(request, yard=here.yard.code)
    return _page(request, here, MemberForm() if "add_member" in here.may else None)


@in_yard("add_member")
def _let_in(request: HttpRequest, here: Standing) -> HttpResponseBase:
    form = MemberForm(request.POST)
    if form.is_valid():
        found = form.cleaned_data
        person = Person.objects.filter(handle=found["handle"]).first()
        try:
            asked = order(request, here)
            with transaction.atomic():
                person = person or Person.objects.create_user(found["handle"], found["called"])
                seen = add_member(asked, person=person.pk, roles=tuple(found["roles"]))
                if seen.again and not roles_of(here.yard.pk, person.pk):
                    raise Refused("This form was sent already, for somebody else; open People again for a fresh one.")
        except Refused as refusal:
            form.add_error(None, str(refusal))
        except IntegrityError:
            form.add_error("handle", "Somebody took this name just now; look at the list, or write another one.")
        else:
            return _welcome(request, here, person)
    return _page(request, here, form)


def _welcome(request: HttpRequest, here: Standing, person: Person) -> HttpResponseBase:
    """What follows once somebody is let in: a link for whoever never signed in, as far as one may be given out."""
    if person.last_login is None and not _elsewhere(here, person):
        return _link_page(request, here, person, fresh=True)
    messages.success(request, f"{person.called} may now work here, and signs in as before.")
    return redirect("people", yard=here.yard.code)


def _page(request: HttpRequest, here: Standing, form: MemberForm | None) -> HttpResponseBase:
    held = people_of(here.yard.pk)
    out = links_out(person.pk for person, _ in held) if "make_link" in here.may else {}
    rows = [_row(here, person, members, out) for person, members in held]
    last = last_manager(here.yard.pk, here.person.pk)
    return page(
        request, here, "hazmat/people.html", rows=rows, form=form, act=token_in(request, here), last=last,
        leave=new_token(here), soon=linked(training_lines(here, timezone.now())),
    )  # fmt: skip


def _row(here: Standing, person: Person, members: list[Member], out: Mapping[UUID, datetime]) -> dict[str, Any]:
    """One person: the roles, each with the token of the form that ends it; until when a link is out."""
    roles = [{"id": one.pk, "says": WORDS[one.role], "act": new_token(here)} for one in members]
    mine = person.pk == here.person.pk
    return {"person": person, "members": roles, "out": out.get(person.pk), "mine": mine}


def gone_already(view: View) -> View:
    """Whoever ended his own last role here and sends that form again is told the same, not that no yard is there."""

    @functools.wraps(view)
    def again(request: HttpRequest, yard: str, **words: Any) -> HttpResponseBase:
        told = token_data(request.POST.get("act", ""))
        if told and request.user.is_authenticated and told["p"] == str(request.user.pk):
            written = Entry.objects.filter(act=told["a"], by=request.user.pk, yard__code=yard).exists()
            if written and member_of(yard, request.user) is None:
                return _gone(request)
        return view(request, yard=yard, **words)

    return again


def _gone(request: HttpRequest) -> HttpResponseBase:
    messages.success(request, "You have left: that yard no longer opens for you, and links for you are closed.")
    return redirect("home")


@require_POST
@gone_already
@in_yard("end_member")
def end_member(request: HttpRequest, here: Standing, member: UUID) -> HttpResponseBase:
    """End one role of one person; with the last one, say what that means."""
    try:
        seen = write_end(order(request, here), member=member)
    except Refused as refusal:
        messages.error(request, str(refusal))
        return redirect("people", yard=here.yard.code)
    ended = Member.objects.select_related("person").get(pk=seen.the("hazmat.member"))
    if roles_of(here.yard.pk, ended.person_id):
        messages.success(request, f"{ended.person.called} is no longer {WORDS[ended.role]}.")
    elif ended.person_id == here.person.pk:
        return _gone(request)
    else:
        messages.success(
            request,
            f"{ended.person.called} holds no role here any more: this yard no longer opens, also where "
            f"{ended.person.called} is still signed in, and links that were out are closed.",
        )
    return redirect("people", yard=here.yard.code)


@require_POST
@gone_already
@in_yard("leave_yard")
def leave_yard(request: HttpRequest, here: Standing) -> HttpResponseBase:
    """Whoever works here leaves: every role of his own ends."""
    try:
        write_leave(order(request, here))
    except Refused as refusal:
        messages.error(request, str(refusal))
        return redirect("people", yard=here.yard.code)
    return _gone(request)


def of_here(here: Standing, person: UUID) -> Person:
    """Somebody of this yard. Raises Http404."""
    found = Person.objects.filter(pk=person).first()
    if found is None or not roles_of(here.yard.pk, person):
        raise Http404
    return found


def _elsewhere(here: Standing, person: Person) -> bool:
    """Whether this person works in a yard where whoever asks may give out no link: one would open that yard too."""
    return any(not may(roles_of(one.yard_id, here.person.pk), "make_link") for one in yards_of(person.pk))


@require_POST
@in_yard("make_link")
def make_link(request: HttpRequest, here: Standing, person: UUID) -> HttpResponseBase:
    """A link for somebody of this yard, shown once; for nobody who works in a yard that another one runs."""
    found = of_here(here, person)
    if _elsewhere(here, found):
        messages.error(
            request,
            f"{found.called} also works in a yard that you do not run, and a link would open that one too. The yard "
            "manager there, too, has to let you in as yard manager before you can give one out.",
        )
        return redirect("people", yard=here.yard.code)
    return _link_page(request, here, found)


def _link_page(request: HttpRequest, here: Standing, person: Person, *, fresh: bool = False) -> HttpResponseBase:
    """A fresh link, in letters and as a code for a camera. `fresh`: the person was let in just now."""
    link = request.build_absolute_uri(f"/door/{new_door(person)}/")
    code = segno.make(link, error="m", micro=False).svg_data_uri(border=4, dark="#000", light="#fff")
    alone = split_domain_port(request.get_host())[0] in OURS_ALONE
    return page(
        request, here, "hazmat/link.html", 200, called=person.called, link=link, code=code, fresh=fresh, alone=alone,
        until=links_out([person.pk])[person.pk],
    )  # fmt: skip


@require_POST
@in_yard("make_link")
def take_back_link(request: HttpRequest, here: Standing, person: UUID) -> HttpResponseBase:
    """Close the link that is out for somebody of this yard."""
    found = of_here(here, person)
    if close_doors(found.pk):
        messages.success(request, f"The link of {found.called} is taken back: it opens nothing any more.")
    else:
        messages.info(request, f"No link of {found.called} was out: it was used, taken back, or past its time.")
    return redirect("people", yard=here.yard.code)
