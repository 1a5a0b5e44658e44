"""How a yard works: what it is called, whether it keeps drums, and whether a verdict needs a second person."""

from uuid import UUID

from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.receipt import Receipt
from hazmat.core.gearcard import MASK
from hazmat.edge.results import WIDE
from hazmat.models import Particulars
from hazmat.queries.yards import particulars, people
from hazmat.roles import may


@verb
def set_yard(
    order: Order, *, based_on: UUID, name: str, phone: str = "", keeps: str = "", stores: bool = False,
    two: bool = False, guard: str = "", air: str = "",
) -> Receipt:  # fmt: skip
    """Write down how a yard works, in place of `based_on`. Its country, zone and code stay as they are.

    `guard`: empty or `wide`, the room that a release needs below a line. `air`: empty or `mask`, the rule on
    respirators.

    Raises Refused where somebody changed it in the meantime, and for a second person where nobody could be one.
    """
    with book(order, "set_yard") as act:
        now = particulars(order.yard)
        if now.pk != based_on:
            raise Refused("Somebody changed this in the meantime; read what stands there now and change that.")
        if not name.strip():
            raise Refused("Write what the yard is called; papers and pages name it.")
        if two and not second_person(order.yard):
            raise Refused(
                "A verdict can ask for a second person only where two people can sign: let somebody in as safety "
                "officer or yard manager first."
            )
        if guard not in ("", WIDE):
            raise Refused("Pick how far below a line a result has to lie; there are two answers.")
        if air not in ("", MASK):
            raise Refused("Pick whose rule on respirators the yard goes by; there are two answers.")
        fresh = Particulars(
            name=name.strip(), country=now.country, state=now.state, zone=now.zone, keeps=keeps.strip(),
            stores=stores, two=two, guard=guard, air=air, replaces_id=now.pk,
        )  # fmt: skip
        act.write(fresh, aside={"phone": phone.strip()})
    return act.receipt


def second_person(yard: UUID) -> bool:
    """Whether somebody of this yard may sign a verdict, and somebody else read it a second time."""
    held = {person.pk: [one.role for one in members] for person, members in people(yard)}
    signers = {person for person, roles in held.items() if may(roles, "sign_verdict")}
    return any(may(roles, "second_verdict") and signers - {person} for person, roles in held.items())
