"""Pictures and sealed papers: each kept under the SHA-256 of its bytes, before the act that names it commits.

Nothing takes a file away: one that no entry names may belong to a form that waits to be sent.
"""

import contextlib
import os
import re
import tempfile
from collections.abc import Iterator
from hashlib import file_digest, sha256
from pathlib import Path
from typing import IO

from django.conf import settings

from hazmat.conf.home import private_folder

SHA256 = re.compile(r"[0-9a-f]{64}")


def folder() -> Path:
    """Where the files of the book in use lie."""
    return Path(settings.OILWARD_BOOK) / "files"


def path_of(digest: str) -> Path:
    """Where the file of this SHA-256 lies, whether it is there or not. Raises ValueError for another text."""
    if not SHA256.fullmatch(digest):
        raise ValueError("a file is named by 64 hexadecimal digits")
    return folder() / digest[:2] / digest


def keep(data: bytes) -> str:
    """Write bytes, synced to disk, under their SHA-256; the digest. The same bytes are kept once; damage is mended."""
    digest = sha256(data).hexdigest()
    target = path_of(digest)
    with contextlib.suppress(FileNotFoundError):
        if digest_of(target) == digest:
            return digest
    put_whole(target, data)
    return digest


def put_whole(target: Path, data: bytes) -> None:
    """Write a file whole or not at all, so that it outlives a power cut. Raises OSError."""
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
    sync_folder(target.parent)


def sync_folder(place: Path) -> None:
    """Make the name of a new file outlive a power cut too."""
    handle = os.open(place, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync(file: IO[bytes]) -> None:
    """Make the bytes of an open file outlive a power cut."""
    os.fsync(file.fileno())


def digest_of(path: Path) -> str:
    """The SHA-256 of a file. Raises OSError."""
    with path.open("rb") as file:
        return file_digest(file, "sha256").hexdigest()


def kept() -> Iterator[str]:
    """The SHA-256 by which each file is kept."""
    for file in sorted(folder().glob("??/*")):
        if SHA256.fullmatch(file.name):
            yield file.name
