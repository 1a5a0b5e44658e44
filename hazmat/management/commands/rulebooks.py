"""Show every figure and row of the rulebooks in plain words with its document, and prove the tables."""

import difflib
import sys
import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

from django.core.management.base import CommandParser
from django.utils import timezone

from hazmat import rulebooks
from hazmat.core.findings import finish
from hazmat.core.law import Act, Cite, Figure, LawDay, Row, Rulebook, Version
from hazmat.core.measures import day_words
from hazmat.core.telling import HOW_KNOWN
from hazmat.edge.cases import CASES, Case, answer, cases, misses, unproven
from hazmat.edge.shapes import shown
from hazmat.management import editions
from hazmat.management.verb import Refusal, Verb, a_day, latest_day
from hazmat.rulebooks import HERE
from hazmat.rulebooks.compare import Change, days_apart, editions_apart, text_of
from hazmat.rulebooks.fluids import fluid_names
from hazmat.rulebooks.load import faults, read
from hazmat.rulebooks.strict import RulebookError
from hazmat.rulebooks.told import Blanks, with_unit

WIDTH = 110
HEADS = {
    "wear": "What to wear", "do_not": "What not to do", "take": "May you take it", "next": "What to do next",
}  # fmt: skip


class Command(Verb):
    help = (
        "List the rulebooks; show one whole, or one figure or row of it, in plain words with its document and how we "
        "know it; "
        "--check proves the tables and runs every worked case."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("rulebook", nargs="?", help=f"one of {', '.join(rulebooks.names())}; left out: the list")
        parser.add_argument("entry", nargs="?", help="the name of one figure, row, class or sentence")
        parser.add_argument("--on", type=a_day, help="the law day, such as 2026-11-25; else today")
        parser.add_argument("--check", action="store_true", help="prove every table and run every worked case")
        parser.add_argument(
            "--diff", metavar="EDITION", help="what changed since this edition: its day, its content, or a .toml file"
        )
        parser.add_argument(
            "--with", metavar="EDITION", dest="other", help="up to this edition; else the one that stands"
        )
        parser.add_argument("--since", type=a_day, metavar="DAY", help="what stands otherwise than on this day")
        parser.add_argument("--state", metavar="CODE", help="of a law that tells states apart, such as AU-VIC")
        parser.add_argument("--load", metavar="FILE", help="let the rulebook of this .toml file stand from now on")

    def handle(self, *args: Any, **options: Any) -> None:
        on, name, entry = options["on"] or timezone.localdate(), options["rulebook"], options["entry"]
        if name is not None and name not in rulebooks.names():
            raise Refusal(f"{shown(name)} is not a rulebook; the rulebooks are {', '.join(rulebooks.names())}")
        if options["load"]:
            _write(_taken_in(Path(options["load"])))
        elif (options["diff"] or options["since"]) and name is None:
            raise Refusal("name the rulebook whose editions or days you mean, as in rulebooks us --diff 2026-11-25")
        elif options["diff"]:
            old, new = editions.named(name, options["diff"]), editions.named(name, options["other"] or _now(name))
            _write(_apart(editions.headed(old, new), editions_apart(old, new)))
        elif options["since"]:
            state = _state(rulebooks.rulebook(name), options["state"])
            told = days_apart(rulebooks.rulebook(name), options["since"], on, state)
            _write(_apart(editions.between(options["since"], on, state), told))
        elif options["check"]:
            _check([name] if name else list(rulebooks.names()), latest_day())
        elif name is None:
            _write(_shelf())
        else:
            book = rulebooks.rulebook(name)
            _write(_one(book, entry, on) if entry else _whole(book, on))


def _now(name: str) -> str:
    return rulebooks.rulebook(name).digest


def _state(book: Rulebook, written: str | None) -> str | None:
    """A state that the law tells apart. Raises Refusal, which names them."""
    if written is None or written.upper() in book.territories:
        return written and written.upper()
    known = ", ".join(f"{code} ({name})" for code, name in book.territories.items()) or "none"
    raise Refusal(f"{shown(written)} is no state that {book.name} tells apart; these are: {known}")


def _apart(head: str, changes: list[Change]) -> Iterator[str]:
    yield head
    yield from editions.told(changes)
    yield (
        f"{len(changes)} {'entry differs' if len(changes) == 1 else 'entries differ'}."
        if changes
        else "Nothing differs."
    )


def _taken_in(file: Path) -> Iterator[str]:
    """What follows from loading a rulebook, told."""
    before, now = editions.take_in(file)
    if before:
        old, new = text_of(before), text_of(now)
        yield from _apart(editions.headed(old, new), editions_apart(old, new))
    else:
        yield f"{now.says}: its first edition, {day_words(now.edition)} ({now.digest[:10]})."
    yield "It stands from now on. Start the server again, then let `manage.py reassess` judge the units again."


def _write(lines: Iterable[str]) -> None:
    for line in lines:
        sys.stdout.write(f"{line}\n")


def _shelf() -> Iterator[str]:
    yield f"{len(rulebooks.names())} rulebooks and a list of {len(fluid_names().listed)} fluid names."
    yield ""
    for name, book in rulebooks.shelf().items():
        rows = sum(len(table.rows) for table in book.tables.values())
        nowhere = "everywhere" if name == rulebooks.HANDLING else "no country, only where asked for by name"
        places = ", ".join(book.found_in) or nowhere
        counts = f"{len(book.figures):>3} figures {rows:>3} rows"
        yield f"{name:<10} edition {book.edition}  {book.digest[:10]}  {counts}  {places}"
        yield f"{'':<10} {book.says}"
    yield ""
    yield "Show one with `rulebooks us`, one entry of it with `rulebooks us cutoff`."


# ------------------------------------------------------------------ one rulebook


def _whole(book: Rulebook, on: date) -> Iterator[str]:
    yield f"{book.says}. Edition {book.edition}, content {book.digest[:10]}. As at {day_words(on)}."
    yield from _section("Figures", (line for figure in book.figures.values() for line in _figure(figure, on)))
    yield from _section(
        "Classes",
        (
            line
            for name in book.classes
            for line in _said(name, book.class_words[name].says, book.class_words[name].cite)
        ),
    )
    slots = LawDay(book, on).words
    yield from _section("Class lines", _lines(book, slots))
    means = book.marks.items()
    yield from _section("Marks", (line for k, v in means for line in _said(k, f"speaks for {v.klass}", v.cite)))
    for table in book.tables.values():
        yield from _section(
            f"{table.says} ({table.name})", (line for row in table.rows for line in _row(row, slots, on))
        )
    if book.clock:
        yield from _section("Clock", _said(book.clock_counts_from or "", book.clock.says, book.clock.cite))
    yield from _section(
        "Duties",
        (line for duty in book.duties for line in _said(duty.name, duty.says.format_map(Blanks(slots)), duty.cite)),
    )
    yield from _section(
        "Once something is spilled",
        (line for one in book.spills for line in _said(one.name, one.says.format_map(Blanks(slots)), one.cite)),
    )
    yield from _section(
        "No figure in this law", (line for s in book.silences.values() for line in _said(s.key, s.says, s.cite))
    )
    yield from _section("What to do next", (line for act in book.acts for line in _act(act)))
    yield from _section("Where each act is shown", _heads(book))
    yield from _section("How to sample, in order", (line for step in book.steps for line in _act(step)))
    spoken = book.sentences.values()
    yield from _section("Sentences", (line for s in spoken for line in _said(s.key, _open(s.says), s.cite)))
    yield from _section(
        "House practice, not law", (line for s in book.practices.values() for line in _said(s.key, s.says, s.cite))
    )


def _act(act: Act) -> Iterator[str]:
    """An act or a step: when it is told, its sentence, its document."""
    yield from _said(act.act, f"when {_when(act.when)}", None)
    yield from _wrapped(act.says, "      ")
    yield from _cited(act.cite)


def _heads(book: Rulebook) -> Iterator[str]:
    """Which acts stand under which head of a page, and which is told first."""
    for head, words in HEADS.items():
        acts = [act for act, shown in book.parts.items() if shown == head]
        if acts:
            yield from _said(words, ", ".join(acts), None)
    if book.first:
        yield from _said("Told first, in this order", ", ".join(book.first), None)


def _open(says: str) -> str:
    """A sentence with its slots as blanks: what fills them comes from a unit."""
    return says.format_map(Blanks())


def _lines(book: Rulebook, slots: dict[str, str]) -> Iterator[str]:
    for line in book.lines:
        yield f"  {line.klass}: {line.compare} {slots.get(line.figure, '…')} {book.figures[line.figure].unit}"


def _section(title: str, lines: Iterable[str]) -> Iterator[str]:
    found = list(lines)
    if found:
        yield ""
        yield title
        yield from found


def _figure(figure: Figure, on: date) -> Iterator[str]:
    now = figure.at(on)
    value = with_unit(now.value, figure.unit) if now else "no value in force on this day"
    yield from _said(f"{figure.name}: {value}", figure.says, now.cite if now else figure.versions[0].cite)
    for version in figure.versions:
        if version is not now:
            yield f"      {with_unit(version.value, figure.unit)} {_period(version)}"


def _period(version: Version) -> str:
    start = f"from {day_words(version.since)}" if version.since else "from a day that is not known"
    return f"{start} to {day_words(version.until)}" if version.until else start


def _row(row: Row, slots: dict[str, str], on: date) -> Iterator[str]:
    outcome = f"{row.then}, {row.force}" if row.force else row.then
    yield from _said(
        f"{row.name} → {outcome}{'' if row.in_force(on) else ' (not in force on this day)'}",
        f"when {_when(row.when)}",
        None,
    )
    yield from _wrapped(row.says.format_map(Blanks(slots)), "      ")
    yield from _cited(row.cite)
    for over in row.over:
        yield f"      beats “{over.row}”: {over.cite.document} ({HOW_KNOWN[over.cite.basis]})"


def _when(when: Iterable[tuple[str, frozenset[str]]]) -> str:
    return "; ".join(f"{column} {' or '.join(sorted(values))}" for column, values in when) or "always"


def _said(name: str, says: str, cite: Cite | None) -> Iterator[str]:
    yield f"  {name}"
    yield from _wrapped(says, "      ")
    if cite:
        yield from _cited(cite)


def _cited(cite: Cite) -> Iterator[str]:
    as_of = f"text of {day_words(cite.text_as_of)}" if cite.text_as_of else "text undated"
    yield from _wrapped(f"[{cite.document}; {as_of}; {HOW_KNOWN[cite.basis]}]", "      ")


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False)


