"""Opening a yard, and who is what in it."""

import secrets
from datetime import timedelta
from hashlib import sha256
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from hazmat.book.act import AlreadyWritten, Order, Refused, book, verb
from hazmat.book.entry import Entry
from hazmat.book.receipt import Receipt, receipt_of
from hazmat.core.codes import FIELD, TAG_BODY, new_tag
from hazmat.models import Aside, Door, Erasure, Member, Particulars, Person, Yard
from hazmat.queries.yards import people
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
            Door.objects.filter(person=person, used_at=None).delete()  # given out where this yard was not meant
        for role in fresh:
            act.write(Member(person_id=person, role=role))
    return act.receipt


@verb
def end_member(order: Order, *, member: UUID) -> Receipt:
    """End one role of one person. Raises Refused for the last manager: somebody must be able to let people in."""
    with book(order, "end_member") as act:
        held = Member.objects.filter(pk=member, yard=order.yard, ended=False, replaced_by=None).first()
        if held is None:
            raise Refused("This role was ended already; nothing was changed.")
        managers = [one for _, held_by in people(order.yard) for one in held_by if one.role == "manager"]
        if held.role == "manager" and len(managers) == 1:
            raise Refused("This is the last yard manager; make somebody else yard manager first.")
        act.write(Member(person_id=held.person_id, role=held.role, ended=True, replaces_id=held.id))
    return act.receipt


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
    """Make a link that signs this person in, once; the secret that it ends with. Only its SHA-256 is kept."""
    secret = secrets.token_urlsafe(24)
    Door.objects.create(person=person, digest=door_digest(secret), closes_at=timezone.now() + OPEN_FOR)
    return secret


def door_digest(secret: str) -> str:
    """By what a link is found."""
    return sha256(secret.encode()).hexdigest()


def walk_through(secret: str) -> Person | None:
    """The person whom this link signs in, and the link is used up; None where it is unknown, used or past its time."""
    with transaction.atomic():
        door = Door.objects.select_for_update().select_related("person").filter(digest=door_digest(secret)).first()
        if door is None or door.used_at or door.closes_at < timezone.now() or not door.person.is_active:
            return None
        door.used_at = timezone.now()
        door.save(update_fields=["used_at"])
        return door.person
