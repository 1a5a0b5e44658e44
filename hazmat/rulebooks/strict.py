"""Strict reading of parsed TOML: each key known, each value of its kind, each mistake one sentence with its mend."""

import json
import re
import tomllib
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

from hazmat.core.law import Amount

DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
DATED = ("edition", "text_as_of", "read_on", "since", "until")
"""Keys whose value is a day, or a word in its place; every other day of a rulebook stands in quotes."""
PLAIN = re.compile(r"[0-9]+(?:\.[0-9]+)?")


class RulebookError(ValueError):
    """A rulebook that cannot be used: which file, which key, what is wrong and how to mend it."""

    def __init__(self, file: str, key: str, wrong: str, mend: str) -> None:
        super().__init__(f"{file}: {key}: {wrong}; {mend}.")
        self.file, self.key, self.wrong, self.mend = file, key, wrong, mend


def parse(path: Path) -> dict[str, Any]:
    """The parsed content of a TOML file. Raises RulebookError where it is not TOML."""
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise RulebookError(path.name, "the file", f"it is not TOML ({error})", "mend it at that place") from None


def canonical(parsed: Mapping[str, Any]) -> str:
    """One text for one content, whatever the order of keys, comments and blanks in the file."""
    return json.dumps(parsed, sort_keys=True, ensure_ascii=False, separators=(",", ":"), default=str)


def parsed(content: str) -> dict[str, Any]:
    """The content that a canonical text was made of. Raises ValueError where the text is no JSON object."""
    found = json.loads(content, object_hook=_with_days)
    if not isinstance(found, dict):
        raise ValueError("it is no table of keys and values")
    return found


def _with_days(given: dict[str, Any]) -> dict[str, Any]:
    """The days of one table of a canonical text as days again."""
    return {
        key: date.fromisoformat(value) if key in DATED and isinstance(value, str) and DAY.fullmatch(value) else value
        for key, value in given.items()
    }


class Shelfmark:
    """Where in a file we are, so that each refusal can say it."""

    def __init__(self, file: str, path: str = "") -> None:
        self.file, self.path = file, path

    def __truediv__(self, key: str) -> "Shelfmark":
        return Shelfmark(self.file, f"{self.path}.{key}" if self.path else key)

    def refuse(self, wrong: str, mend: str) -> RulebookError:
        return RulebookError(self.file, self.path or "the file", wrong, mend)


def only(at: Shelfmark, given: Mapping[str, Any], required: str = "", optional: str = "") -> None:
    """Refuse a key that is missing or that nobody knows."""
    needs, may = required.split(), optional.split()
    for key in given:
        if key not in needs and key not in may:
            raise (at / key).refuse("nobody knows this key", f"use one of: {', '.join(needs + may)}")
    for key in needs:
        if key not in given:
            raise (at / key).refuse("it is missing", f"add {key} = …")


def text(at: Shelfmark, value: Any) -> str:
    if not isinstance(value, str) or not value.strip():
        raise at.refuse("it is not a text", "write words between quotation marks")
    return value


def words(at: Shelfmark, value: Any) -> tuple[str, ...]:
    """A list of different words, at least one."""
    if not isinstance(value, list) or not value:
        raise at.refuse("it is not a list of words", 'write ["one", "two"]')
    found = tuple(text(at, one) for one in value)
    if len(set(found)) != len(found):
        raise at.refuse("a word stands twice", "keep one of them")
    return found


def table(at: Shelfmark, value: Any) -> dict[str, Any]:
    if not isinstance(value, dict):
        raise at.refuse("it is not a table", "write key = value pairs")
    return value


def rows(at: Shelfmark, value: Any) -> list[dict[str, Any]]:
    if not isinstance(value, list):
        raise at.refuse("it is not a list of rows", f"write [[{at.path}]] before each row")
    return [table(at, row) for row in value]


def day(at: Shelfmark, value: Any) -> date:
    if type(value) is not date:
        raise at.refuse("it is not a day", "write 2026-11-25, without quotation marks")
    return value


def since_day(at: Shelfmark, value: Any) -> date | None:
    """A start day, or the word unknown (None)."""
    return None if value == "unknown" else day(at, value)


def one_of(at: Shelfmark, value: Any, allowed: Iterable[str]) -> str:
    known = tuple(allowed)
    if not isinstance(value, str) or value not in known:
        raise at.refuse(f"“{value}” may not stand here", f"use one of: {', '.join(known) or '(none is defined)'}")
    return value


def amount(at: Shelfmark, value: Any, unit: str) -> Amount:
    """The value of a figure: a day where the unit is `day`, a text where it is `text`, else a decimal."""
    written = text(at, value)
    if unit == "text":
        return written
    if unit == "day":
        try:
            if not DAY.fullmatch(written):
                raise ValueError
            return date.fromisoformat(written)
        except ValueError:
            raise at.refuse(f"“{written}” is not a day", 'write "1979-07-02"') from None
    try:
        number = Decimal(written)
    except InvalidOperation:
        raise at.refuse(f"“{written}” is not a number", 'write it as a text of digits: "1.36"') from None
    if not PLAIN.fullmatch(written):
        raise at.refuse(f"“{written}” is not a plain number", 'write digits with a point: "1.36"')
    return number
