"""Firms of a yard as they are called now, with the licences that stand."""

from collections import defaultdict
from uuid import UUID

from disposal.core.partnernow import LicenceNow, PartnerNow
from disposal.models import Licence, Partner


def partners(yard: UUID) -> list[PartnerNow]:
    """Every firm of a yard, by name."""
    found = {one.id: one for one in _by_record(yard).values()}
    return sorted(found.values(), key=lambda one: (one.name.casefold(), one.id))


def partner_now(yard: UUID, key: UUID) -> PartnerNow | None:
    """The firm that the record of this key began or corrected, as it stands now; None where the yard has none."""
    return _by_record(yard).get(key)


def _by_record(yard: UUID) -> dict[UUID, PartnerNow]:
    """Each firm under every record of it, called as its last correction calls it."""
    begun: dict[UUID, UUID] = {}
    last: dict[UUID, Partner] = {}
    for row in Partner.objects.filter(yard=yard).order_by("entry__seq"):
        begun[row.id] = begun[row.replaces_id] if row.replaces_id else row.id
        last[begun[row.id]] = row
    licences = _licences(yard)
    firms = {
        first: PartnerNow(
            id=str(first), record=str(row.id), name=row.name, country=row.country, note=row.note,
            licences=tuple(licences[first]),
        )
        for first, row in last.items()
    }  # fmt: skip
    return {record: firms[first] for record, first in begun.items()}


def _licences(yard: UUID) -> dict[UUID, list[LicenceNow]]:
    """The licences that stand, by the first record of their firm, in the order of their first days."""
    found: dict[UUID, list[LicenceNow]] = defaultdict(list)
    for row in Licence.objects.filter(yard=yard, replaced_by=None).order_by("since", "entry__seq"):
        licence = LicenceNow(
            id=str(row.id), what=row.what,  # type: ignore[arg-type]  # the act takes no other word
            number=row.number, since=row.since, until=row.until, issued_by=row.issued_by,
        )  # fmt: skip
        found[row.partner_id].append(licence)
    return found
