"""Judge a register of old units, one JSON object a line."""

import os
import shutil
import stat
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import closing
from dataclasses import dataclass
from typing import Any, TypeVar

from django.core.management.base import CommandParser
from django.utils import timezone

from hazmat import rulebooks
from hazmat.core.assess import Assessment
from hazmat.core.measures import day_words
from hazmat.edge import schemas, writer
from hazmat.edge.abreast import Abreast, processors
from hazmat.edge.lines import Assessor, seldom_collected
from hazmat.edge.reader import Refused
from hazmat.edge.shapes import shown
from hazmat.management.progress import Counted
from hazmat.management.streams import lines_of, opened
from hazmat.management.verb import SOME_BAD, Refusal, Verb, a_day, latest_day

FORMATS = ("jsonl", "csv", "table")
Answer = TypeVar("Answer")


class Command(Verb):
    help = (
        "For each unit of a register: what the law makes us treat it as, how cautious hands must be, why, and what to "
        "do next. "
        "Local law and licensed people come first; when in doubt, stop and ask."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", nargs="?", help="a file of JSON lines, or - for standard input")
        parser.add_argument(
            "--rulebook",
            help=f"judge every line under this law ({', '.join(rulebooks.laws())}); else under that of found_in",
        )
        parser.add_argument("--on", type=a_day, help="the law day, such as 2026-11-25; else today")
        parser.add_argument(
            "--format", choices=FORMATS, default="jsonl", help="how answers are written (default jsonl)"
        )
        parser.add_argument(
            "--keep-going", action="store_true", help="answer the good lines, list the bad ones, exit 3"
        )
        parser.add_argument(
            "--schema", choices=("in", "out"), help="print the JSON Schema of a line that comes in or goes out"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["schema"]:
            sys.stdout.write(schemas.text(options["schema"]))
            return
        if not options["file"]:
            raise Refusal("name a file of JSON lines, or - for standard input")
        law, on = options["rulebook"], options["on"] or timezone.localdate()
        if law is not None and law not in rulebooks.laws():
            raise Refusal(f"{shown(law)} is not a rulebook; the rulebooks are {', '.join(rulebooks.laws())}")
        assessor = Assessor(law, on, latest_day())
        with opened(options["file"]) as stream, seldom_collected():
            lines = Counted(lines_of(stream, options["file"]))
            try:
                asked = Asked(assessor, lines, options["keep_going"], processors() if _regular(stream) else 1)
                refused = PRINT[options["format"]](asked)
            finally:
                lines.clear()
        if refused:
            raise Refusal(f"{refused} {'line was' if refused == 1 else 'lines were'} refused", SOME_BAD)


@dataclass(frozen=True)
class Asked:
    """What is judged and how: `many` processes for answers as JSON lines."""

    assessor: Assessor
    stream: Counted
    keep_going: bool
    many: int


def _regular(stream: Iterable[bytes]) -> bool:
    """Whether a stream is a file that lies there whole; what comes in by and by is answered as it comes."""
    file = getattr(stream, "fileno", None)
    return file is not None and stat.S_ISREG(os.fstat(file()).st_mode)


def _good(asked: Asked, answers: Iterator[Answer | Refused], write: Callable[[Answer], object]) -> int:
    """Write each answer; stop at the first refusal, or list refusals and go on. Returns how many were refused."""
    refused = 0
    for answer in answers:
        if not isinstance(answer, Refused):
            write(answer)
        elif not asked.keep_going:
            sys.stdout.flush()
            raise Refusal(str(answer))
        else:
            refused += 1
            sys.stdout.flush()
            asked.stream.clear()
            sys.stderr.write(f"{answer}\n")
    return refused


def _jsonl(asked: Asked) -> int:
    with closing(Abreast(asked.assessor, asked.many).answers(asked.stream)) as answers:
        return _good(asked, answers, sys.stdout.buffer.write)


def _csv(asked: Asked) -> int:
    sys.stdout.write(writer.csv_header())

    def write(answer: Assessment) -> None:
        sys.stdout.write(writer.csv_row(answer))

    return _good(asked, asked.assessor.answers(asked.stream), write)


def _table(asked: Asked) -> int:
    width = shutil.get_terminal_size((120, 40)).columns
    assessor = asked.assessor
    law = (
        rulebooks.rulebook(assessor.rulebook).says if assessor.rulebook else "the law of the place where each was found"
    )
    sys.stdout.write(f"Judged under {law}, as at {day_words(assessor.on)}.\n{writer.table_header(width)}")
    cares: Counter[str] = Counter()

    def write(answer: Assessment) -> None:
        cares[answer.care] += 1
        sys.stdout.write(writer.table_rows(answer, width))

    refused = _good(asked, assessor.answers(asked.stream), write)
    sys.stdout.write(writer.table_total(cares, refused))
    return refused


PRINT: dict[str, Callable[[Asked], int]] = {"jsonl": _jsonl, "csv": _csv, "table": _table}
