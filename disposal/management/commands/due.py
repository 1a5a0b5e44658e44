"""Which clocks run, soonest first: how long each unit and drum may still stay."""

import shutil
import sys
import textwrap
from collections.abc import Callable, Iterator
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

import msgspec
from django.core.management.base import CommandParser
from django.db import DatabaseError
from django.utils import timezone

from disposal.core.clocks import EXTENSION, Clock, Unclocked
from disposal.queries.due import Due, due, house_day
from hazmat.core.codes import read_code, spaced
from hazmat.core.measures import day_words
from hazmat.edge.writer import csv_line
from hazmat.management import opening
from hazmat.management.verb import Refusal, Verb, a_day
from hazmat.models import Particulars

COLUMNS = (
    "yard", "thing", "code", "name", "counts_from", "start", "due", "left", "law", "rulebook", "edition", "on", "says",
    "cite", "basis",
)  # fmt: skip
"""Keys of a JSON line and columns of a CSV row. Without a clock: `name` says what is missing, and no day stands."""
YARD, THING, LEFT, DAY, WHOSE = 9, 14, 21, 13, 16
"""Widths of the columns of the table, in characters."""

Found = tuple[Particulars, Due]


class Command(Verb):
    help = (
        "Every clock of the book as at a day, soonest first: how long each unit and drum may still stay, from which "
        "day that counts, by which law or practice of the house; and every thing that lacks the day its clock would "
        "count from. Local law and licensed people come first."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--on", type=a_day, help="the day, such as 2026-11-25; else today in the zone of each yard")
        parser.add_argument("--yard", help="the code of one yard; else every yard of the book")
        parser.add_argument("--format", choices=tuple(PRINT), default="table", help="how clocks are written")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            yard = read_code(options["yard"]) if options["yard"] is not None else None
        except ValueError as wrong:
            raise Refusal(str(wrong)) from None
        if not opening.has_tables():
            raise Refusal("there is no book here yet; `manage.py begin` makes one")
        try:
            found = [(one, due(one.yard_id, options["on"] or _today(one))) for one in _yards(yard)]
        except DatabaseError as wrong:
            raise Refusal(f"the database itself cannot be read: {' '.join(str(wrong).split())}", 1) from None
        PRINT[options["format"]](found)


def _yards(code: str | None) -> list[Particulars]:
    """The yards that are asked for, by code. Raises Refusal for a code that none has."""
    wanted = {"yard__code": code} if code else {}
    found = list(Particulars.objects.select_related("yard").filter(replaced_by=None, **wanted).order_by("yard__code"))
    if code and not found:
        raise Refusal(f"no yard of this book has the code {spaced(code)}; leave --yard out for all of them")
    return found


def _today(named: Particulars) -> date:
    return timezone.localdate(timezone=ZoneInfo(named.zone))


def _rows(found: list[Found]) -> Iterator[tuple[str, Clock | Unclocked, date]]:
    """Yard, clock and day: the clocks of all yards together, soonest first, then what has none."""
    clocks = [(one.yard.code, clock, told.on) for one, told in found for clock in told.clocks]
    yield from sorted(clocks, key=lambda row: (row[1].due, row[0], row[1].thing, row[1].code))
    yield from ((one.yard.code, thing, told.on) for one, told in found for thing in told.apart)


def _told(yard: str, one: Clock | Unclocked, on: date) -> dict[str, Any]:
    """A row with every key; what is not there is None."""
    told: dict[str, Any] = {
        **dict.fromkeys(COLUMNS), "yard": yard, "thing": one.thing, "code": one.code, "name": one.says.key, "on": on,
        "says": one.says.says, "cite": one.says.cite, "basis": one.says.basis,
    }  # fmt: skip
    if isinstance(one, Clock):
        told |= {
            "name": one.name, "counts_from": one.counts_from, "start": one.start, "due": one.due, "left": one.left,
            "law": one.law, "rulebook": one.rulebook, "edition": one.edition,
        }  # fmt: skip
    return told


def _jsonl(found: list[Found]) -> None:
    for row in _rows(found):
        sys.stdout.buffer.write(msgspec.json.encode(_told(*row)) + b"\n")


def _csv(found: list[Found]) -> None:
    sys.stdout.write(csv_line(COLUMNS))
    for row in _rows(found):
        told = _told(*row)
        told["law"] = {True: "law", False: "house practice", None: None}[told["law"]]
        sys.stdout.write(csv_line(told.values()))


def _table(found: list[Found]) -> None:
    width = max(shutil.get_terminal_size((120, 40)).columns, YARD + THING + LEFT + DAY + WHOSE)
    days = sorted({told.on for _, told in found})
    yards = f"{len(found)} {'yard' if len(found) == 1 else 'yards'}"
    sys.stdout.write(f"Clocks of {yards}, as at {' and '.join(map(day_words, days)) or 'no day'}, soonest first.\n\n")
    sys.stdout.write(f"{'yard':<{YARD}}{'thing':<{THING}}{'left':<{LEFT}}{'last day':<{DAY}}{'whose rule':<{WHOSE}}\n")
    said: set[str] = set()
    for yard, one, _ in _rows(found):
        sys.stdout.write(_line(yard, one))
        if one.says.says not in said:
            said.add(one.says.says)
            sys.stdout.write(_why(one, width))
    sys.stdout.write(_total([told for _, told in found]))


def _line(yard: str, one: Clock | Unclocked) -> str:
    head = f"{spaced(yard):<{YARD}}{f'{one.thing} {spaced(one.code)}':<{THING}}"
    if isinstance(one, Unclocked):
        return f"{head}no clock\n"
    whose = "law" if one.law else "house practice"
    began = f"{one.started.lower()} {day_words(one.start)}"
    more = "".join(f"{' ' * YARD}{note.says} [{note.cite}]\n" for note in one.notes if note.key == EXTENSION)
    return f"{head}{one.words:<{LEFT}}{day_words(one.due):<{DAY}}{whose:<{WHOSE}}{began}\n{more}"


def _why(one: Clock | Unclocked, width: int) -> str:
    """The sentence behind a line, once, with its document."""
    indent = " " * YARD
    text = f"{one.says.says} [{one.says.cite}]"
    return textwrap.fill(text, width, initial_indent=indent, subsequent_indent=indent) + "\n"


def _total(every: list[Due]) -> str:
    clocks = [one for told in every for one in told.clocks]
    apart = sum(len(told.apart) for told in every)
    within = int(house_day(every[0].on).number("clock_soon")) if every else 0
    late = sum(one.overdue for one in clocks)
    soon = sum(one.begun and 0 <= one.left <= within for one in clocks)
    return (
        f"\n{len(clocks)} {'clock' if len(clocks) == 1 else 'clocks'}: {late} overdue, {soon} within {within} days; "
        f"{apart} {'thing' if apart == 1 else 'things'} without a clock, for want of a day.\n"
    )


PRINT: dict[str, Callable[[list[Found]], None]] = {"table": _table, "jsonl": _jsonl, "csv": _csv}
