"""What every part of a rulebook leans on: documents and figures, and the words that may stand in each place."""

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from decimal import Decimal
from itertools import pairwise
from string import Formatter
from typing import Any, TypeVar

from hazmat.core.law import Cite, Figure, Version
from hazmat.rulebooks import strict
from hazmat.rulebooks.places import read_territories
from hazmat.rulebooks.strict import Shelfmark

ADDRESSES = ("https://", "http://", "address withheld")
BASES = ("read", "memory", "judgement")
TIMES = ("year", "month", "days")
HOURS = "hours"

T = TypeVar("T")


class Documented:
    """The parsed file with its documents, states and figures read; readers of single values."""

    def __init__(self, at: Shelfmark, parsed: Mapping[str, Any]) -> None:
        self.at, self.parsed = at, parsed
        self.territories = read_territories(at, parsed)
        self.cites = self.each("cite", self.cite)
        self.figures = self.each("figure", self.figure)

    def each(self, section: str, read: Callable[[Shelfmark, str, dict[str, Any]], T]) -> dict[str, T]:
        here = self.at / section
        given = strict.table(here, self.parsed.get(section, {}))
        return {name: read(here / name, name, strict.table(here / name, one)) for name, one in given.items()}

    def many(self, section: str) -> list[tuple[Shelfmark, dict[str, Any]]]:
        here = self.at / section
        return [
            (self.at / f"{section}[{n}]", row)
            for n, row in enumerate(strict.rows(here, self.parsed.get(section, [])), 1)
        ]

    def cited(self, at: Shelfmark, given: Mapping[str, Any]) -> Cite:
        key = given.get("cite")
        if key is None:
            raise (at / "cite").refuse("it has no citation", "name one of the [cite] entries; no citation, no value")
        return self.cites[strict.one_of(at / "cite", key, self.cites)]

    def cite(self, at: Shelfmark, key: str, given: dict[str, Any]) -> Cite:
        strict.only(at, given, "document text_as_of where read_on basis")
        as_of = given["text_as_of"]
        basis = strict.one_of(at / "basis", given["basis"], BASES)
        where = strict.text(at / "where", given["where"])
        if basis == "read" and not where.startswith(ADDRESSES):
            raise (at / "where").refuse(
                "what was read has an address", "write it, or say memory or judgement under basis"
            )
        return Cite(
            key=key,
            document=strict.text(at / "document", given["document"]),
            text_as_of=None if as_of == "undated" else strict.day(at / "text_as_of", as_of),
            where=where,
            read_on=strict.day(at / "read_on", given["read_on"]),
            basis=basis,  # type: ignore[arg-type]  # one_of has checked it
        )

    def figure(self, at: Shelfmark, name: str, given: dict[str, Any]) -> Figure:
        strict.only(at, given, "says unit values")
        unit = strict.text(at / "unit", given["unit"])
        versions = tuple(
            self.version(at / f"values[{n}]", row, unit)
            for n, row in enumerate(strict.rows(at / "values", given["values"]), 1)
        )
        if not versions:
            raise (at / "values").refuse("it has no value", "add { since = …, is = …, cite = … }")
        for here in (frozenset[str](), *(frozenset((code,)) for v in versions for code in v.only_in)):
            self.one_at_a_time(at / "values", [v for v in versions if v.only_in & here or v.only_in == here])
        return Figure(name, strict.text(at / "says", given["says"]), unit, versions)

    def one_at_a_time(self, at: Shelfmark, versions: list[Version]) -> None:
        """Refuse values of which two stand on one day in one place."""
        dated = sorted((v for v in versions if v.since), key=lambda v: v.since or v.cite.read_on)
        for first, second in pairwise(dated):
            if first.since == second.since or first.until is None or (second.since and first.until >= second.since):
                raise at.refuse("two values stand on one day", "end the earlier one with until = the day before")
        if len(versions) - len(dated) > 1:
            raise at.refuse("two values have an unknown start", "keep one of them")

    def version(self, at: Shelfmark, given: dict[str, Any], unit: str) -> Version:
        strict.only(at, given, "since is", "until cite only_in")
        since, until = self.period(at, given)
        value = strict.amount(at / "is", given["is"], unit)
        return Version(value, since, until, self.cited(at, given), self.only_in(at, given))

    def only_in(self, at: Shelfmark, given: Mapping[str, Any]) -> frozenset[str]:
        """The states or nations in which something stands alone; nothing: everywhere."""
        if "only_in" not in given:
            return frozenset()
        return frozenset(self.known(at / "only_in", given["only_in"], self.territories))

    def period(self, at: Shelfmark, given: Mapping[str, Any]) -> tuple[Any, Any]:
        since = strict.since_day(at / "since", given["since"])
        until = strict.day(at / "until", given["until"]) if "until" in given else None
        if since and until and until < since:
            raise (at / "until").refuse("it ends before it begins", "put until on or after since")
        return since, until

    def known(self, at: Shelfmark, given: Any, allowed: Iterable[str]) -> tuple[str, ...]:
        known = tuple(allowed)
        return tuple(strict.one_of(at, word, known) for word in strict.words(at, given))


