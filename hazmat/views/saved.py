"""What somebody is told after a write: one sentence of what was saved, in the words of the day-book."""

from html import unescape

from django.contrib import messages
from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.html import strip_tags

from hazmat.book.entry import Entry
from hazmat.book.receipt import Receipt
from hazmat.queries.entries import told
from hazmat.queries.yards import Standing


def saved(request: HttpRequest, here: Standing, receipt: Receipt, more: str = "") -> None:
    """Say on the next page what this act saved, as its line in the day-book says it; `more`: what follows from it."""
    (one,) = told([Entry.objects.get(yard=receipt.yard, seq=receipt.seq)])
    with timezone.override(here.zone):
        line = render_to_string(one.template, {"entry": one, "yard": here.facts})
    words = f"Saved as entry {receipt.seq}: {unescape(strip_tags(line))} {more}"
    messages.success(request, " ".join(words.split()))
