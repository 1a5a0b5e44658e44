"""Triggers that refuse every update and delete of what is written once, in the database itself.

A rebuilt table loses its triggers without a word, so they are put on after every migration and looked for at start.
"""

from collections.abc import Iterable

from django.db import models
from django.db.backends.base.base import BaseDatabaseWrapper

from hazmat.book.entry import Entry
from hazmat.book.record import record_classes

SAYS = "what is written stays written"
REFUSES = f" BEGIN RAISE EXCEPTION '{SAYS}' USING ERRCODE = 'integrity_constraint_violation'; END "
"""What the guards of PostgreSQL do."""


def guarded() -> list[type[models.Model]]:
    """The tables that nobody may change: every record class, and the entries."""
    return [Entry, *record_classes()]


def names(table: str, vendor: str) -> tuple[str, ...]:
    """Names of the guards of a table in this kind of database."""
    return (f"{table}_kept", f"{table}_whole") if vendor == "postgresql" else (f"{table}_kept", f"{table}_stays")


def install(connection: BaseDatabaseWrapper) -> None:
    """Put every guard on, afresh."""
    settle(connection)
    with connection.cursor() as cursor:
        for statement in _statements(connection):
            cursor.execute(statement)


def _statements(connection: BaseDatabaseWrapper) -> Iterable[str]:
    yield from _removals(connection)
    there = set(connection.introspection.table_names())
    tables = [model._meta.db_table for model in guarded() if model._meta.db_table in there]
    if connection.vendor == "postgresql":
        yield (f"CREATE OR REPLACE FUNCTION hazmat_stays() RETURNS trigger LANGUAGE plpgsql AS $${REFUSES}$$")
    for table in tables:
        kept, second = names(table, connection.vendor)
        if connection.vendor == "postgresql":
            stays = "EXECUTE FUNCTION hazmat_stays()"
            yield f'CREATE TRIGGER "{kept}" BEFORE UPDATE OR DELETE ON "{table}" FOR EACH ROW {stays}'
            yield f'CREATE TRIGGER "{second}" BEFORE TRUNCATE ON "{table}" FOR EACH STATEMENT {stays}'
            yield f'ALTER TABLE "{table}" ENABLE ALWAYS TRIGGER "{kept}"'
            yield f'ALTER TABLE "{table}" ENABLE ALWAYS TRIGGER "{second}"'
        else:
            yield from _texts(table, connection.vendor)


def settle(connection: BaseDatabaseWrapper) -> None:
    """Let PostgreSQL look at every reference of this transaction now: a table that waits for that cannot be altered."""
    if connection.vendor == "postgresql" and connection.in_atomic_block:
        with connection.cursor() as cursor:
            cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
            cursor.execute("SET CONSTRAINTS ALL DEFERRED")


def remove(connection: BaseDatabaseWrapper) -> None:
    """Take every guard off: for restoring a whole book, and for tests that empty their database."""
    settle(connection)
    with connection.cursor() as cursor:
        for statement in _removals(connection):
            cursor.execute(statement)


def _removals(connection: BaseDatabaseWrapper) -> Iterable[str]:
    for table, name in present(connection):
        on = f' ON "{table}"' if connection.vendor == "postgresql" else ""
        yield f'DROP TRIGGER IF EXISTS "{name}"{on}'


def present(connection: BaseDatabaseWrapper) -> list[tuple[str, str]]:
    """Table and name of each guard that is there, whatever it does."""
    return [(table, name) for table, name, _ in _triggers(connection)]


def _triggers(connection: BaseDatabaseWrapper) -> list[tuple[str, str, str]]:
    """Table, name and full text of each trigger that has the name of a guard."""
    if connection.vendor == "postgresql":
        ask = (
            "SELECT c.relname, t.tgname, "
            "t.tgenabled::text || ' ' || t.tgtype::text || ' ' || p.proname || ' ' || p.prosrc "
            "FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid JOIN pg_proc p ON p.oid = t.tgfoid "
            "WHERE NOT t.tgisinternal AND t.tgqual IS NULL AND c.relnamespace = current_schema()::regnamespace"
        )
    else:
        ask = "SELECT tbl_name, name, sql FROM sqlite_master WHERE type = 'trigger'"
    with connection.cursor() as cursor:
        cursor.execute(ask)
        found = [(str(table), str(name), str(text)) for table, name, text in cursor.fetchall()]
    return [one for one in found if one[1] in names(one[0], connection.vendor)]


ROW, BEFORE, DELETE, UPDATE, TRUNCATE = 1, 2, 8, 16, 32
"""Bits of a trigger's type in PostgreSQL. Source: PostgreSQL 16, src/include/catalog/pg_trigger.h."""


def _texts(table: str, vendor: str) -> tuple[str, ...]:
    """The full text of each guard of a table, in the order of its names."""
    kept, second = names(table, vendor)
    if vendor == "postgresql":
        each, whole = ROW | BEFORE | DELETE | UPDATE, BEFORE | TRUNCATE
        return tuple(f"A {bits} hazmat_stays {REFUSES}" for bits in (each, whole))
    return tuple(
        f'CREATE TRIGGER "{name}" BEFORE {what} ON "{table}" BEGIN SELECT RAISE(ABORT, \'{SAYS}\'); END'
        for name, what in ((kept, "UPDATE"), (second, "DELETE"))
    )


def missing(connection: BaseDatabaseWrapper) -> list[str]:
    """Tables that exist and lack a guard, or have one that does something else or is switched off."""
    on = set(_triggers(connection))
    there = set(connection.introspection.table_names())
    tables = [model._meta.db_table for model in guarded() if model._meta.db_table in there]
    return [table for table in tables if not on >= set(_wanted(table, connection.vendor))]


def _wanted(table: str, vendor: str) -> list[tuple[str, str, str]]:
    return [(table, name, text) for name, text in zip(names(table, vendor), _texts(table, vendor), strict=True)]
