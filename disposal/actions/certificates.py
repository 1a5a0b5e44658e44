"""Certificates of a facility, held against what went; and closing a load once nothing of it owes a proof."""

from collections.abc import Sequence
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from disposal.actions.handing import write_fate
from disposal.actions.loads import after, current_load
from disposal.core.loadin import Line
from disposal.core.loadnow import ItemNow, LoadNow
from disposal.core.proving import odd_days, owed, read_line, twice, unclear
from disposal.core.remains import units_in
from disposal.models import Certificate, Closed, Proof
from disposal.queries.drums import network
from hazmat.actions.units import law_day
from hazmat.book.act import Act, Order, Refused, book, verb
from hazmat.book.receipt import Receipt
from hazmat.book.standing import Moment
from hazmat.core.reported import SENT_AS
from hazmat.models import Fate


@verb
def enter_certificate(
    order: Order, *, load: UUID, number: str, issued_on: date, lines: Sequence[Line], done_on: date | None = None,
    file: str = "", file_kind: str = "",
) -> Receipt:  # fmt: skip
    """Write down a certificate with the items that it names; each of them is then proven.

    `file`: SHA-256 of its kept copy, `file_kind` what that is. Raises Refused for days that cannot be, and for any line
    that is not exactly, or by somebody's pick, an item that went and is not proven yet.
    """
    with book(order, "enter_certificate") as act:
        now = current_load(order.yard, load)
        if now.closed_at:
            raise Refused("This load is closed; nothing was changed.")
        if not now.received_at:
            raise Refused("Write down first what the facility took in; a certificate is held against that.")
        after(act, now.received_at, "the facility took it in")
        _refuse_days(act, now, issued_on, done_on)
        if not number.strip():
            raise Refused("Write the number of the certificate.")
        read = _read(now, lines)
        paper = Certificate(
            load_id=load, number=number.strip(), issued_on=issued_on, done_on=done_on, file=file, file_kind=file_kind
        )
        act.write(paper)
        if file:
            act.name_file(file, f"certificate-{now.number}.{SENT_AS[file_kind][1]}")
        for item, written in read:
            named = {f"{item.thing}_id": UUID(item.of)}
            act.write(Proof(load_id=load, certificate=paper, item_id=UUID(item.id), written=written, **named))
        for item, _ in read:
            _tell(act, now, item, paper.number, done_on)
    return act.receipt


def _refuse_days(act: Act, now: LoadNow, issued_on: date, done_on: date | None) -> None:
    """Refuse days on which this cannot have been. All in the zone of the order."""
    handed = datetime.fromisoformat(now.handed_over_at).astimezone(ZoneInfo(act.order.zone)).date()
    for _, says in odd_days(handed, law_day(act.order), issued_on, done_on):
        raise Refused(says)


def _read(now: LoadNow, lines: Sequence[Line]) -> list[tuple[ItemNow, str]]:
    """Each item that these lines prove, with what is written. Raises Refused for the first line that proves none."""
    read = [read_line(now, one.written, one.item) for one in lines]
    if not read:
        raise Refused("Tick or type at least one item that stands on the certificate.")
    for one in read:
        if one.item is None:
            raise Refused(one.wrong or unclear(one))
    for says in twice(one.item for one in read if one.item):
        raise Refused(says)
    return [(one.item, one.written) for one in read if one.item]


def _tell(act: Act, now: LoadNow, item: ItemNow, number: str, on: date | None) -> None:
    """Tell the book of units: this unit is destroyed, or the oil of these units that was still in this drum."""
    write_fate(act, item, "destroyed", now, certificate=number, firm=now.facility_name, on=on)
    if item.thing == "drum":
        when = Moment(act.order.happened_at, act.recorded_at, act.seq)
        for unit in sorted(units_in(network([UUID(item.of)], None, when).pours, item.of)):
            act.write(
                Fate(
                    unit_id=UUID(unit), what="oil_destroyed", load=now.number, drum=item.code, certificate=number,
                    firm=now.facility_name, on=on,
                )
            )  # fmt: skip


@verb
def close_load(order: Order, *, load: UUID) -> Receipt:
    """Close a load of which nothing owes a proof, or on which nothing ever went. Raises Refused."""
    with book(order, "close_load") as act:
        now = current_load(order.yard, load)
        if now.closed_at:
            raise Refused("This load is closed already; nothing was changed.")
        after(act, now.happened_at, "the last thing that was written down of this load")
        if says := owed(now):
            raise Refused(says)
        act.write(Closed(load_id=load))
    return act.receipt
