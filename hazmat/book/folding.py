"""Kept standings held against their folds, on the way through the entries where a fold can go by images."""

import contextlib
from collections.abc import Iterator, Mapping, Sequence
from itertools import islice
from typing import Any, Protocol, runtime_checkable
from uuid import UUID

from django.db import OperationalError

from hazmat.book import raw
from hazmat.book.raw import key_of, shown
from hazmat.book.record import Record, label
from hazmat.book.rows import Placed, Proof
from hazmat.book.standing import Fold, folds
from hazmat.book.told import Image, ToldRecord
from hazmat.core.unitfold import Written

HANDFUL = 500
"""Things that are held against their standings together. Source: our own choice."""
OPEN = 5000
"""Things of which not everything was met yet, and that wait for it; more are folded from the tables. Source: ours."""
BROKEN = (ValueError, TypeError, AttributeError, LookupError, RecursionError, OperationalError)
"""What a fold meets in records that somebody changed."""


@runtime_checkable
class ByImages(Protocol):
    """A fold that can also go by the images in the entries, which saves reading every row a second time."""

    name: str

    def telling(self) -> Sequence[type[Record]]:
        """The record classes that change a standing."""

    def right(self, told: Sequence[Written]) -> Any:
        """The standing that should be kept of a thing, given all that was ever written of it."""

    def unlike(self, right: Mapping[UUID, Any]) -> list[str]:
        """What is wrong with the kept standings of these things."""


class Standings:
    """The standings of one yard, under every fold of this installation."""

    def __init__(self, yard: Any) -> None:
        self.yard, self.folds = yard, folds()
        self.quick = [_Quick(fold, key_of(str(yard.pk))) for fold in self.folds if isinstance(fold, ByImages)]

    def take(self, entry: Placed, record: ToldRecord, image: Image) -> None:
        """A record that was held against its row, and its image."""
        for one in self.quick:
            one.take(entry, record, image)

    def faults(self, proof: Proof) -> Iterator[str]:
        """What is wrong with the things of which everything was met by now."""
        for one in self.quick:
            proof.standings += len(one.ready)
            yield from (f"yard {self.yard.code}: {says}" for says in one.faults())

    def rest(self, proof: Proof) -> Iterator[str]:
        """The things that were not folded on the way, and standings that no thing stands behind."""
        done = {one.fold.name: one.done for one in self.quick}
        for fold in self.folds:
            here = done.get(fold.name, set())
            things = (thing for thing in fold.things(self.yard.pk) if thing not in here)
            while batch := list(islice(things, HANDFUL)):
                proof.standings += len(batch)
                yield from (f"yard {self.yard.code}: {says}" for says in _folded(fold, batch))
            yield from (f"yard {self.yard.code}: {says}" for says in fold.strangers(self.yard.pk))


class _Quick:
    """Things of one fold in one yard: taken in record by record, and folded once everything of a thing was met."""

    def __init__(self, fold: ByImages, yard: str) -> None:
        self.fold = fold
        self.subjects = {label(kind): kind.subject for kind in fold.telling()}
        self.left: dict[str, int] = {}
        self.open: dict[str, list[Written]] = {}
        self.ready: dict[UUID, Any] = {}
        self.done: set[UUID] = set()
        for kind in fold.telling():
            column = raw.column(kind._meta.get_field(kind.subject or "id")).sql
            sql = f"SELECT {column}, COUNT(*) FROM {raw.table(kind)} WHERE yard_id = %s GROUP BY 1"
            for thing, count in raw.fetched(sql, [yard]):
                if thing is not None:
                    self.left[shown(thing)] = self.left.get(shown(thing), 0) + count

    def take(self, entry: Placed, record: ToldRecord, image: Image) -> None:
        """One more record; where it was the last one of its thing, the standing of that is folded."""
        if record.table not in self.subjects:
            return
        subject, told = self.subjects[record.table], entry.told
        thing = image.get(subject) if subject else record.id
        if type(thing) is not str or thing not in self.left:
            return
        written = Written(
            table=record.table, id=record.id, yard=told.yard, replaces=record.replaces, image=image,
            happened_at=told.happened_at, recorded_at=told.recorded_at, seq=told.seq,
        )  # fmt: skip
        self.open.setdefault(thing, []).append(written)
        self.left[thing] -= 1
        if not self.left[thing]:
            del self.left[thing]
            with contextlib.suppress(*BROKEN):
                self.ready[UUID(thing)] = self.fold.right(self.open.pop(thing))
        elif len(self.open) > OPEN:
            longest = next(iter(self.open))
            del self.open[longest], self.left[longest]

    def faults(self) -> list[str]:
        """What is wrong with the standings that were folded since this was last asked."""
        ready, self.ready = self.ready, {}
        self.done.update(ready)
        return self.fold.unlike(ready)


def _folded(fold: Fold, things: list[UUID]) -> list[str]:
    """What differs; where records are so broken that nothing can be folded, that is said of each thing."""
    try:
        return fold.differs(things)
    except BROKEN:
        if len(things) == 1:
            return [f"{fold.name} {things[0]} cannot be folded: its records are broken"]
    return [says for thing in things for says in _folded(fold, [thing])]
