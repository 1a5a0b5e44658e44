"""Show that nothing was changed since it was written."""

import re
import sys
from typing import Any

import msgspec
from django.core.management.base import CommandParser
from django.db import DatabaseError

from hazmat.book.entry import Entry
from hazmat.book.prove import Head, prove
from hazmat.book.rows import Proof
from hazmat.core.codes import read_code
from hazmat.management import opening
from hazmat.management.verb import Refusal, Verb

NOTED = re.compile(r"([^:]+):([0-9]{1,18}):([0-9a-f]{64})", re.ASCII)


class Command(Verb):
    help = (
        "Hold the whole book against itself: the chain of entries, every row, personal data, pictures, papers and "
        "standings. Each thing that was changed is named; the exit status is then 1. What cannot be seen from inside "
        "is that the end of the book was cut off whole: note the head now and then, and give it with --head."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--head", action="append", default=[], metavar="YARD:SEQ:HASH",
            help="a hash that was noted elsewhere, as the page Keeping shows it; may stand more than once",
        )  # fmt: skip
        parser.add_argument("--format", choices=("table", "jsonl"), default="table", help="how findings are written")

    def handle(self, *args: Any, **options: Any) -> None:
        heads = [_noted(one) for one in options["head"]]
        if not opening.has_tables():
            raise Refusal("there is no book here yet; `manage.py begin` makes one")
        try:
            total = Entry.objects.count()
            proof = prove(lambda done: _progress(done, total), heads)
        except DatabaseError as wrong:
            says = " ".join(str(wrong).split())
            raise Refusal(f"the database itself cannot be read, so nothing is proved: {says}", 1) from None
        _write(proof, options["format"])
        if proof.faults:
            count = len(proof.faults)
            raise Refusal(f"{count} {'thing was' if count == 1 else 'things were'} found changed", 1)


def _noted(written: str) -> Head:
    found = NOTED.fullmatch(written)
    try:
        if not found:
            raise ValueError
        return read_code(found[1]), int(found[2]), found[3]
    except ValueError:
        raise Refusal(f"“{written}” is no noted head; a yard's code, a number and 64 digits may stand there") from None


def _write(proof: Proof, format: str) -> None:
    if format == "jsonl":
        sys.stdout.buffer.write(msgspec.json.encode(proof) + b"\n")
        return
    for says in proof.faults:
        sys.stdout.write(f"CHANGED  {says}\n")
    for says in proof.remarks:
        sys.stdout.write(f"known    {says}\n")
    sys.stdout.write(
        f"{proof.entries} entries, {proof.records} records, {proof.standings} standings, {proof.papers} papers and "
        f"{proof.files} files were looked at; {len(proof.faults) or 'nothing'} changed.\n"
    )


def _progress(done: int, of: int) -> None:
    if sys.stderr.isatty():
        sys.stderr.write(f"\r{done} of {of} entries" + ("\n" if done >= of else ""))
        sys.stderr.flush()
