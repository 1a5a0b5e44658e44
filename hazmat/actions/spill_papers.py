"""A spill note on paper: every word frozen in one act, sealed as all papers are."""

from uuid import UUID

from hazmat.actions.papers import freeze
from hazmat.actions.spills import the_spill
from hazmat.book.act import Order, book, verb
from hazmat.book.aside import words_by_record
from hazmat.book.receipt import Receipt
from hazmat.core.amended import counting
from hazmat.models import Person, SpillPaper
from hazmat.papers.spill import NOTE, spill_note
from hazmat.queries.spills import judged, private_of
from hazmat.queries.yards import particulars, yard_facts


@verb
def issue_spill_note(order: Order, *, spill: UUID) -> Receipt:
    """Freeze every word of a spill note. It replaces the last one. Raises Refused for a spill of another yard."""
    with book(order, "issue_spill_note") as act:
        now = the_spill(order.yard, spill)
        named = particulars(order.yard)
        told = words_by_record(UUID(one.id) for one in counting(now.told))
        made = spill_note(
            now, judged(now, named.place), yard_facts(named), str(act.seq), act.recorded_at,
            Person.objects.get(pk=order.by).called, private_of(now),
            {str(key): words.get("who", "") for key, words in told.items()},
        )  # fmt: skip
        last = SpillPaper.objects.filter(spill=spill, paper__replaced_by=None).first()
        paper = freeze(act, NOTE, made, unit=None, replaces=last.paper_id if last else None)
        act.write(SpillPaper(spill_id=spill, paper_id=paper.id))
    return act.receipt
