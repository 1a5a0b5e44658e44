"""What a yard wrote down for an emergency, and whether its sheet still says so."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.utils import timezone

from hazmat.book.aside import words_of
from hazmat.book.canonical import parsed
from hazmat.models import EmergencyCard, Paper
from hazmat.papers.holds import Outdated, holds
from hazmat.papers.people import SHEET, TITLES, Card, sheet_says


def emergency_card(yard: UUID) -> Card | None:
    """What stands there now, None where nobody wrote anything down."""
    found = EmergencyCard.objects.filter(yard=yard, replaced_by=None).first()
    return Card(id=str(found.pk), words=words_of([found.pk]) if found.aside else {}) if found else None


def outdated_sheet(yard: UUID, facts: Mapping[str, Any]) -> Outdated | None:
    """The last emergency sheet, where it would say something else if it were printed now."""
    last = Paper.objects.filter(yard=yard, kind=SHEET, replaced_by=None).order_by("-entry__seq").first()
    if last is None or holds(parsed(last.payload), sheet_says(emergency_card(yard), facts, timezone.now())):
        return None
    return Outdated(id=str(last.pk), kind=SHEET, title=TITLES[SHEET], number=last.number)
