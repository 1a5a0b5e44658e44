"""Folds that go by the tables: a thing is folded afresh from all its records after each act that touches it.

A subclass says which things records touch, how things are folded, and which columns are kept. While an act is being
written its entry is not there yet: `placed` gives its records the `Moment` that the act has.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from functools import cached_property
from itertools import islice
from typing import Any, ClassVar, Generic, TypeVar
from uuid import UUID

import msgspec
from django.db.models import OuterRef, Subquery

from hazmat.book.entry import Entry
from hazmat.book.raw import rows_of
from hazmat.book.record import Record, label
from hazmat.book.standing import Moment

HANDFUL = 500
"""How many things are folded together. Source: our own choice."""

Value = TypeVar("Value")
Some = TypeVar("Some", bound=Record)


def placed(kind: type[Some], at: int | None, when: Moment | None, **wanted: Any) -> list[tuple[Some, Moment]]:
    """Records of a class, each with its moment, in order of happening: those up to and with the entry `at`.

    `when`: the moment of the act that is being written, for records whose entry is not there yet; without one such a
    record is left out. `wanted`: what the mapper filters by.
    """
    entry = Entry.objects.filter(pk=OuterRef("entry_id"))
    found: list[tuple[Some, Moment]] = []
    rows: Any = kind._default_manager.filter(**wanted).annotate(
        _happened=Subquery(entry.values("happened_at")), _recorded=Subquery(entry.values("recorded_at")),
        _seq=Subquery(entry.values("seq")),
    )  # fmt: skip
    for row in rows:
        moment = Moment(row._happened, row._recorded, row._seq) if row._seq is not None else when
        if moment is not None and (at is None or moment.seq <= at):
            found.append((row, moment))
    return sorted(found, key=lambda one: (*one[1].place, str(one[0].pk)))


class Afresh(Generic[Value]):
    """A fold of things of one record class, kept in a table with the column `body` and helping columns beside it."""

    name: str
    """`disposal.drum`: the label of the thing."""
    thing: ClassVar[type[Record]]
    """The record that begins a thing."""
    table: ClassVar[Any]
    """The table of kept standings; its primary key is the id of the thing."""
    value: type[Value]
    """The frozen value that a body holds."""

    # ------------------------------------------------------------------ what a subclass says

    def touched(self, records: Sequence[Record]) -> list[UUID]:
        """The things whose standing these records change."""
        raise LookupError(f"{self.name}: nobody has said which things records touch")

    def folded(self, things: Sequence[UUID], at: int | None, when: Moment | None) -> dict[UUID, Value]:
        """The standing of each thing from its records; `when`: of the act that is being written."""
        raise LookupError(f"{self.name}: nobody has said how it is folded")

    def columns(self, value: Value) -> dict[str, Any]:
        """The helping columns of a kept standing, by the name of their field, as plain data; without `body`."""
        raise LookupError(f"{self.name}: nobody has said which columns are kept")

    def called(self, columns: Any) -> str:
        """What a thing is called in a sentence, from its kept columns: `drum K7M4PX`."""
        raise LookupError(f"{self.name}: nobody has said what it is called")

    # ------------------------------------------------------------------ what follows for all of them

    @cached_property
    def _codec(self) -> tuple[Any, Any]:
        return msgspec.json.Encoder(order="sorted").encode, msgspec.json.Decoder(self.value).decode

    @property
    def key(self) -> str:
        """The name of the primary key of the table."""
        return str(self.table._meta.pk.name)

    def refresh(self, things: Sequence[UUID], records: Sequence[Record], when: Moment) -> None:
        """Keep the standing of these things after an entry that wrote `records`."""
        values = self.folded(things, None, when)
        kept = set(self.table.objects.filter(pk__in=things).values_list("pk", flat=True))
        fresh = [self.table(**self.row_of(value)) for thing, value in values.items() if thing not in kept]
        for thing in kept & values.keys():
            self.table.objects.filter(pk=thing).update(**self.row_of(values[thing]))
        if fresh:
            self.table.objects.bulk_create(fresh)

    def fold(self, things: Iterable[UUID], at: int | None = None) -> dict[UUID, Value]:
        """The standing of each thing from its records alone, up to and with the entry `at`."""
        return self.folded(list(things), at, None)

    def kept(self, thing: UUID) -> Value | None:
        """The standing as it is kept."""
        body = self.table.objects.filter(pk=thing).values_list("body", flat=True).first()
        return self.unpacked(body) if body is not None else None

    def unpacked(self, body: str) -> Value:
        """A kept body as the frozen value."""
        found: Value = self._codec[1](body)
        return found

    def things(self, yard: UUID) -> Iterator[UUID]:
        """Every thing of a yard."""
        manager: Any = self.thing._default_manager
        return iter(manager.filter(yard=yard).order_by("entry__seq").values_list("id", flat=True).iterator())

    def differs(self, things: Sequence[UUID]) -> list[str]:
        """What is wrong with the kept standings of these things: one sentence each."""
        kept = rows_of(self.table, self.key, [str(thing) for thing in things])
        right, word = self.fold(things), label(self.thing).rpartition(".")[2]
        wrong = []
        for thing in things:
            found, value = kept.get(str(thing)), right.get(thing)
            if found is None or value is None:
                wrong.append(f"the standing of {word} {thing} is missing")
                continue
            wanted = self.columns_of(value)
            off = [name for name in wanted if found[name] != wanted[name]]
            if off:
                wrong.append(f"the standing of {self.called(wanted)} ({thing}) differs in {', '.join(off)}")
        return wrong

    def strangers(self, yard: UUID) -> list[str]:
        """Kept standings of a yard that no thing stands behind: one sentence each."""
        manager: Any = self.thing._default_manager
        found = self.table.objects.filter(yard=yard).exclude(pk__in=manager.filter(yard=yard).values("id"))
        word = label(self.thing).rpartition(".")[2]
        return [f"the standing of {self.called(vars(one))} ({one.pk}) has no {word} behind it" for one in found]

    def rebuild(self, yard: UUID) -> int:
        """Drop and keep again the standing of every thing of a yard; how many."""
        self.table.objects.filter(yard=yard).delete()
        things, count = iter(list(self.things(yard))), 0
        while handful := list(islice(things, HANDFUL)):
            rows = [self.table(**self.row_of(value)) for value in self.fold(handful).values()]
            self.table.objects.bulk_create(rows)
            count += len(rows)
        return count

    def columns_of(self, value: Value) -> dict[str, Any]:
        """Every column of a kept standing, by the name of its field, as plain data."""
        return {**self.columns(value), "body": self._codec[0](value).decode()}

    def row_of(self, value: Value) -> dict[str, Any]:
        """The same, as the mapper takes it: keys, numbers and days of their own kind."""
        found = {}
        for name, plain in self.columns_of(value).items():
            field = self.table._meta.get_field(name)
            found[field.attname] = _typed(field.get_internal_type(), plain)
        return found


def _typed(kind: str, plain: Any) -> Any:
    """Plain data of a column of this kind as the mapper takes it."""
    if plain is None:
        return None
    if kind in ("UUIDField", "ForeignKey"):
        return UUID(plain)
    if kind == "BigIntegerField":
        return int(plain)
    return date.fromisoformat(plain) if kind == "DateField" else plain
