"""Who is at which job of a day at a unit."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from hazmat.book.aside import words_by_record
from hazmat.core.training import current, state
from hazmat.models import Crew, SignIn, Unit
from hazmat.queries.training import trainings
from hazmat.queries.yards import names_of

FIRST_AID = "first_aid"
"""The kind of training that somebody on a list had better hold."""


@dataclass(frozen=True, kw_only=True)
class Signed:
    """Somebody at a job. `name`: empty where it was erased; `person`: id, empty for somebody without an account.

    `by`: who ticked, where it was not that person; `left_at`: None while that person is there.
    """

    id: str
    person: str
    name: str
    part: str
    read: str
    by: str
    at: datetime
    left_at: datetime | None = None


@dataclass(frozen=True, kw_only=True)
class Job:
    """One piece of work at one unit on one day, with everybody who signed in, in order."""

    id: str
    unit: str
    tag: str
    work: str
    on: date
    care: str
    signed: tuple[Signed, ...]
    first_aid: bool

    @property
    def there(self) -> tuple[Signed, ...]:
        """Who has not left yet."""
        return tuple(one for one in self.signed if one.left_at is None)


def jobs(yard: UUID, *, unit: UUID | None = None, on: date | None = None, pk: UUID | None = None) -> list[Job]:
    """Jobs of a yard, the latest first: of one unit, of one day, or the one of this key."""
    asked = {"unit": unit, "on": on, "pk": pk}
    rows = Crew.objects.filter(yard=yard, **{key: value for key, value in asked.items() if value is not None})
    crews = list(rows.select_related("unit").order_by("-entry__seq"))
    signed = list(
        SignIn.objects.filter(crew__in=crews, replaced_by=None).select_related("entry", "out__entry")
        .order_by("entry__happened_at", "entry__seq")
    )  # fmt: skip
    asides = words_by_record(one.pk for one in signed)
    names = names_of({one.person_id for one in signed if one.person_id} | {one.entry.by_id for one in signed})
    told = {
        crew.pk: tuple(_signed(one, names, asides.get(one.pk, {})) for one in signed if one.crew_id == crew.pk)
        for crew in crews
    }
    return [_job(crew, told[crew.pk]) for crew in crews]


def _job(crew: Crew, signed: tuple[Signed, ...]) -> Job:
    return Job(
        id=str(crew.pk), unit=str(crew.unit_id), tag=crew.unit.tag, work=crew.work, on=crew.on, care=crew.care,
        signed=signed, first_aid=_first_aid(crew.yard_id, crew.on, signed),
    )  # fmt: skip


def _signed(one: SignIn, names: dict[UUID, str], aside: dict[str, str]) -> Signed:
    out = getattr(one, "out", None)
    return Signed(
        id=str(one.pk), person=str(one.person_id or ""),
        name=names.get(one.person_id, "") if one.person_id else aside.get("name", ""), part=one.part, read=one.read,
        by="" if one.entry.by_id == one.person_id else names.get(one.entry.by_id, ""), at=one.entry.happened_at,
        left_at=out.entry.happened_at if out else None,
    )  # fmt: skip


def _first_aid(yard: UUID, on: date, signed: Iterable[Signed]) -> bool:
    """Whether somebody who is still there holds first aid on this day."""
    there = [UUID(one.person) for one in signed if one.person and one.left_at is None]
    return any(state(current(held).get(FIRST_AID), on) == "holds" for held in trainings(yard, there).values())


def still_there(yard: UUID, today: date) -> list[tuple[str, int]]:
    """Units with the number of people who stand on a list of an earlier day and never signed out."""
    rows = SignIn.objects.filter(yard=yard, replaced_by=None, out=None, crew__on__lt=today)
    found: dict[UUID, int] = {}
    for unit in rows.order_by("entry__seq").values_list("crew__unit", flat=True):
        found[unit] = found.get(unit, 0) + 1
    tags = dict(Unit.objects.filter(pk__in=found).values_list("pk", "tag"))
    return [(tags[unit], count) for unit, count in found.items()]
