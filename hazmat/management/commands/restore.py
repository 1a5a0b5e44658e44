"""Take up a backup."""

import sys
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import CommandParser

from hazmat import rulebooks
from hazmat.book.keep import CannotRestore, restore
from hazmat.management import opening
from hazmat.management.verb import Refusal, Verb
from hazmat.models.edition import lay_out


class Command(Verb):
    help = (
        "Take a backup up into the book in use, whole or not at all, and then hold it against itself. An empty book is "
        "filled; a book that is older than the backup is brought up to it; one that is newer is never written over. "
        "What was erased after the backup was made comes back into an empty book: erase it again. Afterwards `begin` "
        "prints a link to sign in by."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", help="a file that `backup` wrote")

    def handle(self, *args: Any, **options: Any) -> None:
        source = Path(options["file"])
        if not source.is_file():
            raise Refusal(f"{source} is no file; name one that `backup` wrote")
        try:
            taken, proof = restore(source, opening.make_tables)
        except CannotRestore as refused:
            raise Refusal(str(refused)) from None
        sys.stdout.write(f"Taken up from {source}: {taken.rows} rows and {taken.files} files.\n")
        for name in lay_out(settings.OILWARD_BOOK):
            edition = rulebooks.rulebook(name).edition
            sys.stdout.write(f"rulebook {name}  edition {edition}  came with it and stands from now on\n")
        for code, seq, head in taken.yards:
            sys.stdout.write(f"yard {code}  entry {seq}  {head}\n")
        for says in proof.faults:
            sys.stdout.write(f"CHANGED  {says}\n")
        sys.stdout.write(
            f"{proof.entries} entries were held against themselves; {len(proof.faults) or 'nothing'} changed.\n"
        )
        if proof.faults:
            raise Refusal("the backup had been changed before it was taken up; it stands here as it was", 1)
