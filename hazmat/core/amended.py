"""What can be put right by one of its own kind: the first one stays on record, and no longer counts."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar


@dataclass(frozen=True, kw_only=True)
class Amendable:
    """`amends`, `amended_by`: ids of the one whose place it takes, and of the one in its own place; `why`: the reason.

    `seq`: the entry that wrote it.
    """

    id: str
    why: str = ""
    seq: str = "0"
    amends: str | None = None
    amended_by: str | None = None


@dataclass(frozen=True, kw_only=True)
class Told:
    """What was written down for a sum. `told`: as the record keeps it, under `asked` what the sum takes; `at`: when."""

    told: Mapping[str, Any]
    at: str
    note: str = ""

    @property
    def asked(self) -> Mapping[str, Any]:
        """What the sum takes, by its boxes."""
        found: Mapping[str, Any] = self.told["asked"]
        return found


One = TypeVar("One", bound=Amendable)


def counting(kept: Iterable[One]) -> tuple[One, ...]:
    """Those in whose place stands no other one."""
    return tuple(one for one in kept if one.amended_by is None)


def with_one(kept: Sequence[One], made: One) -> tuple[One, ...]:
    """These and one more, whichever of two that belong together is met first."""
    by = next((one.id for one in kept if one.amends == made.id), None)
    earlier = (replace(one, amended_by=made.id) if one.id == made.amends else one for one in kept)
    return (*earlier, replace(made, amended_by=by))
