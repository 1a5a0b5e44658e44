"""The whole book in one file, and back: rows as JSON lines, pictures and papers under their SHA-256, a list of both.

The file does not depend on the database: a book kept in SQLite can be taken up by PostgreSQL, and the other way.
"""

import contextlib
import os
import tempfile
import zipfile
import zlib
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime
from hashlib import sha256
from itertools import islice
from pathlib import Path
from typing import Any, TypeVar
from uuid import UUID

import msgspec
from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import DatabaseError, DataError, OperationalError, connection, models, transaction
from django.utils import timezone

from hazmat.book import files, guards
from hazmat.book.entry import Entry
from hazmat.book.parcel import FORMAT, LIST, CannotRestore, examined, kept_models, lines, made_again, member_of
from hazmat.book.prove import prove
from hazmat.book.raw import one_moment
from hazmat.book.rows import Proof
from hazmat.book.standing import folds
from hazmat.book.told import read

__all__ = ["CannotRestore", "Taken", "backup", "kept_models", "restore"]

BATCH = 500
"""Rows that are written or read together. Source: our own choice."""
LEVEL = 6
"""How hard rows are packed, of 9. Source: zlib, its default."""
DAMAGED = (zipfile.BadZipFile, zlib.error, EOFError, OSError, RuntimeError, OverflowError)
"""What reading a damaged zip file may raise. Source: CPython, Lib/zipfile.py."""
NO_ROWS = (
    DatabaseError, ValidationError, msgspec.MsgspecError, LookupError, TypeError, ValueError, AttributeError,
    ArithmeticError,
)  # fmt: skip
"""What taking up rows may raise that are none."""

Some = TypeVar("Some")


@dataclass(frozen=True)
class Taken:
    """What a backup holds: rows, files, and for each yard its code, sequence number and hash.

    `lost`: files that an entry names and that were gone or changed, so that they could not be put in.
    """

    rows: int
    files: int
    yards: tuple[tuple[str, int, str], ...]
    lost: tuple[str, ...] = ()


# ------------------------------------------------------------------ out


def backup(target: Path) -> Taken:
    """Write the whole book, as at one moment, into a new file, and read it back before it gets its name.

    Raises FileExistsError where there is one already, CannotRestore where what was written does not read back.
    """
    if os.path.lexists(target):
        raise FileExistsError(str(target))
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}-")
    fresh = Path(name)
    try:
        with os.fdopen(handle, "r+b") as file:
            taken = _written(file)
            file.flush()
            files.sync(file)
        with zipfile.ZipFile(fresh) as kept:
            examined(kept, files.folder())
        _named(fresh, target)
    finally:
        fresh.unlink(missing_ok=True)
    return taken


def _written(file: Any) -> Taken:
    counts: dict[str, dict[str, Any]] = {}
    lost: list[str] = []
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=LEVEL) as out, one_moment():
        yards = _heads()
        for model in kept_models():
            counts[member_of(model)] = _write_rows(out, model)
        rows = sum(one["rows"] for one in counts.values())
        for digest in sorted(_named_files()):
            if _write_file(out, digest):
                counts[f"files/{digest}"] = {"sha256": digest}
            else:
                lost.append(digest)
        out.writestr(LIST, msgspec.json.encode(_list(counts, yards, lost)))
    return Taken(rows, sum(name.startswith("files/") for name in counts), yards, tuple(lost))


def _named(fresh: Path, target: Path) -> None:
    """Give a file its name, never in the place of another one."""
    try:
        os.link(fresh, target)
    except FileExistsError:
        raise
    except OSError:  # a disk without second names, such as many a memory stick
        if os.path.lexists(target):
            raise FileExistsError(str(target)) from None
        fresh.rename(target)
    with contextlib.suppress(OSError):
        files.sync_folder(target.parent)


def _heads() -> tuple[tuple[str, int, str], ...]:
    yards = apps.get_model("hazmat", "Yard")._default_manager.order_by("code")
    return tuple(yards.values_list("code", "seq", "head"))


