"""Make a real, empty book: name, country, one person, in one step."""

import sys
from typing import Any

from django.conf import settings
from django.core.management.base import CommandParser
from django.db import transaction

from hazmat.management import opening
from hazmat.management.serve import a_port, address, free, serve
from hazmat.management.verb import Refusal, Verb
from hazmat.models import Person, Yard
from hazmat.models.person import as_handle

LONGEST = 120
"""Characters of a name or a telephone, as the columns of names take them. Source: our own choice."""


class Command(Verb):
    help = (
        "Make a real, empty book with one yard (a van is one) and one person in it, and print a link to sign in by. "
        "Asks only for what is not given. Where a book is there already it makes no second one: it prints a fresh link."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--name", help="what the yard or the van is called")
        parser.add_argument("--country", help="where it is: a country code such as nz or us")
        parser.add_argument("--state", help="the part of the country, such as OR, where that is known")
        parser.add_argument("--person", help="your name; where a book is there, the name to sign in by")
        parser.add_argument("--zone", help="time zone, such as Pacific/Auckland; else that of this machine")
        parser.add_argument("--phone", help="telephone that stands on notices")
        parser.add_argument("--port", type=a_port, default=8000, help="where the pages are served (default 8000)")
        parser.add_argument("--serve", action="store_true", help="serve the pages at once, until it is stopped")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["serve"]:
            free(options["port"])
        there = opening.has_tables() and Yard.objects.exists()
        person = _again(options) if there else _begun(options)
        path = opening.door_path(person)
        sys.stdout.write(f"Sign in as {person.called}, once, within two days: {address(options['port'], path)}\n")
        if options["serve"]:
            sys.stdout.write(f"Serving at {address(options['port'])}; stop it with Ctrl-C.\n")
            serve(options["port"])
        bind = "" if options["port"] == 8000 else f" --bind 127.0.0.1:{options['port']}"
        sys.stdout.write(f"Serve the pages with: .venv/bin/gunicorn --no-control-socket{bind} hazmat.conf.wsgi\n")


def _begun(options: dict[str, Any]) -> Person:
    """A new book. Everything is read and checked before anything is made."""
    name = _asked(options["name"], "What is the yard or van called?", "--name")
    country = opening.a_country(_asked(options["country"], "Which country (nz, us …)?", "--country"))
    state = opening.a_state(options["state"] or "", country)
    called = _asked(options["person"], "Your name?", "--person", default="Technician")
    phone = _plain(options["phone"] or "", "--phone")
    zone = opening.a_zone(options["zone"], country)
    opening.make_tables()
    with transaction.atomic():
        person = Person.objects.create_user(opening.a_handle(called), called)
        yard = opening.opened(name, country, state, zone, person, phone=phone)
    place = state or country
    code = Yard.objects.get(pk=yard).code
    sys.stdout.write(f"Opened {name} ({place}, {zone}), yard {code}, in {settings.OILWARD_BOOK}.\n")
    return person


def _again(options: dict[str, Any]) -> Person:
    """Somebody of the book that is there: the one who is named, else the only one."""
    for word in ("name", "country", "state", "zone", "phone"):
        if options[word]:
            raise Refusal(
                f"a book is here already, so --{word} is not taken; run `begin` alone for a fresh link, or set "
                "OILWARD_BOOK to another name for another book"
            )
    people = Person.objects.filter(is_active=True)
    asked = _plain(options["person"] or "", "--person")
    found = people.filter(handle=as_handle(asked)) if asked else people
    if len(found) == 1:
        return found[0]
    names = ", ".join(people.order_by("handle").values_list("handle", flat=True))
    raise Refusal(f"say for whom with --person; these are in this book: {names}")


def _asked(given: str | None, question: str, option: str, default: str = "") -> str:
    """What was given, else what is typed now. Raises Refusal where nobody can be asked."""
    word = given
    if word is None and sys.stdin.isatty():
        sys.stdout.write(f"{question} ")
        sys.stdout.flush()
        word = sys.stdin.readline()
    word = _plain(word or default, option)
    if not word:
        raise Refusal(f"nothing stood there for {option}; {question[0].lower()}{question[1:]}")
    return word


def _plain(word: str, option: str) -> str:
    """Words on one line, without idle blanks. Raises Refusal where they cannot be printed, or do not fit."""
    plain = " ".join(word.split())
    if not plain.isprintable():
        raise Refusal(f"{option} holds a character that cannot be seen or printed; type it again without it")
    if len(plain) > LONGEST:
        raise Refusal(f"{option} is {len(plain)} characters long and {LONGEST} fit; shorten it")
    return plain
