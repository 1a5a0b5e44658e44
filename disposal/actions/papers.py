"""Papers of drums and loads: frozen in one act with the record of what they are of, sealed as all papers are."""

from uuid import UUID

from disposal.models import PaperOf
from disposal.papers.build import LABEL, drum_label
from disposal.queries.drums import DRUMS
from hazmat.actions.papers import freeze
from hazmat.book.act import Act, Order, Refused, book, verb
from hazmat.book.receipt import Receipt
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


def _called(order: Order) -> str:
    return Person.objects.get(pk=order.by).called


def _write(act: Act, kind: str, made: Made, *, drum: UUID | None = None, load: UUID | None = None) -> None:
    """The paper and what it is of; it replaces the last paper of its kind of this drum or load."""
    last = PaperOf.objects.filter(drum=drum, load=load, paper__kind=kind, paper__replaced_by=None).first()
    paper = freeze(act, kind, made, unit=None, replaces=last.paper_id if last else None)
    act.write(PaperOf(paper_id=paper.id, drum_id=drum, load_id=load))
