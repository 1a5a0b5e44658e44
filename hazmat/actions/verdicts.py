"""Verdicts: a named person decides on named evidence; where the yard asks for it, a second one reads it too."""

from collections.abc import Sequence
from datetime import date
from uuid import UUID

from hazmat import rulebooks
from hazmat.actions.units import current
from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.canonical import instant
from hazmat.book.receipt import Receipt
from hazmat.core.findings import finish
from hazmat.core.parts import lacking
from hazmat.core.unitnow import Decision, ResultNow, UnitNow
from hazmat.edge.results import short_of, unnamed
from hazmat.edge.unsigned import proves
from hazmat.models import Assessment, Second, Verdict
from hazmat.queries.yards import particulars

CHANGED = "Something was written about this unit in the meantime; read what stands there now, then sign."


def reading(unit: UnitNow) -> str:
    """What somebody who signs has read, the assessment and the last verdict: it goes out with a form and comes back."""
    return f"{unit.assessed} {unit.verdicts[-1].id if unit.verdicts else ''}".strip()


@verb
def sign_verdict(
    order: Order, *, unit: UUID, decision: Decision, reason: str, evidence: Sequence[str], read: str
) -> Receipt:
    """Sign a verdict on a unit. `evidence`: ids of results that count; `read`: the reading that the form went out with.

    A hold needs no second person. Raises Refused for a release that lacks something, evidence that does not count, no
    reason, and where something was written since it was read.
    """
    with book(order, "sign_verdict") as act:
        now = current(order.yard, unit)
        if read != reading(now):
            raise Refused(CHANGED)
        refuse_unsigned(order, now, reason)
        if not set(evidence) <= {one.id for one in now.counting}:
            raise Refused("A result that is named does not count or is of another unit; name those that stand here.")
        named = [one for one in now.counting if one.id in evidence]
        if instant(order.happened_at) < max((one.entered_at for one in named), default=""):
            raise Refused("A result that is named came in after that; write when this verdict was signed.")
        if decision == "release":
            _refuse_release(now, named, order.yard)
        act.write(verdict_on(order, now, decision, reason, evidence))
    return act.receipt


def refuse_unsigned(order: Order, now: UnitNow, reason: str) -> None:
    """Refuse a verdict without a reason, or from before the one that stands."""
    if now.verdicts and instant(order.happened_at) < now.verdicts[-1].signed_at:
        raise Refused("This lies before the verdict that stands; write when this one was signed.")
    if not reason.strip():
        raise Refused("Write why you decide so; the reason stays with the verdict.")


def verdict_on(order: Order, now: UnitNow, decision: Decision, reason: str, evidence: Sequence[str] = ()) -> Verdict:
    """The record of a verdict on a unit as it is judged now."""
    unit = UUID(now.unit)
    judged = Assessment.objects.get(unit=unit, entry__yard=order.yard, entry__seq=int(now.assessed))
    return Verdict(
        unit_id=unit, decision=decision, reason=reason.strip(), evidence=list(dict.fromkeys(evidence)),
        assessment=judged, klass=judged.klass, basis=judged.basis, care=judged.care, signer_id=order.by,
        two=decision != "hold" and bool(particulars(order.yard).two),
    )  # fmt: skip


def _refuse_release(now: UnitNow, named: Sequence[ResultNow], yard: UUID) -> None:
    """Refuse a release that lacks something, or that rests on no result that proves anything."""
    house = rulebooks.rulebook(rulebooks.HANDLING)
    if lacks := lacking(now, house):
        raise Refused(f"This unit cannot be released yet. {' '.join(lacks)}")
    if any(now.lost(one) for one in named):
        raise Refused(
            "The bottle of a result that is named was lost or spoiled, so that it proves nothing; name another result."
        )
    kept = particulars(yard)
    place, on = kept.place, date.fromisoformat(str(now.answer["on"]))
    if not any(proves(one.test, now.line, place, on) for one in named):
        raise Refused(finish(house.sentences["lacks_evidence"].says, {}))
    if short := short_of(now, place, kept.guard):
        raise Refused(f"This unit cannot be released yet. {' '.join(short)}")
    if too_few := unnamed(now, place, frozenset(one.id for one in named)):
        raise Refused(too_few)


@verb
def second_verdict(order: Order, *, verdict: UUID, read: str) -> Receipt:
    """Sign a verdict as the second person. `read`: the reading that the page went out with.

    Raises Refused for the signer, for a verdict that waits for nobody, and for a release that rests on nothing by now.
    """
    with book(order, "second_verdict") as act:
        found = Verdict.objects.filter(pk=verdict, yard=order.yard).first()
        if found is None:
            raise Refused("This yard has no such verdict; open it from the page of its unit.")
        now = current(order.yard, found.unit_id)
        waiting = now.waiting
        if waiting is None or waiting.id != str(verdict):
            raise Refused("This verdict waits for nobody: it has its second person, or a later one stands after it.")
        if waiting.signer == str(order.by):
            raise Refused("You signed this verdict; the second person has to be somebody else.")
        if read != reading(now):
            raise Refused(CHANGED)
        if instant(order.happened_at) < waiting.signed_at:
            raise Refused("This lies before the verdict was signed; write when it was read a second time.")
        if waiting.decision == "release" and not now.rests(waiting):
            raise Refused("What this release rests on has changed since it was signed; sign a fresh verdict.")
        act.write(Second(unit_id=found.unit_id, verdict=found, signer_id=order.by))
    return act.receipt
