"""The standing of loads: folded afresh from their records, kept in a table that can be dropped."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any
from uuid import UUID

from disposal.core.loadfold import PLANNED, folded
from disposal.core.loadnow import LoadNow, Thing
from disposal.models import (
    Certificate,
    Closed,
    Drum,
    Extra,
    Item,
    Load,
    LoadStanding,
    Partner,
    Proof,
    Received,
    Settled,
    Signature,
)  # fmt: skip
from disposal.queries.afresh import Afresh, placed
from hazmat.book.canonical import instant, parsed
from hazmat.book.record import Record
from hazmat.book.standing import Moment
from hazmat.core.unitfold import Written
from hazmat.models import Unit, UnitStanding
from hazmat.queries.units import written

KINDS: tuple[type[Record], ...] = (
    Load, Item, Signature, Received, Extra, Settled, Certificate, Proof, Closed,
)  # fmt: skip
"""The record classes that change how a load stands."""
NAMED = {"carrier": (Partner, "name"), "facility": (Partner, "name"), "drum": (Drum, "code"), "unit": (Unit, "tag")}
"""Columns that name a thing, where it is found, and by which column it is called."""

MISSING = '"arrival":"missing"'
"""What the kept body of a load holds where the facility never got an item, whatever was said of it since."""


class LoadFold(Afresh[LoadNow]):
    """The fold of loads."""

    name = PLANNED
    thing = Load
    table = LoadStanding
    value = LoadNow

    def touched(self, records: Sequence[Record]) -> list[UUID]:
        """The loads that these records tell of."""
        found = [one.about() or one.id for one in records if isinstance(one, KINDS)]
        return list(dict.fromkeys(found))

    def folded(self, things: Sequence[UUID], at: int | None, when: Moment | None) -> dict[UUID, LoadNow]:
        """The standing of each load from its records."""
        told: dict[UUID, list[Written]] = defaultdict(list)
        for kind in KINDS:
            begun = placed(kind, at, when, id__in=things) if kind is Load else []
            for record, moment in [*begun, *placed(kind, at, when, **{f"{kind.subject}__in": things})]:
                told[record.about() or record.id].append(written(record, moment))
        names = _names(one for records in told.values() for one in records)
        found = {thing: folded(records, names) for thing, records in told.items()}
        return {thing: value for thing, value in found.items() if value is not None}

    def things(self, yard: UUID) -> Iterator[UUID]:
        """Every load of a yard: what changes a load is none."""
        found = Load.objects.filter(yard=yard, of=None).order_by("entry__seq")
        return found.values_list("id", flat=True).iterator()

    def columns(self, value: LoadNow) -> dict[str, Any]:
        """The helping columns of a kept standing."""
        return {
            "load": value.load, "yard": value.yard, "logged": value.number, "number": value.number,
            "state": value.state,
        }  # fmt: skip

    def called(self, columns: Any) -> str:
        """`load 12`."""
        return f"load {columns['number']}"

    def kept(self, thing: UUID) -> LoadNow | None:
        """The standing as it is kept, with how many each lot is."""
        now = super().kept(thing)
        return counted([now])[0] if now else None


LOADS = LoadFold()


def counted(loads: Sequence[LoadNow]) -> list[LoadNow]:
    """These loads, each lot on them with how many like units it is, as its unit says now."""
    units = {UUID(item.of) for load in loads for item in load.items if item.thing == "unit"}
    bodies = UnitStanding.objects.filter(pk__in=units).values_list("pk", "body") if units else ()
    many = {str(unit): int(str(parsed(body)["line"].get("count") or 1)) for unit, body in bodies}
    return [
        replace(load, items=tuple(replace(item, count=many.get(item.of, 1)) for item in load.items)) for load in loads
    ]


def _names(records: Iterable[Written]) -> dict[str, str]:
    """What everything that these records name by id is called."""
    wanted: dict[tuple[Any, str], set[str]] = defaultdict(set)
    for record in records:
        for column in NAMED.keys() & record.image.keys():
            wanted[NAMED[column]].add(str(record.image[column]))
    found: dict[str, str] = {}
    for (kind, column), ids in wanted.items():
        found |= {str(key): name for key, name in kind.objects.filter(pk__in=ids).values_list("pk", column)}
    return found


def load_now(yard: UUID, number: str) -> LoadNow | None:
    """The load of this number in this yard as it stands now, None where there is none."""
    body = LoadStanding.objects.filter(yard=yard, number=number).values_list("body", flat=True).first()
    return counted([LOADS.unpacked(body)])[0] if body is not None else None


def listed(yard: UUID, *, below: int | None = None, size: int = 50) -> list[LoadNow]:
    """Loads of a yard, the newest first, by key: those before the entry `below`; one more than `size` if any."""
    found = LoadStanding.objects.filter(yard=yard)
    if below is not None:
        found = found.filter(logged__lt=below)
    return counted([LOADS.unpacked(one.body) for one in found.order_by("-logged")[: size + 1]])


def with_lost(yard: UUID) -> list[LoadNow]:
    """The loads of a yard of which something is missing, the oldest first."""
    found = LoadStanding.objects.filter(yard=yard, state="received", body__contains=MISSING).order_by("logged")
    return counted([load for one in found if (load := LOADS.unpacked(one.body)).lost])


def taken_in(yard: UUID) -> list[LoadNow]:
    """The loads of a yard that were taken in and are not closed, the oldest first."""
    found = LoadStanding.objects.filter(yard=yard, state__in=("received", "proven")).order_by("logged")
    return counted([LOADS.unpacked(body) for body in found.values_list("body", flat=True)])


def handed_over(yard: UUID) -> list[LoadNow]:
    """The loads of a yard that left and are not closed, the oldest first."""
    found = LoadStanding.objects.filter(yard=yard, state__in=("handed_over", "received", "proven")).order_by("logged")
    return [LOADS.unpacked(body) for body in found.values_list("body", flat=True)]


def elsewhere(thing: Thing, key: UUID) -> tuple[UUID | None, datetime | None]:
    """The load that still has a drum or a unit, None where none has; and when a load last said something of it.

    What came off, or came back refused, is free; what the facility took in or never got is not.
    """
    items = placed(Item, None, None, **{thing: key})
    free, moments = {item.replaces_id for item, _ in items}, [moment for _, moment in items]
    for received, moment in placed(Received, None, None, **{thing: key}):
        moments.append(moment)
        if received.arrival == "refused":
            free.add(received.item_id)
    has = [item.load_id for item, _ in items if item.replaces_id is None and item.id not in free]
    return (has[0] if has else None), max((moment.happened_at for moment in moments), default=None)


def said_last(load: UUID) -> dict[UUID, tuple[UUID, str]]:
    """By item of a load: the record that says last what became of it, and when that was (ISO, UTC)."""
    return {
        record.item_id: (record.id, instant(moment.happened_at))
        for record, moment in placed(Received, None, None, load=load)
    }


def thing_of(yard: UUID, code: str) -> tuple[Thing, UUID] | None:
    """What a good code of this yard names: a drum or a unit; None where it names neither."""
    drum = Drum.objects.filter(yard=yard, code=code).values_list("id", flat=True).first()
    unit = Unit.objects.filter(yard=yard, tag=code).values_list("id", flat=True).first()
    return ("drum", drum) if drum else ("unit", unit) if unit else None
