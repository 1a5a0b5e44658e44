"""The standing of units: folded from records, kept in a table that can be dropped."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from functools import cache
from itertools import islice
from typing import Any
from uuid import UUID

import msgspec
from django.db.models import Q

from hazmat.book.aside import words_of
from hazmat.book.canonical import instant
from hazmat.book.raw import rows_of
from hazmat.book.record import Record, label, record_classes
from hazmat.book.standing import Moment
from hazmat.core.unitfold import STEPS, Written, folded
from hazmat.core.unitnow import UnitNow
from hazmat.models import Unit, UnitStanding

HANDFUL = 500
"""How many units are folded together. Source: our own choice."""

_decode = msgspec.json.Decoder(UnitNow).decode
_encode = msgspec.json.Encoder(order="sorted").encode


def written(record: Record, when: Moment) -> Written:
    """A record as the fold sees it."""
    return Written(
        table=label(type(record)), id=str(record.id), yard=str(record.yard_id),
        replaces=str(record.replaces_id) if record.replaces_id else None, image=record.image(),
        happened_at=instant(when.happened_at), recorded_at=instant(when.recorded_at), seq=str(when.seq),
    )  # fmt: skip


def aside_of(unit: UnitNow) -> dict[str, Any]:
    """The personal data that stand beside a unit: of its look, and of its proof of death."""
    return words_of([unit.look, *([unit.proved.record] if unit.proved else [])])


def tag_of(unit: str) -> str:
    """The tag of a unit by its id; empty for no id."""
    return Unit.objects.values_list("tag", flat=True).get(pk=unit) if unit else ""


@cache
def telling() -> list[type[Record]]:
    """The record classes that change how a unit stands."""
    return [kind for kind in record_classes() if label(kind) == "hazmat.unit" or label(kind) in STEPS]


LEFT = ("gone", "destroyed")
"""How a unit stands that is not here any more: whatever leaked of it, nobody here is sent to look."""


class UnitFold:
    """The fold of units."""

    name = "hazmat.unit"

    def touched(self, records: Sequence[Record]) -> list[UUID]:
        """The units that these records tell of."""
        kinds = tuple(telling())
        found = [record.about() for record in records if isinstance(record, kinds)]
        return list(dict.fromkeys(one for one in found if one is not None))

    def refresh(self, things: Sequence[UUID], records: Sequence[Record], when: Moment) -> None:
        """Keep the standing of these units after an entry; folded afresh only where it happened before the last one."""
        for thing in things:
            mine = [record for record in records if record.about() == thing]
            value = self._stepped(thing, mine, when) or self._afresh(thing, mine, when)
            if isinstance(mine[0], Unit):
                UnitStanding.objects.bulk_create([UnitStanding(**row_of(value))])
            else:
                UnitStanding.objects.filter(unit=thing).update(**row_of(value))

    def _stepped(self, thing: UUID, records: list[Record], when: Moment) -> UnitNow | None:
        value = None if isinstance(records[0], Unit) else self.kept(thing)
        if value is not None and instant(when.happened_at) < value.happened_at:
            return None
        return folded(sorted((written(record, when) for record in records), key=_place), value)

    def _afresh(self, thing: UUID, records: list[Record], when: Moment) -> UnitNow:
        """Folded from everything in the book and the records of an entry that is not written yet."""
        value = _folded([*self._rows([thing], None)[thing], *(written(record, when) for record in records)])
        if value is None:
            raise LookupError(f"no unit {thing}")
        return value

    def fold(self, things: Iterable[UUID], at: int | None = None) -> dict[UUID, UnitNow]:
        """The standing of each unit from its records alone, up to and with the entry `at`."""
        rows = self._rows(list(things), at)
        return {thing: value for thing in rows if (value := _folded(rows[thing])) is not None}

    def _rows(self, wanted: list[UUID], at: int | None) -> dict[UUID, list[Written]]:
        rows: dict[UUID, list[Written]] = defaultdict(list)
        for kind in telling():
            manager: Any = kind._default_manager
            found = manager.filter(Q((f"{kind.subject or 'id'}__in", wanted))).select_related("entry")
            if at is not None:
                found = found.filter(entry__seq__lte=at)
            for record in found.defer("entry__body"):
                when = Moment(record.entry.happened_at, record.entry.recorded_at, record.entry.seq)
                rows[record.about()].append(written(record, when))
        return rows

    def kept(self, thing: UUID) -> UnitNow | None:
        """The standing as it is kept."""
        body = UnitStanding.objects.filter(unit=thing).values_list("body", flat=True).first()
        return unpacked(body) if body is not None else None

    def things(self, yard: UUID) -> Iterator[UUID]:
        """Every unit of a yard."""
        return Unit.objects.filter(yard=yard).order_by("entry__seq").values_list("id", flat=True).iterator()

    def telling(self) -> Sequence[type[Record]]:
        """The record classes that change how a unit stands."""
        return telling()

    def right(self, told: Sequence[Written]) -> dict[str, Any]:
        """The columns that should be kept of a unit, given all that was ever written of it. Raises LookupError."""
        value = _folded(told)
        if value is None:
            raise LookupError("no unit was begun")
        return columns_of(value)

    def differs(self, things: Sequence[UUID]) -> list[str]:
        """What is wrong with the kept standings of these units."""
        return self.unlike(
            {**dict.fromkeys(things), **{id: columns_of(value) for id, value in self.fold(things).items()}}
        )

    def unlike(self, right: Mapping[UUID, dict[str, Any] | None]) -> list[str]:
        """What is wrong with the kept standings of these units, given the columns that each should have."""
        kept = rows_of(UnitStanding, "unit", [str(thing) for thing in right])
        wrong = []
        for thing, wanted in right.items():
            found = kept.get(str(thing))
            if found is not None and found == wanted:
                continue
            if wanted is None or found is None:
                wrong.append(f"the standing of unit {thing} is missing")
                continue
            off = [name for name in wanted if found[name] != wanted[name]]
            wrong.append(f"the standing of unit {wanted['tag']} ({thing}) differs in {', '.join(off)}")
        return wrong

    def strangers(self, yard: UUID) -> list[str]:
        """Kept standings that no unit stands behind."""
        units = Unit.objects.filter(yard=yard).values("id")
        found = UnitStanding.objects.filter(yard=yard).exclude(unit__in=units)
        return [f"the standing of unit {one.tag} ({one.unit}) has no unit behind it" for one in found]

    def rebuild(self, yard: UUID) -> int:
        """Drop and keep again the standing of every unit of a yard; how many."""
        UnitStanding.objects.filter(yard=yard).delete()
        things, count = iter(list(self.things(yard))), 0
        while handful := list(islice(things, HANDFUL)):
            rows = [UnitStanding(**row_of(value)) for value in self.fold(handful).values()]
            UnitStanding.objects.bulk_create(rows)
            count += len(rows)
        return count


UNITS = UnitFold()


def _place(record: Written) -> tuple[bool, str, int, str, str]:
    """Where a record stands in a fold: the unit itself first, then as things happened and were written."""
    return record.table != "hazmat.unit", record.happened_at, int(record.seq), record.table, record.id


def _folded(told: Sequence[Written]) -> UnitNow | None:
    """The standing from all records of one unit; a look that a later one replaces has no say."""
    replaced = {record.replaces for record in told if record.table == "hazmat.look"}
    return folded(record for record in sorted(told, key=_place) if record.id not in replaced)


def columns_of(unit: UnitNow) -> dict[str, Any]:
    """The columns of a kept standing, by the name of their field, as plain data."""
    answer, line = unit.answer, unit.line
    leak = "none" if unit.stands in LEFT else unit.leak
    words = (unit.tag, line.get("kind", ""), *line.get("plate_words", ()), line.get("made_in", ""), unit.note)
    return {
        "unit": unit.unit, "yard": unit.yard, "logged": unit.logged, "tag": unit.tag, "arrival": unit.arrival,
        "kind": line.get("kind", "other"), "klass": answer.get("class", "undetermined"),
        "basis": answer.get("basis", "undetermined"), "care": answer.get("care", "ge500"),
        "held": unit.held, "left": unit.stands in LEFT, "leak": leak,
        "good_until": answer.get("good_until"), "waits": unit.waits,
        "search": " ".join(str(word) for word in words if word).casefold(), "body": _encode(unit).decode(),
    }  # fmt: skip


def row_of(unit: UnitNow) -> dict[str, Any]:
    """The same, as the mapper takes it."""
    found = columns_of(unit)
    yard, until = found.pop("yard"), found["good_until"]
    return {
        **found, "unit": UUID(unit.unit), "yard_id": UUID(yard), "logged": int(unit.logged),
        "good_until": date.fromisoformat(until) if until else None,
    }  # fmt: skip


def unpacked(body: str) -> UnitNow:
    """A kept standing as the frozen value."""
    return _decode(body)


def unit_now(yard: UUID, tag: str) -> UnitNow | None:
    """The unit of this tag in this yard as it stands now, None where there is none."""
    body = UnitStanding.objects.filter(yard=yard, tag=tag).values_list("body", flat=True).first()
    return unpacked(body) if body is not None else None


def listed(
    yard: UUID, *, search: str = "", below: int | None = None, size: int = 50, **wanted: Any
) -> list[UnitStanding]:
    """Units of a yard, the newest first, by key: those logged before the entry `below`; one more than `size` if any.

    `search`: words that must all stand in tag, kind, plate or note; `wanted`: columns of the standing.
    """
    found = UnitStanding.objects.filter(yard=yard, **wanted)
    for word in search.casefold().split():
        found = found.filter(Q(search__contains=word))
    if below is not None:
        found = found.filter(logged__lt=below)
    return list(found.defer("search").order_by("-logged")[: size + 1])
