"""Start-up checks. Each has an id, says what is wrong and what to do about it."""

import ctypes
import os
from collections.abc import Sequence
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, Warning, register
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper

from hazmat import rulebooks
from hazmat.book import guards
from hazmat.conf.home import PRAGMAS
from hazmat.rulebooks.strict import RulebookError

PRINTING = {
    "libpango-1.0.so.0": "libpango-1.0-0",
    "libpangoft2-1.0.so.0": "libpangoft2-1.0-0",
    "libharfbuzz-subset.so.0": "libharfbuzz-subset0",
}
"""Shared libraries that WeasyPrint loads to make a PDF, and the Debian package that brings each.

https://doc.courtbouillon.org/weasyprint/stable/first_steps.html
"""


@register("printing")
def printing_libraries(**kwargs: Any) -> list[CheckMessage]:
    """hazmat.W001: a library that a PDF needs cannot be loaded. Everything but paper works without it."""
    missing = [name for name in PRINTING if not loads(name)]
    if not missing:
        return []
    return [
        Warning(
            f"No paper can be printed: {', '.join(missing)} cannot be loaded.",
            hint=f"Run: sudo apt-get install -y {' '.join(PRINTING.values())}",
            id="hazmat.W001",
        )
    ]


def loads(library: str) -> bool:
    """Whether the system's loader finds this shared library."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


@register(Tags.security)
def lasting_key(**kwargs: Any) -> list[CheckMessage]:
    """hazmat.W002: nobody gave a signing key and none can be kept, so each process signs with one of its own."""
    home = settings.OILWARD_HOME
    there = next(folder for folder in (home, *home.parents) if os.path.exists(folder))
    writable = there.is_dir() and os.access(there, os.W_OK)
    if os.environ.get("OILWARD_SECRET_KEY") or os.access(home / "secret-key", os.R_OK) or writable:
        return []
    return [
        Warning(
            f"No signing key can be kept in {home}: whoever signs in is known to one process only.",
            hint="Let this user write there, or set OILWARD_SECRET_KEY.",
            id="hazmat.W002",
        )
    ]


@register(Tags.database)
def sqlite_pragmas(databases: Sequence[str] | None = None, **kwargs: Any) -> list[CheckMessage]:
    """hazmat.E001: a SQLite connection lacks a setting that the book's promises rest on."""
    return [
        Error(
            f"The SQLite database {alias!r} answers {name}={found}, where {wanted} is needed.",
            hint="Set OPTIONS as hazmat.conf.home.sqlite does, and keep the book in a file on a local disk.",
            id="hazmat.E001",
        )
        for alias in databases or ()
        if connections[alias].vendor == "sqlite"
        for name, wanted, found in weakened(connections[alias])
    ]


@register(Tags.database)
def every_guard(databases: Sequence[str] | None = None, **kwargs: Any) -> list[CheckMessage]:
    """hazmat.E002: a table that is written once could be changed, since its guard is not on."""
    return [
        Error(
            f"The table {table!r} of the database {alias!r} has lost its guard: what is written could be changed.",
            hint="Run: manage.py migrate",
            id="hazmat.E002",
        )
        for alias in databases or ()
        for table in guards.missing(connections[alias])
    ]


@register("rulebooks")
def loaded_rulebooks(**kwargs: Any) -> list[CheckMessage]:
    """hazmat.E003: a rulebook that was loaded beside what ships cannot be read, so nothing would be judged by it."""
    broken: list[CheckMessage] = []
    for name, file in rulebooks.loaded().items():
        try:
            rulebooks.taken(name, file.read_text(encoding="utf-8"))
        except (RulebookError, OSError, UnicodeDecodeError) as wrong:
            broken.append(
                Error(
                    f"The loaded rulebook {file} cannot be used: {wrong}",
                    hint=f"Move it away and load it anew: manage.py rulebooks --load {name}.toml",
                    id="hazmat.E003",
                )
            )
    return broken


def weakened(connection: BaseDatabaseWrapper) -> list[tuple[str, str, str]]:
    """Each setting of this SQLite connection that differs: its name, what is wanted, what was found."""
    answers = []
    with connection.cursor() as cursor:
        for name, wanted in PRAGMAS.items():
            cursor.execute(f"PRAGMA {name}")
            answers.append((name, wanted, str(cursor.fetchone()[0])))
    answers.append(("transaction_mode", "IMMEDIATE", str(getattr(connection, "transaction_mode", None))))
    return [(name, wanted, found) for name, wanted, found in answers if found != wanted]
