"""Run one named calculation on JSON lines: litres for a rating, shots of a breakdown test, a result against a line."""

import json
import sys
from typing import Any

from django.core.management.base import CommandParser
from django.utils import timezone

from hazmat.core.sums.frame import Sum
from hazmat.edge import sums as edge
from hazmat.edge.air import answered
from hazmat.edge.reader import BOM, one_object
from hazmat.edge.shapes import Slip, shown
from hazmat.management.streams import lines_of, opened
from hazmat.management.verb import Refusal, Verb
from hazmat.rulebooks import sumbook


class Command(Verb):
    help = (
        "One named calculation on JSON lines, one object a line, without any register. --list names them all; "
        "--schema says what one takes; --check holds each against the values that others published."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", nargs="?", help="which calculation, such as density")
        parser.add_argument(
            "file", nargs="?", default="-", help="a file of JSON lines, or - for standard input (default)"
        )
        parser.add_argument("--list", action="store_true", help="name every calculation, and what it is for")
        parser.add_argument("--schema", action="store_true", help="print the JSON Schema of a line of this calculation")
        parser.add_argument(
            "--check", action="store_true", help="compare with published values; exit 1 where one differs"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["list"]:
            _list()
            return
        name, held = options["name"], sumbook.sums()
        if options["check"]:
            _check([_named(name)] if name else list(held.values()))
        elif not name:
            raise Refusal(f"name a calculation; these are held: {', '.join(held)}")
        elif options["schema"]:
            sys.stdout.write(json.dumps(edge.schema(_named(name)), indent=1, ensure_ascii=False) + "\n")
        else:
            _run(_named(name), options["file"])


def _named(name: str) -> Sum:
    held = sumbook.sums()
    if name not in held:
        raise Refusal(f"{shown(name)} is no calculation; these are held: {', '.join(held)}")
    return held[name]


def _list() -> None:
    width = max(map(len, sumbook.sums()))
    for subject, sums in sumbook.shelf().items():
        sys.stdout.write(f"{subject}\n")
        for name, one in sums.items():
            sys.stdout.write(f"  {name:<{width}}  {one.says}\n")


def _run(asked: Sum, file: str) -> None:
    """One answer a line; the first line that cannot be worked with ends it."""
    today = timezone.localdate()
    example = "{" + ", ".join(f'"{box.key}": …' for box in asked.boxes[:2]) + "}"
    with opened(file) as stream:
        for number, raw in enumerate(lines_of(stream, file), 1):
            line = raw.removeprefix(BOM) if number == 1 else raw
            if not line.strip():
                continue
            try:
                worked = edge.work(asked, one_object(line, example), today)
            except Slip as slip:
                sys.stdout.flush()
                raise Refusal(f"line {number}{', ' + slip.path if slip.path else ''}: {slip.says}") from None
            sys.stdout.write(json.dumps(answered(asked, worked, today), ensure_ascii=False) + "\n")


def _check(asked: list[Sum]) -> None:
    """Each published value beside ours."""
    today, apart, count = timezone.localdate(), 0, 0
    for one in asked:
        sys.stdout.write(f"{one.name}: {one.says}\n")
        for check in one.checks:
            held, count = edge.held(one, check, today), count + 1
            apart += not held.met
            sign = "agrees" if held.met else "APART"
            sys.stdout.write(f"  {sign}: {check.name}: {held.expected}; here {held.ours} ({check.cite.document})\n")
    sys.stdout.flush()
    if apart:
        raise Refusal(f"{apart} of {count} values differ", 1)
    sys.stdout.write(f"{count} values, all agree.\n")
