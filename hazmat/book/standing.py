"""What is current: pure folds over records, kept in tables that can be dropped and made again.

`settings.STANDINGS` lists the folds as dotted text, in order.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import Any, Protocol
from uuid import UUID

from django.conf import settings
from django.utils.module_loading import import_string

from hazmat.book.record import Record


@dataclass(frozen=True, order=True)
class Moment:
    """When an entry happened, when it was written, and its sequence number: folds go by the first and the last."""

    happened_at: datetime
    recorded_at: datetime
    seq: int

    @property
    def place(self) -> tuple[datetime, int]:
        """The place of the entry in a fold."""
        return self.happened_at, self.seq


class Fold(Protocol):
    """One kind of thing, and how its standing follows from records."""

    name: str
    """`hazmat.unit`: the label of the thing."""

    def touched(self, records: Sequence[Record]) -> list[UUID]:
        """The things whose standing these records change."""

    def refresh(self, things: Sequence[UUID], records: Sequence[Record], when: Moment) -> None:
        """Keep the standing of these things after an entry that wrote `records`."""

    def fold(self, things: Iterable[UUID], at: int | None = None) -> dict[UUID, Any]:
        """The standing of each thing from its records alone, up to and with the entry `at`."""

    def kept(self, thing: UUID) -> Any | None:
        """The standing as it is kept, None where none is."""

    def things(self, yard: UUID) -> Iterable[UUID]:
        """Every thing of a yard."""

    def differs(self, things: Sequence[UUID]) -> list[str]:
        """What is wrong with the kept standings of these things: one sentence each."""

    def strangers(self, yard: UUID) -> list[str]:
        """Kept standings of a yard that no thing stands behind: one sentence each."""

    def rebuild(self, yard: UUID) -> int:
        """Drop and keep again every standing of a yard; how many."""


@cache
def folds() -> list[Fold]:
    """The folds of this installation, in order."""
    return [import_string(path) for path in settings.STANDINGS]


def keep(records: Sequence[Record], when: Moment) -> None:
    """Bring every standing that these records change up to date. Inside the transaction that writes them."""
    for fold in folds() if records else ():
        things = fold.touched(records)
        if things:
            fold.refresh(things, records, when)


def standing(name: str, thing: UUID, at: int | None = None) -> Any:
    """The standing of a thing now, or as it stood after the entry `at` of its yard. Raises LookupError."""
    fold = next(one for one in folds() if one.name == name)
    found = fold.kept(thing) if at is None else fold.fold([thing], at).get(thing)
    if found is None:
        raise LookupError(f"no {name} {thing}" + (f" at entry {at}" if at is not None else ""))
    return found