def _list(
    counts: dict[str, dict[str, Any]], yards: tuple[tuple[str, int, str], ...], lost: list[str]
) -> dict[str, Any]:
    heads = [{"code": code, "seq": str(seq), "head": head} for code, seq, head in yards]
    made = timezone.now().isoformat()
    return {"format": FORMAT, "made_at": made, "yards": heads, "members": counts, "lost": lost}


def _write_rows(out: zipfile.ZipFile, model: type[models.Model]) -> dict[str, Any]:
    """One table as JSON lines; how many rows, and the SHA-256 of the whole. Raises DataError for a row that is none."""
    columns = [one.attname for one in model._meta.concrete_fields]
    found, count = sha256(), 0
    rows = model._default_manager.order_by("pk").values_list(*columns)
    wrong = ""
    with out.open(member_of(model), "w", force_zip64=True) as member:
        try:
            for row in rows.iterator(chunk_size=BATCH):
                line = msgspec.json.encode(dict(zip(columns, row, strict=True))) + b"\n"
                found.update(line)
                member.write(line)
                count += 1
        except (ValueError, TypeError, AttributeError) as odd:
            wrong = str(odd)
    if wrong:  # raised here, when the rows that were being read are let go
        raise DataError(f"{model._meta.label_lower} holds a row that is none, {wrong}")
    return {"rows": count, "sha256": found.hexdigest()}


def _named_files() -> set[str]:
    """Every file that an entry names; of a text that is no entry any more, whatever file is here and stands in it."""
    named: set[str] = set()
    loose: set[str] = set()
    for body in Entry.objects.values_list("body", flat=True).iterator(chunk_size=BATCH):
        told = read(body.encode())
        if told:
            named.update(file.sha256 for file in told.files)
        else:
            loose.update(files.SHA256.findall(body))
    return named | (loose & set(files.kept()))


def _write_file(out: zipfile.ZipFile, digest: str) -> bool:
    """Put in one file, whole and unchanged; whether it was. Pictures and printed papers are packed already."""
    try:
        data = files.path_of(digest).read_bytes()
    except (OSError, ValueError):
        return False
    if sha256(data).hexdigest() != digest:
        return False
    out.writestr(f"files/{digest}", data, zipfile.ZIP_STORED)
    return True


# ------------------------------------------------------------------ back


def restore(source: Path, prepare: Callable[[], None] = lambda: None) -> tuple[Taken, Proof]:
    """Take a backup up into the book in use, whole or not at all; then hold it against itself.

    `prepare`: makes the tables, once the file is known to be good. Raises CannotRestore where the file is damaged or of
    another format, where the book here is newer, or where the restored book does not hold against itself and would
    stand in the place of one that is here.
    """
    damaged = f"{source.name} is no backup, or it is damaged"
    kept = _or_refused(damaged, DAMAGED, lambda: zipfile.ZipFile(source))
    with kept:
        told = _or_refused(damaged, (*DAMAGED, ValueError), lambda: examined(kept, files.folder()))
        prepare()
        no_rows = f"{source.name} holds rows that cannot be taken up"
        _or_refused(no_rows, NO_ROWS, lambda: _refuse_newer(kept))
        _or_refused("a file of the backup cannot be written here", (OSError,), lambda: _bring_files(kept))
        rows, proof = _or_refused(no_rows, NO_ROWS, lambda: _brought(kept))
    return Taken(rows, sum(name.startswith("files/") for name in told["members"]), tuple(told["heads"])), proof


def _or_refused(says: str, wrong: tuple[type[Exception], ...], act: Callable[[], Some]) -> Some:
    """What this gives. Raises CannotRestore, in one line, where it fails in one of these ways."""
    try:
        return act()
    except OperationalError as failed:
        raise CannotRestore(f"the database here cannot take it up: {' '.join(str(failed).split())}") from None
    except wrong as failed:
        raise CannotRestore(f"{says}: {' '.join(str(failed).split()) or type(failed).__name__}") from None


