"""Make the demo: an invented firm with two yards and some forty units, and serve it."""

import os
import sys
from typing import Any

from django.conf import settings
from django.core.management.base import CommandParser

from hazmat.management import opening
from hazmat.management.serve import a_port, address, free, serve
from hazmat.management.verb import Refusal, Verb
from hazmat.models import Person

BOOK = "demo"


class Command(Verb):
    help = (
        "Make the demo book (an invented firm, people and places, two yards, some forty units) beside any real book, "
        "print a link to sign in by, and serve it until it is stopped. It never touches a real book: it has a SQLite "
        "file of its own, whatever DATABASE_URL says."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--no-serve", action="store_true", help="make it and end")
        parser.add_argument("--port", type=a_port, default=8000, help="where the pages are served (default 8000)")
        parser.add_argument("--person", default="technician", help="whose link is printed: a role such as visitor")

    def handle(self, *args: Any, **options: Any) -> None:
        if settings.OILWARD_BOOK.name != BOOK or os.environ.get("DATABASE_URL"):
            _again_in_the_demo()
        if not options["no_serve"]:
            free(options["port"])
        from hazmat.demo.make import handle_of, make

        try:
            handle = handle_of(options["person"])
        except LookupError as nobody:
            raise Refusal(str(nobody)) from None
        opening.make_tables()
        yards, units = make(_progress)
        sys.stdout.write(f"The demo has {yards} yards and {units} units, all invented, in {settings.OILWARD_BOOK}.\n")
        person = Person.objects.get(handle=handle)
        path = opening.door_path(person)
        sys.stdout.write(f"Sign in as {person.called}, once, within two days: {address(options['port'], path)}\n")
        if options["no_serve"]:
            return
        sys.stdout.write(f"Serving at {address(options['port'])}; stop it with Ctrl-C.\n")
        serve(options["port"])


def _again_in_the_demo() -> None:
    """Start this command once more with the demo's own book."""
    sys.stdout.flush()
    knobs = {**os.environ, "OILWARD_BOOK": BOOK, "DATABASE_URL": ""}
    os.execve(sys.executable, [sys.executable, *sys.argv], knobs)


def _progress(done: int, of: int) -> None:
    """A bar on a terminal; nothing elsewhere."""
    if sys.stderr.isatty():
        width = 30
        filled = width * done // of
        sys.stderr.write(f"\r[{'#' * filled}{'.' * (width - filled)}] {done} of {of}")
        if done == of:
            sys.stderr.write("\n")
        sys.stderr.flush()
