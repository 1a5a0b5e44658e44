"""From a TOML file to a rulebook, or a refusal that says what to mend. No citation, no value."""

import hashlib
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from string import Formatter
from typing import Any, TypeVar

from hazmat.core.bulk import COLUMN_VALUES
from hazmat.core.law import (
    UNDETERMINED,
    Act,
    Cite,
    ClassWords,
    Duty,
    Figure,
    Force,
    Line,
    MarkMeans,
    Over,
    Row,
    Rulebook,
    Sentence,
    Table,
    Version,
)  # fmt: skip
from hazmat.rulebooks import strict
from hazmat.rulebooks.heads import read_first, read_parts
from hazmat.rulebooks.prove import Fault, act_fault, prove_table
from hazmat.rulebooks.strict import RulebookError, Shelfmark

REQUIRED = "rulebook says edition classes cite figure class line marks kinds table sentence"
OPTIONAL = "found_in clock duty acts steps part first mend why silence practice"
ADDRESSES = ("https://", "http://", "address withheld")
BASES = ("read", "memory", "judgement")
FORCES: tuple[Force, ...] = ("must", "may", "care")
DATES = ("decided_waste", "arrived", "in_use_before")
ROLES = ("holder", "generator", "collector", "carrier", "receiver", "unknown")

T = TypeVar("T")


def load(path: Path) -> Rulebook:
    """Read, check and prove one rulebook. Raises RulebookError with file, key and mend."""
    book = read(path)
    for fault in faults(book):
        raise RulebookError(path.name, f"table.{fault.table}", fault.says, fault.mend)
    return book


def faults(book: Rulebook) -> list[Fault]:
    """Whatever keeps the tables of a rulebook from being proved; an empty list is the proof."""
    return [fault for table in book.tables.values() for fault in prove_table(table)]


def read(path: Path) -> Rulebook:
    """Read and check one rulebook, without the proof of its tables. Raises RulebookError with file, key and mend."""
    at = Shelfmark(path.name)
    parsed = strict.parse(path)
    strict.only(at, parsed, REQUIRED, OPTIONAL)
    if parsed["rulebook"] != path.stem:
        raise (at / "rulebook").refuse(f"“{parsed['rulebook']}” is not the name of the file", f'write "{path.stem}"')
    return _Reader(at, parsed).book()


