"""What somebody gets for an act: proof that it was written, once."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from hazmat.book.canonical import parsed
from hazmat.book.entry import Entry


@dataclass(frozen=True)
class Receipt:
    """The entry that an act became. `records`: label and id of each; `again`: the act had been written before."""

    act: UUID
    yard: UUID
    by: UUID
    seq: int
    verb: str
    hash: str
    recorded_at: str
    records: tuple[tuple[str, UUID], ...]
    again: bool = False

    def the(self, table: str) -> UUID:
        """The id of the first record of this label. Raises LookupError where the act wrote none."""
        for label, record in self.records:
            if label == table:
                return record
        raise LookupError(f"the act wrote no {table}")


def receipt_of(entry: Entry, again: bool = False) -> Receipt:
    """The receipt of an entry that stands in the book."""
    body: dict[str, Any] = parsed(entry.body)
    records = tuple((one["table"], UUID(one["id"])) for one in body["records"])
    return Receipt(
        entry.act, entry.yard_id, entry.by_id, entry.seq, entry.verb, entry.hash, body["recorded_at"], records, again
    )
