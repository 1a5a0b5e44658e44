"""What a named calculation is: boxes in, lines out, a formula in words, its sources, its published check values.

Decimals in, decimals out, never rounded on the way; what a logarithm or a root needs is worked out in binary floats.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any, Literal, NamedTuple

from hazmat.core.dated import Cite, Figure, Sentence

Kind = Literal["number", "signed", "whole", "figure", "list", "word", "truth", "text"]
"""A number of 0 or more; one with a sign; a whole number of 0 or more; a figure as a slip prints it, with < or > before
it where it has one; a list of numbers of 0 or more; one of the words that are named; true or false; free text."""
Value = Decimal | int | str | bool | tuple[Decimal, ...] | tuple[str, ...] | None
Given = Mapping[str, Any]
"""What was given: every box of the sum by its key, None where nothing was said. `number` and `signed` are Decimal,
`whole` int, `figure` Printed, `list` tuple[Decimal, ...], `word` and `text` str, `truth` bool."""


class Printed(NamedTuple):
    """A figure as a slip prints it: `=`, `<` or `>`, and the number."""

    sign: str
    value: Decimal


@dataclass(frozen=True, slots=True)
class Box:
    """One thing that is asked. `words`: what may be picked, key to words. Bounds include their ends.

    `outside`: the sentence that is said of a number beyond them; empty: they are told in plain words.
    """

    key: str
    says: str
    kind: Kind
    unit: str = ""
    needed: bool = True
    least: Decimal | None = None
    most: Decimal | None = None
    first: str | None = None
    words: Mapping[str, str] = field(default_factory=dict)
    outside: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """One thing that comes out. `words`: what a word that comes out means.

    `places`: decimals shown to people; `digits`: or how many figures that tell, where sizes differ widely.
    """

    key: str
    says: str
    unit: str = ""
    places: int | None = None
    words: Mapping[str, str] = field(default_factory=dict)
    digits: int | None = None


@dataclass(frozen=True, slots=True)
class Check:
    """A value that somebody else published or worked out. `refuses`: the sentence that is said in its place."""

    name: str
    give: Mapping[str, Any]
    get: Mapping[str, Any]
    within: Decimal
    refuses: str | None
    cite: Cite


@dataclass(frozen=True, slots=True)
class Note:
    """Something that has to be said beside the figures: the key of a sentence, and its slots."""

    key: str
    slots: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Worked:
    """What came out, by the keys of the lines, and what is said beside it. A key left out: no such figure.

    `of`: the substance whose limits in air it is held against; empty: none.
    """

    values: Mapping[str, Value]
    notes: tuple[Note, ...] = ()
    of: str = ""


class CannotWork(ValueError):
    """What was given cannot be worked with: in which box, which sentence says so, and its slots."""

    def __init__(self, box: str, key: str, **slots: str) -> None:
        super().__init__(key)
        self.box, self.key, self.slots = box, key, slots


class Fixed:
    """The figures of a book of sums as they stand on a day. Raises KeyError for one that does not stand."""

    def __init__(self, figures: Mapping[str, Figure], on: date) -> None:
        standing = {name: figure.at(on) for name, figure in figures.items()}
        self.versions = {name: version for name, version in standing.items() if version}

    def number(self, name: str) -> Decimal:
        """A figure that is a number."""
        value = self.versions[name].value
        if not isinstance(value, Decimal):
            raise TypeError(f"{name} is no number")
        return value

    def first(self, *names: str) -> Decimal | None:
        """The first of these figures that stands, a number; None where none does."""
        return next((self.number(name) for name in names if name in self.versions), None)

    def text(self, name: str) -> str:
        """A figure that is a text."""
        return str(self.versions[name].value)

    def series(self, name: str) -> tuple[Decimal, ...]:
        """A figure that is a text of numbers with blanks between them."""
        return tuple(Decimal(one) for one in self.text(name).split())


Work = Callable[[Given, Fixed], Worked]


@dataclass(frozen=True, slots=True)
class Draws:
    """Side by side: the same sum for every word of a box, by the first of these lines that differs.

    `left_out`: words of that box which stand for none of them.
    """

    box: str
    lines: tuple[str, ...]
    left_out: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sum:
    """One named calculation. `always`: what is said beside every answer; `draws`: what its page shows side by side.

    `in_air`: the line in mg/m3 that is held against the limits in air; empty: none.
    """

    name: str
    says: str
    formula: str
    boxes: tuple[Box, ...]
    lines: tuple[Line, ...]
    always: tuple[str, ...]
    cites: tuple[Cite, ...]
    checks: tuple[Check, ...]
    sentences: Mapping[str, Sentence]
    figures: Mapping[str, Figure]
    work: Work
    draws: Draws | None = None
    in_air: str = ""

    def worked(self, given: Given, on: date) -> Worked:
        """The answer with the figures of a day; every box that was not given is None, or what it says first.

        Raises CannotWork.
        """
        return self.work({box.key: given.get(box.key) for box in self.boxes}, Fixed(self.figures, on))

    def said(self, worked: Worked) -> list[tuple[str, Cite]]:
        """The notes of an answer as finished sentences, with what stands always first."""
        notes = [*(Note(key) for key in self.always), *worked.notes]
        return [(self.spoken(note.key, note.slots), self.sentences[note.key].cite) for note in notes]

    def spoken(self, key: str, slots: Mapping[str, str]) -> str:
        """A sentence with its slots filled."""
        return self.sentences[key].says.format_map(slots)
