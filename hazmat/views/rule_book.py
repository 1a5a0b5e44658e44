"""The law that a yard judges by, and any other that is held: every figure and sentence with its document."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_GET

from hazmat import rulebooks
from hazmat.core.findings import finish
from hazmat.core.law import LawDay, Rulebook
from hazmat.forms.rule_book import RuleBookForm
from hazmat.models import Edition
from hazmat.queries.yards import Standing
from hazmat.rulebooks.compare import Change, days_apart, editions_apart, kept_text, text_of
from hazmat.rulebooks.told import Blanks, sections
from hazmat.views.access import in_yard, page


@require_GET
@in_yard("see")
def rule_book(request: HttpRequest, here: Standing) -> HttpResponse:
    """One law, or the handling book, as at a day in a state; and what differs from another day or edition."""
    today = timezone.localdate(timezone=here.zone)
    form = RuleBookForm(request.GET.dict(), here.named.place, today)
    form.is_valid()
    asked = form.cleaned_data
    name = asked.get("law") or form.own or rulebooks.HANDLING
    book, state, on = rulebooks.rulebook(name), asked.get("state") or None, asked.get("on") or today
    return page(
        request, here, "hazmat/rule_book.html", book=book, sections=sections(book, on, state), own=form.own,
        handling=rulebooks.HANDLING, on=on, today=today, form=form, state=book.territories.get(state or "", ""),
        differing=list(_differing(book, asked, on, state)), plain=not request.GET and not form.errors,
    )  # fmt: skip


def _differing(book: Rulebook, asked: dict[str, Any], on: date, state: str | None) -> Iterator[dict[str, Any]]:
    """Each comparison that was asked for: against what, and the changes in the words of this day."""
    words = Blanks(LawDay(book, on, state).words)
    if than := asked.get("than"):
        yield {"day": than, "changes": [_said(one, words) for one in days_apart(book, than, on, state)]}
    if digest := asked.get("edition"):
        kept = Edition.objects.get(digest=digest)
        if kept.rulebook in rulebooks.names():
            new = rulebooks.rulebook(kept.rulebook)
            old = kept_text(kept.rulebook, kept.edition, kept.digest, kept.content)
            changes = editions_apart(old, text_of(new))
            words = Blanks(LawDay(new, on).words)
            yield {"edition": kept, "changes": [_said(one, words) for one in changes]}


def _said(change: Change, words: Blanks) -> Change:
    return replace(change, says=finish(change.says, words)) if change.says else change