def _one(book: Rulebook, entry: str, on: date) -> Iterator[str]:
    """One figure, row, class or sentence, with the address where it was read."""
    slots = LawDay(book, on).words
    found: list[tuple[Iterator[str], Cite]] = []
    if entry in book.figures:
        figure = book.figures[entry]
        found.append((_figure(figure, on), (figure.at(on) or figure.versions[0]).cite))
    if entry in book.class_words:
        found.append(
            (_said(entry, book.class_words[entry].says, book.class_words[entry].cite), book.class_words[entry].cite)
        )
    found += [
        (_row(row, slots, on), row.cite) for table in book.tables.values() for row in table.rows if row.name == entry
    ]
    spoken = (book.sentences, book.silences, book.practices, book.mends)
    blanks = Blanks(slots)
    found += [
        (_said(entry, finish(kept[entry].says, blanks), kept[entry].cite), kept[entry].cite)
        for kept in spoken
        if entry in kept
    ]
    owed = [(one.name, one.says, one.cite) for one in book.duties]
    owed += [(one.name, one.says, one.cite) for one in book.spills] + [
        (act.act, act.says, act.cite) for act in (*book.acts, *book.steps)
    ]
    found += [(_said(name, finish(says, blanks), cite), cite) for name, says, cite in owed if name == entry]
    if not found:
        rows = [row.name for table in book.tables.values() for row in table.rows]
        known = [
            *book.figures,
            *rows,
            *(name for name, _, _ in owed),
            *book.class_words,
            *(n for k in spoken for n in k),
        ]
        nearest = "; ".join(_nearest(entry, known))
        raise Refusal(f"{shown(entry)} is no entry of {book.name}; its nearest are: {nearest}")
    for lines, cite in found:
        yield from lines
        yield (
            f"      read at {cite.where}, on {day_words(cite.read_on)}"
            if cite.basis == "read"
            else f"      {cite.where}"
        )


