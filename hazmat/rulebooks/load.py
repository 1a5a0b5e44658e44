"""From a TOML file to a rulebook, or a refusal that says what to mend. No citation, no value."""

import hashlib
from collections.abc import Mapping
from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import Any, get_args

from hazmat.core.bulk import COLUMN_VALUES, DUTY_COLUMNS, SOME
from hazmat.core.clauses import AndMore, Compare, Quantity
from hazmat.core.law import (
    UNDETERMINED,
    Act,
    ClassWords,
    Duty,
    Force,
    Line,
    MarkMeans,
    Over,
    Row,
    Rulebook,
    Sentence,
    Table,
)  # fmt: skip
from hazmat.rulebooks import strict
from hazmat.rulebooks.cited import Cited
from hazmat.rulebooks.heads import read_first, read_parts
from hazmat.rulebooks.onspills import read_spills
from hazmat.rulebooks.prove import Fault, act_fault, prove_table
from hazmat.rulebooks.strict import RulebookError, Shelfmark

REQUIRED = "rulebook says edition classes cite figure class line marks kinds table"
OPTIONAL = "found_in sentence territories clock duty spill acts steps plan card part first mend why silence practice"
FORCES: tuple[Force, ...] = ("must", "may", "care")
DATES = ("decided_waste", "arrived", "in_use_before")
PUT_OFF = ("use_extended_until",)
"""Facts of a unit that can put off the last day of a duty."""
ROLES = ("holder", "generator", "collector", "carrier", "receiver", "unknown")


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
    return _checked(path.name, path.stem, strict.parse(path))


def restored(name: str, content: str) -> Rulebook:
    """A rulebook read from the text of its content, as an edition is kept. Raises RulebookError."""
    try:
        parsed = strict.parsed(content)
    except ValueError as error:
        raise RulebookError(
            name, "the text", f"it is not the content of a rulebook ({error})", "load it anew"
        ) from None
    return _checked(name, name, parsed)


def _checked(file: str, name: str, parsed: dict[str, Any]) -> Rulebook:
    at = Shelfmark(file)
    strict.only(at, parsed, REQUIRED, OPTIONAL)
    if parsed["rulebook"] != name:
        raise (at / "rulebook").refuse(f"“{parsed['rulebook']}” is not the name of the file", f'write "{name}"')
    return _Reader(at, parsed).book()


