"""What a yard writes down for an emergency, and the sheet that hangs on its wall."""

from collections.abc import Mapping
from uuid import UUID

from hazmat.actions.papers import freeze, last_of
from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.receipt import Receipt
from hazmat.models import EmergencyCard, Person
from hazmat.papers.people import BOXES, SHEET, emergency_sheet
from hazmat.queries.emergency import emergency_card
from hazmat.queries.yards import particulars, yard_facts


@verb
def set_emergency(order: Order, *, told: Mapping[str, str], based_on: UUID | None) -> Receipt:
    """Write down numbers, places and names for an emergency, in the place of `based_on`. Empty boxes stay empty.

    Raises Refused where somebody changed it in the meantime, and for what the sheet has no box for.
    """
    with book(order, "set_emergency") as act:
        now = emergency_card(order.yard)
        if (now.id if now else None) != (str(based_on) if based_on else None):
            raise Refused("Somebody changed this in the meantime; read what stands there now and change that.")
        if strange := sorted(set(told) - set(BOXES)):
            raise Refused(f"The sheet has no box for {', '.join(strange)}.")
        act.write(EmergencyCard(replaces_id=based_on), aside={key: word.strip() for key, word in told.items()})
    return act.receipt


@verb
def issue_emergency_sheet(order: Order) -> Receipt:
    """Freeze the emergency sheet of this yard. It replaces the last one."""
    with book(order, "issue_emergency_sheet") as act:
        yard, by = yard_facts(particulars(order.yard)), Person.objects.get(pk=order.by).called
        made = emergency_sheet(emergency_card(order.yard), yard, str(act.seq), act.recorded_at, by)
        freeze(act, SHEET, made, unit=None, replaces=last_of(order.yard, SHEET, ""))
    return act.receipt
