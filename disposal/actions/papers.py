"""Papers of drums and loads: frozen in one act with the record of what they are of, sealed as all papers are."""

from datetime import date
from uuid import UUID
from zoneinfo import ZoneInfo

from disposal.core.loadnow import LoadNow, Party
from disposal.core.partnernow import LicenceNow, What
from disposal.models import PaperOf
from disposal.papers.build import LABEL, SHEET, Firm, drum_label, hand_over_sheet
from disposal.queries.drums import DRUMS
from disposal.queries.loads import LOADS
from disposal.queries.papers import loaded
from disposal.queries.partners import partner_now
from hazmat.actions.papers import freeze
from hazmat.book.act import Act, Order, Refused, book, verb
from hazmat.book.aside import words_by_record, words_of
from hazmat.book.receipt import Receipt
from hazmat.core.measures import day_words
from hazmat.models import Person
from hazmat.papers import Made
from hazmat.queries.yards import particulars, yard_facts


@verb
def issue_drum_label(order: Order, *, drum: UUID) -> Receipt:
    """Freeze every word of the label of a drum. It replaces the last one. Raises Refused for a drum of another yard."""
    with book(order, "issue_drum_label") as act:
        now = DRUMS.kept(drum)
        if now is None or UUID(now.yard) != order.yard:
            raise Refused("This yard has no such drum; open it from the list of drums.")
        yard = yard_facts(particulars(order.yard))
        _write(act, LABEL, drum_label(now, yard, str(act.seq), act.recorded_at, _called(order)), drum=drum)
    return act.receipt


@verb
def issue_load_sheet(order: Order, *, load: UUID) -> Receipt:
    """Freeze every word of the sheet that travels with a load. It replaces the last one.

    Raises Refused for a load of another yard, and for one on which nothing travels.
    """
    with book(order, "issue_load_sheet") as act:
        now = LOADS.kept(load)
        if now is None or UUID(now.yard) != order.yard:
            raise Refused("This yard has no such load; open it from the list of loads.")
        if not now.aboard:
            raise Refused("Nothing is on this load: put drums or units on it, and print its sheet then.")
        yard = yard_facts(particulars(order.yard))
        on = act.recorded_at.astimezone(ZoneInfo(order.zone)).date()
        names = words_by_record(UUID(one.record) for one in now.signatures)
        made = hand_over_sheet(
            now, loaded(now), _firms(now, order.yard, on), yard, str(act.seq), act.recorded_at, _called(order),
            signers={one.party: names.get(UUID(one.record), {}).get("name", "") for one in now.signatures},
            chain=(str(act.seq - 1), act.previous.hex()),
        )  # fmt: skip
        _write(act, SHEET, made, load=load)
    return act.receipt


def _called(order: Order) -> str:
    return Person.objects.get(pk=order.by).called


def _firms(load: LoadNow, yard: UUID, on: date) -> dict[Party, Firm]:
    """Carrier and facility with the licences that are in force on this day, and their telephones."""
    told: tuple[tuple[Party, What, str, str], ...] = (
        ("carrier", "carry", load.carrier, load.carrier_name),
        ("facility", "take_in", load.facility, load.facility_name),
    )
    found: dict[Party, Firm] = {}
    for party, what, key, name in told:
        firm = partner_now(yard, UUID(key))
        licences = [one for one in firm.licences if one.what == what and one.in_force(on)] if firm else []
        phone = words_of([UUID(firm.record)]).get("phone", "") if firm else ""
        found[party] = Firm(name=name, licences=tuple(_licence(one) for one in licences), phone=phone)
    return found


def _licence(one: LicenceNow) -> str:
    """`TR-1177, Council of the Coast, to 30 Jun 2027`."""
    return ", ".join([
        one.number, *([one.issued_by] if one.issued_by else []), *([f"to {day_words(one.until)}"] if one.until else []),
    ])  # fmt: skip


def _write(act: Act, kind: str, made: Made, *, drum: UUID | None = None, load: UUID | None = None) -> None:
    """The paper and what it is of; it replaces the last paper of its kind of this drum or load."""
    last = PaperOf.objects.filter(drum=drum, load=load, paper__kind=kind, paper__replaced_by=None).first()
    paper = freeze(act, kind, made, unit=None, replaces=last.paper_id if last else None)
    act.write(PaperOf(paper_id=paper.id, drum_id=drum, load_id=load))
