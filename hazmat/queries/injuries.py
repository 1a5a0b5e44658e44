"""Notes of injuries, for those who may read them."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from hazmat.book.aside import words_by_record
from hazmat.models import InjuryNote
from hazmat.queries.yards import names_of


@dataclass(frozen=True, kw_only=True)
class Note:
    """A note. `told`: what it says, empty where it was erased; `who`: whom it is about."""

    id: str
    seq: int
    written_at: datetime
    told: dict[str, Any]
    who: str


def notes(yard: UUID, me: UUID, *, all_of_them: bool) -> list[Note]:
    """The notes that this person may read, the latest first: all of them, or those about this person alone."""
    rows = list(InjuryNote.objects.filter(yard=yard, replaced_by=None).select_related("entry").order_by("-entry__seq"))
    asides = words_by_record(one.pk for one in rows)
    shown = [one for one in rows if all_of_them or asides.get(one.pk, {}).get("about") == str(me)]
    names = names_of(UUID(about) for one in shown if (about := asides.get(one.pk, {}).get("about")))
    return [_note(one, asides.get(one.pk, {}), names) for one in shown]


def _note(one: InjuryNote, told: dict[str, Any], names: dict[UUID, str]) -> Note:
    who = names.get(UUID(told["about"]), "") if told.get("about") else str(told.get("name", ""))
    return Note(id=str(one.pk), seq=one.entry.seq, written_at=one.entry.recorded_at, told=told, who=who)
