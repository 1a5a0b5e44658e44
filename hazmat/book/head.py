"""What every act costs, in plain SQL: the head row locked and moved, the entry looked for and written."""

from datetime import datetime
from functools import cache
from typing import Any
from uuid import UUID

from django.db import connection


class NoSuchYard(LookupError):
    """No yard has this id."""


def locked(yard: UUID, act: UUID) -> tuple[int, str, bool]:
    """Sequence number and hash of the last entry of a yard, whose row is locked until the transaction ends.

    Last: whether this act stands in the book, asked under the lock, so that nobody writes it meanwhile. On SQLite the
    transaction itself holds the lock, since it begins as a writer, and one statement asks both; elsewhere a statement
    of its own does, since one that waited for the lock still sees the rows of before. Raises NoSuchYard.
    """
    with connection.cursor() as cursor:
        if not connection.features.has_select_for_update:
            cursor.execute(BOTH, [_key(act), _key(yard)])
            row = cursor.fetchone()
            if row is None:
                raise NoSuchYard(str(yard))
            return int(row[0]), str(row[1]), bool(row[2])
        cursor.execute(LOCK, [_key(yard)])
        row = cursor.fetchone()
        if row is None:
            raise NoSuchYard(str(yard))
        cursor.execute("SELECT 1 FROM hazmat_entry WHERE act = %s", [_key(act)])
        return int(row[0]), str(row[1]), cursor.fetchone() is not None


BOTH = "SELECT seq, head, EXISTS (SELECT 1 FROM hazmat_entry WHERE act = %s) FROM hazmat_yard WHERE id = %s"
LOCK = "SELECT seq, head FROM hazmat_yard WHERE id = %s FOR UPDATE"
HEAD = "UPDATE hazmat_yard SET seq = %s, head = %s WHERE id = %s"
ENTRY = (
    "INSERT INTO hazmat_entry (id, yard_id, seq, act, verb, by_id, happened_at, recorded_at, body, hash) "
    "VALUES (%s, %s, %s, %s, %s, %s, %s, %s, %s, %s)"
)


def write_entry(
    *, id: UUID, yard: UUID, seq: int, act: UUID, verb: str, by: UUID, happened_at: datetime, recorded_at: datetime,
    body: str, hash: str,
) -> None:  # fmt: skip
    """Move the head of the yard to its newest entry, and write that entry as the last thing."""
    adapt = connection.ops.adapt_datetimefield_value
    row = [
        _key(id), _key(yard), seq, _key(act), verb, _key(by), adapt(happened_at), adapt(recorded_at), body, hash,
    ]  # fmt: skip
    with connection.cursor() as cursor:
        cursor.execute(HEAD, [seq, hash, row[1]])
        cursor.execute(ENTRY, row)


def _key(value: UUID) -> Any:
    """A key as this database keeps it."""
    return value if native_keys() else value.hex


@cache
def native_keys() -> bool:
    """Whether the database has keys of its own kind; else they are kept as 32 hexadecimal digits."""
    return connection.features.has_native_uuid_field
