"""A sample of each act on people kept from harm: training, jobs, going out alone, notes, emergencies."""

from datetime import date, timedelta
from uuid import UUID

from django.utils import timezone

from hazmat.actions.crews import issue_crew_list, sign_in_crew, sign_out_crew
from hazmat.actions.emergency import issue_emergency_sheet, set_emergency
from hazmat.actions.injuries import note_injury
from hazmat.actions.outings import come_back, go_out
from hazmat.actions.training import override_training, record_training
from hazmat.book import files
from hazmat.book.act import Order
from hazmat.core.reported import KeptReport
from hazmat.queries.emergency import emergency_card
from tests.cast import Cast
from tests.faults.sampling import Act, asked, unit_of

DONE, ENDED = date(2020, 1, 5), date(2021, 1, 5)


def _record_training(cast: Cast) -> tuple[Order, Act]:
    one, person = asked(cast), cast.people["technician"].pk
    kept = KeptReport(sha256=files.keep(b"%PDF-1.7 of no page, a card"), kind="pdf", name="card.pdf")
    return one, lambda: record_training(
        one, person=person, kind="sampling", done_on=DONE, until=ENDED, given_by="A Teacher", certificate=kept
    )


def _override_training(cast: Cast) -> tuple[Order, Act]:
    person = cast.people["technician"].pk
    record_training(asked(cast), person=person, kind="sampling", done_on=DONE, until=ENDED)
    one, unit = asked(cast), unit_of(cast)
    return one, lambda: override_training(one, person=person, work="sample", unit=unit, reason="the leak is worse")


def _sign_in_crew(cast: Cast) -> tuple[Order, Act]:
    one, unit = asked(cast), unit_of(cast)
    name = f"Visitor {one.act}"
    return one, lambda: sign_in_crew(one, unit=unit, work="spill", name=name, part="looks_on", read=True)


def _sign_out_crew(cast: Cast) -> tuple[Order, Act]:
    first, act = _sign_in_crew(cast)
    signed = act().the("hazmat.signin")
    one = asked(cast)
    assert one.act != first.act
    return one, lambda: sign_out_crew(one, signed_in=signed)


def _issue_crew_list(cast: Cast) -> tuple[Order, Act]:
    one, crew = asked(cast), cast.words["crew"]
    return one, lambda: issue_crew_list(one, crew=crew)


def _go_out(cast: Cast) -> tuple[Order, Act]:
    one, due = asked(cast), timezone.now() + timedelta(hours=3)
    told = {"where": "the creek", "phone": "+64 0 000 0000", "whom": "A Friend"}
    return one, lambda: go_out(one, due_back=due, **told)


def _come_back(cast: Cast) -> tuple[Order, Act]:
    outing = _go_out(cast)[1]().the("hazmat.outing")
    one = asked(cast)
    return one, lambda: come_back(one, outing=outing)


def _note_injury(cast: Cast) -> tuple[Order, Act]:
    one = asked(cast)
    told = {"name": "A Visitor", "what": "slipped on oil", "harms": ["hurt"], "event": "unknown", "done": "sat down"}
    return one, lambda: note_injury(one, told=told)


def _set_emergency(cast: Cast) -> tuple[Order, Act]:
    one = asked(cast)
    card = emergency_card(one.yard)
    based_on = UUID(card.id) if card else None
    told = {"numbers": "111", "first_aiders": "Mere Example"}
    return one, lambda: set_emergency(one, told=told, based_on=based_on)


def _issue_emergency_sheet(cast: Cast) -> tuple[Order, Act]:
    one = asked(cast)
    return one, lambda: issue_emergency_sheet(one)
