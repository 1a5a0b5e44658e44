"""Bays: plain places in the yard, each as it is called now."""

from dataclasses import dataclass
from uuid import UUID

from disposal.models import Bay
from disposal.queries.afresh import placed
from hazmat.book.canonical import instant
from hazmat.book.standing import Moment


@dataclass(frozen=True)
class BayNow:
    """A bay: its id, the record that names it now, its name and note, since when it is there."""

    bay: UUID
    record: UUID
    name: str
    note: str
    since: str


def bays(yard: UUID, at: int | None = None, when: Moment | None = None) -> list[BayNow]:
    """The bays of a yard by name, each as it is called now."""
    first: dict[UUID, UUID] = {}
    found: dict[UUID, BayNow] = {}
    for one, moment in sorted(placed(Bay, at, when, yard=yard), key=lambda one: one[1].seq):
        begun = first[one.pk] = first[one.replaces_id] if one.replaces_id else one.pk
        since = found[begun].since if begun in found else instant(moment.happened_at)
        found[begun] = BayNow(begun, one.pk, one.name, one.note, since)
    return sorted(found.values(), key=lambda one: (one.name.casefold(), str(one.bay)))
