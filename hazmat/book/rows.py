"""What entries name, held against the rows of the tables: a handful at a time, one comparison a row."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import msgspec

from hazmat.book import raw
from hazmat.book.aside import Aside
from hazmat.book.entry import Entry
from hazmat.book.raw import BATCH, key_of, shown
from hazmat.book.record import SPINE, Record, label, record_classes
from hazmat.book.told import Image, Told, ToldRecord, images, in_one_spelling, read
from hazmat.core.chain import aside_digest

FILE_COLUMNS = ("sha256", "thumb")
"""Columns of a record that name a file: the entry must name it too."""
WRONG = (
    "has another key", "lies in another yard", "points at another entry", "replaces another record than its entry says",
    "has another digest of its personal data than its entry says",
)  # fmt: skip
"""What is said of each field of the spine that is not as its entry says."""
UNTOLD = (ValueError, RecursionError)
"""What a row that somebody changed may raise where it is told as an image."""

_encode = msgspec.json.Encoder().encode


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
    """What the entries of a book name, gathered on the way.

    `files`: by SHA-256, the yard's code, the entry and the name; `gone`: by record, where its personal data should be;
    `erased`: by record, the yard's code and the entry that erased them; `rows`: by table, how many were met.
    """

    files: dict[str, tuple[str, int, str]] = field(default_factory=dict)
    gone: dict[str, tuple[str, int]] = field(default_factory=dict)
    erased: dict[str, tuple[str, int]] = field(default_factory=dict)
    rows: dict[str, int] = field(default_factory=dict)
    asides: int = 0


class Placed(NamedTuple):
    """An entry that was read: its key as the database gives it, its sequence number, its bytes, and what they tell."""

    key: str
    seq: int
    raw: bytes
    told: Told


Row = tuple[Any, ...]
Take = Callable[[Placed, ToldRecord, Image], None]
"""What is done with each record whose row is the one that its entry asks for."""


class Images:
    """Holds what the entries of one yard name against the rows, without making objects of them."""

    def __init__(self, yard: Any) -> None:
        self.code, self.key = yard.code, key_of(str(yard.pk))
        self.kinds = {label(kind): _Kind(kind) for kind in record_classes()}

    def held_against(self, entries: Sequence[Placed], proof: Proof, named: Named, take: Take) -> Iterator[str]:
        """Every fault of the spelling, records, personal data and files of these entries."""
        rows = self._rows(entries)
        for entry in entries:
            where, found = f"yard {self.code}, entry {entry.seq}", images(entry.told)
            if found is None:
                yield f"{where}: its text is no entry"
                continue
            if not in_one_spelling(entry.told, found, entry.raw):
                yield f"{where}: its text is not in the one spelling"
            for says in self._records(entry, found, rows, proof, named, take):
                yield f"{where}: {says}"
            for file in entry.told.files:
                named.files.setdefault(file.sha256, (self.code, entry.seq, file.name))
        yield from self._asides(entries, named)

    def _rows(self, entries: Sequence[Placed]) -> dict[str, dict[str, Row]]:
        """The rows of all records that these entries name, by table and key."""
        wanted: dict[str, list[str]] = {}
        for entry in entries:
            for record in entry.told.records:
                wanted.setdefault(record.table, []).append(record.id)
        return {table: self.kinds[table].rows(keys) for table, keys in wanted.items() if table in self.kinds}

    def _records(
        self, entry: Placed, found: list[Image], rows: dict[str, dict[str, Row]], proof: Proof, named: Named, take: Take
    ) -> Iterator[str]:
        """What is wrong with the records of one entry; what it names twice, or should have named, is a fault."""
        met, files = set(), [file.sha256 for file in entry.told.files]
        for record, image in zip(entry.told.records, found, strict=True):
            kind, (table, key) = self.kinds.get(record.table), (record.table, key_of(record.id))
            if kind is None:
                yield f"no table {table} is known here"
                continue
            if (table, key) in met:
                yield f"{table} {record.id} is named twice"
                continue
            met.add((table, key))
            proof.records += 1
            if table == "hazmat.erasure" and type(of := image.get("of")) is str:
                named.erased[of] = (self.code, entry.seq)
            for name in kind.files:
                if image.get(name) not in files:
                    yield f"the file in {name} of {table} {record.id} is named by no entry"
            row = rows[table].get(key)
            if row is not None and row[2] == entry.key:
                named.rows[table] = named.rows.get(table, 0) + 1
            if row is None:
                yield f"{table} {record.id} is gone"
                continue
            spine = (key, self.key, entry.key, key_of(record.replaces), record.aside or "")
            if kind.agrees(row, spine, record):
                take(entry, record, image)
                continue
            for says in kind.faults(row, spine, image):
                yield f"{table} {record.id} {says}"

    def _asides(self, entries: Sequence[Placed], named: Named) -> Iterator[str]:
        """Personal data against the digests that entries hold; which are gone is told at the end."""
        wanted = [(entry, one) for entry in entries for one in entry.told.records if one.aside is not None]
        for start in range(0, len(wanted), BATCH):
            some = wanted[start : start + BATCH]
            found = asides([record.id for _, record in some])
            for entry, record in some:
                here = found.get(key_of(record.id))
                where = f"yard {self.code}, entry {entry.seq}: the personal data of {record.id}"
                if here is None:
                    named.gone[record.id] = (self.code, entry.seq)
                    continue
                named.asides += 1
                yard, salt, body = here
                if yard != self.key:
                    yield f"{where} lie in another yard"
                if digest_of(salt, body) != record.aside:
                    yield f"{where} were changed"


def asides(records: Sequence[str]) -> dict[str, tuple[str, str, bytes]]:
    """Yard, salt and bytes of the personal data of these records, by key."""
    columns = [raw.column(Aside._meta.get_field(name)).sql for name in ("record", "yard", "salt")]
    which, params = raw.given(records)
    sql = f"SELECT {', '.join(columns)}, {raw.as_bytes('body')} FROM {raw.table(Aside)} WHERE record {which}"
    return {key: (yard, salt, bytes(body)) for key, yard, salt, body in raw.fetched(sql, params)}


def digest_of(salt: str, body: bytes) -> str:
    """The digest of personal data; nothing where the salt is none."""
    try:
        return aside_digest(bytes.fromhex(salt), body)
    except ValueError:
        return ""


class _Kind:
    """One record class: how its rows are read, and what image a row gives."""

    def __init__(self, kind: type[Record]) -> None:
        rest = [one for one in kind._meta.concrete_fields if one.name not in SPINE]
        self.columns = sorted((raw.column(one) for one in rest), key=lambda one: one.name)
        self.says = [(one.name, one.held, one.told) for one in self.columns]
        self.files = [one.name for one in rest if one.name in FILE_COLUMNS]
        spine = [raw.column(kind._meta.get_field(name)).sql for name in SPINE]
        self.sql = f"SELECT {', '.join([*spine, *(one.sql for one in self.columns)])} FROM {raw.table(kind)}"

    def rows(self, records: Sequence[str]) -> dict[str, Row]:
        """The rows of these records as the database gives them, by key: the spine, then the other columns by name."""
        found: dict[str, Row] = {}
        for start in range(0, len(records), BATCH):
            which, params = raw.given(records[start : start + BATCH])
            found.update((row[0], row) for row in raw.fetched(f"{self.sql} WHERE id {which}", params))
        return found

    def agrees(self, row: Row, spine: tuple[Any, ...], record: ToldRecord) -> bool:
        """Whether a row has this spine and gives the image of its entry, byte for byte."""
        image = {}
        try:
            for (name, kind, told), held in zip(self.says, row[len(SPINE) :], strict=True):
                if held is None or held == "":
                    continue
                if type(held) is not kind:
                    return False
                image[name] = told(held) if told else held
            return row[: len(SPINE)] == spine and _encode(image) == bytes(record.image)
        except UNTOLD:
            return False

    def faults(self, row: Row, spine: tuple[Any, ...], image: Image) -> list[str]:
        """What is wrong with a row that is not the one which was asked for."""
        found = [says for says, held, wanted in zip(WRONG, row, spine, strict=False) if held != wanted]
        for column, held in zip(self.columns, row[len(SPINE) :], strict=True):
            if not column.agrees(held, image.get(column.name)):
                found.append(f"differs in {column.name}")
        names = {column.name for column in self.columns}
        found += [f"has no column {name}, which its entry holds" for name in sorted(image.keys() - names)]
        return found or ["is not what its entry says"]


def strangers(kind: type[Record], yards: dict[str, str]) -> Iterator[str]:
    """Rows whose own entry does not name them: added past the book. `yards`: codes by key."""
    key, yard, entry = (raw.column(kind._meta.get_field(name)).sql for name in ("id", "yard", "entry"))
    sql, after = f"SELECT {key}, {yard}, {entry} FROM {raw.table(kind)}", ""
    last: list[Any] = []
    while batch := raw.fetched(f"{sql}{after} ORDER BY id LIMIT {BATCH}", last):
        after, last = " WHERE id > %s", [batch[-1][0]]
        told = _bodies({row[2] for row in batch})
        for record, where, by_entry in batch:
            says = f"yard {yards.get(where, 'unknown')}: {label(kind)} {shown(record)}"
            if by_entry not in told:
                yield f"{says} points at no entry"
                continue
            names = told[by_entry]
            if names is not None and (label(kind), shown(record)) not in names:
                yield f"{says} is named by no entry: it was added past the book"


def _bodies(entries: set[str]) -> dict[str, set[tuple[str, str]] | None]:
    """By key of an entry, label and id of each record that it names; None where its text is no entry."""
    which, params = raw.given([shown(entry) for entry in entries])
    key = raw.column(Entry._meta.get_field("id")).sql
    sql = f"SELECT {key}, {raw.as_bytes('body')} FROM {raw.table(Entry)} WHERE id {which}"
    found = ((entry, read(bytes(body))) for entry, body in raw.fetched(sql, params))
    return {entry: {(one.table, one.id) for one in told.records} if told else None for entry, told in found}
