"""What the yard can look into: the day-book, the rule book, how the book is kept."""

import shutil
from pathlib import Path

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_GET

from hazmat import rulebooks
from hazmat.book import files
from hazmat.core.law import LawDay
from hazmat.forms.listing import ListForm
from hazmat.models import Edition
from hazmat.queries.entries import day_book as entries_of_yard
from hazmat.queries.entries import told
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page

YEAR = 4
"""Digits of a year of the calendar, which needs no unit beside it; a time in years does. Source: ISO 8601."""
PAGE = 50
"""Entries on one page. Source: our own choice."""


@require_GET
@in_yard("see")
def day_book(request: HttpRequest, here: Standing) -> HttpResponse:
    """Every entry of the yard, the newest first."""
    below = ListForm(request.GET).below()
    rows = entries_of_yard(here.yard.pk, below, PAGE)
    more = rows[PAGE - 1].seq if len(rows) > PAGE else None
    return page(
        request, here, "hazmat/day_book.html", entries=told(rows[:PAGE], tagged=True), more=more, first=below is None
    )


@require_GET
@in_yard("see")
def rule_book(request: HttpRequest, here: Standing) -> HttpResponse:
    """Which law this yard is judged under, in which edition, with every figure and its document."""
    law = rulebooks.law_of(here.named.place)
    names = [name for name in (law, rulebooks.HANDLING) if name]
    today = timezone.localdate(timezone=here.zone)
    books = [{"book": rulebooks.rulebook(name), "figures": _figures(name, today)} for name in names]
    return page(request, here, "hazmat/rule_book.html", books=books, law=law, today=today)


def _figures(name: str, today: object) -> list[dict[str, str]]:
    book = rulebooks.rulebook(name)
    words = LawDay(book, today).words  # type: ignore[arg-type]  # a date
    return [
        {
            "name": one.name.replace("_", " "), "says": one.says, "value": words.get(one.name, "none in force"),
            "unit": _unit(one.unit, words.get(one.name, "")), "cite": one.versions[0].cite.document,
            "basis": one.versions[0].cite.basis,
        }
        for one in book.figures.values()
    ]  # fmt: skip


def _unit(unit: str, value: str) -> str:
    """The unit beside a value: none beside a word, a day, or a year of the calendar."""
    bare = unit in ("day", "text", "1") or (unit == "year" and len(value) == YEAR)
    return "" if bare else unit


@require_GET
@in_yard("see")
def keeping(request: HttpRequest, here: Standing) -> HttpResponse:
    """How the book is kept: its length, its files, room on the disk, the editions of the law."""
    home = Path(settings.OILWARD_BOOK)
    there = next(folder for folder in (home, *home.parents) if folder.exists())
    disk = shutil.disk_usage(there)
    count = sum(1 for _ in files.kept())
    editions = Edition.objects.order_by("rulebook", "-edition").defer("content")
    return page(
        request, here, "hazmat/keeping.html", seq=here.yard.seq, head=here.yard.head, files=count,
        free_gb=f"{disk.free / 10**9:.1f}", editions=editions,
    )  # fmt: skip
