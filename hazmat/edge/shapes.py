"""From parsed JSON to facts, strictly: for each key of each shape a reader, made from the shapes of the core.

A reader takes a value or raises ValueError; the shape then says where, what stood there and what may stand there.
"""

import re
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from hazmat.core.facts import Event, Space, Test, Uncertainty, Unit
from hazmat.core.measures import Count, Day, LastDay, Measure, Place, Tag, day_words
from hazmat.core.spans import Span, parse_span, written_days
from hazmat.edge.places import COUNTRIES

PLAIN_NUMBER = re.compile(r"[0-9]{1,15}(?:\.[0-9]{1,15})?", re.ASCII)
PLAIN_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", re.ASCII)
COUNTRY = re.compile(r"[A-Z]{2}(?:-[A-Z0-9]{1,3})?", re.ASCII)
ZERO, LARGEST = Decimal(0), Decimal(10) ** 12
"""No measure of a unit comes near this; a larger one is a slip. Source: our own bound."""
LARGEST_WHOLE = int(LARGEST)
LONGEST_SHOWN = 40
FARTHEST = 15
"""Greatest power of ten of a measure, up or down. Source: our own bound."""
KEPT_DATES = 20_000
"""How many spellings of days and of spans are remembered. Source: our own choice."""

EARLIEST_GRANT, LATEST_GRANT = 1970, 2100
"""Years between which whatever an authority grants ends. Source: our own bound."""

NUMBER = "a number that is not negative, plainly written, such as 12.5"
SHAPES: tuple[Any, ...] = (Unit, Test, Event, Space, Uncertainty)

ReadValue = Callable[[Any], Any]


class Slip(Exception):
    """What is wrong inside one line: the path, and the sentence for the person."""

    def __init__(self, path: str, says: str) -> None:
        super().__init__(f"{path}: {says}")
        self.path, self.says = path, says

    def inside(self, path: str) -> "Slip":
        """The same slip seen from one step further out."""
        joint = "" if not self.path or self.path.startswith("[") else "."
        return Slip(f"{path}{joint}{self.path}", self.says)


class Twice:
    """What a key that stands twice holds: no reader takes it."""

    says = "this key stood twice in one object; keep one of them"


TWICE = Twice()


class Shapes:
    """Readers for every shape; no date may lie after `today`. `keys` counts keys read since it was set to 0."""

    def __init__(self, today: date) -> None:
        self.today = today
        self.keys = 0
        self._spans: dict[str | int, Span] = {}
        self._days: dict[str, Day] = {}
        self._places: dict[str, Place] = {}
        self._kinds: dict[type, dict[str, Any]] = {}
        self._readers: dict[type, dict[str, ReadValue]] = {}
        self._required: dict[type, tuple[str, ...]] = {}
        self._defaults: dict[type, dict[str, Any]] = {}
        for shape in SHAPES:
            kinds = self._kinds[shape] = {key: bare(kind) for key, kind in get_type_hints(shape).items()}
            self._readers[shape] = {key: self._reader(kind) for key, kind in kinds.items()}
            self._required[shape] = tuple(key for key in kinds if not hasattr(shape, key))
            self._defaults[shape] = {key: getattr(shape, key) for key in kinds if hasattr(shape, key)}

    def read(self, shape: type, given: Any) -> Any:
        """One object as a frozen shape, in which every value stands: one that is missing is found more slowly.

        Raises Slip, or ValueError where it is no object."""
        if type(given) is not dict:
            raise ValueError
        self.keys += len(given)
        readers, found, key, value = self._readers[shape], self._defaults[shape].copy(), "", None
        try:
            for key, value in given.items():
                if value is not None:
                    found[key] = readers[key](value)
                elif key not in readers:
                    raise KeyError
        except Slip as slip:
            raise slip.inside(key) from None
        except (ValueError, KeyError, TypeError):
            raise self._slip(shape, key, value) from None
        for key in self._required[shape]:
            if key not in found:
                raise Slip(key, f"nothing stood there; {self._may(self._kinds[shape][key])} may stand there")
        made: Any = object.__new__(shape)
        made.__dict__.update(found)
        return made

    def _slip(self, shape: type, key: str, value: Any) -> Slip:
        kinds = self._kinds[shape]
        if value is TWICE:
            return Slip(shown(key)[1:-1], TWICE.says)
        if key not in kinds:
            return Slip(shown(key)[1:-1], f"nobody knows this key; these may stand there: {', '.join(kinds)}")
        return Slip(key, f"{shown(value)} stood there; {self._may(kinds[key])} may stand there")

    # ------------------------------------------------------------------ readers

    def _reader(self, kind: Any) -> ReadValue:
        """The reader of one type. A choice of words is read by looking it up."""
        if get_origin(kind) is Literal:
            return {word: word for word in get_args(kind)}.__getitem__
        if get_origin(kind) is tuple:
            return self._list_reader(bare(get_args(kind)[0]))
        if get_origin(kind) is dict:
            return self._measures
        if kind in SHAPES:
            return lambda given: self.read(kind, given)
        return {
            Measure: measure,
            Count: _count,
            Place: self._place,
            Tag: _tag,
            str: _text,
            bool: _bool,
            Span: self._span,
            Day: self._day,
            LastDay: _last_day,
        }[kind]

    def _list_reader(self, kind: Any) -> ReadValue:
        read = self._reader(kind)

        def read_list(given: Any) -> tuple[Any, ...]:
            if type(given) is not list:
                raise ValueError
            found = []
            for place, one in enumerate(given):
                try:
                    found.append(read(one))
                except Slip as slip:
                    raise slip.inside(f"[{place}]") from None
                except (ValueError, KeyError, TypeError):
                    raise Slip(f"[{place}]", f"{shown(one)} stood there; {self._may(kind)} may stand there") from None
            return tuple(found)

        return read_list

    def _measures(self, given: Any) -> dict[str, Measure]:
        if type(given) is not dict:
            raise ValueError
        self.keys += len(given)
        found = {}
        for key, value in given.items():
            try:
                found[key] = measure(value)
            except ValueError:
                says = TWICE.says if value is TWICE else f"{shown(value)} stood there; {NUMBER} may stand there"
                raise Slip(shown(key)[1:-1], says) from None
        return found

    def _span(self, given: Any) -> Span:
        if type(given) is not str and type(given) is not int:
            raise ValueError
        known = self._spans.get(given)
        if known is None:
            known = parse_span(given)
            if any(day > self.today for day in written_days(given)):
                raise ValueError
            if len(self._spans) < KEPT_DATES:
                self._spans[given] = known
        return known

    def _day(self, given: Any) -> Day:
        known = self._days.get(given)
        if known is None:
            if not PLAIN_DAY.fullmatch(given):
                raise ValueError
            known = Day.fromisoformat(given)
            if known > self.today:
                raise ValueError
            if len(self._days) < KEPT_DATES:
                self._days[given] = known
        return known

    def _place(self, given: Any) -> Place:
        known = self._places.get(given)
        if known is None:
            if not COUNTRY.fullmatch(given) or given[:2] not in COUNTRIES:
                raise ValueError
            known = self._places[given] = Place(given)
        return known

    # ------------------------------------------------------------------ words

    def _may(self, kind: Any) -> str:
        """What may stand where this type is read."""
        if get_origin(kind) is Literal:
            return f"one of {', '.join(map(str, get_args(kind)))}"
        if get_origin(kind) is tuple:
            return f"a list [ … ] of {self._may(bare(get_args(kind)[0]))}"
        if kind is Day:
            return f"a day such as 2026-11-25, not after today ({day_words(self.today)}),"
        if kind is LastDay:
            return f"a day such as 2029-12-31, from {EARLIEST_GRANT} to {LATEST_GRANT},"
        if kind is Span:
            spellings = "1968-05-01, 1968, 1970/1985, 1970/ or ~1975"
            limit = f"in order and not after today ({day_words(self.today)})"
            return f"a day, month, year or span such as {spellings}, {limit},"
        return PLAIN_WORDS.get(kind, "an object { … }")


