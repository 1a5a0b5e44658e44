"""Triggers that refuse every update and delete of what is written once, in the database itself.

A rebuilt table loses its triggers without a word, so they are put on after every migration and looked for at start.
"""

from collections.abc import Iterable

from django.db import models
from django.db.backends.base.base import BaseDatabaseWrapper

from hazmat.book.entry import Entry
from hazmat.book.record import record_classes

SAYS = "what is written stays written"


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
        yield (
            "CREATE OR REPLACE FUNCTION hazmat_stays() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
            f"RAISE EXCEPTION '{SAYS}' USING ERRCODE = 'integrity_constraint_violation'; END $$"
        )
    for table in tables:
        kept, second = names(table, connection.vendor)
        if connection.vendor == "postgresql":
            stays = "EXECUTE FUNCTION hazmat_stays()"
            yield f'CREATE TRIGGER "{kept}" BEFORE UPDATE OR DELETE ON "{table}" FOR EACH ROW {stays}'
            yield f'CREATE TRIGGER "{second}" BEFORE TRUNCATE ON "{table}" FOR EACH STATEMENT {stays}'
            yield f'ALTER TABLE "{table}" ENABLE ALWAYS TRIGGER "{kept}"'
            yield f'ALTER TABLE "{table}" ENABLE ALWAYS TRIGGER "{second}"'
        else:
            yield f'CREATE TRIGGER "{kept}" BEFORE UPDATE ON "{table}" BEGIN SELECT RAISE(ABORT, \'{SAYS}\'); END'
            yield f'CREATE TRIGGER "{second}" BEFORE DELETE ON "{table}" BEGIN SELECT RAISE(ABORT, \'{SAYS}\'); END'


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
    """Table and name of each guard that is on."""
    if connection.vendor == "postgresql":
        ask = (
            "SELECT c.relname, t.tgname FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid "
            "WHERE NOT t.tgisinternal AND t.tgenabled = 'A' AND c.relnamespace = current_schema()::regnamespace"
        )
    else:
        ask = "SELECT tbl_name, name FROM sqlite_master WHERE type = 'trigger'"
    with connection.cursor() as cursor:
        cursor.execute(ask)
        found = [(str(table), str(name)) for table, name in cursor.fetchall()]
    return [(table, name) for table, name in found if name in names(table, connection.vendor)]


def missing(connection: BaseDatabaseWrapper) -> list[str]:
    """Tables that exist and lack a guard."""
    on = set(present(connection))
    there = set(connection.introspection.table_names())
    return [
        model._meta.db_table
        for model in guarded()
        if model._meta.db_table in there
        and any((model._meta.db_table, name) not in on for name in names(model._meta.db_table, connection.vendor))
    ]
