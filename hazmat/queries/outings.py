"""Who is out alone."""

from typing import Any
from uuid import UUID

from hazmat.book.aside import words_by_record
from hazmat.core.outing import OutNow
from hazmat.models import Outing


def open_outings(yard: UUID, **more: Any) -> list[OutNow]:
    """Everybody who is out, soonest due first. `more`: what the mapper filters by, such as a person."""
    rows = list(
        Outing.objects.filter(yard=yard, replaced_by=None, back=None, **more)
        .select_related("person", "unit", "entry").order_by("due_back", "entry__seq")
    )  # fmt: skip
    asides = words_by_record(one.pk for one in rows) if rows else {}
    return [
        OutNow(
            id=str(one.pk), person=str(one.person_id), called=one.person.called, left_at=one.entry.happened_at,
            due_back=one.due_back, tag=one.unit.tag if one.unit else "",
            **{key: word for key, word in asides.get(one.pk, {}).items() if key in ("where", "whom", "phone")},
        )
        for one in rows
    ]  # fmt: skip