def _brought(kept: zipfile.ZipFile) -> tuple[int, Proof]:
    """Every row, in one transaction that nobody can write beside, and the proof of what then stands here."""
    with transaction.atomic():
        if connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute("LOCK TABLE hazmat_yard IN ACCESS EXCLUSIVE MODE")
        here = _refuse_newer(kept)
        rows = _bring_rows(kept)
        connection.check_constraints()
        proof = prove()
        if proof.faults and here:
            raise CannotRestore(
                f"the backup does not hold against itself, so nothing here was changed: {proof.faults[0]}"
            )
        return rows, proof


def _refuse_newer(kept: zipfile.ZipFile) -> bool:
    """Refuse where a yard that is here goes further than the backup, or another way; whether any yard is here."""
    yards = list(apps.get_model("hazmat", "Yard")._default_manager.all())
    there = {one["id"]: one["seq"] for one in lines(kept, "rows/hazmat.yard.jsonl")}
    wanted: dict[tuple[str, int], tuple[str, str]] = {}
    for yard in yards:
        if str(yard.pk) not in there:
            raise CannotRestore(
                f"the book here has a yard {yard.code} that the backup does not know; nothing was changed"
            )
        last = Entry.objects.filter(yard=yard.pk).order_by("-seq").values_list("seq", "hash").first()
        seq, hash = last or (0, "")
        if there[str(yard.pk)] < max(seq, yard.seq):
            raise CannotRestore(
                f"the book here is newer: yard {yard.code} stands at entry {max(seq, yard.seq)}, and at "
                f"{there[str(yard.pk)]} in the backup; nothing was changed"
            )
        if last:
            wanted[str(yard.pk), seq] = (yard.code, hash)
    for entry in lines(kept, "rows/hazmat.entry.jsonl") if wanted else ():
        code, hash = wanted.pop((entry["yard_id"], entry["seq"]), ("", ""))
        if code and entry["hash"] != hash:
            _refuse_other(code, entry["seq"])
    for (_, seq), (code, _) in wanted.items():
        _refuse_other(code, seq)
    return bool(yards)


def _refuse_other(code: str, seq: int) -> None:
    raise CannotRestore(
        f"the book here went another way than the backup: entry {seq} of yard {code} is not the same; "
        "nothing was changed"
    )


def _bring_files(kept: zipfile.ZipFile) -> None:
    """Pictures and papers first, each under its SHA-256; a damaged one that lies here is mended on the way."""
    for name in kept.namelist():
        if name.startswith("files/"):
            files.keep(kept.read(name))


def _bring_rows(kept: zipfile.ZipFile) -> int:
    """Every row in the place of what is here, inside the transaction; how many."""
    guards.remove(connection)
    edition = apps.get_model("hazmat", "Edition")
    known = list(edition._default_manager.all())
    for model in [*made_again(), *kept_models()]:
        model._default_manager.all()._raw_delete(connection.alias)
    there, count = set(kept.namelist()), 0
    for model in kept_models():
        if member_of(model) in there:
            count += _bring_table(kept, model)
    has = set(edition._default_manager.values_list("digest", flat=True))
    edition._default_manager.bulk_create([one for one in known if one.digest not in has])
    guards.install(connection)
    for yard in apps.get_model("hazmat", "Yard")._default_manager.values_list("pk", flat=True):
        for fold in folds():
            fold.rebuild(yard)
    return count


def _bring_table(kept: zipfile.ZipFile, model: type[models.Model]) -> int:
    name, count = member_of(model), 0
    read = {one.attname: one for one in model._meta.concrete_fields}
    rows = lines(kept, name)
    while batch := list(islice(rows, BATCH)):
        model._default_manager.bulk_create([model(**_row(read, line, name)) for line in batch])
        count += len(batch)
    return count


def _row(read: dict[str, Any], line: dict[str, Any], name: str) -> dict[str, Any]:
    strange: Iterable[str] = sorted(set(line) - set(read))
    for column in strange:
        raise CannotRestore(
            f"{name} holds a column {column!a} that this version does not know; bring Oilward up to date"
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