class Cited(Documented):
    """A rulebook's file: its classes besides, and what leans on its figures."""

    def __init__(self, at: Shelfmark, parsed: Mapping[str, Any]) -> None:
        self.classes = strict.words(at / "classes", parsed["classes"])
        super().__init__(at, parsed)

    def number(self, at: Shelfmark, given: Any) -> str:
        """The name of a figure whose every value is a number."""
        name = strict.one_of(at, given, self.figures)
        if not all(isinstance(version.value, Decimal) for version in self.figures[name].versions):
            raise at.refuse(f"“{name}” is not a number", "name a figure that is a number")
        return name

    def spoken(self, at: Shelfmark, given: Any) -> str:
        """A sentence whose slots are figures of this rulebook."""
        says = strict.text(at, given)
        try:
            slots = [slot for _, slot, _, _ in Formatter().parse(says) if slot is not None]
        except ValueError:
            raise at.refuse(
                "its braces do not close", f"write {{{next(iter(self.figures), 'name')}}} for a figure"
            ) from None
        for slot in slots:
            if slot not in self.figures:
                known = ", ".join(self.figures) or "(none is defined)"
                raise at.refuse(f"“{slot}” is no figure of this rulebook", f"write one of: {known}")
        return says

    def time(self, at: Shelfmark, given: Any) -> str:
        """The name of a figure that is a number of years, months or days."""
        name = self.number(at, given)
        if self.figures[name].unit not in TIMES:
            raise at.refuse(f"“{name}” is no time", f"name a figure whose unit is one of: {', '.join(TIMES)}")
        return name

    def hours(self, at: Shelfmark, given: Any) -> str:
        """The name of a figure that is a number of hours."""
        name = self.number(at, given)
        if self.figures[name].unit != HOURS:
            raise at.refuse(f"“{name}” is no number of hours", f"name a figure whose unit is {HOURS}")
        return name

    def words_of(self, at: Shelfmark, given: Any) -> str:
        """The name of a figure that is a text."""
        name = strict.one_of(at, given, self.figures)
        if self.figures[name].unit != "text":
            raise at.refuse(f"“{name}” is no text", "name a figure whose unit is text")
        return name

    def last_day(self, at: Shelfmark, given: Any) -> str:
        """The name of a figure that is a day."""
        name = strict.one_of(at, given, self.figures)
        if self.figures[name].unit != "day" or not isinstance(self.figures[name].versions[0].value, date):
            raise at.refuse(f"“{name}” is not a day", "name a figure that is a day")
        return name

    def conditions(
        self, at: Shelfmark, given: Any, columns: Mapping[str, tuple[str, ...]]
    ) -> tuple[tuple[str, frozenset[str]], ...]:
        found = []
        for column, wanted in strict.table(at, given).items():
            strict.one_of(at / column, column, columns)
            values = self.known(at / column, [wanted] if isinstance(wanted, str) else wanted, columns[column])
            if len(values) == len(columns[column]):
                raise (at / column).refuse("it names every value of the column", "leave this condition out")
            found.append((column, frozenset(values)))
        return tuple(found)
