"""A large book, made quickly: the same entries, records and standings as acts would write, in large transactions."""

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

import msgspec
from django.db import transaction

from hazmat.actions.people import open_yard
from hazmat.actions.units import OIL_SPACE
from hazmat.book.act import Act, Order, entry_body
from hazmat.book.entry import Entry
from hazmat.book.ids import new_id
from hazmat.book.record import Record
from hazmat.book.standing import Moment
from hazmat.core.chain import link
from hazmat.core.codes import FIELD, TAG_BODY, new_tag
from hazmat.core.facts import TANK
from hazmat.core.unitfold import step
from hazmat.core.unitnow import UnitNow
from hazmat.edge.bench import ON, seeded_lines
from hazmat.edge.one import answer_data, judged
from hazmat.edge.shapes import json_number
from hazmat.models import Assessment, Holder, Look, Person, Space, Unit, UnitStanding, Yard
from hazmat.queries.units import row_of, written

BATCH = 1000
BEGUN = datetime(2026, 11, 25, 8, tzinfo=UTC)
ZONE = "America/Los_Angeles"
PLACE = "US-OR"


def seeded_yard() -> tuple[Yard, Person]:
    """A yard with one person, through the real act."""
    person = Person.objects.create_user("bench", "Bench")
    order = Order(yard=new_id(), by=person.pk, act=new_id(), happened_at=BEGUN, zone=ZONE)
    open_yard(order, name="Bench Yard", country="US", state=PLACE)
    return Yard.objects.get(pk=order.yard), person


def fill(yard: Yard, person: Person, n: int) -> None:
    """Log n seeded units in this yard."""
    read = msgspec.json.Decoder(float_hook=json_number).decode
    lines = [read(line) for line in seeded_lines(n)]
    shift = yard.seq
    for start in range(0, n, BATCH):
        with transaction.atomic():
            _batch(yard, person, lines[start : start + BATCH], start + shift)
            Yard.objects.filter(pk=yard.pk).update(seq=yard.seq, head=yard.head)


def _batch(yard: Yard, person: Person, lines: list[dict[str, Any]], start: int) -> None:
    kinds: dict[type[Record], list[Record]] = {}
    standings, entries = [], []
    for place, line in enumerate(lines, start + 1):
        act = _act(yard, person, line, place)
        body = entry_body(act)
        yard.seq, yard.head = act.seq, link(act.previous, body).hex()
        entries.append(
            Entry(
                id=act.entry, yard=yard, seq=act.seq, act=act.order.act, verb=act.verb, by=person,
                happened_at=act.order.happened_at, recorded_at=act.recorded_at, body=body.decode(), hash=yard.head,
            )
        )  # fmt: skip
        standings.append(UnitStanding(**row_of(_standing(act))))
        for record in act.records:
            kinds.setdefault(type(record), []).append(record)
    for kind, records in kinds.items():
        kind._default_manager.bulk_create(records)
    UnitStanding.objects.bulk_create(standings)
    Entry.objects.bulk_create(entries)


def _act(yard: Yard, person: Person, line: dict[str, Any], place: int) -> Act:
    line = {key: value for key, value in line.items() if key != "id"}
    moment = BEGUN + timedelta(seconds=place)
    order = Order(yard=yard.pk, by=person.pk, act=new_id(), happened_at=moment, zone=ZONE)
    act = Act(order, "log_unit", yard.seq + 1, bytes.fromhex(yard.head), recorded_at=moment)
    unit = act.write(Unit(tag=new_tag(place % FIELD**TAG_BODY), arrival="gate"))
    _records(act, unit.id, unit.tag, line)
    return act


def _records(act: Act, unit: UUID, tag: str, line: dict[str, Any]) -> None:
    holder = act.write(Holder(kind=OIL_SPACE))
    act.write(Space(unit_id=unit, holder=holder, name=TANK))
    act.write(Look(unit_id=unit, line=line, sources={}, leak="none"))
    found = judged(line, tag, PLACE, ON, ON)
    act.write(
        Assessment(
            unit_id=unit, rulebook=found.rulebook or "", edition=found.edition or "", on=found.on, klass=found.klass,
            basis=found.basis, band=found.band, care=found.care, good_until=found.good_until,
            answer=answer_data(found),
        )
    )  # fmt: skip


def _standing(act: Act) -> UnitNow:
    value: UnitNow | None = None
    when = Moment(act.order.happened_at, act.recorded_at, act.seq)
    for record in act.records:
        value = step(value, written(record, when))
    if value is None:
        raise LookupError("the act wrote no unit")
    return value
