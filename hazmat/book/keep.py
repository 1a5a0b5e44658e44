"""The whole book in one file, and back: rows as JSON lines, pictures and papers under their SHA-256, a list of both.

The file does not depend on the database: a book kept in SQLite can be taken up by PostgreSQL, and the other way.
"""

import re
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from hashlib import sha256
from itertools import islice
from pathlib import Path
from typing import Any
from uuid import UUID

import msgspec
from django.apps import apps
from django.db import DatabaseError, connection, models, transaction
from django.utils import timezone

from hazmat.book import files, guards
from hazmat.book.entry import Entry
from hazmat.book.prove import prove
from hazmat.book.record import label
from hazmat.book.rows import Proof
from hazmat.book.standing import folds

FORMAT = 1
"""The shape of a backup. Another shape would get another number. Source: our own."""
BATCH = 500
"""Rows that are written or read together. Source: our own choice."""
BLOCK = 1 << 20
"""Bytes of a file that are read together. Source: our own choice."""
DENSEST = 1000
"""How many times smaller a member may be packed; text of ours never comes near. Source: our own bound."""
LIST = "manifest.json"
MEMBER = re.compile(r"rows/[a-z]+\.[a-z]+\.jsonl|files/[0-9a-f]{64}|manifest\.json")
APPS = ("hazmat", "disposal")


class CannotRestore(Exception):
    """A file that is not taken up: one sentence with what is wrong; nothing was changed."""


@dataclass(frozen=True)
class Taken:
    """What a backup holds: rows, files, and for each yard its code, sequence number and hash."""

    rows: int
    files: int
    yards: tuple[tuple[str, int, str], ...]


def kept_models() -> list[type[models.Model]]:
    """Every table that holds facts: all of ours but those that can be made again, or that open doors."""
    found = [model for name in APPS for model in apps.get_app_config(name).get_models()]
    return [model for model in found if getattr(model, "in_backup", True)]


# ------------------------------------------------------------------ out


def backup(target: Path) -> Taken:
    """Write the whole book, as at one moment, into a new file. Raises FileExistsError where there is one already."""
    fresh = target.with_name(f".{target.name}.fresh")
    counts: dict[str, dict[str, Any]] = {}
    if target.exists():
        raise FileExistsError(str(target))
    try:
        with zipfile.ZipFile(fresh, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as out, _one_moment():
            yards = _heads()
            for model in kept_models():
                counts[f"rows/{label(model)}.jsonl"] = _write_rows(out, model)
            named = sorted(_named_files())
            for digest in named:
                counts[f"files/{digest}"] = _write_file(out, digest)
            out.writestr(LIST, msgspec.json.encode(_list(counts, yards)))
        with fresh.open("rb") as written:
            files.sync(written)
        fresh.replace(target)
    finally:
        fresh.unlink(missing_ok=True)
    return Taken(sum(one.get("rows", 0) for one in counts.values()), len(named), yards)


@contextmanager
def _one_moment() -> Iterator[None]:
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


def _heads() -> tuple[tuple[str, int, str], ...]:
    yards = apps.get_model("hazmat", "Yard")._default_manager.order_by("code")
    return tuple(yards.values_list("code", "seq", "head"))


def _list(counts: dict[str, dict[str, Any]], yards: tuple[tuple[str, int, str], ...]) -> dict[str, Any]:
    heads = [{"code": code, "seq": str(seq), "head": head} for code, seq, head in yards]
    return {"format": FORMAT, "made_at": timezone.now().isoformat(), "yards": heads, "members": counts}


def _write_rows(out: zipfile.ZipFile, model: type[models.Model]) -> dict[str, Any]:
    """One table as JSON lines; how many rows, and the SHA-256 of the whole."""
    columns = [one.attname for one in model._meta.concrete_fields]
    found, count = sha256(), 0
    rows = model._default_manager.order_by("pk").values_list(*columns)
    with out.open(f"rows/{label(model)}.jsonl", "w", force_zip64=True) as member:
        for row in rows.iterator(chunk_size=BATCH):
            line = msgspec.json.encode(dict(zip(columns, row, strict=True))) + b"\n"
            found.update(line)
            member.write(line)
            count += 1
    return {"rows": count, "sha256": found.hexdigest()}


def _named_files() -> set[str]:
    """Every file that an entry names."""
    bodies = Entry.objects.values_list("body", flat=True).iterator(chunk_size=BATCH)
    return {file["sha256"] for body in bodies for file in msgspec.json.decode(body)["files"]}


def _write_file(out: zipfile.ZipFile, digest: str) -> dict[str, Any]:
    with out.open(f"files/{digest}", "w", force_zip64=True) as member, files.path_of(digest).open("rb") as file:
        while block := file.read(BLOCK):
            member.write(block)
    return {"sha256": digest}


# ------------------------------------------------------------------ back


def restore(source: Path) -> tuple[Taken, Proof]:
    """Take a backup up into the book in use, whole or not at all; then hold it against itself.

    Raises CannotRestore where the file is damaged or of another format, where the book here is newer, or where the
    restored book does not hold against itself and would stand in the place of one that is here.
    """
    try:
        with zipfile.ZipFile(source) as kept:
            told = _checked(kept)
            here = _refuse_newer(kept)
            _bring_files(kept)
            with transaction.atomic():
                rows = _bring_rows(kept, told)
                proof = prove()
                if proof.faults and here:
                    raise CannotRestore(f"the backup does not hold against itself: {proof.faults[0]}")
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, RuntimeError) as wrong:
        raise CannotRestore(f"{source.name} is no backup, or it is damaged: {wrong}") from None
    except (DatabaseError, msgspec.DecodeError, KeyError, TypeError, ValueError) as wrong:
        raise CannotRestore(
            f"{source.name} holds rows that cannot be taken up: {' '.join(str(wrong).split())}"
        ) from None
    heads = tuple((one["code"], int(one["seq"]), one["head"]) for one in told["yards"])
    return Taken(rows, sum(name.startswith("files/") for name in told["members"]), heads), proof


