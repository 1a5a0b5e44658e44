"""An extension of use that an authority gave for a unit, as it is written down and on record; it never shortens one."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from hazmat.core.amended import Amendable, counting

UNTIL = "use_extended_until"
"""The fact of a line that it may put off, as the duties of a law name it under `extended_by`."""


@dataclass(frozen=True, kw_only=True)
class ExtensionIn:
    """What the letter says: use is extended `until` this day, `given_on` that one, `by` whom, under which number."""

    until: date
    given_on: date
    by: str
    number: str = ""
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class ExtensionNow(Amendable):
    """An extension on record; days as ISO 8601 text, `at`: when it was written down."""

    until: str
    given_on: str
    by: str
    at: str
    number: str = ""
    note: str = ""


def put_off(line: Mapping[str, Any], extensions: Iterable[ExtensionNow]) -> Mapping[str, Any]:
    """A line of a register as the extensions that count leave it: the latest day of theirs and of its own."""
    days = [one.until for one in counting(extensions)]
    return {**line, UNTIL: max([*days, str(line.get(UNTIL) or "")])} if days else line