def _nearest(entry: str, known: list[str]) -> list[str]:
    each = list(dict.fromkeys(known))
    return difflib.get_close_matches(entry, each, n=3, cutoff=0) or each[:3]


# ------------------------------------------------------------------ proof


def _check(names: list[str], today: date) -> None:
    """Prove every table, run every case; exit 1 with what is wrong."""
    wrong: list[str] = []
    for name in names:
        try:
            book = read(HERE / f"{name}.toml")
        except RulebookError as error:
            wrong.append(str(error))
            continue
        found = [f"{name}.toml: table.{fault.table}: {fault.says}; {fault.mend}." for fault in faults(book)]
        wrong.extend(found)
        if found:
            continue
        combinations = {table.name: _product(table.columns.values()) for table in book.tables.values()}
        shown = ", ".join(f"{table} {count}" for table, count in combinations.items())
        _write([f"{name}: proved; combinations answered: {shown}"])
    every = cases() if CASES.is_dir() else []
    for case in every if not wrong else []:
        for miss in misses(case, answer(case, today)):
            wrong.append(
                f"{case.file}, “{case.name}”: {miss.field} should be {miss.expected}, is {miss.found} ({case.source})"
            )
    if wrong:
        raise Refusal("\n".join(wrong), 1)
    for name in names:
        rows = unproven(name, every, today)
        shown = "1 row" if len(rows) == 1 else f"{len(rows)} rows"
        _write([f"{name}: {shown} unproven (no case with a document behind it)", *(f"  {row}" for row in rows)])
    others = "establishing, gear_*, may_take, pour, training, notify, common_container, the acts and steps"
    _write([f"not counted: rows of {others}"])
    _write([f"{len(names)} rulebooks proved. {_kept(every)}"])


def _kept(every: list[Case]) -> str:
    """How many cases are answered as they should be, by what stands behind them."""
    count = Counter(case.basis for case in every)
    behind = f"{count['read']} by a document read, {count['memory']} by one remembered"
    return f"{len(every)} cases answered as they should be: {behind}, {count['judgement']} by a named house rule."


def _product(columns: Iterable[tuple[str, ...]]) -> int:
    count = 1
    for values in columns:
        count *= len(values)
    return count
