"""What somebody is told after a write: one sentence of what was saved, in the words of the day-book, and doubts."""

from collections.abc import Callable, Iterable
from html import unescape

from django import forms
from django.contrib import messages
from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.html import strip_tags

from hazmat.book.act import Order, Refused
from hazmat.book.entry import Entry
from hazmat.book.receipt import Receipt
from hazmat.queries.entries import told
from hazmat.queries.tools import Doubt
from hazmat.queries.yards import Standing
from hazmat.views.access import order


def saved(request: HttpRequest, here: Standing, receipt: Receipt, more: str = "") -> None:
    """Say on the next page what this act saved, as its line in the day-book says it; `more`: what follows from it."""
    (one,) = told([Entry.objects.get(yard=receipt.yard, seq=receipt.seq)])
    with timezone.override(here.zone):
        line = render_to_string(one.template, {"entry": one, "yard": here.facts})
    words = f"Saved as entry {receipt.seq}: {unescape(strip_tags(line))} {more}"
    messages.success(request, " ".join(words.split()))


def warned(request: HttpRequest, doubts: Iterable[Doubt]) -> None:
    """Say on the next page which gear brings doubt to what was just saved; that page tells the rest."""
    for one in doubts:
        says = f"In doubt: the {one.tool.name} was in other oil before, and no cleaning is written down between."
        messages.warning(request, f"{says} What to do stands below.")


def write(
    request: HttpRequest, here: Standing, form: forms.Form, act: Callable[[Order], Receipt], more: str = ""
) -> Receipt | None:
    """Let the act of a sent form be written, once it is valid, and say what was saved.

    None where nothing was sent, or where the form or the act refused it: the form then says why.
    """
    if request.method != "POST" or not form.is_valid():
        return None
    happened = getattr(form, "happened_at", None)
    try:
        receipt = act(order(request, here, happened() if happened else None))
    except Refused as refusal:
        form.add_error(None, str(refusal))
        return None
    saved(request, here, receipt, more)
    return receipt
