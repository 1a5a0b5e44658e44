"""Numbers as people measure them: decimals with a unit, never binary floats.

Every figure that a law or a standard fixes stands in a rulebook. Here stand only unit factors and mathematics.
"""

from calendar import isleap, monthrange
from datetime import date, datetime, timedelta
from decimal import ROUND_FLOOR, Decimal

MG_KG_IN_PER_CENT = Decimal(10000)
"""One per cent by weight in mg/kg. Source: definition (1 % = 10 g in 1 kg)."""

FAHRENHEIT_A_KELVIN, FAHRENHEIT_OF_ICE = Decimal("1.8"), Decimal(32)
"""Degrees Fahrenheit in a kelvin, and where 0 °C lies on that scale. Source: definition."""

MG_IN_G = Decimal(1000)
"""Milligrams in a gram. Source: definition."""

HALF_WIDTH_TO_SPREAD = Decimal("2.77")
"""Spread of two single results over the standard deviation, 95 %: 1.96 times root 2. Source: ISO 5725-6."""

MG_IN_KG = Decimal(1_000_000)
"""Milligrams in a kilogram. Source: definition."""

KG_IN_LB = Decimal("0.45359237")
"""Kilograms in an avoirdupois pound. Source: international yard and pound agreement of 1959."""

LITRES_IN_US_GALLON = Decimal("3.785411784")
"""Litres in a US liquid gallon. Source: definition (231 cubic inches of 25.4 mm)."""

PER_CENT = Decimal(100)
"""Hundredths in the whole. Source: definition."""

HUNDREDTH = Decimal("0.01")
"""How finely converted numbers are shown to people. Source: our own choice."""

COVERAGE = Decimal(2)
"""Coverage factor k of an expanded uncertainty of about 95 %. Source: JCGM 100:2008, 6.2 and 6.3."""

MONTHS_IN_YEAR = 12
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


class Measure(Decimal):
    """A measured number: not negative, finite, written plainly. Its unit stands in the name of the field."""

    __slots__ = ()


class Count(int):
    """A whole number from 1."""

    __slots__ = ()


class Day(date):
    """A calendar day, not after today."""

    __slots__ = ()


class LastDay(date):
    """A calendar day that may lie ahead: the last one of something that was granted."""

    __slots__ = ()


class Place(str):
    """An ISO 3166 country code, with a subdivision where one is known: `NZ`, `AU-VIC`."""

    __slots__ = ()

    @property
    def country(self) -> str:
        return self[:2]


class Tag(str):
    """The name of a unit in its file: not empty, unique there."""

    __slots__ = ()


def fahrenheit(celsius: Decimal) -> Decimal:
    """A temperature in °C told in °F."""
    return celsius * FAHRENHEIT_A_KELVIN + FAHRENHEIT_OF_ICE


def figure_words(value: Decimal) -> str:
    """The number as people write it: no exponent, no idle zeros (`1.360` gives `1.36`)."""
    text = str(value)
    if "E" in text:
        text = format(value, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def rounded_words(value: Decimal) -> str:
    """A converted number with two decimals, cut and not rounded, so that it never reads as over a line it is below.

    For people, never for a comparison.
    """
    return figure_words(value.quantize(HUNDREDTH, ROUND_FLOOR))


def moment_words(local: datetime) -> str:
    """A moment as a clock shows it: `7 Mar 2026, 14:30`."""
    return f"{day_words(local.date())}, {local:%H:%M}"


def day_words(day: date) -> str:
    """`7 Mar 2026`."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def add_years(day: date, years: int) -> date:
    """The same day of a later year; 29 February becomes 28 February where that year has none.

    Source: house convention, the earlier of the two readings (the laws read here do not say).
    """
    leap_day_lost = day.month == 2 and day.day == 29 and not isleap(day.year + years)
    return date(day.year + years, day.month, 28 if leap_day_lost else day.day)


def add_months(day: date, months: int) -> date:
    """The same day of a later month; the last day of that month where it has none.

    Source: house convention, the earlier of the two readings (the laws read here do not say).
    """
    years, month = divmod(day.year * MONTHS_IN_YEAR + day.month - 1 + months, MONTHS_IN_YEAR)
    return date(years, month + 1, min(day.day, monthrange(years, month + 1)[1]))


def add_time(day: date, number: int, unit: str) -> date:
    """A day so many years, months or days later: a plain `date`. Raises ValueError for another unit."""
    if unit == "days":
        return date(day.year, day.month, day.day) + timedelta(days=number)
    if unit == "month":
        return add_months(day, number)
    if unit == "year":
        return add_years(day, number)
    raise ValueError(f"{unit} is no unit of time")
