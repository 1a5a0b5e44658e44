"""The sums that are held: words, bounds, figures, sources and published check values, read as strictly as a law.

One file a subject in the folder `sums`; the function of each stands in `hazmat.core.sums` under the same name.
"""

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from functools import cache
from pathlib import Path
from string import Formatter
from typing import Any, get_args

from hazmat.core.dated import Sentence
from hazmat.core.sums import WORK
from hazmat.core.sums.frame import Box, Check, Draws, Kind, Line, Sum
from hazmat.rulebooks import strict
from hazmat.rulebooks.cited import Documented
from hazmat.rulebooks.strict import Shelfmark

SHELF = Path(__file__).parent / "sums"
MG_M3 = "mg/m3"
"""The unit of a line that limits in air are held against."""


@cache
def shelf() -> dict[str, dict[str, Sum]]:
    """The sums of each file by name, under what the file says it is about, in the order of files.

    Raises RulebookError with file, key and mend.
    """
    found: dict[str, dict[str, Sum]] = {}
    for file in sorted(SHELF.glob("*.toml")):
        one = load_sums(file)
        for name in one:
            if any(name in other for other in found.values()):
                raise Shelfmark(file.name, f"sum.{name}").refuse("another file has it too", "keep one of them")
        found[strict.text(Shelfmark(file.name) / "says", strict.parse(file)["says"])] = one
    return found


@cache
def sums() -> dict[str, Sum]:
    """Every sum by name."""
    return {name: one for held in shelf().values() for name, one in held.items()}


def load_sums(path: Path) -> dict[str, Sum]:
    """Read and check one file of sums. Raises RulebookError with file, key and mend."""
    at, parsed = Shelfmark(path.name), strict.parse(path)
    strict.only(at, parsed, "says edition cite sum", "figure sentence")
    strict.text(at / "says", parsed["says"])
    strict.day(at / "edition", parsed["edition"])
    book = SumBook(at, parsed)
    return book.each("sum", book.sum)


class SumBook(Documented):
    """One file of sums with its documents and figures read."""

    def __init__(self, at: Shelfmark, parsed: Mapping[str, Any]) -> None:
        super().__init__(at, parsed)
        self.sentences = self.each("sentence", self.sentence)

    def sentence(self, at: Shelfmark, key: str, given: dict[str, Any]) -> Sentence:
        strict.only(at, given, "says cite")
        says = strict.text(at / "says", given["says"])
        try:
            list(Formatter().parse(says))
        except ValueError:
            raise at.refuse("its braces do not close", "write {slot} for what is filled in") from None
        return Sentence(key, says, self.cited(at, given))

    def sum(self, at: Shelfmark, name: str, given: dict[str, Any]) -> Sum:
        strict.only(at, given, "says formula cites give get check", "always draws in_air")
        if name not in WORK:
            raise at.refuse("no function works it out", f"use one of: {', '.join(WORK)}")
        boxes, lines = self.boxes(at / "give", given["give"]), self.lines(at / "get", given["get"])
        checks = tuple(
            self.check(at / f"check[{n}]", one, boxes, lines)
            for n, one in enumerate(strict.rows(at / "check", given["check"]), 1)
        )
        if not checks:
            raise (at / "check").refuse("nothing outside of us checks it", "add [[sum.….check]] with a published value")
        return Sum(
            name=name, says=strict.text(at / "says", given["says"]),
            formula=strict.text(at / "formula", given["formula"]), boxes=boxes, lines=lines,
            always=self.known(at / "always", given["always"], self.sentences) if "always" in given else (),
            cites=tuple(self.cites[key] for key in self.known(at / "cites", given["cites"], self.cites)),
            checks=checks, sentences=self.sentences, figures=self.figures, work=WORK[name],
            draws=self.draws(at / "draws", given["draws"], boxes, lines) if "draws" in given else None,
            in_air=strict.one_of(at / "in_air", given["in_air"], [one.key for one in lines if one.unit == MG_M3])
            if "in_air" in given else "",
        )  # fmt: skip

    def draws(self, at: Shelfmark, given: Any, boxes: tuple[Box, ...], lines: tuple[Line, ...]) -> Draws:
        told = strict.table(at, given)
        strict.only(at, told, "box lines", "left_out")
        words = {box.key: box.words for box in boxes if box.words}
        box = strict.one_of(at / "box", told["box"], words)
        named = self.known(at / "lines", told["lines"], {line.key for line in lines if not line.words})
        out = self.known(at / "left_out", told["left_out"], words[box]) if "left_out" in told else ()
        return Draws(box, named, out)

    def boxes(self, at: Shelfmark, given: Any) -> tuple[Box, ...]:
        asked = strict.table(at, given).items()
        return tuple(self.box(at / key, key, strict.table(at / key, one)) for key, one in asked)

    def box(self, at: Shelfmark, key: str, given: dict[str, Any]) -> Box:
        strict.only(at, given, "says kind", "unit needed least most first words outside")
        kind: Any = strict.one_of(at / "kind", given["kind"], get_args(Kind))
        if (kind == "word") != ("words" in given):
            raise (at / "words").refuse("words and the kind “word” go together", "give both or neither")
        needed = given.get("needed", True)
        if not isinstance(needed, bool):
            raise (at / "needed").refuse("it is neither true nor false", "write true or false")
        bounds = {end: _number(at / end, given[end]) if end in given else None for end in ("least", "most")}
        outside = given.get("outside", "")
        if outside:
            strict.one_of(at / "outside", outside, self.sentences)
        return Box(
            key, strict.text(at / "says", given["says"]), kind, given.get("unit", ""), needed,
            bounds["least"], bounds["most"], given.get("first"), _words(at / "words", given.get("words", {})),
            outside,
        )  # fmt: skip

    def lines(self, at: Shelfmark, given: Any) -> tuple[Line, ...]:
        told = strict.table(at, given).items()
        return tuple(self.line(at / key, key, strict.table(at / key, one)) for key, one in told)

    def line(self, at: Shelfmark, key: str, given: dict[str, Any]) -> Line:
        strict.only(at, given, "says", "unit places digits words")
        says = strict.text(at / "says", given["says"])
        words = _words(at / "words", given.get("words", {}))
        return Line(key, says, given.get("unit", ""), given.get("places"), words, given.get("digits"))

    def check(self, at: Shelfmark, given: dict[str, Any], boxes: tuple[Box, ...], lines: tuple[Line, ...]) -> Check:
        strict.only(at, given, "name give get cite", "within refuses")
        give, get = strict.table(at / "give", given["give"]), strict.table(at / "get", given["get"])
        for place, part, known in (("give", give, boxes), ("get", get, lines)):
            for key in part:
                strict.one_of(at / place / key, key, [one.key for one in known])
        refuses = given.get("refuses")
        if refuses is not None:
            strict.one_of(at / "refuses", refuses, self.sentences)
        if bool(get) == bool(refuses):
            raise (at / "get").refuse("a check expects figures, or a refusal", "give one of the two")
        within = _number(at / "within", given.get("within", "0"))
        return Check(strict.text(at / "name", given["name"]), give, get, within, refuses, self.cited(at, given))


def _words(at: Shelfmark, given: Any) -> dict[str, str]:
    return {key: strict.text(at / key, says) for key, says in strict.table(at, given).items()}


def _number(at: Shelfmark, given: Any) -> Decimal:
    """A number with or without a sign, as a text."""
    try:
        return Decimal(strict.text(at, given))
    except InvalidOperation:
        raise at.refuse(f"“{given}” is not a number", 'write it as a text of digits: "-1.5"') from None
