"""One strict reader of JSON lines: a register, one unit a line.

Every refusal is one sentence: which line, where in it, what stood there, what may stand there. A reader never guesses
and never drops a key: what it does not know it refuses, and what is null is *not known*.
"""

import json
from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal
from typing import Any

import msgspec

from hazmat.core.facts import Unit
from hazmat.edge.cross import contradiction
from hazmat.edge.shapes import TWICE, Shapes, Slip, json_number, shown

BOM = b"\xef\xbb\xbf"


class Refused(ValueError):
    """A line that is not read: where it is, and the sentence for the person."""

    def __init__(self, line: int, path: str, says: str) -> None:
        super().__init__(f"line {line}{', ' + path if path else ''}: {says}")
        self.line, self.path, self.says = line, path, says


class Reader:
    """Reads lines one by one and remembers the ids that it has seen. `today`: nothing may lie after it."""

    def __init__(self, today: date) -> None:
        self.seen: set[str] = set()
        self._shapes = Shapes(today)

    def lines(self, stream: Iterable[bytes], first: int = 1) -> Iterator[tuple[int, Unit | Refused]]:
        """The number of each line with its unit or refusal, in order. Blank lines and a byte-order mark are skipped.

        `first`: the number of the first line; only line 1 may begin with a byte-order mark.
        """
        for number, raw in enumerate(stream, first):
            if number == 1:
                raw = raw.removeprefix(BOM)
            if raw.strip():
                try:
                    yield number, self.unit(raw)
                except Slip as slip:
                    yield number, Refused(number, slip.path, slip.says)

    def unit(self, raw: bytes) -> Unit:
        """One line as a unit. Raises Slip."""
        unit = self._quickly(raw) or self._carefully(raw)
        wrong = contradiction(unit)
        if wrong:
            raise Slip(*wrong)
        if unit.id in self.seen:
            raise Slip("id", f"{shown(unit.id)} stood on an earlier line already; each unit has an id of its own")
        self.seen.add(unit.id)
        return unit

    def _quickly(self, raw: bytes) -> Unit | None:
        """The quick way, or None where it could hide a key that stands twice or has no words for what is wrong.

        Without a backslash and without white space before a colon, `":` stands once for each key written; it must be
        there as often as keys were read.
        """
        if b"\\" in raw or b" :" in raw or b"\t" in raw or b"\r:" in raw:
            return None
        shapes = self._shapes
        shapes.keys = 0
        try:
            unit: Unit = shapes.read(Unit, _decode_quickly(raw))
        except (msgspec.DecodeError, ValueError, RecursionError, Slip):
            return None
        return unit if shapes.keys == raw.count(b'":') else None

    def _carefully(self, raw: bytes) -> Unit:
        """The way that finds the words for whatever is wrong. Raises Slip."""
        unit: Unit = self._shapes.read(Unit, one_object(raw, '{"id": "A1", "kind": "drum"}'))
        return unit


def one_object(raw: bytes, example: str) -> dict[str, Any]:
    """One line as a JSON object, in which a key that stands twice holds TWICE. Raises Slip with an `example`."""
    try:
        parsed = _decode(raw.decode("utf-8").strip())
        if b"\\u" in raw:
            json.dumps(parsed, ensure_ascii=False, default=str).encode()
    except UnicodeEncodeError:
        raise Slip("", "half a character stood there (a lone surrogate); write the whole character") from None
    except UnicodeDecodeError:
        raise Slip("", "it is not UTF-8 text; save the file as UTF-8") from None
    except RecursionError:
        raise Slip("", "it is nested too deep; one flat object may stand there") from None
    except ValueError as error:
        raise Slip("", f"it is not JSON ({_short(error)}); one object such as {example} may stand there") from None
    if type(parsed) is not dict:
        raise Slip("", f"{shown(parsed)} stood there; one object may stand there")
    return parsed


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object; a key that stands twice gets a value that no reader takes."""
    found = dict(pairs)
    if len(found) != len(pairs):
        names = [name for name, _ in pairs]
        found[next(name for name in names if names.count(name) > 1)] = TWICE
    return found


_decode = json.JSONDecoder(object_pairs_hook=_object, parse_float=json_number, parse_constant=Decimal).decode
_decode_quickly = msgspec.json.Decoder(float_hook=json_number).decode


def _short(error: ValueError) -> str:
    return f"at character {error.pos + 1}" if isinstance(error, json.JSONDecodeError) else "a number is too long"
