"""Every address, found in the list of addresses, for each role, in a yard of one's own and in a foreign one."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, reverse

from hazmat.conf.urls import in_one_yard, urlpatterns
from hazmat.models import Door
from hazmat.queries.yards import member_of
from hazmat.roles import MAY, ROLES
from hazmat.views.access import new_token
from tests.cast import Cast, file_of

OUTSIDE = {"home", "sign_in", "sign_out", "door"}
"""Addresses that lie in no yard."""


def addresses() -> Iterator[tuple[str, Any]]:
    """Each address inside a yard, with its view."""
    for one in in_one_yard:
        assert isinstance(one, URLPattern)
        yield str(one.name), one.callback


OF_NO_YARD = {"sum"}
"""Words of an address that name a thing of no yard: a calculation is the same for everybody."""
NAMES = [name for name, _ in addresses()]
NEEDS = {name: view.needs for name, view in addresses() if hasattr(view, "needs")}


def asked(cast: Cast, name: str, client: Client, yard: str) -> int:
    """The status that this client gets at an address of this yard, by GET and else by POST."""
    words = {key: value for key, value in cast.words.items() if key in words_of(name)}
    path = reverse(name, kwargs={"yard": yard, **words})
    answer = client.get(path)
    file_of(answer)
    if answer.status_code != 405:
        return answer.status_code
    return client.post(path).status_code


def words_of(name: str) -> set[str]:
    pattern = next(one for one in in_one_yard if one.name == name)
    assert isinstance(pattern, URLPattern)
    return set(pattern.pattern.converters)


def unwrapped(view: Any) -> Iterator[Any]:
    while view is not None:
        yield view
        view = getattr(view, "__wrapped__", None)


def test_every_address_names_what_it_needs() -> None:
    """A view without a right in front of it would be open to everybody."""
    for name, view in addresses():
        rights = {needs for one in unwrapped(view) if (needs := getattr(one, "needs", None))}
        assert rights, f"{name} asks for no right"
        assert rights <= set(MAY), f"{name} asks for {rights - set(MAY)}, about which nobody decided"


def test_nothing_else_lies_outside_a_yard() -> None:
    outside = {one.name for one in urlpatterns if isinstance(one, URLPattern)}
    assert outside == OUTSIDE
    assert sum(isinstance(one, URLResolver) for one in urlpatterns) == 1


def test_every_right_has_a_yes_and_a_no() -> None:
    for act, who in MAY.items():
        assert who, f"nobody may {act}"
        if act != "see":
            assert set(ROLES) - who, f"everybody may {act}"


@pytest.mark.django_db
@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("name", NAMES)
def test_own_yard(cast: Cast, name: str, role: str) -> None:
    status = asked(cast, name, cast.client(role), cast.yard)
    assert (status == 403) == (role not in MAY[NEEDS[name]]), status
    assert status not in (404, 405, 500)


@pytest.mark.django_db
@pytest.mark.parametrize("name", NAMES)
def test_a_visitor_writes_nothing(cast: Cast, name: str) -> None:
    """Seeing is all: every address that takes a form refuses one from somebody who may only see."""
    words = {key: value for key, value in cast.words.items() if key in words_of(name)}
    client = cast.client("visitor")
    filled_in = {
        "act": token_for(cast, "visitor"), "kind": "notice", "called": "Ana", "handle": "ana", "roles": ["manager"],
        "dead": "no",
    }  # fmt: skip
    sent = client.post(reverse(name, kwargs={"yard": cast.yard, **words}), filled_in)
    assert sent.status_code in (403, 405)
    assert cast.entries() == cast.entries_before
    assert not Door.objects.exists()


def token_for(cast: Cast, role: str) -> str:
    """A token as a form of this person would carry it."""
    here = member_of(cast.yard, cast.people[role])
    assert here is not None
    return new_token(here)


@pytest.mark.django_db
@pytest.mark.parametrize("name", NAMES)
def test_a_foreign_yard_is_not_there(cast: Cast, name: str) -> None:
    """Somebody who holds every role elsewhere gets the answer that a yard gives which does not exist."""
    assert asked(cast, name, cast.client("outsider"), cast.yard) == 404


@pytest.mark.django_db
@pytest.mark.parametrize("name", NAMES)
def test_things_of_another_yard_are_not_there(cast: Cast, name: str) -> None:
    """A thing of one yard asked for at the address of another one, by a member of that other."""
    if not words_of(name) - OF_NO_YARD:
        return
    status = asked(cast, name, cast.client("outsider"), cast.other_yard)
    assert status in (302, 404)
    assert cast.entries() == cast.entries_before


@pytest.mark.django_db
@pytest.mark.parametrize("name", NAMES)
def test_nobody_signed_in(cast: Cast, name: str) -> None:
    words = {key: value for key, value in cast.words.items() if key in words_of(name)}
    path = reverse(name, kwargs={"yard": cast.yard, **words})
    looked = Client().get(path)
    assert looked.status_code in (302, 405)
    if looked.status_code == 302:
        assert looked["Location"].startswith("/sign-in/?next=")
    sent = Client().post(path)
    assert sent.status_code in (401, 405)
    assert cast.entries() == cast.entries_before
