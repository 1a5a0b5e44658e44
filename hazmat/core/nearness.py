"""A laboratory figure against the lines of a law, with its uncertainty; figures of one oil against each other.

Nothing here takes a figure below a line: uncertainty only ever asks for more care.
"""

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Literal, NamedTuple

from hazmat.core.clauses import Compare, compares
from hazmat.core.facts import Test
from hazmat.core.law import LawDay
from hazmat.core.measures import figure_words, rounded_words
from hazmat.core.weigh import ONE, Reach, Weighed, reach

Stands = Literal["clear", "near", "over", "far_over", "limit", "open", "more"]
LineAt = tuple[Decimal, Compare]
"""A line in mg/kg, and whether it is reached at it (`>=`) or above it."""
PAIR = 2
"""Two results are compared by their difference. Source: IEC 61619:1997, clause 14."""


class Near(NamedTuple):
    """How a figure stands to a line; `near`: below it, but its uncertainty reaches it; `more`: above its own limit."""

    stands: Stands
    reach: Reach
    line: Decimal

    def words(self) -> dict[str, str]:
        """What fills the slots of its sentence."""
        found = self.reach
        return {
            "value": rounded_words(found.value), "low": rounded_words(found.low), "high": rounded_words(found.high),
            "line": figure_words(self.line),
        }  # fmt: skip


def lines_of(law: LawDay) -> list[LineAt]:
    """The class lines of a law or of the handling book, from the lowest up."""
    return sorted((at, compare) for at, compare, _ in law.lines)


def high_lines(law: LawDay, low: Iterable[str]) -> list[LineAt]:
    """The lines above which hands meet more than these bands of care."""
    bands = set(low)
    words = law.book.class_words
    return sorted((at, compare) for at, compare, klass in law.lines if words[klass].band not in bands)


def near(test: Test, weighed: Weighed, lines: Sequence[LineAt], house: LawDay, times: Decimal = ONE) -> Near | None:
    """How a figure stands to the next line above it, or, above all lines, to the highest; None where there is none.

    `times`: how many of its expanded uncertainties count.
    """
    if not lines:
        return None
    found = reach(test, weighed, house, times)
    over = [line for line in lines if _meets(weighed.value, weighed.sign, line)]
    if weighed.sign == ">":
        return Near("more", found, (over or lines)[-1 if over else 0][0])
    if weighed.sign == "<":
        under = [line for line in lines if line not in over]
        return Near("limit", found, under[0][0]) if under else Near("open", found, lines[-1][0])
    ahead = [line for line in lines if line not in over]
    if ahead and compares(found.high, ahead[0][1], ahead[0][0]):
        return Near("near", found, ahead[0][0])
    if over:
        at, compare = over[-1]
        return Near("far_over" if compares(found.low, compare, at) else "over", found, at)
    return Near("clear", found, ahead[0][0])


def _meets(value: Decimal, sign: str, line: LineAt) -> bool:
    """Whether a figure lies over a line; what lies just below a figure (`<`) meets a line only above it."""
    at, compare = line
    return value > at if sign == "<" else compares(value, compare, at)


class Shown(NamedTuple):
    """A laboratory figure of one oil: mg/kg, its sign, where its sample was drawn, of which bottle, by whom."""

    key: str
    space: str
    sign: str
    mg_kg: Decimal
    bottle: str = ""
    laboratory: str = ""
    point: str = ""


class Differ(NamedTuple):
    """Two figures of one oil that differ by more than is allowed: which sentence says so, and its words."""

    key: Literal["differ_repeat", "differ_two", "differ_places"]
    high: Shown
    other: Shown
    allowed: Decimal

    def words(self) -> dict[str, str]:
        return {
            "high": figure_words(self.high.mg_kg), "other": figure_words(self.other.mg_kg),
            "difference": rounded_words(self.high.mg_kg - self.other.mg_kg), "allowed": rounded_words(self.allowed),
            "space": self.high.space,
        }  # fmt: skip


def differing(shown: Sequence[Shown], house: LawDay) -> list[Differ]:
    """Of each oil space the highest figure against each other one, where they differ by more than is allowed.

    What was not found counts as its limit, so that only what differs for sure is named.
    """
    found = []
    for space in dict.fromkeys(one.space for one in shown):
        mine = [one for one in shown if one.space == space]
        high = max(mine, key=lambda one: (one.mg_kg, one.sign != "<"))
        found += [told for one in mine if one is not high and (told := _differ(high, one, house))]
    return found


def _differ(high: Shown, other: Shown, house: LawDay) -> Differ | None:
    if high.sign == "<":
        return None
    same = bool(high.bottle) and high.bottle == other.bottle and _alike(high.laboratory, other.laboratory)
    share = house.number("repeat_share" if same else "spread_share")
    allowed = house.number("spread_constant") + share * (high.mg_kg + other.mg_kg) / PAIR
    if high.mg_kg - other.mg_kg <= allowed:
        return None
    places = bool(high.point and other.point) and high.point != other.point
    return Differ("differ_repeat" if same else "differ_places" if places else "differ_two", high, other, allowed)


def _alike(one: str, other: str) -> bool:
    """Whether two names are of one laboratory, whatever capitals and spaces they were typed with."""
    return " ".join(one.casefold().split()) == " ".join(other.casefold().split())