class _Reader(Cited):
    """Reads the parts of one parsed file in the order in which they lean on each other."""

    def book(self) -> Rulebook:
        at, parsed = self.at, self.parsed
        kinds = {k: strict.text(at / f"kinds.{k}", v) for k, v in strict.table(at / "kinds", parsed["kinds"]).items()}
        strict.only(at / "kinds", kinds, " ".join(COLUMN_VALUES["raw_kind"]))
        clock, counts_from = self.clock()
        acts = self.acts("acts")
        parts = read_parts(at / "part", parsed.get("part"), acts, parsed["table"])
        spills = read_spills(self)
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
            spills=spills,
            acts=acts,
            steps=self.acts("steps"),
            plan=self.acts("plan"),
            card=self.acts("card"),
            parts=parts,
            first=read_first(at / "first", parsed.get("first"), acts, parts),
            territories=self.territories,
            digest=hashlib.sha256(text.encode()).hexdigest(),
            canonical=text,
        )

    # ------------------------------------------------------------------ parts

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
            strict.only(at, given, "figure compare class", "also")
            figure = self.number(at / "figure", given["figure"])
            compare = self.compare(at, given)
            klass = strict.one_of(at / "class", given["class"], self.classes)
            found.append(
                Line(figure, compare, klass, self.also(at / "also", given["also"]) if "also" in given else None)
            )
        if [line.klass for line in found] != list(self.classes[1:]):
            raise (self.at / "line").refuse(
                "the lines do not lead from class to class",
                f"write one line each for {', '.join(self.classes[1:])}, in this order",
            )
        for low, high in pairwise(found):
            lower, higher = self.figures[low.figure], self.figures[high.figure]
            for on in {date.max, *(v.since for one in (lower, higher) for v in one.versions if v.since)}:
                first, second = lower.at(on), higher.at(on)
                if not (first and second) or (high.also and first.value == second.value):
                    continue
                if first.value >= second.value:  # type: ignore[operator]  # number has checked them
                    raise (self.at / "line").refuse(
                        "the figures do not rise from class to class",
                        "give the worse class the higher figure on every day",
                    )
        return tuple(found)

    def compare(self, at: Shelfmark, given: Mapping[str, Any]) -> Compare:
        return strict.one_of(at / "compare", given["compare"], get_args(Compare))  # type: ignore[return-value]  # checked

    def also(self, at: Shelfmark, given: Any) -> AndMore:
        """The second half of a class line: an amount that must be reached too."""
        strict.only(at, strict.table(at, given), "quantity figure compare", "of_set")
        if given.get("of_set", False) not in (True, False):
            raise (at / "of_set").refuse("it is neither true nor false", "write true, or leave it out")
        quantity = strict.one_of(at / "quantity", given["quantity"], get_args(Quantity))
        figure = self.number(at / "figure", given["figure"])
        return AndMore(quantity, figure, self.compare(at, given), given.get("of_set", False))  # type: ignore[arg-type]

    def marks(self) -> dict[str, MarkMeans]:
        def read(at: Shelfmark, name: str, given: dict[str, Any]) -> MarkMeans:
            strict.only(at, given, "class", "cite")
            return MarkMeans(strict.one_of(at / "class", given["class"], self.classes), self.cited(at, given))

        found = self.each("marks", read)
        strict.only(self.at / "marks", found, "pcb_mark pcb_contaminated_mark")
        return found

    def sentence(self, at: Shelfmark, name: str, given: dict[str, Any]) -> Sentence:
        strict.only(at, given, "says", "cite only_in")
        return Sentence(name, strict.text(at / "says", given["says"]), self.cited(at, given), self.only_in(at, given))

    def clock(self) -> tuple[Sentence | None, str | None]:
        if "clock" not in self.parsed:
            return None, None
        at, given = self.at / "clock", strict.table(self.at / "clock", self.parsed["clock"])
        strict.only(at, given, "counts_from says", "cite")
        counts_from = strict.one_of(at / "counts_from", given["counts_from"], DATES)
        return Sentence("clock", strict.text(at / "says", given["says"]), self.cited(at, given)), counts_from

    def duty(self, at: Shelfmark, given: dict[str, Any]) -> Duty:
        strict.only(
            at, given, "name says classes roles", "cite counts_from time by extended_by when since until only_in"
        )
        time, counts_from, by = given.get("time"), given.get("counts_from"), given.get("by")
        if (time is None) != (counts_from is None):
            raise at.refuse("a clock needs both its start and its length", "give counts_from and time, or neither")
        if time is not None and by is not None:
            raise at.refuse("it has a clock and a last day", "give counts_from and time, or by")
        extended_by = given.get("extended_by")
        if extended_by is not None and by is None:
            raise (at / "extended_by").refuse("only a last day can be put off", "give by too, or leave extended_by out")
        since, until = self.period(at, {"since": "unknown", **{k: given[k] for k in ("since", "until") if k in given}})
        return Duty(
            name=strict.text(at / "name", given["name"]),
            says=self.spoken(at / "says", given["says"]),
            classes=frozenset(self.known(at / "classes", given["classes"], self.classes)),
            roles=frozenset(self.known(at / "roles", given["roles"], ROLES)),
            counts_from=None if counts_from is None else strict.one_of(at / "counts_from", counts_from, DATES),
            time=None if time is None else self.time(at / "time", time),
            cite=self.cited(at, given),
            by=None if by is None else self.last_day(at / "by", by),
            extended_by=None if extended_by is None else strict.one_of(at / "extended_by", extended_by, PUT_OFF),
            when=self.conditions(at / "when", given.get("when", {}), DUTY_COLUMNS),
            since=since,
            until=until,
            only_in=self.only_in(at, given),
        )

    # ------------------------------------------------------------------ tables

    def columns(self, at: Shelfmark, given: Any) -> dict[str, tuple[str, ...]]:
        found = {}
        for name, values in strict.table(at, given).items():
            here = at / name
            strict.one_of(here, name, COLUMN_VALUES)
            found[name] = strict.words(here, values)
            produced = COLUMN_VALUES[name]
            if name in SOME:
                self.known(here, values, produced)
            elif produced and set(found[name]) != set(produced):
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
        if set(columns.get("spill_class", self.classes)) != set(self.classes):
            raise (at / "columns.spill_class").refuse(
                "its values are not the classes of this rulebook", f"list exactly: {', '.join(self.classes)}"
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
        strict.only(at, given, "name when then says", "cite force over since until only_in")
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
            only_in=self.only_in(at, given),
        )

    def over(self, at: Shelfmark, given: dict[str, Any]) -> Over:
        strict.only(at, given, "row", "cite")
        return Over(strict.text(at / "row", given["row"]), self.cited(at, given))

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
