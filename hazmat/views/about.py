"""What the yard can look into: the day-book, how the book is kept."""

import shutil
from pathlib import Path

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from hazmat.book import files
from hazmat.forms.listing import ListForm
from hazmat.models import Edition
from hazmat.queries.entries import day_book as entries_of_yard
from hazmat.queries.entries import told
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page

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
