"""Named calculations at the edge: one JSON object in, one out; a schema; whether each published value is met."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Context, Decimal
from typing import Any

from hazmat.core.measures import figure_words
from hazmat.core.sums.frame import Box, CannotWork, Check, Line, Printed, Sum, Value, Worked
from hazmat.edge.schemas import DIALECT
from hazmat.edge.shapes import PLAIN_NUMBER, TWICE, Slip, measure, shown

SIGNED = re.compile(r"-?[0-9]{1,15}(?:\.[0-9]{1,15})?", re.ASCII)
FIGURE = re.compile(rf"([<>=]?) ?({SIGNED.pattern})", re.ASCII)
WHOLE = re.compile(r"[0-9]{1,12}", re.ASCII)
SHOWN = Context(prec=12)
"""How many digits a command tells of a figure that was worked out. Source: our own choice."""
LONGEST_LIST = 100
"""No list of shots or aliquots is longer. Source: our own bound."""

MAY: Mapping[str, str] = {
    "number": "a number that is not negative, plainly written, such as 12.5",
    "signed": "a number, plainly written, such as -4.5",
    "whole": "a whole number such as 6",
    "figure": "a number, plainly written, perhaps with < or > before it, such as <0.5",
    "list": "a list of numbers such as [48, 55, 60.5]",
    "truth": "true or false",
    "text": "a text that is not empty",
}


def read_sum(asked: Sum, raw: Mapping[str, Any]) -> dict[str, Any]:
    """What was given for a sum, strictly: each box known, of its kind, within its bounds. Raises Slip."""
    boxes = {box.key: box for box in asked.boxes}
    for key, value in raw.items():
        if value is TWICE:
            raise Slip(key, TWICE.says)
        if key not in boxes:
            raise Slip(shown(key)[1:-1], f"nobody knows this key; these may stand there: {', '.join(boxes)}")
    return {key: _given(asked, box, raw.get(key)) for key, box in boxes.items()}


def _given(asked: Sum, box: Box, raw: Any) -> Any:
    if raw is None:
        raw = box.first
    if raw is None:
        if box.needed:
            raise Slip(box.key, f"nothing stood there; {may(box)} may stand there")
        return None
    try:
        found = _read(box, raw)
    except (ValueError, TypeError, KeyError):
        raise Slip(box.key, f"{shown(raw)} stood there; {may(box)} may stand there") from None
    for one in found if isinstance(found, tuple) else (found,):
        low = box.least is not None and isinstance(one, Decimal | int) and one < box.least
        high = box.most is not None and isinstance(one, Decimal | int) and one > box.most
        if low or high:
            figure = figure_words(Decimal(one))
            plain = f"{figure} stood there; {may(box)} may stand there"
            raise Slip(box.key, asked.spoken(box.outside, {"figure": figure}) if box.outside else plain)
    return found


def _read(box: Box, raw: Any) -> Any:
    match box.kind:
        case "number":
            return Decimal(measure(raw))
        case "signed":
            return _signed(raw)
        case "whole":
            return _whole(raw)
        case "figure":
            return _figure(raw)
        case "list":
            if not isinstance(raw, list) or not 0 < len(raw) <= LONGEST_LIST:
                raise ValueError
            return tuple(Decimal(measure(one)) for one in raw)
        case "word":
            return {word: word for word in box.words}[raw]
        case "truth":
            return {True: True, False: False, "true": True, "false": False}[raw]
        case "text":
            if not isinstance(raw, str) or not raw.strip():
                raise ValueError
            return raw.strip()


def _signed(raw: Any) -> Decimal:
    if type(raw) is int or isinstance(raw, Decimal):
        raw = format(raw, "f") if isinstance(raw, Decimal) else str(raw)
    if type(raw) is not str or not SIGNED.fullmatch(raw):
        raise ValueError
    return Decimal(raw)


def _figure(raw: Any) -> Printed:
    if type(raw) is int or isinstance(raw, Decimal):
        return Printed("=", _signed(raw))
    found = FIGURE.fullmatch(raw) if type(raw) is str else None
    if found is None:
        raise ValueError
    return Printed(found[1] or "=", Decimal(found[2]))


def _whole(raw: Any) -> int:
    if type(raw) is int and raw >= 0:
        return raw
    if type(raw) is not str or not WHOLE.fullmatch(raw):
        raise ValueError
    return int(raw)


def may(box: Box) -> str:
    """What may stand in a box, with its bounds."""
    if box.kind == "word":
        return f"one of {', '.join(box.words)}"
    words, unit = MAY[box.kind], f" {box.unit}" if box.unit else ""
    if box.least is not None and box.most is not None:
        return f"{words}, from {figure_words(box.least)} to {figure_words(box.most)}{unit},"
    if box.least is not None:
        return f"{words}, from {figure_words(box.least)}{unit} up,"
    return f"{words}, up to {figure_words(box.most)}{unit}," if box.most is not None else words


def work(asked: Sum, raw: Mapping[str, Any], on: date) -> Worked:
    """A sum worked out from what was written. Raises Slip, also where the sum cannot be done with it."""
    given = read_sum(asked, raw)
    try:
        return asked.worked(given, on)
    except CannotWork as wrong:
        raise Slip(wrong.box, asked.spoken(wrong.key, wrong.slots)) from None


def plain(value: Value) -> Any:
    """A value as JSON holds it: numbers as text, so that none is read as a binary float."""
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return value
    if isinstance(value, tuple):
        return [plain(one) for one in value]
    return figure_words(SHOWN.plus(Decimal(value)))


def answer(asked: Sum, worked: Worked) -> dict[str, Any]:
    """The answer as plain data: each line that came out, and what is said beside it with its document."""
    said = [{"says": says, "cite": cite.document, "basis": cite.basis} for says, cite in asked.said(worked)]
    got = {line.key: plain(worked.values[line.key]) for line in asked.lines if line.key in worked.values}
    return {"sum": asked.name, **got, "notes": said}


@dataclass(frozen=True, slots=True)
class Held:
    """One published value held against ours. `expected` and `ours`: in words; `met`: whether they agree."""

    check: Check
    expected: str
    ours: str
    met: bool


def held(asked: Sum, check: Check, on: date) -> Held:
    """Work out what somebody published a value for, and compare."""
    try:
        worked = work(asked, check.give, on)
    except Slip as slip:
        wanted = asked.sentences[check.refuses].says if check.refuses else ""
        return Held(check, "it is refused", slip.says, bool(check.refuses) and _same_words(wanted, slip.says))
    if check.refuses:
        return Held(check, "it is refused", "it was worked out", False)
    lines = {line.key: line for line in asked.lines}
    met = all(agrees(worked.values.get(key), want, check.within) for key, want in check.get.items())
    ours = ", ".join(value_words(lines[key], worked.values.get(key)) for key in check.get)
    return Held(check, ", ".join(f"{expected_words(lines[key], want)}" for key, want in check.get.items()), ours, met)


def _same_words(sentence: str, said: str) -> bool:
    """Whether something said is this sentence with its slots filled."""
    pattern = "".join(".*" if part.startswith("{") else re.escape(part) for part in re.split(r"(\{[^}]*\})", sentence))
    return re.fullmatch(pattern, said) is not None


def agrees(value: Any, want: Any, within: Decimal) -> bool:
    """Whether a value is the one that is wanted: numbers to within so much, all else exactly."""
    if isinstance(want, list):
        same = isinstance(value, tuple) and len(value) == len(want)
        return same and all(agrees(one, other, within) for one, other in zip(value, want, strict=True))
    if isinstance(value, bool) or isinstance(want, bool):
        return value is want
    if isinstance(value, Decimal | int):
        return abs(Decimal(value) - Decimal(str(want))) <= within
    return isinstance(value, str) and value == want


@dataclass(frozen=True, slots=True)
class Beside:
    """The same sum for each word of a box: the line that is compared, and each word with what comes out."""

    line: Line
    values: tuple[tuple[str, Decimal], ...]


def beside(asked: Sum, raw: Mapping[str, Any], on: date) -> Beside | None:
    """What a sum shows side by side, worked out from what was given; None where it shows nothing so."""
    draws = asked.draws
    if draws is None:
        return None
    words = next(box.words for box in asked.boxes if box.key == draws.box)
    worked = {
        says: work(asked, {**raw, draws.box: word}, on).values
        for word, says in words.items()
        if word not in draws.left_out
    }
    for key in draws.lines:
        found = tuple((says, one) for says, values in worked.items() if isinstance(one := values.get(key), Decimal))
        if len(found) == len(worked) and len({value for _, value in found}) > 1:
            return Beside(next(line for line in asked.lines if line.key == key), found)
    return None


def rows(asked: Sum, worked: Worked) -> list[tuple[str, str]]:
    """Each line that came out, in words."""
    return [(one.says, value_words(one, worked.values[one.key])) for one in asked.lines if one.key in worked.values]


def given_words(asked: Sum, raw: Mapping[str, Any]) -> list[tuple[str, str]]:
    """What was given, echoed with its unit, so that a slip of the hand or a comma is seen."""
    found = []
    for box in asked.boxes:
        value = raw.get(box.key)
        if value not in ("", [], None):
            words = ", ".join(map(str, value)) if isinstance(value, list) else box.words.get(str(value), str(value))
            shown = {"true": "yes", "false": "no"}.get(words.lower(), words) if box.kind == "truth" else words
            found.append((box.says, shown if box.words else f"{shown} {box.unit}".strip()))
    return found


def value_words(line: Line, value: Value) -> str:
    """A value for people, with its unit."""
    if value is None:
        return "none"
    if isinstance(value, bool):
        return line.words.get("yes" if value else "no", "yes" if value else "no")
    if isinstance(value, str):
        return line.words.get(value, value)
    if isinstance(value, tuple):
        return ", ".join(value_words(Line(line.key, "", "", line.places, line.words), one) for one in value) + _unit(
            line
        )
    number = Decimal(value)
    if line.digits is not None:
        return figure_words(Context(prec=line.digits).plus(number)) + _unit(line)
    if line.places is not None:
        number = number.quantize(Decimal(1).scaleb(-line.places))
    return figure_words(SHOWN.plus(number) if line.places is None else number) + _unit(line)


def expected_words(line: Line, want: Any) -> str:
    """What was published, as it was published, with its unit."""
    if isinstance(want, list):
        return ", ".join(expected_words(Line(line.key, "", "", None, line.words), one) for one in want) + _unit(line)
    if isinstance(want, bool):
        return value_words(line, want)
    return line.words.get(str(want), str(want)) + (_unit(line) if not line.words else "")


def _unit(line: Line) -> str:
    return f" {line.unit}" if line.unit else ""


def schema(asked: Sum) -> dict[str, Any]:
    """JSON Schema (2020-12) of what a sum takes and what it answers."""
    return {
        "$schema": DIALECT, "title": asked.says, "description": asked.formula,
        "$defs": {
            "in": {
                "type": "object", "additionalProperties": False,
                "properties": {box.key: _box_schema(box) for box in asked.boxes},
                "required": [box.key for box in asked.boxes if box.needed and box.first is None],
            },
            "out": {
                "type": "object",
                "properties": {line.key: {"description": _described(line.says, line.unit)} for line in asked.lines},
            },
        },
        "$ref": "#/$defs/in",
    }  # fmt: skip


def _described(says: str, unit: str) -> str:
    return f"{says} ({unit})" if unit else says


def _box_schema(box: Box) -> dict[str, Any]:
    digits = SIGNED if box.kind == "signed" else PLAIN_NUMBER
    number = {"type": ["number", "string"], "pattern": f"^{digits.pattern}$"}
    figure = {"type": ["number", "string"], "pattern": f"^{FIGURE.pattern}$"}
    kinds: dict[str, dict[str, Any]] = {
        "number": number, "signed": number, "figure": figure,
        "whole": {"type": ["integer", "string"], "pattern": "^[0-9]+$"},
        "list": {"type": "array", "items": number, "minItems": 1, "maxItems": LONGEST_LIST},
        "word": {"enum": list(box.words)}, "truth": {"type": "boolean"}, "text": {"type": "string", "minLength": 1},
    }  # fmt: skip
    told = {**kinds[box.kind], "description": _described(box.says, box.unit)}
    return {**told, "default": box.first} if box.first is not None else told
