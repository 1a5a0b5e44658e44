"""What one page of Look says about a unit, once it is read and checked."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from hazmat.core.unitnow import Arrival, Leak


@dataclass(frozen=True, kw_only=True)
class LookIn:
    """The answers of one look.

    `line`: the facts as one line of a register, without an id; `sources`: seen, said or guessed for each fact;
    `claims`: the seller's word, kept apart; `aside`: personal data (owner, seller, place, access); `proved`: whether it
    was proved dead, None where nobody said; `tag`: of a printed tag that was hung on it, empty for the next one.

    Keys of `claims`: `seller` (`told` or `knows_nothing`), `drained` and `label` (`yes` or `no`), `words`. Keys of
    `seen`, what was seen that is no key of a line: `plate` (`readable`, `partly` or `missing`), `leak_at` (words).
    """

    arrival: Arrival
    line: Mapping[str, Any]
    sources: Mapping[str, str]
    leak: Leak
    note: str = ""
    claims: Mapping[str, str] = field(default_factory=dict)
    seen: Mapping[str, str] = field(default_factory=dict)
    aside: Mapping[str, str] = field(default_factory=dict)
    proved: Mapping[str, Any] | None = None
    happened_at: datetime | None = None
    tag: str = ""
