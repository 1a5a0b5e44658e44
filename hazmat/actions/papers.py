"""Papers: issued in one act with every word frozen, sealed in a second one once the PDF is made."""

from hashlib import sha256
from typing import Any, get_args
from uuid import UUID, uuid5

from django.utils import timezone

from hazmat import papers
from hazmat.actions.units import current
from hazmat.book import files
from hazmat.book.act import Act, Order, Refused, book, verb
from hazmat.book.aside import words_of
from hazmat.book.canonical import canonical, parsed
from hazmat.book.receipt import Receipt
from hazmat.core.codes import code_of
from hazmat.core.unitnow import PaperKind, UnitNow
from hazmat.models import Paper, Person, Seal
from hazmat.papers.gearsheet import Cards
from hazmat.queries.units import aside_of
from hazmat.queries.yards import names_of, particulars, yard_facts

KINDS: tuple[str, ...] = get_args(PaperKind)
OF_BOTTLE = "bottle_label"
"""The kind that is of a bottle; the others are of the unit itself."""
CARDS = "gear_card"
"""The kind of which somebody picks the tasks and answers questions about the work."""
OF_OWNER = "owner_letter"
"""The kind that names those who signed."""
SEALING = UUID("4f696c77-6172-4764-8000-7365616c696e")
"""Name space from which the act by which one person seals a paper gets its id. Source: our own."""


@verb
def issue_paper(order: Order, *, unit: UUID, kind: str, bottle: str = "", cards: Cards | None = None) -> Receipt:
    """Freeze every word of a paper of this unit, or of one of its bottles. It replaces the last one of its kind.

    `bottle`: the code of the bottle; `cards`: which gear cards stand on a sheet, which replaces the last one of the
    same tasks. Raises Refused for a label of a bottle that this unit does not have, and for a sheet without one to four
    cards.
    """
    with book(order, "issue_paper") as act:
        now = current(order.yard, unit)
        its = next((one for one in now.bottles if one.code == bottle), None)
        if not (kind == OF_BOTTLE) == bool(bottle) == (its is not None):
            raise Refused("Open the bottle first, and print its label from there.")
        if (kind == CARDS) != (cards is not None) or (cards and not cards.fit):
            raise Refused("Open the gear cards of the unit, and tick one to four tasks there.")
        aside = aside_of(now)
        yard = yard_facts(particulars(order.yard))
        by = Person.objects.get(pk=order.by).called
        called = _called(now) if kind == OF_OWNER else {}
        made = papers.payload(kind, now, yard, aside, str(act.seq), act.recorded_at, by, its, called, cards)
        tasks = cards.tasks if cards else ()
        last = [one.id for one in now.papers if (one.kind, one.bottle, one.tasks) == (kind, bottle, tasks)]
        freeze(act, kind, made, unit=unit, replaces=UUID(last[-1]) if last else None)
    return act.receipt


def freeze(act: Act, kind: str, made: papers.Made, *, unit: UUID | None, replaces: UUID | None) -> Paper:
    """Take a paper into an act, with every word frozen under its digest; `replaces`: the last one of its kind."""
    digest = sha256(canonical(made.payload)).hexdigest()
    record = Paper(
        unit_id=unit, kind=kind, number=made.payload["number"], payload=made.payload, digest=digest,
        code=code_of(digest), replaces_id=replaces,
    )  # fmt: skip
    return act.write(record, aside=made.aside)


def last_of(yard: UUID, kind: str, of: str) -> UUID | None:
    """The last paper of a kind that is of no unit; `of`: what its payload says that it is of, empty for the yard."""
    last = Paper.objects.filter(yard=yard, kind=kind, replaced_by=None, payload__contains=of).order_by("entry__seq")
    found = last.last()
    return found.pk if found else None


def _called(unit: UnitNow) -> dict[str, str]:
    """What those are called who signed the verdict that stands."""
    verdict = unit.decided
    ids = [UUID(one) for one in (verdict.signer, verdict.second) if one] if verdict else []
    return {str(id): name for id, name in names_of(ids).items()}


@verb
def seal_paper(order: Order, *, paper: UUID, digest: str, size: int) -> Receipt:
    """Seal a paper with the SHA-256 and length in bytes of its PDF, which is kept already.

    Raises Refused where the yard has no such paper, or it is sealed.
    """
    with book(order, "seal_paper") as act:
        found = Paper.objects.filter(pk=paper, yard=order.yard).first()
        if found is None:
            raise Refused("This yard has no such paper; open it from its unit.")
        if Seal.objects.filter(paper=paper).exists():
            raise Refused("This paper is sealed already; open it from its unit.")
        act.write(Seal(unit_id=found.unit_id, paper_id=paper, sha256=digest, size=size))
        act.name_file(digest, f"{found.kind}-{found.number}.pdf")
    return act.receipt


def print_and_seal(yard: UUID, by: UUID, zone: str, paper: UUID) -> Receipt:
    """Print a frozen paper and seal it; asked for twice by one person, the first seal stands.

    Raises papers.CannotPrint, and Refused where somebody else sealed it. A seal never happens before its paper, even
    where a clock was set back meanwhile: a fold puts it behind.
    """
    found = Paper.objects.select_related("entry").get(pk=paper, yard=yard)
    pdf = papers.pdf(parsed(found.payload), private_words(found), found.code)
    when = max(timezone.now(), found.entry.happened_at)
    order = Order(yard=yard, by=by, act=uuid5(SEALING, f"{paper} {by}"), happened_at=when, zone=zone)
    return seal_paper(order, paper=paper, digest=files.keep(pdf), size=len(pdf))


def private_words(paper: Paper) -> dict[str, Any]:
    """The personal words of a paper; none are left where they were erased."""
    return words_of([paper.id]) if paper.aside else {}
