"""Firms that carry, take in or destroy, and their licences."""

from collections.abc import Mapping
from datetime import date
from typing import Any
from uuid import UUID

from disposal.core.partnernow import WHATS, PartnerNow, What
from disposal.models import Licence, Partner
from disposal.queries.partners import partner_now, partners
from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.receipt import Receipt


@verb
def add_partner(
    order: Order, *, name: str, country: str = "", note: str = "", aside: Mapping[str, Any] | None = None,
    corrects: UUID | None = None,
) -> Receipt:  # fmt: skip
    """Write down a firm. `aside`: its telephone, address and person; `corrects`: the record that says its name now.

    Raises Refused for a firm without a name, for a name that stands already, and where somebody corrected it meanwhile.
    """
    with book(order, "add_partner") as act:
        if not name.strip():
            raise Refused("Write what the firm is called.")
        known = partners(order.yard)
        mine = next((one for one in known if corrects and one.record == str(corrects)), None)
        if corrects and mine is None:
            raise Refused("Somebody corrected this firm in the meantime; read what stands there now and correct that.")
        if any(one.name.casefold() == name.strip().casefold() and one is not mine for one in known):
            raise Refused("A firm of this name is written down already; open it from the list of partners.")
        record = Partner(name=name.strip(), country=country, note=note, replaces_id=corrects)
        act.write(record, aside=aside)
    return act.receipt


@verb
def add_licence(
    order: Order, *, partner: UUID, what: What, number: str, since: date, until: date | None = None,
    issued_by: str = "", corrects: UUID | None = None,
) -> Receipt:  # fmt: skip
    """Write down a licence of a firm; both days count. `corrects`: a licence that was written down wrongly.

    Raises Refused where it ends before it begins, or where what it corrects does not stand.
    """
    with book(order, "add_licence") as act:
        firm = the_partner(order.yard, partner)
        if what not in WHATS:
            raise Refused("Pick whether the licence is to carry or to take in.")
        if not number.strip():
            raise Refused("Write the number of the licence.")
        if until is not None and until < since:
            raise Refused("This licence ends before it begins; look at both days once more.")
        if corrects and str(corrects) not in {one.id for one in firm.licences}:
            raise Refused("This licence was corrected in the meantime; read what stands there now and correct that.")
        act.write(
            Licence(
                partner_id=UUID(firm.id), what=what, number=number.strip(), since=since, until=until,
                issued_by=issued_by, replaces_id=corrects,
            )
        )  # fmt: skip
    return act.receipt


def the_partner(yard: UUID, key: UUID) -> PartnerNow:
    """A firm as it stands now. Raises Refused where the yard has no such firm."""
    found = partner_now(yard, key)
    if found is None:
        raise Refused("This yard has no such firm; write it down under Partners first.")
    return found
