"""Limits in air at the edge: the result of a sum against them, a country's on a day, the line beside a unit's gear."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import Any

from hazmat import rulebooks
from hazmat.core.air import Against, AirBook, Hot, LimitNow, Oil, against, air_line
from hazmat.core.bulk import CARE
from hazmat.core.dated import Sentence
from hazmat.core.findings import Reason
from hazmat.core.law import LawDay
from hazmat.core.measures import figure_words
from hazmat.core.nearness import Near
from hazmat.core.sums.frame import Fixed, Sum, Worked
from hazmat.core.sums.vapour import PCB
from hazmat.core.unitnow import ESTABLISHED, UnitNow
from hazmat.edge.one import KEPT_DAYS
from hazmat.edge.sums import SHOWN, answer
from hazmat.rulebooks.airbook import air_book, air_words
from hazmat.rulebooks.sumbook import sums

HOT_IN = "in_use"
"""The state of a unit that runs: its oil is hot. Of any other nobody said how warm it is."""


Measured = tuple[str, Decimal, int]
"""A level in air: of which substance, mg/m3, and over how many minutes it is a mean."""


@dataclass(frozen=True)
class CountryLimits:
    """What a country says of one substance on a day, each limit perhaps with a level against it.

    `silence`: why it says nothing, or not all; else None.
    """

    substance: str
    limits: tuple[tuple[LimitNow, Against | None], ...]
    silence: Sentence | None


def of_country(country: str, on: date, measured: Measured | None = None) -> list[CountryLimits]:
    """The limits of a country on a day, each substance by itself; where none stands, that is said."""
    book, none = air_book(), air_words()["no_figure"]
    found = []
    for group in dict.fromkeys(one.group for one in book.substances.values()):
        limits = book.standing(on, group, country)
        silence = book.silence(group, country) or (None if limits else none)
        told: list[Against | None] = [None] * len(limits)
        if measured and measured[0] == group:
            told = list(against(measured[1], limits, measured[2]))
        found.append(CountryLimits(_group_words(book, group), tuple(zip(limits, told, strict=True)), silence))
    return found


def _group_words(book: AirBook, group: str) -> str:
    return next(one.says for one in book.substances.values() if one.group == group)


def against_limits(asked: Sum, worked: Worked, on: date) -> list[Against]:
    """The line of a sum that tells mg/m3, as a bound, against every limit of its substance on a day."""
    value = worked.values.get(asked.in_air)
    if not asked.in_air or not worked.of or not isinstance(value, Decimal):
        return []
    return against(value, air_book().standing(on, worked.of))


def answered(asked: Sum, worked: Worked, on: date) -> dict[str, Any]:
    """The answer of a sum as plain data, with the limits in air where it tells what stands in air."""
    told = answer(asked, worked)
    return told | {"limits": as_data(against_limits(asked, worked, on))} if asked.in_air else told


def as_data(found: Iterable[Against]) -> list[dict[str, Any]]:
    """Each limit with what the figure is against it, as plain data."""
    return [
        {
            "limit": one.now.limit.name, "body": one.now.limit.body, "place": one.now.limit.place,
            "of": one.now.limit.substance.says, "kind": one.now.limit.kind,
            "mg_m3": figure_words(SHOWN.plus(one.now.mg_m3)), "times": figure_words(SHOWN.plus(one.times)),
            "stands": one.stands, "cite": one.now.version.cite.document, "basis": one.now.version.cite.basis,
        }
        for one in found
    ]  # fmt: skip


def value_of(now: LimitNow) -> str:
    """A limit as it was published, with its unit: `5 ppm`, `0.001 mg/m3`."""
    assert isinstance(now.version.value, Decimal)
    return f"{figure_words(now.version.value)} {now.limit.figure.unit}"


def line_beside(unit: UnitNow, near: Iterable[Near] = ()) -> Reason | None:
    """What vapour adds beside the gear of a unit, a finished sentence with its document; None where it adds nothing.

    `near`: how its results stand to the lines. By the day of its answer, and by the worst of what it counts as.
    """
    on = date.fromisoformat(str(unit.answer["on"]))
    house, limits, fixed = _day(rulebooks.rulebook(rulebooks.HANDLING).digest, on)
    care = max(unit.oil.care, str(unit.answer["care"]), key=CARE.index)
    hot: Hot = "yes" if unit.line.get("state") == HOT_IN else "unknown"
    return air_line(Oil(care, _shown(unit, near), hot), limits, fixed, house)


@lru_cache(KEPT_DAYS)
def _day(digest: str, on: date) -> tuple[LawDay, list[LimitNow], Fixed]:
    """What the line goes by on a day: the handling book of this content, the limits of PCB, the figures of its sum."""
    house = rulebooks.house(on)
    return house, air_book().standing(on, PCB), Fixed(sums()["vapour"].figures, on)


def _shown(unit: UnitNow, near: Iterable[Near]) -> Decimal | None:
    """The highest mg/kg of its results with their uncertainty; None where they do not speak for all of its oil.

    They do where they are signed, a laboratory established the class, nothing stands above a limit of its own or was
    typed without a report, and it has one oil space.
    """
    found = list(near)
    unsure = (
        unit.decided is None, unit.oil.known == "untested", unit.answer.get("basis") != ESTABLISHED,
        any(one.stands == "more" for one in found),
        unit.line.get("tests"), unit.line.get("spaces"), len(unit.oil_spaces) > 1,
    )  # fmt: skip
    return None if any(unsure) else max((one.reach.high for one in found), default=None)
