"""People of a yard: who does what, letting somebody in, ending a role, a link to sign in by."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.db import IntegrityError, transaction
from django.http import Http404, HttpRequest
from django.http.response import HttpResponseBase
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods, require_POST

from hazmat.actions.people import add_member, new_door
from hazmat.actions.people import end_member as write_end
from hazmat.book.act import Refused
from hazmat.forms.people import MemberForm
from hazmat.models import Member, Person
from hazmat.queries.yards import Standing, roles_of, yards_of
from hazmat.queries.yards import people as people_of
from hazmat.roles import WORDS, may
from hazmat.views.access import in_yard, new_token, order, page, token_in


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
            messages.success(request, f"{person.called} may now work here. Give out a link to sign in by.")
            return redirect("people", yard=here.yard.code)
    return _page(request, here, form, 422)


def _page(request: HttpRequest, here: Standing, form: MemberForm | None, status: int = 200) -> HttpResponseBase:
    rows = [
        {"person": person, "members": [_member(here, one) for one in members]}
        for person, members in people_of(here.yard.pk)
    ]
    return page(request, here, "hazmat/people.html", status, rows=rows, form=form, act=token_in(request, here))


def _member(here: Standing, member: Member) -> dict[str, Any]:
    """One role of one person, with the token of the form that ends it."""
    return {"id": member.pk, "says": WORDS[member.role], "act": new_token(here)}


@require_POST
@in_yard("end_member")
def end_member(request: HttpRequest, here: Standing, member: UUID) -> HttpResponseBase:
    """End one role of one person."""
    try:
        write_end(order(request, here), member=member)
    except Refused as refusal:
        messages.error(request, str(refusal))
    return redirect("people", yard=here.yard.code)


@require_POST
@in_yard("make_link")
def make_link(request: HttpRequest, here: Standing, person: UUID) -> HttpResponseBase:
    """A link for somebody of this yard, shown once; for nobody who works in a yard that another one runs."""
    found = Person.objects.filter(pk=person).first()
    if found is None or not roles_of(here.yard.pk, person):
        raise Http404
    elsewhere = [one for one in yards_of(person) if not may(roles_of(one.yard_id, here.person.pk), "make_link")]
    if elsewhere:
        messages.error(
            request,
            f"{found.called} also works in a yard that you do not run, and a link would open that one too. The yard "
            "manager there, too, has to let you in as yard manager before you can give one out.",
        )
        return redirect("people", yard=here.yard.code)
    link = request.build_absolute_uri(f"/door/{new_door(found)}/")
    return page(request, here, "hazmat/link.html", called=found.called, link=link)
