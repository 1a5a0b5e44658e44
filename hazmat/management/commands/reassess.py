"""Judge every unit of a yard again under the law as it is held now."""

import sys
from collections.abc import Iterator
from typing import Any
from uuid import UUID

import msgspec
from django.core.management.base import CommandParser
from django.db import DatabaseError

from hazmat.actions.rejudging import Rejudged, rejudge
from hazmat.book.act import Refused
from hazmat.core.codes import read_code, spaced
from hazmat.management import opening
from hazmat.management.verb import Refusal, Verb
from hazmat.models import Particulars, UnitStanding
from hazmat.queries.yards import people
from hazmat.roles import may

RIGHT = "reassess_units"
STOPPED = 1
DECIDED = {"release": "released", "hold": "kept on hold", "pcb_route": "sent the PCB route"}


class Command(Verb):
    help = (
        "Judge every unit that is here again, after a rulebook changed or a last day passed. What answers otherwise is "
        "written as a new answer beside the old one; nothing that was answered or signed before is touched, and a "
        "release that no longer fits how the unit is judged ends by itself. It may be stopped at any moment and run "
        "again: it goes on where it was. --look writes nothing."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--yard", help="the code of one yard; else every yard of the book")
        parser.add_argument("--by", metavar="NAME", help="who asks for it: a name to sign in by; else the one who may")
        parser.add_argument("--look", action="store_true", help="tell what would change and write nothing")
        parser.add_argument("--format", choices=("table", "jsonl"), default="table", help="how changes are told")

    def handle(self, *args: Any, **options: Any) -> None:
        if not opening.has_tables():
            raise Refusal("there is no book here yet; `manage.py begin` makes one")
        try:
            for named in _yards(options["yard"]):
                by = UUID(int=0) if options["look"] else _who(named, options["by"])
                _one_yard(named, by, not options["look"], options["format"] == "jsonl")
        except DatabaseError as wrong:
            raise Refusal(f"the database itself cannot be read: {' '.join(str(wrong).split())}", 1) from None
        except Refused as wrong:
            raise Refusal(f"{wrong} Run this again: it goes on where it was", 1) from None
        except KeyboardInterrupt:
            raise Refusal("Stopped; what was written stays. Run this again: it goes on where it was", STOPPED) from None


def _yards(code: str | None) -> list[Particulars]:
    known = list(Particulars.objects.select_related("yard").filter(replaced_by=None).order_by("yard__code"))
    if code is None:
        return known
    try:
        wanted = read_code(code)
    except ValueError as wrong:
        raise Refusal(str(wrong)) from None
    found = [one for one in known if one.yard.code == wanted]
    if not found:
        codes = ", ".join(spaced(one.yard.code) for one in known)
        raise Refusal(f"no yard has the code {spaced(wanted)}; these are here: {codes}")
    return found


def _who(named: Particulars, handle: str | None) -> UUID:
    """The person in whose name it is written. Raises Refusal where nobody or more than one may."""
    able = {
        person.get_username(): person.pk
        for person, held in people(named.yard_id)
        if may([one.role for one in held], RIGHT)
    }
    if handle is None and len(able) == 1:
        return next(iter(able.values()))
    if handle in able:
        return able[handle]
    told = ", ".join(sorted(able)) or "nobody"
    wrong = f"“{handle}” may not do this in {named.name}" if handle else "more than one person may do this"
    raise Refusal(f"{wrong}; name one with --by: {told}")


def _one_yard(named: Particulars, by: UUID, write: bool, as_json: bool) -> None:
    total = UnitStanding.objects.filter(yard=named.yard_id).count()
    count = changed = 0
    for one in rejudge(named, by, write, lambda seen: _progress(named.name, seen, total)):
        count += 1
        changed += one.changed
        if as_json:
            sys.stdout.write(f"{msgspec.json.encode(one).decode()}\n")
        elif one.changed:
            for line in _told(one):
                sys.stdout.write(f"{line}\n")
    if not as_json:
        kept = "was written anew" if write else "would be written anew"
        sys.stdout.write(
            f"{named.name}: {total} units looked at; {changed} would be treated otherwise, {count - changed} only read "
            f"otherwise, and {'each of these' if count else 'nothing'} {kept}.\n"
        )


def _told(one: Rejudged) -> Iterator[str]:
    if one.wrong:
        yield f"{spaced(one.tag)}  cannot be judged again: {one.wrong}"
        return
    yield f"{spaced(one.tag)}  {'; '.join(f'{key} {was} → {now}' for key, was, now in one.changes)}"
    yield f"         before: {one.was}"
    yield f"         now: {one.now}"
    if one.decided:
        ends = "it still stands" if one.stands else "it no longer stands, and the unit is on hold again"
        yield f"         decided before: {DECIDED[one.decided]}; {ends}"


def _progress(name: str, seen: int, total: int) -> None:
    if sys.stderr.isatty():
        sys.stderr.write(f"\r{name}: {seen:,} of {total:,} units")
        sys.stderr.write("\n" if seen >= total else "")
        sys.stderr.flush()
