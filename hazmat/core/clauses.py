"""Clauses of a law: classes and the lines between them, what marks mean, duties, and acts that are asked for."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal, NamedTuple

from hazmat.core.dated import EVERYWHERE, Cite, stands_in
from hazmat.core.measures import MG_IN_G

Compare = Literal[">=", ">"]
SPILL = "spill"
"""The table that says by which rule of a law a spill goes; its answers are the values of `spill_rule`."""
SpillKind = Literal["now", "tell", "do", "level", "keep", "know"]
Quantity = Literal["pcb_g", "fluid_l"]


class Amounts(NamedTuple):
    """How much there is of what holds the PCB: kilograms and litres of fluid, of one item; None where not known."""

    kg: Decimal | None = None
    litres: Decimal | None = None
    items: int = 1


UNKNOWN_AMOUNTS = Amounts()


@dataclass(frozen=True, slots=True)
class AndMore:
    """The second half of a class line: an amount that must be reached too. What is not known counts as reached.

    `of_set`: the amounts of all like items of a lot count together.
    """

    quantity: Quantity
    figure: str
    compare: Compare
    of_set: bool = False

    def reached(self, value: Decimal, sign: str, amounts: Amounts, at: Decimal) -> bool:
        """Whether the amount of a figure in mg/kg reaches `at`: grams of PCB, or litres of fluid."""
        times = amounts.items if self.of_set else 1
        if self.quantity == "fluid_l":
            return amounts.litres is None or compares(amounts.litres * times, self.compare, at)
        if amounts.kg is None or sign in (">", "above"):
            return True
        grams = value * amounts.kg * times / MG_IN_G
        return grams > at if sign == "<" else compares(grams, self.compare, at)


def compares(value: Decimal, compare: Compare, at: Decimal) -> bool:
    """Whether a value lies over a line: from it (`>=`), or above it (`>`)."""
    return value >= at if compare == ">=" else value > at


@dataclass(frozen=True, slots=True)
class Line:
    """From this figure (`>=`), or above it (`>`), oil is in this class; `also`: where an amount is reached too."""

    figure: str
    compare: Compare
    klass: str
    also: AndMore | None = None


@dataclass(frozen=True, slots=True)
class ClassWords:
    """A class in words, and the lower end of it as a safety band."""

    says: str
    band: str
    cite: Cite


@dataclass(frozen=True, slots=True)
class MarkMeans:
    """The class that a mark speaks for."""

    klass: str
    cite: Cite


@dataclass(frozen=True, slots=True)
class Duty:
    """What the law asks of a role once an item is in a class, and where `when` holds.

    `time` names the figure of its clock (a number of years, months or days from `counts_from`); `by` names a figure
    that is the last day itself, and `extended_by` the fact of a unit that may put it off. `since`, `until`: the days on
    which the duty stands.
    """

    name: str
    says: str
    classes: frozenset[str]
    roles: frozenset[str]
    counts_from: str | None
    time: str | None
    cite: Cite
    by: str | None = None
    extended_by: str | None = None
    when: tuple[tuple[str, frozenset[str]], ...] = ()
    since: date | None = None
    until: date | None = None
    only_in: frozenset[str] = EVERYWHERE

    def in_force(self, on: date, territory: str | None) -> bool:
        """Whether it stands on this day, in this state."""
        dated = (self.since is None or self.since <= on) and (self.until is None or on <= self.until)
        return dated and stands_in(self.only_in, territory)

    def wanted(self, facts: Mapping[str, str]) -> bool:
        """Whether these column values ask for it."""
        return all(facts[column] in accepted for column, accepted in self.when)


@dataclass(frozen=True, slots=True)
class Act:
    """Something to do next, and when it is asked for."""

    act: str
    says: str
    when: tuple[tuple[str, frozenset[str]], ...]
    cite: Cite

    def wanted(self, facts: Mapping[str, str]) -> bool:
        return all(facts[column] in accepted for column, accepted in self.when)


@dataclass(frozen=True, slots=True)
class SpillRule:
    """What a law or the handling book asks once something is spilled, and where `when` holds.

    `kind`: what is done now, who is told, what is done by a time, a level to reach, a record to keep, or a thing to
    know. `time` names the figure of its hours from the moment found, None for at once; `to`: who is told; `phone`: the
    figure that is the telephone number which a law or an authority publishes.
    """

    name: str
    kind: SpillKind
    says: str
    when: tuple[tuple[str, frozenset[str]], ...]
    cite: Cite
    time: str | None = None
    to: str = ""
    phone: str | None = None
    since: date | None = None
    until: date | None = None
    only_in: frozenset[str] = EVERYWHERE

    def in_force(self, on: date, territory: str | None) -> bool:
        """Whether it stands on this day, in this state."""
        dated = (self.since is None or self.since <= on) and (self.until is None or on <= self.until)
        return dated and stands_in(self.only_in, territory)

    def wanted(self, facts: Mapping[str, str]) -> bool:
        """Whether these column values ask for it."""
        return all(facts[column] in accepted for column, accepted in self.when)
