"""Putting right what is on record by one of its own kind: the same refusals for each kind."""

from collections.abc import Sequence
from typing import TypeVar
from uuid import UUID

from hazmat.book.act import Refused
from hazmat.core.amended import Amendable, counting

One = TypeVar("One", bound=Amendable)


def amended(kept: Sequence[One], replaces: UUID | None, why: str, what: str) -> One | None:
    """The one in whose place another one is written, None where none is; `what` it is called.

    Raises Refused where it no longer counts, or no reason is given.
    """
    if replaces is None:
        return None
    old = next((one for one in counting(kept) if one.id == str(replaces)), None)
    if old is None:
        raise Refused(f"This {what} was amended already, or is of another unit; open the one that counts and amend it.")
    if not why.strip():
        raise Refused(f"Say why the {what} is amended; the old one stays in the book beside it.")
    return old
