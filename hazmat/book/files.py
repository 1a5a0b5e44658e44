"""Pictures and sealed papers: each kept under the SHA-256 of its bytes, before the act that names it commits."""

import contextlib
import os
import re
import tempfile
import time
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import IO

from django.conf import settings

from hazmat.conf.home import private_folder

SHA256 = re.compile(r"[0-9a-f]{64}")
ORPHANS_KEPT = 7 * 24 * 60 * 60
"""Seconds that a file which no entry names is left alone: its act may still be on its way. Source: our own choice."""


def folder() -> Path:
    """Where the files of the book in use lie."""
    return Path(settings.OILWARD_BOOK) / "files"


def path_of(digest: str) -> Path:
    """Where the file of this SHA-256 lies, whether it is there or not. Raises ValueError for another text."""
    if not SHA256.fullmatch(digest):
        raise ValueError("a file is named by 64 hexadecimal digits")
    return folder() / digest[:2] / digest


def keep(data: bytes) -> str:
    """Write bytes, synced to disk, under their SHA-256; the digest. The same bytes are kept once."""
    digest = sha256(data).hexdigest()
    target = path_of(digest)
    if target.exists() and target.stat().st_size == len(data):
        os.utime(target)
        return digest
    private_folder(target.parent)
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=".fresh-")
    try:
        with os.fdopen(handle, "wb") as fresh:
            fresh.write(data)
            fresh.flush()
            os.fsync(fresh.fileno())
        os.replace(name, target)
    finally:
        with contextlib.suppress(FileNotFoundError):
            os.unlink(name)
    _sync(target.parent)
    return digest


def _sync(place: Path) -> None:
    """Make the name of a new file outlive a power cut too."""
    handle = os.open(place, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync(file: IO[bytes]) -> None:
    """Make the bytes of an open file outlive a power cut."""
    os.fsync(file.fileno())


def read(digest: str) -> bytes:
    """The bytes kept under this SHA-256. Raises FileNotFoundError."""
    return path_of(digest).read_bytes()


def kept() -> Iterator[str]:
    """The SHA-256 by which each file is kept."""
    for file in sorted(folder().glob("??/*")):
        if SHA256.fullmatch(file.name):
            yield file.name


def sweep(named: set[str]) -> int:
    """Take away files that no entry names and that have lain for a day; how many."""
    gone, limit = 0, time.time() - ORPHANS_KEPT
    for file in folder().glob("??/*"):
        with contextlib.suppress(FileNotFoundError):
            if file.name not in named and file.stat().st_mtime < limit:
                file.unlink()
                gone += 1
    return gone
