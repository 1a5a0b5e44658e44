"""Where everything written at run time lies: one home directory, one folder a book, one key."""

import contextlib
import os
import re
import secrets
import sqlite3
import tempfile
import warnings
import zoneinfo
from pathlib import Path
from typing import Any

import environ
from django.core.exceptions import ImproperlyConfigured

ENGINES = {
    "sqlite": "django.db.backends.sqlite3",
    "postgres": "django.db.backends.postgresql",
    "postgresql": "django.db.backends.postgresql",
}
PRAGMAS = {"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "recursive_triggers": "1"}
"""What every SQLite connection must answer: `synchronous` 2 is FULL, so that a commit outlives a power cut."""
LONGEST_NAME = 63
"""Bytes of a name in PostgreSQL. https://www.postgresql.org/docs/current/sql-syntax-lexical.html"""

ON, OFF = frozenset(("yes", "true", "on", "1")), frozenset(("no", "false", "off", "0", ""))


class BookFile(sqlite3.Connection):
    """A SQLite connection that makes its folder first, so that settings alone never write to disk."""

    def __init__(self, database: str, *args: Any, **kwargs: Any) -> None:
        private_folder(Path(database).parent)
        super().__init__(database, *args, **kwargs)


def private_folder(folder: Path) -> None:
    """Make a folder, and whatever is missing above it, for this user alone."""
    if not folder.is_dir():
        private_folder(folder.parent)
        folder.mkdir(mode=0o700, exist_ok=True)


def home_folder(written: str) -> Path:
    """The directory that holds everything written at run time. Raises ImproperlyConfigured where nobody can tell."""
    try:
        return Path(written).expanduser().resolve()
    except (RuntimeError, ValueError, OSError):
        raise ImproperlyConfigured(f"OILWARD_HOME is {written!r}; write the path of a directory.") from None


def yes_or_no(knob: str, written: str) -> bool:
    """A knob that is on or off. Raises ImproperlyConfigured for any other word."""
    word = written.strip().lower()
    if word not in ON | OFF:
        raise ImproperlyConfigured(f"{knob} is {written!r}; write yes or no.")
    return word in ON


def machine_zone() -> str:
    """The zone of this machine: TZ, else the zone that /etc/localtime points at, else UTC."""
    linked = os.path.realpath("/etc/localtime").partition("zoneinfo/")[2]
    for name in (os.environ.get("TZ", "").lstrip(":"), linked):
        with contextlib.suppress(ValueError, OSError, zoneinfo.ZoneInfoNotFoundError):
            return zoneinfo.ZoneInfo(name).key
    return "UTC"


def book_folder(home: Path, book: str) -> Path:
    """The folder of the chosen book; a name that could leave the home directory is refused."""
    if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}", book):
        raise ImproperlyConfigured(
            f"OILWARD_BOOK is {book!r}; a book's name holds 1 to 64 letters, digits, hyphens and underscores."
        )
    return home / book


def database(url: str, folder: Path) -> dict[str, Any]:
    """Django's entry for the database at `url`, or for the SQLite file in `folder` where `url` is empty.

    Raises ImproperlyConfigured for another engine, and for a SQLite database that is not a file.
    """
    if not url:
        return sqlite({"NAME": str(folder / "book.sqlite3")})
    scheme = url.partition(":")[0]
    if scheme not in ENGINES:
        raise ImproperlyConfigured(
            f"DATABASE_URL asks for the engine {scheme!r}; Oilward keeps a book in SQLite or PostgreSQL only."
        )
    with warnings.catch_warnings():
        warnings.simplefilter("error", UserWarning)
        try:
            parsed = environ.Env.db_url_config(url, engine=ENGINES[scheme])
        except (UserWarning, ValueError) as wrong:
            raise ImproperlyConfigured(f"DATABASE_URL cannot be read as a {scheme} address.") from wrong
    name = parsed["NAME"] or ""
    if "\0" in name:
        raise ImproperlyConfigured(f"DATABASE_URL cannot be read as a {scheme} address.")
    if scheme != "sqlite":
        if not (0 < len(name) <= LONGEST_NAME or "service" in parsed.get("OPTIONS", {})):
            raise ImproperlyConfigured(
                f"DATABASE_URL names no database; a name of 1 to {LONGEST_NAME} characters stands at its end, as in "
                f"{scheme}://user@host/name."
            )
        return {"CONN_MAX_AGE": 60, "CONN_HEALTH_CHECKS": True, **parsed}
    if name == ":memory:":
        raise ImproperlyConfigured("DATABASE_URL names no file; a book in SQLite is a file: sqlite:////path/to/file.")
    return sqlite(parsed)


def sqlite(entry: dict[str, Any]) -> dict[str, Any]:
    """Django's entry for a SQLite file: writers queue for the lock at BEGIN instead of failing half-way."""
    return {
        "ENGINE": ENGINES["sqlite"],
        **entry,
        "OPTIONS": {
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
            "init_command": "; ".join(f"PRAGMA {name}={value}" for name, value in PRAGMAS.items()),
            "factory": BookFile,
        },
    }


def secret_key(file: Path) -> str:
    """The signing key kept in `file`, made at first use with mode 0600.

    Where the home directory cannot be written, the key lives as long as the process: reading commands go on working.
    """
    try:
        if not file.exists():
            write_once(file, secrets.token_urlsafe(64))
        key = file.read_text(encoding="ascii")
    except OSError:
        return secrets.token_urlsafe(64)
    except UnicodeDecodeError:
        key = ""
    if not key.strip():
        raise ImproperlyConfigured(f"{file} holds no key; move it away, and a new one is made.")
    return key


def write_once(file: Path, text: str) -> None:
    """Write `text` to `file` whole or not at all; of two processes at once, the first one wins."""
    private_folder(file.parent)
    handle, name = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}-")
    try:
        with os.fdopen(handle, "w", encoding="ascii") as fresh:
            fresh.write(text)
            fresh.flush()
            os.fsync(fresh.fileno())
        os.link(name, file)
    except FileExistsError:
        return
    finally:
        os.unlink(name)
