"""What one piece of evidence says, and what a reader of evidence needs."""

from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType
from typing import Any, NamedTuple

from hazmat.core.clauses import UNKNOWN_AMOUNTS, Amounts
from hazmat.core.facts import TANK, Unit
from hazmat.core.findings import spoken
from hazmat.core.identity import Plate
from hazmat.core.law import LawDay

NO_WORDS: Mapping[str, str] = MappingProxyType({})


class Reading(NamedTuple):
    """What one piece of evidence says.

    `klass`: the class it speaks for under the law, None for nothing; `bound`: the worst class that it leaves possible,
    where it establishes no more than that; `band`: as `klass`, for the safety band; `decides_band`: the band goes by
    it, and is not only raised; `wants`: columns of the next acts that it sets; `mend`: key of the sentence for the
    person who keeps the register; `at`: where it stands in the line; `values`: words for the slots.
    """

    key: str
    klass: str | None = None
    establishes: bool = False
    bound: str | None = None
    band: str | None = None
    decides_band: bool = False
    band_key: str | None = None
    wants: tuple[tuple[str, str], ...] = ()
    mend: str | None = None
    unread: bool = False
    sinks: bool = False
    at: str = ""
    space: str = TANK
    values: Mapping[str, str] = NO_WORDS

    @property
    def pattern(self) -> tuple[Any, ...]:
        """All that a decision hangs on; places and words are left out."""
        return self[:PATTERN]


PATTERN = Reading._fields.index("at")
"""Fields before this place make the pattern of a reading; the rest are places and words. Source: the class above."""


class Context(NamedTuple):
    """What a reader of evidence needs: the unit, its plate, the law (None: none in force), the handling book."""

    unit: Unit
    plate: Plate
    law: LawDay | None
    house: LawDay
    amounts: Amounts = UNKNOWN_AMOUNTS

    def klass(self, value: Decimal, sign: str, space: str = TANK) -> str | None:
        """The class of a figure in an oil space; how much is in it is known of the tank alone."""
        amounts = self.amounts if space == TANK else UNKNOWN_AMOUNTS
        return self.law.class_of(value, sign, amounts) if self.law else None

    def class_words(self, klass: str | None) -> str:
        return self.law.book.class_words[klass].says if self.law and klass else ""

    def why(self, key: str) -> str:
        return self.house.book.whys[key].says

    def where(self, space: str) -> str:
        """An oil space in words: a drum, capacitor or bushing is spoken of as a whole."""
        if space != TANK:
            return f"the {spoken(space)}"
        return "the tank" if self.house.book.kinds[self.unit.kind] == "other" else "it"
