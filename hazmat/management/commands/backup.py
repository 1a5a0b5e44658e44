"""Write the whole book into one file."""

import sys
from pathlib import Path
from typing import Any

from django.core.management.base import CommandParser
from django.db import DatabaseError

from hazmat.book.keep import CannotRestore, backup
from hazmat.management import opening
from hazmat.management.verb import Refusal, Verb


class Command(Verb):
    help = (
        "Write the whole book, rows and files, as at one moment, into one new file; nobody is held up meanwhile. The "
        "file holds names, telephones and places: keep it as carefully as the book itself, and a copy elsewhere."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", help="a new file; one that is there is not written over")

    def handle(self, *args: Any, **options: Any) -> None:
        target = Path(options["file"])
        if not opening.has_tables():
            raise Refusal("there is no book here yet; `manage.py begin` makes one")
        if not target.parent.is_dir():
            raise Refusal(f"{target.parent} is no folder; make it first, or name another one")
        try:
            taken = backup(target)
        except FileExistsError:
            raise Refusal(f"{target} is there already and is not written over; name a new file") from None
        except CannotRestore as wrong:
            raise Refusal(f"what was written could not be read back, so there is no backup: {wrong}", 1) from None
        except DatabaseError as wrong:
            says = " ".join(str(wrong).split())
            raise Refusal(f"the database itself cannot be read, so there is no backup: {says}", 1) from None
        except OSError as wrong:
            raise Refusal(f"{target} cannot be written: {(wrong.strerror or 'it failed').lower()}") from None
        sys.stdout.write(f"Written to {target}: {taken.rows} rows and {taken.files} files.\n")
        for code, seq, head in taken.yards:
            sys.stdout.write(f"yard {code}  entry {seq}  {head}\n")
        for digest in taken.lost:
            sys.stdout.write(f"NOT IN IT  the file {digest} is gone or was changed\n")
        if taken.lost:
            raise Refusal("the backup stands, but lacks files of the book; `prove` names what they belong to", 1)
