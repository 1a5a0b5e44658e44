"""Opening a yard, who is what in it, and the links that let people in."""

import secrets
from datetime import timedelta
from hashlib import sha256
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from hazmat.book.act import AlreadyWritten, Order, Refused, book, verb
from hazmat.book.entry import Entry
from hazmat.book.receipt import Receipt, receipt_of
from hazmat.core.codes import FIELD, TAG_BODY, new_tag
from hazmat.models import Aside, Door, Erasure, Member, Particulars, Person, Yard
from hazmat.queries.yards import people, roles_of
from hazmat.roles import LONE, ROLES, Role

OPEN_FOR = timedelta(days=2)
"""How long a sign-in link can be used. Source: our own choice."""
TRIES = 20
"""How often a fresh code is drawn before we give up. Source: our own choice."""


def new_yard_code() -> str:
    """A code that no yard has yet. Raises RuntimeError where none can be found."""
    for _ in range(TRIES):
        code = new_tag(secrets.randbelow(FIELD**TAG_BODY))
        if not Yard.objects.filter(code=code).exists():
            return code
    raise RuntimeError("no free code for a yard")


@verb
def open_yard(
    order: Order, *, name: str, country: str, state: str = "", keeps: str = "", phone: str = "", code: str = "",
    roles: tuple[Role, ...] = LONE,
) -> Receipt:  # fmt: skip
    """Open a yard with the person who opens it in these roles. `order.yard` is the id that it gets.

    `code`: left empty, a free one is drawn.
    """
    with transaction.atomic():
        first = Entry.objects.filter(act=order.act).first()
        if first:
            raise AlreadyWritten(receipt_of(first, again=True))
        Yard.objects.create(id=order.yard, code=code or new_yard_code())
        with book(order, "open_yard") as act:
            named = Particulars(name=name, country=country, state=state, zone=order.zone, keeps=keeps)
            act.write(named, aside={"phone": phone})
            for role in roles:
                act.write(Member(person_id=order.by, role=role))
    return act.receipt


@verb
def add_member(order: Order, *, person: UUID, roles: tuple[str, ...]) -> Receipt:
    """Give a person these roles, beside those already held. Raises Refused where nothing would change."""
    with book(order, "add_member") as act:
        strange = set(roles) - set(ROLES)
        if strange:
            raise Refused(f"{', '.join(sorted(strange))} is no role; choose one of the list.")
        held = Member.objects.filter(yard=order.yard, person=person, ended=False, replaced_by=None)
        fresh = [role for role in ROLES if role in roles and role not in set(held.values_list("role", flat=True))]
        if not fresh:
            raise Refused("This person holds these roles already; choose another one.")
        if not held:
            close_doors(person)  # given out where this yard was not meant
        for role in fresh:
            act.write(Member(person_id=person, role=role))
    return act.receipt


@verb
def end_member(order: Order, *, member: UUID) -> Receipt:
    """End one role of one person; with the last one the links that are out for that person close.

    Raises Refused for the last manager: somebody must be able to let people in.
    """
    with book(order, "end_member") as act:
        held = Member.objects.filter(pk=member, yard=order.yard, ended=False, replaced_by=None).first()
        if held is None:
            raise Refused("This role was ended already; nothing was changed.")
        if held.role == "manager" and last_manager(order.yard, held.person_id):
            raise Refused("This is the last yard manager; make somebody else yard manager first.")
        act.write(Member(person_id=held.person_id, role=held.role, ended=True, replaces_id=held.id))
        if len(roles_of(order.yard, held.person_id)) == 1:
            close_doors(held.person_id)
    return act.receipt


@verb
def leave_yard(order: Order) -> Receipt:
    """End every role of the person who asks for it. Raises Refused for the last manager, and for whoever has none."""
    with book(order, "leave_yard") as act:
        held = Member.objects.filter(yard=order.yard, person=order.by, ended=False, replaced_by=None).order_by("role")
        if not held:
            raise Refused("You hold no role in this yard; nothing was changed.")
        if last_manager(order.yard, order.by):
            raise Refused("You are the last yard manager; make somebody else yard manager first.")
        for one in held:
            act.write(Member(person_id=one.person_id, role=one.role, ended=True, replaces_id=one.id))
        close_doors(order.by)
    return act.receipt


def last_manager(yard: UUID, person: UUID) -> bool:
    """Whether this person manages the yard and nobody else does."""
    return {one.pk for one, held in people(yard) for member in held if member.role == "manager"} == {person}


@verb
def erase_aside(order: Order, *, record: UUID, why: str) -> Receipt:
    """Erase the personal data of one record, as a law may ask; the entry that names their digest stays.

    Raises Refused where there is nothing to erase, or no reason is given.
    """
    with book(order, "erase_aside") as act:
        if not why.strip():
            raise Refused("Say which law or request asks for this; the reason stays in the day-book.")
        gone, _ = Aside.objects.filter(record=record, yard=order.yard).delete()
        if not gone:
            raise Refused("There are no personal data beside this record; nothing was changed.")
        act.write(Erasure(of=record, why=why.strip()))
    return act.receipt


def new_door(person: Person) -> str:
    """Make a link that signs this person in, once; the secret that it ends with. Only its SHA-256 is kept.

    It closes every link that was made before: of one person one link is out at most.
    """
    secret = secrets.token_urlsafe(24)
    with transaction.atomic():
        close_doors(person.pk)
        Door.objects.create(person=person, digest=door_digest(secret), closes_at=timezone.now() + OPEN_FOR)
    return secret


def close_doors(person: UUID) -> int:
    """Close every link of this person that is not used yet; how many of them would still have opened."""
    unused = Door.objects.filter(person=person, used_at=None)
    still = unused.filter(closes_at__gte=timezone.now()).count()
    unused.delete()
    return still


def door_digest(secret: str) -> str:
    """By what a link is found."""
    return sha256(secret.encode()).hexdigest()


def walk_through(secret: str) -> Person | None:
    """The person whom this link signs in, and the link is used up; None where it is unknown, used or past its time."""
    with transaction.atomic():
        door = _door(secret, Door.objects.select_for_update())
        if door is None:
            return None
        door.used_at = timezone.now()
        door.save(update_fields=["used_at"])
        return door.person


def behind(secret: str) -> Person | None:
    """The person whom this link would sign in. Looking uses nothing up; None where the link is no longer good."""
    door = _door(secret, Door.objects.all())
    return door.person if door else None


def _door(secret: str, doors: QuerySet[Door]) -> Door | None:
    """The door of this secret, None where it is unknown, used, past its time, or of somebody who was put out."""
    found = doors.select_related("person").filter(digest=door_digest(secret), used_at=None)
    return found.filter(closes_at__gte=timezone.now(), person__is_active=True).first()