PLAIN_WORDS: dict[Any, str] = {
    Measure: NUMBER,
    Count: "a whole number from 1",
    Place: "a country code such as NZ, or with its part, such as AU-VIC (ISO 3166),",
    Tag: "a text that is not empty",
    str: "a text that is not empty",
    bool: "true or false",
}


def measure(given: Any) -> Measure:
    """A number that is not negative, from a JSON number or plainly written digits. Raises ValueError."""
    if type(given) is Measure:
        if ZERO <= given <= LARGEST:
            return given
        raise ValueError
    if type(given) is int:
        if 0 <= given <= LARGEST_WHOLE:
            return Measure(given)
        raise ValueError
    if type(given) is str and PLAIN_NUMBER.fullmatch(given):
        number = Measure(given)
    else:
        raise ValueError
    if not ZERO <= number <= LARGEST:
        raise ValueError
    return number


def json_number(text: str) -> Decimal:
    """A JSON number with a point or an exponent, exactly as written.

    One with a sign, or too long or too far from 1 to be a measure of anything, is no Measure, and no reader takes it.
    """
    number = Measure(text)
    if len(text) <= FARTHEST and "e" not in text and "E" not in text and "-" not in text:
        return number
    odd = text[:1] == "-" or len(text) > LONGEST_SHOWN or not -FARTHEST <= number.adjusted() <= FARTHEST
    return Decimal(text) if odd else number


def shown(value: Any) -> str:
    """What stood there, short, as the person wrote it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list):
        return "a list"
    if value is None:
        return "nothing"
    text = "".join(c if c.isprintable() else "?" for c in str(value))
    text = text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 1] + "…"
    return f"“{text}”" if isinstance(value, str) else text


def bare(kind: Any) -> Any:
    """The type without *or None*."""
    if get_origin(kind) in (Union, UnionType):
        return next(one for one in get_args(kind) if one is not NoneType)
    return kind


def _count(given: Any) -> Count:
    if type(given) is not int or not 1 <= given <= LARGEST:
        raise ValueError
    return Count(given)


def _tag(given: Any) -> Tag:
    return Tag(_text(given))


def _last_day(given: Any) -> LastDay:
    if type(given) is not str or not PLAIN_DAY.fullmatch(given):
        raise ValueError
    day = LastDay.fromisoformat(given)
    if not EARLIEST_GRANT <= day.year <= LATEST_GRANT:
        raise ValueError
    return day


def _text(given: Any) -> str:
    if type(given) is not str or not given.strip():
        raise ValueError
    return given


def _bool(given: Any) -> bool:
    if type(given) is not bool:
        raise ValueError
    return given
