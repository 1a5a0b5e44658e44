"""Training of people with its days, and letting one piece of work go ahead on one day although it ran out."""

from datetime import date
from uuid import UUID
from zoneinfo import ZoneInfo

from hazmat.actions.units import current as unit_now
from hazmat.book.act import Order, Refused, book, verb
from hazmat.book.receipt import Receipt
from hazmat.core.bulk import CARE
from hazmat.core.reported import KeptReport
from hazmat.core.training import NOTHING, WORKS, kinds, state
from hazmat.core.training import current as that_counts
from hazmat.core.training import needs as asked_of
from hazmat.models import Override, Training
from hazmat.queries.training import house_on, trainings
from hazmat.queries.yards import roles_of
from hazmat.roles import WORK


@verb
def record_training(
    order: Order, *, person: UUID, kind: str, done_on: date, until: date | None = None, given_by: str = "",
    certificate: KeptReport | None = None, replaces: UUID | None = None,
) -> Receipt:  # fmt: skip
    """Write down that somebody of the yard was trained. `until`: the last day on which it holds; `given_by`: by whom.

    `replaces`: what it corrects; a certificate that was kept with that goes along where none is given. Raises Refused
    for somebody who works nowhere here, a kind that nobody knows, days that cannot be, and what was corrected already.
    """
    with book(order, "record_training") as act:
        if not roles_of(order.yard, person):
            raise Refused("Nobody of this yard is meant; open the training of somebody who works here.")
        if kind not in {one.key for one in kinds(house_on(local_day(order)).book)}:
            raise Refused("This kind of training is not known here; pick one of the list.")
        if done_on > local_day(order):
            raise Refused("That day has not come yet; write training down once it was done.")
        if until is not None and until < done_on:
            raise Refused("It would run out before it was done; look at both days.")
        old = _replaced(order.yard, person, replaces)
        record = Training(person_id=person, kind=kind, done_on=done_on, until=until, replaces_id=replaces)
        record.certificate = certificate.sha256 if certificate else old.certificate if old else ""
        record.certificate_kind = certificate.kind if certificate else old.certificate_kind if old else ""
        act.write(record, aside={"given_by": given_by.strip()})
        if record.certificate:
            act.name_file(record.certificate, certificate_name(record))
    return act.receipt


def certificate_name(record: Training) -> str:
    """What the file of a certificate is called: `training-sampling-2026-03-07.pdf`."""
    ending = "pdf" if record.certificate_kind == "pdf" else "jpg"
    return f"training-{record.kind}-{record.done_on}.{ending}"


def _replaced(yard: UUID, person: UUID, replaces: UUID | None) -> Training | None:
    """What is corrected. Raises Refused where it is of somebody else, or was corrected meanwhile."""
    if replaces is None:
        return None
    found = Training.objects.filter(pk=replaces, yard=yard, person=person, replaced_by=None).first()
    if found is None:
        raise Refused("This was corrected meanwhile; read what stands there now and correct that.")
    return found


@verb
def override_training(order: Order, *, person: UUID, work: str, reason: str, unit: UUID | None = None) -> Receipt:
    """Let somebody go ahead with one piece of work until the end of this day of the yard, although training ran out.

    `unit`: there alone. Raises Refused without a reason, for work that no role of that person does, and where nothing
    ran out: it never stands in for training that nobody wrote down.
    """
    with book(order, "override_training") as act:
        if work not in WORKS:
            raise Refused("Pick which work it is for.")
        if not reason.strip():
            raise Refused("Write why it cannot wait for the training; the reason stays in the day-book and on papers.")
        roles = roles_of(order.yard, person)
        if not roles:
            raise Refused("Nobody of this yard is meant; pick somebody who works here.")
        if WORK[work].isdisjoint(roles):
            raise Refused("This is no work of that person in this yard; a role is given under People.")
        if unit is not None:
            unit_now(order.yard, unit)
        if not _ran_out(order, person, work):
            raise Refused(
                "Nothing that this work needs has run out for that person, so there is nothing to let through. What "
                "nobody wrote down counts as not trained, and no word stands in for it."
            )
        act.write(Override(person_id=person, work=work, unit_id=unit, on=local_day(order), reason=reason.strip()))
    return act.receipt


def _ran_out(order: Order, person: UUID, work: str) -> bool:
    """Whether training that this work needs at some care has run out by this day."""
    on = local_day(order)
    house, held = house_on(on), that_counts(trainings(order.yard, [person])[person])
    wanted = {kind for care in CARE for kind in asked_of(work, care, house).kinds} - {NOTHING}
    return any(state(held.get(kind), on) == "run_out" for kind in wanted)


def local_day(order: Order) -> date:
    """The day of an order in the zone of its yard."""
    return order.happened_at.astimezone(ZoneInfo(order.zone)).date()