class _Reader:
    """Reads the parts of one parsed file in the order in which they lean on each other."""

    def __init__(self, at: Shelfmark, parsed: Mapping[str, Any]) -> None:
        self.at, self.parsed = at, parsed
        self.classes = strict.words(at / "classes", parsed["classes"])
        self.cites = self.each("cite", self.cite)
        self.figures = self.each("figure", self.figure)

    def book(self) -> Rulebook:
        at, parsed = self.at, self.parsed
        kinds = {k: strict.text(at / f"kinds.{k}", v) for k, v in strict.table(at / "kinds", parsed["kinds"]).items()}
        strict.only(at / "kinds", kinds, " ".join(COLUMN_VALUES["raw_kind"]))
        clock, counts_from = self.clock()
        acts = self.acts("acts")
        parts = read_parts(at / "part", parsed.get("part"), acts, parsed["table"])
        text = strict.canonical(parsed)
        return Rulebook(
            name=strict.text(at / "rulebook", parsed["rulebook"]),
            says=strict.text(at / "says", parsed["says"]),
            edition=strict.day(at / "edition", parsed["edition"]),
            found_in=strict.words(at / "found_in", parsed["found_in"]) if "found_in" in parsed else (),
            classes=self.classes,
            cites=self.cites,
            figures=self.figures,
            class_words=self.class_words(),
            lines=self.lines(),
            marks=self.marks(),
            kinds=kinds,
            tables=self.each(
                "table", lambda here, name, given: self.table(here, name, given, frozenset(kinds.values()))
            ),
            sentences=self.each("sentence", self.sentence),
            mends=self.each("mend", self.sentence),
            whys=self.each("why", self.sentence),
            silences=self.each("silence", self.sentence),
            practices=self.each("practice", self.sentence),
            clock=clock,
            clock_counts_from=counts_from,
            duties=tuple(self.duty(here, row) for here, row in self.many("duty")),
            acts=acts,
            steps=self.acts("steps"),
            parts=parts,
            first=read_first(at / "first", parsed.get("first"), acts, parts),
            digest=hashlib.sha256(text.encode()).hexdigest(),
            canonical=text,
        )

    # ------------------------------------------------------------------ walking

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

    # ------------------------------------------------------------------ parts

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
        dated = sorted((v for v in versions if v.since), key=lambda v: v.since or v.cite.read_on)
        for first, second in pairwise(dated):
            if first.since == second.since or first.until is None or (second.since and first.until >= second.since):
                raise (at / "values").refuse(
                    "two values stand on one day", "end the earlier one with until = the day before"
                )
        if len(versions) - len(dated) > 1:
            raise (at / "values").refuse("two values have an unknown start", "keep one of them")
        return Figure(name, strict.text(at / "says", given["says"]), unit, versions)

    def version(self, at: Shelfmark, given: dict[str, Any], unit: str) -> Version:
        strict.only(at, given, "since is", "until cite")
        since, until = self.period(at, given)
        return Version(strict.amount(at / "is", given["is"], unit), since, until, self.cited(at, given))

    def period(self, at: Shelfmark, given: Mapping[str, Any]) -> tuple[Any, Any]:
        since = strict.since_day(at / "since", given["since"])
        until = strict.day(at / "until", given["until"]) if "until" in given else None
        if since and until and until < since:
            raise (at / "until").refuse("it ends before it begins", "put until on or after since")
        return since, until

    def class_words(self) -> dict[str, ClassWords]:
        def read(at: Shelfmark, name: str, given: dict[str, Any]) -> ClassWords:
            strict.only(at, given, "says band", "cite")
            band = strict.one_of(at / "band", given["band"], COLUMN_VALUES["care"])
            return ClassWords(strict.text(at / "says", given["says"]), band, self.cited(at, given))

        found = self.each("class", read)
        strict.only(self.at / "class", found, " ".join(self.classes))
        return found

    def lines(self) -> tuple[Line, ...]:
        found = []
        for at, given in self.many("line"):
            strict.only(at, given, "figure compare class")
            figure = self.number(at / "figure", given["figure"])
            compare = strict.one_of(at / "compare", given["compare"], (">=", ">"))
            found.append(Line(figure, compare, strict.one_of(at / "class", given["class"], self.classes)))  # type: ignore[arg-type]
        if [line.klass for line in found] != list(self.classes[1:]):
            raise (self.at / "line").refuse(
                "the lines do not lead from class to class",
                f"write one line each for {', '.join(self.classes[1:])}, in this order",
            )
        for lower, higher in pairwise(self.figures[line.figure] for line in found):
            for on in {date.max, *(v.since for one in (lower, higher) for v in one.versions if v.since)}:
                first, second = lower.at(on), higher.at(on)
                if first and second and first.value >= second.value:  # type: ignore[operator]  # number has checked them
                    raise (self.at / "line").refuse(
                        "the figures do not rise from class to class",
                        "give the worse class the higher figure on every day",
                    )
        return tuple(found)

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

    def marks(self) -> dict[str, MarkMeans]:
        def read(at: Shelfmark, name: str, given: dict[str, Any]) -> MarkMeans:
            strict.only(at, given, "class", "cite")
            return MarkMeans(strict.one_of(at / "class", given["class"], self.classes), self.cited(at, given))

        found = self.each("marks", read)
        strict.only(self.at / "marks", found, "pcb_mark pcb_contaminated_mark")
        return found

    def sentence(self, at: Shelfmark, name: str, given: dict[str, Any]) -> Sentence:
        strict.only(at, given, "says", "cite")
        return Sentence(name, strict.text(at / "says", given["says"]), self.cited(at, given))

    def clock(self) -> tuple[Sentence | None, str | None]:
        if "clock" not in self.parsed:
            return None, None
        at, given = self.at / "clock", strict.table(self.at / "clock", self.parsed["clock"])
        strict.only(at, given, "counts_from says", "cite")
        counts_from = strict.one_of(at / "counts_from", given["counts_from"], DATES)
        return Sentence("clock", strict.text(at / "says", given["says"]), self.cited(at, given)), counts_from

    def duty(self, at: Shelfmark, given: dict[str, Any]) -> Duty:
        strict.only(at, given, "name says classes roles", "cite counts_from years")
        years = given.get("years")
        counts_from = given.get("counts_from")
        if (years is None) != (counts_from is None):
            raise at.refuse("a clock needs both its start and its length", "give counts_from and years, or neither")
        return Duty(
            name=strict.text(at / "name", given["name"]),
            says=self.spoken(at / "says", given["says"]),
            classes=frozenset(self.known(at / "classes", given["classes"], self.classes)),
            roles=frozenset(self.known(at / "roles", given["roles"], ROLES)),
            counts_from=None if counts_from is None else strict.one_of(at / "counts_from", counts_from, DATES),
            years=None if years is None else self.number(at / "years", years),
            cite=self.cited(at, given),
        )

    def known(self, at: Shelfmark, given: Any, allowed: Iterable[str]) -> tuple[str, ...]:
        known = tuple(allowed)
        return tuple(strict.one_of(at, word, known) for word in strict.words(at, given))

    # ------------------------------------------------------------------ tables

    def columns(self, at: Shelfmark, given: Any) -> dict[str, tuple[str, ...]]:
        found = {}
        for name, values in strict.table(at, given).items():
            here = at / name
            strict.one_of(here, name, COLUMN_VALUES)
            found[name] = strict.words(here, values)
            produced = COLUMN_VALUES[name]
            if produced and set(found[name]) != set(produced):
                raise here.refuse(
                    "its values are not those that facts can take", f"list exactly: {', '.join(produced)}"
                )
        return found

    def table(self, at: Shelfmark, name: str, given: dict[str, Any], kinds: frozenset[str]) -> Table:
        strict.only(at, given, "says since answers columns row")
        columns = self.columns(at / "columns", given["columns"])
        if "kind" in columns and set(columns["kind"]) != kinds:
            raise (at / "columns.kind").refuse(
                "its values are not those that [kinds] gives", f"list exactly: {', '.join(sorted(kinds))}"
            )
        answers = strict.words(at / "answers", given["answers"])
        if name == "presumption":
            self.known(at / "answers", given["answers"], self.classes)
        strict.since_day(at / "since", given["since"])
        rows = [
            self.row(at / f"row[{n}]", name, row, columns, answers, given["since"])
            for n, row in enumerate(strict.rows(at / "row", given["row"]), 1)
        ]
        names = [row.name for row in rows]
        for row in rows:
            if names.count(row.name) > 1:
                raise (at / f"row “{row.name}”").refuse("two rows have this name", "give each row a name of its own")
        return Table(name, strict.text(at / "says", given["says"]), answers, columns, tuple(rows))

    def row(
        self,
        at: Shelfmark,
        table: str,
        given: dict[str, Any],
        columns: Mapping[str, tuple[str, ...]],
        answers: tuple[str, ...],
        start: Any,
    ) -> Row:
        strict.only(at, given, "name when then says", "cite force over since until")
        then = strict.one_of(at / "then", given["then"], (*answers, UNDETERMINED))
        force = given.get("force")
        if then == UNDETERMINED and force is not None:
            raise (at / "force").refuse("what is undetermined has no force", "leave force out")
        if then != UNDETERMINED:
            force = strict.one_of(at / "force", force, FORCES)
        since, until = self.period(
            at, {"since": given.get("since", start), **({"until": given["until"]} if "until" in given else {})}
        )
        beaten = [one.get("row") for one in strict.rows(at / "over", given.get("over", []))]
        if any(beaten.count(name) > 1 for name in beaten):
            raise (at / "over").refuse("a row stands twice", "keep one of them")
        return Row(
            table=table,
            name=strict.text(at / "name", given["name"]),
            when=self.conditions(at / "when", given["when"], columns),
            then=then,
            force=force,
            over=tuple(
                self.over(at / f"over[{n}]", one)
                for n, one in enumerate(strict.rows(at / "over", given.get("over", [])), 1)
            ),
            cite=self.cited(at, given),
            says=self.spoken(at / "says", given["says"]),
            since=since,
            until=until,
        )

    def over(self, at: Shelfmark, given: dict[str, Any]) -> Over:
        strict.only(at, given, "row", "cite")
        return Over(strict.text(at / "row", given["row"]), self.cited(at, given))

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

    def acts(self, section: str) -> tuple[Act, ...]:
        if section not in self.parsed:
            return ()
        at, given = self.at / section, strict.table(self.at / section, self.parsed[section])
        strict.only(at, given, "says columns row")
        columns = self.columns(at / "columns", given["columns"])
        found = []
        for n, row in enumerate(strict.rows(at / "row", given["row"]), 1):
            here = at / f"row[{n}]"
            strict.only(here, row, "act when says", "cite")
            name = strict.text(here / "act", row["act"])
            found.append(
                Act(
                    name,
                    strict.text(here / "says", row["says"]),
                    self.conditions(here / "when", row["when"], columns),
                    self.cited(here, row),
                )
            )
        fault = act_fault(section, columns, found)
        if fault:
            raise (at / "row").refuse(*fault)
        return tuple(found)
