"""Yards, and who is what in them."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.utils import timezone

from hazmat.book.aside import words_of
from hazmat.models import Door, Member, Particulars, Person, Yard
from hazmat.roles import allowed


@dataclass(frozen=True)
class Standing:
    """A person in a yard: its facts, and the roles that are held there."""

    yard: Yard
    named: Particulars
    person: Person
    roles: tuple[str, ...]
    facts: dict[str, Any]

    @property
    def may(self) -> frozenset[str]:
        """All that this person may do here."""
        return allowed(self.roles)

    @property
    def zone(self) -> ZoneInfo:
        """The zone of the yard."""
        return ZoneInfo(self.named.zone)


def particulars(yard: UUID) -> Particulars:
    """What a yard is called now. Raises Particulars.DoesNotExist."""
    return Particulars.objects.select_related("yard").get(yard=yard, replaced_by=None)


def yard_facts(named: Particulars) -> dict[str, Any]:
    """The yard as pages and papers name it, with its telephone."""
    phone = words_of([named.id]).get("phone", "") if named.aside else ""
    return named.facts(named.yard.code, phone)


def member_of(code: str, person: Person) -> Standing | None:
    """A person in the yard of this code; None where there is no such yard, or where the person has no role in it."""
    named = Particulars.objects.select_related("yard").filter(yard__code=code, replaced_by=None).first()
    if named is None:
        return None
    roles = roles_of(named.yard_id, person.pk)
    return Standing(named.yard, named, person, roles, yard_facts(named)) if roles else None


def roles_of(yard: UUID, person: UUID) -> tuple[str, ...]:
    """The roles that a person holds in a yard now."""
    held = Member.objects.filter(yard=yard, person=person, ended=False, replaced_by=None, person__is_active=True)
    return tuple(held.order_by("role").values_list("role", flat=True))


def yards_of(person: UUID) -> list[Particulars]:
    """The yards in which a person has a role, by name."""
    held = Member.objects.filter(person=person, ended=False, replaced_by=None).values("yard")
    found = Particulars.objects.select_related("yard").filter(yard__in=held, replaced_by=None)
    return sorted(found, key=lambda one: (one.name.casefold(), str(one.yard_id)))


def people(yard: UUID) -> list[tuple[Person, list[Member]]]:
    """Everybody who has a role in a yard now, by name, with the records that say so."""
    held: dict[UUID, list[Member]] = defaultdict(list)
    for member in Member.objects.select_related("person").filter(yard=yard, ended=False, replaced_by=None):
        held[member.person_id].append(member)
    found = [(members[0].person, sorted(members, key=lambda one: one.role)) for members in held.values()]
    return sorted(found, key=lambda one: (one[0].called.casefold(), str(one[0].pk)))


def links_out(persons: Iterable[UUID]) -> dict[UUID, datetime]:
    """Until when the link of each of these people opens, for those who have one that is not used yet."""
    found = Door.objects.filter(person__in=set(persons), used_at=None, closes_at__gte=timezone.now())
    return dict(found.order_by("closes_at").values_list("person", "closes_at"))


def names_of(ids: Iterable[UUID]) -> dict[UUID, str]:
    """What people are called."""
    return dict(Person.objects.filter(pk__in=set(ids)).values_list("pk", "called"))
