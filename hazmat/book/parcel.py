"""The file that holds a whole book: what stands in it, and whether it is one, before anything of it is used."""

import shutil
import zipfile
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from re import compile as pattern
from typing import Any

import msgspec
from django.apps import apps
from django.db import models

FORMAT = 1
"""The shape of a backup. Another shape would get another number. Source: our own."""
BLOCK = 1 << 20
"""Bytes of a file that are read together. Source: our own choice."""
DENSEST = 200
"""How many times smaller a member may be packed; keys and hashes keep a large table far from it. Source: our bound."""
LONGEST = 1 << 26
"""Bytes of one row, and of one picture or paper: 64 MiB, which nothing of ours comes near. Source: our own bound."""
LIST = "manifest.json"
MEMBER = pattern(r"rows/[a-z]+\.[a-z]+\.jsonl|files/[0-9a-f]{64}|manifest\.json")
PACKED = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
APPS = ("hazmat", "disposal")


class CannotRestore(Exception):
    """A file that is not taken up: one sentence with what is wrong; nothing was changed."""


def kept_models() -> list[type[models.Model]]:
    """Every table that holds facts: all of ours but those that can be made again, or that open doors."""
    return [model for model in _ours() if getattr(model, "in_backup", True)]


def made_again() -> list[type[models.Model]]:
    """Our tables that a backup does not hold."""
    return [model for model in _ours() if not getattr(model, "in_backup", True)]


def _ours() -> list[type[models.Model]]:
    return [model for name in APPS for model in apps.get_app_config(name).get_models()]


def member_of(model: type[models.Model]) -> str:
    """The member that holds the rows of a table."""
    return f"rows/{model._meta.label_lower}.jsonl"


def examined(kept: zipfile.ZipFile, room: Path) -> dict[str, Any]:
    """The list of a backup, once every member is there, is named as ours are, and has the bytes that it should.

    `room`: where it would be unpacked. Raises CannotRestore, and whatever zip files raise where they are damaged.
    """
    infos = kept.infolist()
    _refuse_strange(infos)
    _refuse_tight(infos, room, Path(str(kept.filename)).stat().st_size)
    told, members = _list(kept)
    there = {one.filename for one in infos} - {LIST}
    if lost := sorted(set(members) ^ there):
        raise CannotRestore(f"{lost[0]} is missing or was added")
    known = {member_of(model) for model in kept_models()}
    if unknown := sorted(name for name in there if name.startswith("rows/") and name not in known):
        raise CannotRestore(f"it holds a table that this version does not know, {unknown[0]}; bring Oilward up to date")
    for name, digest in members.items():
        if _digest(kept, name) != digest:
            raise CannotRestore(f"{name} was changed since the backup was made")
    return told


def _refuse_strange(infos: list[zipfile.ZipInfo]) -> None:
    seen: set[str] = set()
    for one in infos:
        if not MEMBER.fullmatch(one.filename):
            raise CannotRestore(f"it holds a member that no backup has: {one.filename!a}")
        if one.filename in seen:
            raise CannotRestore(f"it holds a member that no backup has: {one.filename} a second time")
        if one.compress_type not in PACKED or one.flag_bits & 1:
            raise CannotRestore(f"{one.filename} is packed in a way that no backup is")
        seen.add(one.filename)


def _refuse_tight(infos: list[zipfile.ZipInfo], room: Path, size: int) -> None:
    """Refuse what would swell up: packed too tight, members that share bytes, more than there is room for."""
    for one in infos:
        if one.file_size > max(LONGEST, DENSEST * one.compress_size):
            raise CannotRestore(f"{one.filename} is packed tighter than anything of ours; it is not unpacked")
        if one.filename.startswith("files/") and one.file_size > LONGEST:
            raise CannotRestore(f"{one.filename} is larger than any picture or paper of ours; it is not unpacked")
    if sum(one.compress_size for one in infos) > size:
        raise CannotRestore("its members lie over one another; it is not unpacked")
    while not room.exists():
        room = room.parent
    needed, free = sum(one.file_size for one in infos), shutil.disk_usage(room).free
    if needed > free:
        raise CannotRestore(f"it needs {needed >> 20} MiB, and {free >> 20} MiB are free here; make room first")


class _Yard(msgspec.Struct):
    code: str
    seq: str
    head: str


class _Member(msgspec.Struct):
    sha256: str


class _List(msgspec.Struct):
    format: int
    made_at: str
    yards: list[_Yard]
    members: dict[str, _Member]


def _list(kept: zipfile.ZipFile) -> tuple[dict[str, Any], dict[str, str]]:
    try:
        raw = kept.read(LIST)
        told: dict[str, Any] = msgspec.json.decode(raw)
        if isinstance(told, dict) and told.get("format") != FORMAT:
            raise CannotRestore(
                f"it is of format {told.get('format')}; format {FORMAT} is read here. Use the version that wrote it"
            )
        found = msgspec.convert(told, _List)
        told["heads"] = [(one.code, int(one.seq), one.head) for one in found.yards]
    except (KeyError, ValueError, RecursionError):
        raise CannotRestore("it holds no list of what is in it; it is no backup of ours") from None
    return told, {name: one.sha256 for name, one in found.members.items()}


def _digest(kept: zipfile.ZipFile, name: str) -> str:
    found = sha256()
    with kept.open(name) as member:
        while block := member.read(BLOCK):
            found.update(block)
    return found.hexdigest()


def lines(kept: zipfile.ZipFile, name: str) -> Iterator[dict[str, Any]]:
    """The rows of one member. Raises CannotRestore for a line that is no row."""
    with kept.open(name) as member:
        while line := member.readline(LONGEST):
            try:
                row = msgspec.json.decode(line) if len(line) < LONGEST else None
            except (msgspec.DecodeError, RecursionError):
                row = None
            if not isinstance(row, dict):
                raise CannotRestore(f"{name} holds a line that is no row")
            yield row
