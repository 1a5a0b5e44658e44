"""Personal data beside the day-book: names, telephones, places. They can be erased by law; the entry stays whole."""

import secrets
from collections.abc import Iterable, Mapping
from typing import Any
from uuid import UUID

from django.db import models

from hazmat.book.canonical import canonical, parsed
from hazmat.core.chain import aside_digest

SALT_BYTES = 16
"""Length of a salt: 128 bits cannot be guessed. Source: NIST SP 800-132, 5.1."""


class Aside(models.Model):
    """The personal part of one record. Its salt lives and dies with it."""

    record = models.UUIDField(primary_key=True)
    yard = models.ForeignKey("hazmat.Yard", models.PROTECT, related_name="+")
    salt = models.CharField(max_length=2 * SALT_BYTES)
    body = models.TextField()

    def __str__(self) -> str:
        return f"aside of {self.record}"

    def digest(self) -> str:
        """What the entry must hold of it. Raises ValueError where the salt is no hexadecimal text."""
        return aside_digest(bytes.fromhex(self.salt), self.body.encode())

    def words(self) -> dict[str, Any]:
        """The personal data themselves."""
        found: dict[str, Any] = parsed(self.body)
        return found


def new_aside(record: UUID, yard: UUID, words: Mapping[str, Any]) -> Aside:
    """An aside with a fresh salt; empty words are left out."""
    body = canonical({key: word for key, word in words.items() if word not in (None, "")}).decode()
    return Aside(record=record, yard_id=yard, salt=secrets.token_hex(SALT_BYTES), body=body)


def words_of(records: Iterable[UUID | str]) -> dict[str, Any]:
    """The personal data of these records together; a later record's word stands over an earlier one's."""
    ids = [UUID(str(one)) for one in records]
    found = words_by_record(ids)
    together: dict[str, Any] = {}
    for one in ids:
        together.update(found.get(one, {}))
    return together


def words_by_record(records: Iterable[UUID | str]) -> dict[UUID, dict[str, Any]]:
    """The personal data of each of these records that has any."""
    ids = [UUID(str(one)) for one in records]
    return {aside.record: aside.words() for aside in Aside.objects.filter(record__in=ids)}
