"""Who is at a job at a unit: signing in, with the card read, and out again; the list on paper."""

from uuid import UUID

from hazmat.actions.papers import freeze, last_of
from hazmat.actions.training import local_day
from hazmat.actions.units import current
from hazmat.book.act import Act, Order, Refused, book, verb
from hazmat.book.receipt import Receipt
from hazmat.core.training import WORKS, worst
from hazmat.core.unitnow import UnitNow
from hazmat.models import Crew, Person, SignIn, SignOut
from hazmat.papers.people import LIST, toolbox_list
from hazmat.queries.crews import jobs
from hazmat.queries.training import lets, may_now
from hazmat.queries.units import LEFT
from hazmat.queries.yards import particulars, roles_of, yard_facts

WORKS_ON, LOOKS_ON = "works", "looks_on"
PARTS = (WORKS_ON, LOOKS_ON)
"""What somebody does at a job."""


def care_of(unit: UnitNow) -> str:
    """The care that training goes by: the worse of what hands take and of what nobody signed lower."""
    return worst(str(unit.answer["care"]), unit.oil.care)


@verb
def sign_in_crew(
    order: Order, *, unit: UUID, work: str, person: UUID | None = None, name: str = "", part: str = WORKS_ON,
    read: bool = False,
) -> Receipt:  # fmt: skip
    """Somebody begins at a job of this day at a unit; the first one to sign in opens it.

    `person`: of this yard; `name`: of somebody without an account, who only looks on; `read`: the card was read.
    Raises Refused for who may not do this work today, for who is on the list already, and where nothing was read.
    """
    with book(order, "sign_in_crew") as act:
        now = current(order.yard, unit)
        if now.stands in LEFT:
            raise Refused("It is no longer here, so there is no work at it.")
        if work not in WORKS or part not in PARTS:
            raise Refused("Pick which work it is, and whether this person works or looks on.")
        if not read:
            raise Refused("Read what to wear and what not to do, and tick that it was read; then sign in.")
        _refuse_stranger(order, person, name, part)
        care = care_of(now)
        if person is not None and part == WORKS_ON:
            _refuse_untrained(order, person, work, care, unit)
        crew = _job(act, unit, work, care)
        _refuse_twice(order.yard, crew.pk, person, name)
        record = SignIn(crew=crew, person_id=person, part=part, read="self" if person == order.by else "leader")
        act.write(record, aside={} if person else {"name": name.strip()})
    return act.receipt


def _refuse_stranger(order: Order, person: UUID | None, name: str, part: str) -> None:
    """Raise Refused for nobody at all, for somebody of no role here, and for a stranger who wants to work."""
    if person is None and not name.strip():
        raise Refused("Write the name of whoever is there, or pick somebody of the yard.")
    if person is not None and not roles_of(order.yard, person):
        raise Refused("Nobody of this yard is meant; pick somebody who works here, or write a name.")
    if person is None and part == WORKS_ON:
        raise Refused(
            "Of somebody without an account no training is known, so that person looks on. Let a hired hand in under "
            "People first, and write the training down there."
        )


def _refuse_untrained(order: Order, person: UUID, work: str, care: str, unit: UUID) -> None:
    """Raise Refused, with the reasons, where this person may not do this work at this care today."""
    found = may_now(order.yard, person, work, care, local_day(order), unit)
    if found is None or found.word == "no":
        raise Refused(f"{' '.join(found.why) if found else ''} This person can look on.".strip())


def _job(act: Act, unit: UUID, work: str, care: str) -> Crew:
    """The job of this day, which begins now where nobody is at it yet."""
    on = local_day(act.order)
    found = Crew.objects.filter(yard=act.order.yard, unit=unit, work=work, on=on).first()
    return found or act.write(Crew(unit_id=unit, work=work, on=on, care=care))


def _refuse_twice(yard: UUID, crew: UUID, person: UUID | None, name: str) -> None:
    """Raise Refused where this person stands on the list and has not left."""
    for job in jobs(yard, pk=crew):
        for one in job.there:
            if one.person == str(person or "") and (person or one.name.casefold() == name.strip().casefold()):
                raise Refused(f"{one.name or 'This person'} is on this list already; sign out first.")


@verb
def sign_out_crew(order: Order, *, signed_in: UUID) -> Receipt:
    """Somebody leaves a job. Raises Refused where nobody of that kind is at one, or the clock was put back."""
    with book(order, "sign_out_crew") as act:
        found = SignIn.objects.select_related("entry").filter(pk=signed_in, yard=order.yard, out=None).first()
        if found is None:
            raise Refused("This person signed out already; nothing was changed.")
        if order.happened_at < found.entry.happened_at:
            raise Refused("This lies before that person signed in; look at the clock of this device.")
        act.write(SignOut(signed_in=found))
    return act.receipt


@verb
def issue_crew_list(order: Order, *, crew: UUID) -> Receipt:
    """Freeze the list of a job. It replaces the last one of that job. Raises Refused for a job of another yard."""
    with book(order, "issue_crew_list") as act:
        found = jobs(order.yard, pk=crew)
        if not found:
            raise Refused("This yard has no such job; open it from the page of its unit.")
        job = found[0]
        now = current(order.yard, UUID(job.unit))
        yard, by = yard_facts(particulars(order.yard)), Person.objects.get(pk=order.by).called
        there = [UUID(one.person) for one in job.signed if one.person]
        let = lets(order.yard, there, job.on, UUID(job.unit))
        told = {str(key): [one for one in found if one.work == job.work] for key, found in let.items()}
        made = toolbox_list(job, now, told, yard, str(act.seq), act.recorded_at, by)
        freeze(act, LIST, made, unit=None, replaces=last_of(order.yard, LIST, str(crew)))
    return act.receipt
