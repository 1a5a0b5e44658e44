"""What people are trained for, what was let go ahead, and so who may do what on a day."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.db.models import Q

from hazmat import rulebooks
from hazmat.core.law import LawDay
from hazmat.core.training import WORKS, Held, Let, May, current, may_do
from hazmat.models import Member, Override, Person, Training
from hazmat.queries.yards import names_of, people
from hazmat.roles import WORDS, WORK

OF_DRUMS = ("drums", "hand_over")
"""Work that a yard without drums does not have."""


@dataclass(frozen=True, kw_only=True)
class Mine:
    """One person with what each piece of work says of him. `alone`: nobody else works in this book."""

    person: Person
    roles: tuple[str, ...]
    held: dict[str, Held]
    may: dict[str, May]
    own: tuple[str, ...] = ()


def house_on(on: date) -> LawDay:
    """The handling book as it stands on a day."""
    return rulebooks.house(on)


def _held(one: Training) -> Held:
    return Held(
        id=str(one.pk), kind=one.kind, done_on=one.done_on, until=one.until, own=one.entry.by_id == one.person_id,
        file=bool(one.certificate), seq=one.entry.seq,
    )  # fmt: skip


def trainings(yard: UUID, persons: Iterable[UUID]) -> dict[UUID, list[Held]]:
    """All training of these people that no correction has taken back, the last one done first."""
    found: dict[UUID, list[Held]] = defaultdict(list)
    rows = Training.objects.filter(yard=yard, person__in=set(persons), replaced_by=None).select_related("entry")
    for one in rows.order_by("-done_on", "-entry__seq"):
        found[one.person_id].append(_held(one))
    return found


def lets(yard: UUID, persons: Iterable[UUID], on: date, unit: UUID | None) -> dict[UUID, list[Let]]:
    """What was let go ahead on a day for these people, the last one last: anywhere, and at this unit."""
    where = Q(unit=None) | Q(unit=unit) if unit else Q(unit=None)
    rows = Override.objects.filter(where, yard=yard, person__in=set(persons), on=on, replaced_by=None)
    found: dict[UUID, list[Let]] = defaultdict(list)
    told = list(rows.select_related("entry").order_by("entry__seq"))
    names = names_of(one.entry.by_id for one in told)
    for one in told:
        found[one.person_id].append(
            Let(
                work=one.work, on=one.on, who=names.get(one.entry.by_id, "somebody"), why=one.reason,
                unit=str(one.unit_id or ""),
            )
        )  # fmt: skip
    return found


def who_may(
    yard: UUID, on: date, care: str, *, stores: bool, unit: UUID | None = None, works: Sequence[str] = WORKS,
    of: UUID | None = None,
) -> list[Mine]:  # fmt: skip
    """Everybody of a yard with what they may do on a day at this care. `unit`: where; `of`: this person alone."""
    members = [(person, held) for person, held in people(yard) if of in (None, person.pk)]
    keys = [person.pk for person, _ in members]
    told, let, house = trainings(yard, keys), lets(yard, keys, on, unit), house_on(on)
    shown = [one for one in works if stores or one not in OF_DRUMS]
    return [_mine(person, held, told[person.pk], let[person.pk], shown, care, on, house) for person, held in members]


def _mine(
    person: Person, members: Iterable[Member], told: Iterable[Held], let: Sequence[Let], works: Iterable[str],
    care: str, on: date, house: LawDay,
) -> Mine:  # fmt: skip
    roles = tuple(one.role for one in members)
    held = current(told)
    said = " or ".join(WORDS[one] for one in roles)
    may = {
        work: may_do(
            work,
            care,
            not WORK[work].isdisjoint(roles),
            said,
            held,
            [one for one in let if one.work == work],
            on,
            house,
        )
        for work in works
    }
    own = tuple(one.kind for one in held.values() if one.own)
    return Mine(person=person, roles=roles, held=held, may=may, own=own)


def may_now(yard: UUID, person: UUID, work: str, care: str, on: date, unit: UUID | None) -> May | None:
    """What one person may do of one piece of work; None for somebody who holds no role in this yard."""
    found = who_may(yard, on, care, stores=True, unit=unit, works=(work,), of=person)
    return found[0].may[work] if found else None