def _checked(kept: zipfile.ZipFile) -> dict[str, Any]:
    """The list of a backup, once every member is there, is named as ours are, and has the bytes that it should."""
    infos = {one.filename: one for one in kept.infolist()}
    strange = next((name for name in kept.namelist() if not MEMBER.fullmatch(name)), None)
    if strange is not None or len(infos) != len(kept.namelist()):
        raise CannotRestore(f"it holds a member that no backup has: {strange or 'one stands twice'}")
    packed = next((one for one in infos.values() if one.file_size > DENSEST * max(one.compress_size, 1)), None)
    if packed:
        raise CannotRestore(f"{packed.filename} is packed tighter than any text of ours; it is not unpacked")
    try:
        told: dict[str, Any] = msgspec.json.decode(kept.read(LIST))
        format, members = told["format"], dict(told["members"])
        heads = [(one["code"], int(one["seq"]), one["head"]) for one in told["yards"]]
    except (KeyError, TypeError, ValueError, msgspec.DecodeError):
        raise CannotRestore("it holds no list of what is in it; it is no backup of ours") from None
    if format != FORMAT:
        raise CannotRestore(f"it is of format {format}; format {FORMAT} is read here. Use the version that wrote it")
    if set(members) != set(infos) - {LIST}:
        lost = sorted(set(members) ^ (set(infos) - {LIST}))
        raise CannotRestore(f"{lost[0]} is missing or was added")
    for name, one in members.items():
        if _digest(kept, name) != one["sha256"]:
            raise CannotRestore(f"{name} was changed since the backup was made")
    return {**told, "heads": heads}


def _digest(kept: zipfile.ZipFile, name: str) -> str:
    found = sha256()
    with kept.open(name) as member:
        while block := member.read(BLOCK):
            found.update(block)
    return found.hexdigest()


def _lines(kept: zipfile.ZipFile, name: str) -> Iterator[dict[str, Any]]:
    with kept.open(name) as member:
        for line in member:
            yield msgspec.json.decode(line)


def _refuse_newer(kept: zipfile.ZipFile) -> bool:
    """Refuse where a yard that is here goes further than the backup, or another way; whether any yard is here."""
    yards = list(apps.get_model("hazmat", "Yard")._default_manager.all())
    kept_yards = {one["id"]: one for one in _lines(kept, "rows/hazmat.yard.jsonl")}
    wanted = {(str(yard.pk), yard.seq): yard for yard in yards if yard.seq}
    for yard in yards:
        there = kept_yards.get(str(yard.pk))
        if there is None:
            raise CannotRestore(
                f"the book here has a yard {yard.code} that the backup does not know; nothing was changed"
            )
        if there["seq"] < yard.seq:
            raise CannotRestore(
                f"the book here is newer: yard {yard.code} stands at entry {yard.seq}, and at {there['seq']} in the "
                "backup; nothing was changed"
            )
    for entry in _lines(kept, "rows/hazmat.entry.jsonl") if wanted else ():
        met = wanted.get((entry["yard_id"], entry["seq"]))
        if met is not None and entry["hash"] != met.head:
            raise CannotRestore(
                f"the book here went another way than the backup: entry {met.seq} of yard {met.code} is not the same; "
                "nothing was changed"
            )
    return bool(yards)


def _bring_files(kept: zipfile.ZipFile) -> None:
    """Pictures and papers first, each under its SHA-256; those that are here already stay as they are."""
    for name in kept.namelist():
        if name.startswith("files/"):
            files.keep(kept.read(name))


def _bring_rows(kept: zipfile.ZipFile, told: dict[str, Any]) -> int:
    """Every row in the place of what is here, inside the transaction; how many."""
    guards.remove(connection)
    for model in [*_made_again(), *kept_models()]:
        model._default_manager.all()._raw_delete(connection.alias)
    count = 0
    for model in kept_models():
        name = f"rows/{label(model)}.jsonl"
        if name not in told["members"]:
            continue
        read = {one.attname: one for one in model._meta.concrete_fields}
        lines = _lines(kept, name)
        while batch := list(islice(lines, BATCH)):
            model._default_manager.bulk_create([model(**_row(read, line, name)) for line in batch])
            count += len(batch)
    guards.install(connection)
    for yard in apps.get_model("hazmat", "Yard")._default_manager.values_list("pk", flat=True):
        for fold in folds():
            fold.rebuild(yard)
    return count


def _made_again() -> list[type[models.Model]]:
    """Our tables that a backup does not hold."""
    found = [model for name in APPS for model in apps.get_app_config(name).get_models()]
    return [model for model in found if not getattr(model, "in_backup", True)]


def _row(read: dict[str, Any], line: dict[str, Any], name: str) -> dict[str, Any]:
    strange = set(line) - set(read)
    if strange:
        raise CannotRestore(
            f"{name} holds a column {sorted(strange)[0]} that this version does not know; bring it up to date"
        )
    return {key: _value(read[key], value) for key, value in line.items()}


def _value(column: Any, value: Any) -> Any:
    target = column.target_field if isinstance(column, models.ForeignKey) else column
    if value is None:
        return None
    if isinstance(target, models.UUIDField):
        return UUID(value)
    if isinstance(target, models.DateTimeField):
        return datetime.fromisoformat(value)
    if isinstance(target, models.DateField):
        return date.fromisoformat(value)
    return value
