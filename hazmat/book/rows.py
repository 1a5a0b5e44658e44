"""What entries name, held against the rows of the tables: plain values in handfuls, no object for each row."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from django.db import connection, models

from hazmat.book.canonical import dumps
from hazmat.book.head import native_keys
from hazmat.book.record import SPINE, LineField, Record, label, record_classes

BATCH = 1000
"""Entries that are held against their rows together. Source: our own choice."""


@dataclass
class Proof:
    """What was found: faults (one sentence each), what is worth knowing and no fault, and how much was looked at."""

    faults: list[str] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    entries: int = 0
    records: int = 0
    files: int = 0
    standings: int = 0
    papers: int = 0


@dataclass
class Named:
    """What the entries of a book name, gathered on the way."""

    files: dict[str, str] = field(default_factory=dict)
    asides: dict[str, tuple[str, int]] = field(default_factory=dict)
    erased: dict[str, int] = field(default_factory=dict)


class Images:
    """Holds what entries name against the rows of the tables, a batch at a time, without making objects of them."""

    def __init__(self, yard: Any) -> None:
        self.yard = yard
        self.key = str(yard.pk) if native_keys() else yard.pk.hex
        self.kinds = {label(kind): _Kind(kind) for kind in record_classes()}

    def held_against(self, bodies: list[tuple[UUID, int, dict[str, Any]]], proof: Proof, named: Named) -> Iterator[str]:
        """Every fault of the records that these entries name."""
        wanted: dict[str, list[tuple[str, int, dict[str, Any]]]] = {}
        for entry, seq, body in bodies:
            for record in body["records"]:
                wanted.setdefault(record["table"], []).append((str(entry), seq, record))
                if record["aside"]:
                    named.asides[record["id"]] = (record["aside"], seq)
                if record["table"] == "hazmat.erasure":
                    named.erased[record["image"]["of"]] = seq
            for file in body["files"]:
                named.files.setdefault(file["sha256"], f"yard {self.yard.code}, entry {seq}: the file {file['name']}")
        for table, records in wanted.items():
            kind = self.kinds.get(table)
            if kind is None:
                yield f"yard {self.yard.code}, entry {records[0][1]}: no table {table} is known here"
                continue
            rows = kind.rows([record["id"] for _, _, record in records])
            proof.records += len(records)
            for by_entry, seq, record in records:
                for says in kind.faults(rows.get(record["id"]), by_entry, str(self.yard.pk), record):
                    yield f"yard {self.yard.code}, entry {seq}: {table} {record['id']} {says}"


class _Kind:
    """One record class: how its rows are read as plain values, and how an image is made of them."""

    def __init__(self, kind: type[Record]) -> None:
        self.kind = kind
        spine: list[Any] = [kind._meta.get_field(name) for name in SPINE]
        rest = [one for one in kind._meta.concrete_fields if one.name not in SPINE]
        self.fields = [*spine, *rest]
        self.names = [one.name for one in rest]
        self.plain = [_plain(one) for one in self.fields]

    def rows(self, ids: list[str]) -> dict[str, list[Any]]:
        """The rows of these ids as plain data: the spine (id, yard, entry, replaces, aside), then the other columns."""
        found: dict[str, list[Any]] = {}
        table = connection.ops.quote_name(self.kind._meta.db_table)
        columns = ", ".join(connection.ops.quote_name(str(one.column)) for one in self.fields)
        for start in range(0, len(ids), BATCH // 2):
            keys = ids[start : start + BATCH // 2]
            if not native_keys():
                keys = [key.replace("-", "") for key in keys]
            marks = ", ".join(["%s"] * len(keys))
            with connection.cursor() as cursor:
                cursor.execute(f"SELECT {columns} FROM {table} WHERE id IN ({marks})", keys)
                for row in cursor.fetchall():
                    told = [read(value) for read, value in zip(self.plain, row, strict=True)]
                    found[told[0]] = told
        return found

    def faults(self, row: list[Any] | None, entry: str, yard: str, record: Mapping[str, Any]) -> Iterator[str]:
        """What is wrong with one row."""
        if row is None:
            yield "is gone"
            return
        _, in_yard, by_entry, replaces, aside, *values = row
        if in_yard != yard:
            yield "lies in another yard"
        if by_entry != entry:
            yield "points at another entry"
        if replaces != record["replaces"]:
            yield "replaces another record than its entry says"
        if (aside or None) != record["aside"]:
            yield "has another digest of its personal data than its entry says"
        image = record["image"]
        for name, value in zip(self.names, values, strict=True):
            if value is None or value == "":
                if name in image:
                    yield f"differs in {name}"
            elif name not in image or not _same(value, image[name]):
                yield f"differs in {name}"


@dataclass(frozen=True)
class _Text:
    """A column that holds canonical JSON, kept as its text."""

    text: str


def _same(value: Any, image: Any) -> bool:
    if type(value) is _Text:
        return dumps(image) == value.text.encode()
    return bool(value == image)


def _plain(column: Any) -> Callable[[Any], Any]:
    """How a raw value of this column becomes plain data, as an image holds it."""
    target = column.target_field if isinstance(column, models.ForeignKey) else column
    if isinstance(target, models.UUIDField):
        return _key
    if isinstance(column, LineField):
        return lambda value: None if value is None else _Text(value)
    if isinstance(target, models.BooleanField):
        return lambda value: None if value is None else bool(value)
    if isinstance(target, models.IntegerField | models.DateField):
        return lambda value: None if value is None else str(value)
    return _as_it_is


def _as_it_is(value: Any) -> Any:
    return value


def _key(value: Any) -> str | None:
    """A key as text, however the database gives it."""
    if value is None:
        return None
    text = str(value)
    if len(text) == 32:
        return f"{text[:8]}-{text[8:12]}-{text[12:16]}-{text[16:20]}-{text[20:]}"
    return text
