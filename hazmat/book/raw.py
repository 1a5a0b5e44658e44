"""Rows as the database holds them, read in handfuls without an object for each, and as at one moment."""

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import msgspec
from django.db import OperationalError, connection, models, transaction

from hazmat.book.head import native_keys
from hazmat.book.record import LineField

BATCH = 1000
"""Rows that are read together. Source: our own choice."""
UNREADABLE = "Could not decode to UTF-8"
"""What sqlite3 says of bytes that are no text. Source: CPython, Modules/_sqlite/cursor.c."""

_encode = msgspec.json.Encoder(order="sorted").encode
_one_value = msgspec.json.Decoder(msgspec.Raw).decode


@contextmanager
def one_moment() -> Iterator[None]:
    """Everything read inside is as at one moment; whoever writes meanwhile is not held up."""
    if connection.in_atomic_block:
        yield
        return
    if connection.vendor == "postgresql":
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
            yield
        return
    connection.ensure_connection()
    with connection.cursor() as cursor:
        cursor.execute("BEGIN DEFERRED")
        try:
            yield
        finally:
            cursor.execute("ROLLBACK")


def fetched(sql: str, params: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
    """What this asks for, as it lies there. Bytes that are no text come as text that no UTF-8 can hold."""
    try:
        return _fetched(sql, params)
    except OperationalError as wrong:
        if UNREADABLE not in str(wrong):
            raise
    plain: sqlite3.Connection = connection.connection
    try:
        plain.text_factory = lambda raw: raw.decode(errors="surrogateescape")
        return _fetched(sql, params)
    finally:
        plain.text_factory = str


def _fetched(sql: str, params: Sequence[Any]) -> list[tuple[Any, ...]]:
    with connection.cursor() as cursor:
        cursor.execute(sql, list(params))
        found: list[tuple[Any, ...]] = cursor.fetchall()
    return found


def count(model: type[models.Model]) -> int:
    """How many rows a table holds."""
    return int(fetched(f"SELECT COUNT(*) FROM {table(model)}")[0][0])


def table(model: type[models.Model]) -> str:
    """The name of a table, quoted."""
    return connection.ops.quote_name(model._meta.db_table)


def as_bytes(column: str) -> str:
    """SQL for the bytes of a text column, whatever they are."""
    if connection.vendor == "postgresql":
        return f"convert_to({column}, 'UTF8')"
    return f"CAST({column} AS BLOB)"


def given(keys: Sequence[str]) -> tuple[str, list[Any]]:
    """SQL for “one of these keys”, and what it is given."""
    if native_keys():
        return "= ANY(%s::uuid[])", [list(keys)]
    return f"IN ({', '.join(['%s'] * len(keys))})", [key_of(key) for key in keys]


def key_of(key: Any) -> Any:
    """A key as it comes from a `Column`: 32 hexadecimal digits where the database has no keys of its own kind."""
    return key if native_keys() or type(key) is not str else key.replace("-", "")


def shown(key: str) -> str:
    """A key with its four hyphens, however it came."""
    if len(key) != 32:
        return key
    return f"{key[:8]}-{key[8:12]}-{key[12:16]}-{key[16:20]}-{key[20:]}"


@dataclass(frozen=True)
class Column:
    """One column: the SQL that asks for it, and how what that gives and plain data of an image follow from each other.

    `held`: the type of what the database gives; `told`: what an image says for it, where that is not the same;
    `wanted`: what the database must give for plain data.
    """

    name: str
    sql: str
    wanted: Callable[[Any], Any]
    told: Callable[[Any], Any] | None = None
    held: type = str

    def agrees(self, held: Any, plain: Any) -> bool:
        """Whether what the database gave says the same as plain data, of which None is nothing."""
        if plain is None:
            return held is None or held == ""
        try:
            wanted = self.wanted(plain)
        except (ValueError, RecursionError):
            return False
        return type(held) is type(wanted) and bool(held == wanted)

    def says(self, held: Any) -> Any:
        """What the database gave, as plain data; where that is nothing that this column can hold, as it lies there."""
        if self.told is None or type(held) is not self.held:
            return held
        try:
            return self.told(held)
        except ValueError:
            return held


def column(field: Any) -> Column:
    """How a column of a record is read. Raises TypeError for a sort of column that nobody has thought about.

    In SQLite a cast keeps the connection from making objects of what it reads.
    """
    target = field.target_field if isinstance(field, models.ForeignKey) else field
    native, name = native_keys(), connection.ops.quote_name(field.column)
    as_text = f"CAST({name} AS TEXT)"
    if isinstance(target, models.UUIDField):
        return Column(field.name, as_text, _same) if native else Column(field.name, name, key_of, shown)
    if isinstance(target, LineField):
        return Column(field.name, name, _line, _raw)
    if isinstance(target, models.BooleanField):
        if native:
            return Column(field.name, name, _same, held=bool)
        return Column(field.name, f"CAST({name} AS INTEGER)", _number, _truth, int)
    if isinstance(target, models.DateTimeField):
        return Column(field.name, _instant(name), _same) if native else Column(field.name, as_text, _stamp, _moment)
    if isinstance(target, models.DateField):
        return Column(field.name, f"to_char({name}, 'YYYY-MM-DD')" if native else as_text, _same)
    if isinstance(target, models.IntegerField):
        return Column(field.name, as_text, _same)
    if isinstance(target, models.CharField | models.TextField):
        return Column(field.name, name, _same)
    raise TypeError(f"nobody has said how {field} is held against an image")


def rows_of(model: type[models.Model], by: str, keys: Sequence[str]) -> dict[str, dict[str, Any]]:
    """Rows of a table as plain data by the name of each field, by the key in the column `by`.

    What a column cannot hold is given as it lies there.
    """
    columns = [column(field) for field in model._meta.concrete_fields]
    which, params = given(keys)
    sql = f"SELECT {', '.join(one.sql for one in columns)} FROM {table(model)} WHERE {by} {which}"
    found = {}
    for row in fetched(sql, params):
        told = {one.name: one.says(held) for one, held in zip(columns, row, strict=True)}
        found[told[by]] = told
    return found


def _same(plain: Any) -> Any:
    return plain


def _number(plain: Any) -> Any:
    return int(plain) if type(plain) is bool else plain


def _truth(held: int) -> bool:
    if held not in (0, 1):
        raise ValueError("neither true nor false")
    return held == 1


def _line(plain: Any) -> str:
    return _encode(plain).decode()


def _raw(held: str) -> msgspec.Raw:
    """The text as it lies there, once it is known to be one value and no more."""
    _one_value(held)
    return msgspec.Raw(held)


def _instant(name: str) -> str:
    return f"""to_char({name} AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"')"""


def _stamp(plain: Any) -> Any:
    """An instant as Django writes it into SQLite: a blank for the T, and no decimals where they are nought."""
    if type(plain) is not str:
        return plain
    return f"{plain[:10]} {plain[11:19]}{'' if plain[19:] == '.000000Z' else plain[19:-1]}"


def _moment(held: str) -> str:
    """An instant as an entry writes it, from the text that Django writes into SQLite."""
    return f"{held[:10]}T{held[11:19]}{held[19:] or '.000000'}Z"
