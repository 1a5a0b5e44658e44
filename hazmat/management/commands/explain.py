"""Show how the answer for one unit of the book came about."""

import sys
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import CommandParser
from django.db import DatabaseError
from django.utils import timezone

from hazmat import rulebooks
from hazmat.core.codes import read_code, spaced
from hazmat.core.measures import moment_words
from hazmat.edge.explain import explained, lines
from hazmat.edge.one import answer_data, read_unit
from hazmat.management import opening
from hazmat.management.verb import Refusal, Verb, latest_day
from hazmat.models import UnitStanding
from hazmat.queries.units import unpacked
from hazmat.queries.yards import particulars


class Command(Verb):
    help = (
        "For one unit of the book: every column value, every row that fired or lost, the figures, the law day and the "
        "edition behind what its page says."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("tag", help="the six characters of the unit's tag, such as K7M4PK")
        parser.add_argument("--yard", help="the code of the yard, where two yards have this tag")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            tag = read_code(options["tag"])
            yard = read_code(options["yard"]) if options["yard"] else None
        except ValueError as wrong:
            raise Refusal(str(wrong)) from None
        standing = _found(tag, yard)
        unit, named = unpacked(standing.body), particulars(standing.yard_id)
        on = date.fromisoformat(unit.answer["on"])
        facts = read_unit(
            {"found_in": named.place, **unit.judged_line}, unit.tag, max(latest_day(), timezone.localdate())
        )
        told = explained(facts, rulebooks.law_of(facts.found_in) if facts.found_in else None, on)
        sys.stdout.write(f"Unit {spaced(tag)} in {named.name}, assessed {_when(unit.assessed_at, named.zone)}.\n")
        for line in lines(told, unit.answer):
            sys.stdout.write(f"{line}\n")
        if answer_data(told.answer) != unit.answer:
            now = told.answer
            sys.stdout.write(
                f"\nUnder the rulebooks of today the same facts read otherwise: class {now.klass}, {now.basis}; "
                f"edition {now.edition}. The rows above are those of today; the page shows what was answered then.\n"
            )


def _when(instant: str, zone: str) -> str:
    """An instant in the time of the yard, `26 Nov 2026, 13:13 (Pacific/Auckland)`."""
    return f"{moment_words(datetime.fromisoformat(instant).astimezone(ZoneInfo(zone)))} ({zone})"


def _found(tag: str, yard: str | None) -> UnitStanding:
    if not opening.has_tables():
        raise Refusal("there is no book here yet; `manage.py begin` makes one")
    wanted = {"tag": tag, **({"yard__code": yard} if yard else {})}
    try:
        found = list(UnitStanding.objects.select_related("yard").filter(**wanted))
    except DatabaseError as wrong:
        raise Refusal(f"the database itself cannot be read: {' '.join(str(wrong).split())}", 1) from None
    if not found:
        raise Refusal(f"no unit has the tag {spaced(tag)}{f' in the yard {spaced(yard)}' if yard else ''}")
    if len(found) > 1:
        codes = ", ".join(sorted(one.yard.code for one in found))
        raise Refusal(f"several yards have a unit {spaced(tag)}; say which with --yard ({codes})")
    return found[0]
