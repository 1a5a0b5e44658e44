"""A note of an injury or an exposure. All of it is health data: it stands in the aside, and nowhere else."""

from collections.abc import Mapping
from typing import Any

from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.receipt import Receipt
from hazmat.core.accident import EVENTS, HARMS
from hazmat.models import InjuryNote
from hazmat.queries.yards import roles_of

KEYS = ("about", "name", "when", "where", "what", "harms", "event", "done")
"""What a note says: id of a person of the yard, or a name; a local moment in words; a list of harms; the event."""


@verb
def note_injury(order: Order, *, told: Mapping[str, Any]) -> Receipt:
    """Write a note. `told`: by `KEYS`. The entry says only that there is one, and when it was written.

    Raises Refused without anybody it is about, without what happened, and for a harm or an event that nobody knows.
    """
    with book(order, "note_injury") as act:
        if strange := sorted(set(told) - set(KEYS)):
            raise Refused(f"A note does not say {', '.join(strange)}.")
        if not told.get("about") and not str(told.get("name", "")).strip():
            raise Refused("Pick whom it is about, or write a name.")
        if told.get("about") and not roles_of(order.yard, told["about"]):
            raise Refused("Nobody of this yard is meant; pick somebody who works here, or write a name.")
        if not str(told.get("what", "")).strip():
            raise Refused("Write what happened; a word will do.")
        if set(told.get("harms", ())) - set(HARMS) or told.get("event", "unknown") not in EVENTS:
            raise Refused("Pick what was hurt and what came of it from the lists.")
        act.write(InjuryNote(), aside={**told, "about": str(told.get("about") or "")})
    return act.receipt
