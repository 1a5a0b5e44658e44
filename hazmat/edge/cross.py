"""What no single value can show: two values of a line that cannot both stand, or one that needs another."""

from decimal import Decimal

from hazmat.core.facts import Test, Unit
from hazmat.core.measures import day_words
from hazmat.edge.shapes import shown

LIGHTEST_KG_L, HEAVIEST_KG_L = Decimal("0.6"), Decimal("2.0")
"""Densities of insulating liquids lie within; outside, the unit of measure is wrong (880 is kg/m3, 0.88 is kg/L).

Source: mineral oil about 0.88, askarel up to about 1.6 (NIOSH Pocket Guide, chlorodiphenyl: 1.39); common practice.
"""

SMALLEST_K, LARGEST_K = Decimal("0.1"), Decimal(10)
"""Coverage factors in use lie within. Source: our own bound."""
WHOLE = {"%": Decimal(100), "mg/kg": Decimal(1_000_000), "ppm": Decimal(1_000_000)}
"""No part is more than the whole. Source: definition."""


def contradiction(unit: Unit) -> tuple[str, str] | None:
    """The path and the sentence of the first thing in a unit that cannot stand, or None."""
    if unit.density_kg_l is not None and not _a_density(unit.density_kg_l):
        return "density_kg_l", _density_words(unit.density_kg_l)
    if unit.built is not None and (unit.in_use_before or unit.last_energised):
        early = _before_it_was_built(unit)
        if early:
            return early
    if unit.spaces:
        twice = _named_twice(unit)
        if twice:
            return twice
    for place, test in enumerate(unit.tests):
        wrong = _test(test)
        if wrong:
            return f"tests[{place}].{wrong[0]}", wrong[1]
    return None


def _named_twice(unit: Unit) -> tuple[str, str] | None:
    names = [space.name for space in unit.spaces]
    for place, name in enumerate(names):
        if name in names[:place]:
            may = "a name that no other space of the unit has may stand there"
            return f"spaces[{place}].name", f"{shown(name)} stood there; {may}"
    return None


def _before_it_was_built(unit: Unit) -> tuple[str, str] | None:
    """A day on which it was in use, or under voltage, before it can have been built."""
    built = unit.built.earliest if unit.built else None
    energised = unit.last_energised.latest if unit.last_energised else None
    for path, day in (("in_use_before", unit.in_use_before), ("last_energised", energised)):
        if built is not None and day is not None and day < built:
            may = f"a day that does not lie before it was built ({day_words(built)})"
            return path, f"{day_words(day)} stood there; {may} may stand there"
    return None


def _a_density(value: Decimal) -> bool:
    return LIGHTEST_KG_L <= value <= HEAVIEST_KG_L


def _density_words(value: Decimal) -> str:
    range_words = f"kilograms a litre between {LIGHTEST_KG_L} and {HEAVIEST_KG_L}"
    return f"{shown(value)} stood there; {range_words} may stand there, such as 0.88"


def _test(test: Test) -> tuple[str, str] | None:
    if (test.value is not None or test.reporting_limit is not None) and test.unit is None:
        return "unit", "a value stood there without its unit; one of mg/kg, mg/L, ppm, ug/100cm2, % may stand there"
    if test.density_kg_l is not None and not _a_density(test.density_kg_l):
        return "density_kg_l", _density_words(test.density_kg_l)
    k = test.uncertainty.k if test.uncertainty else None
    if k is not None and not SMALLEST_K <= k <= LARGEST_K:
        may = f"a coverage factor from {SMALLEST_K} to {LARGEST_K} may stand there, such as 2"
        return "uncertainty.k", f"{shown(k)} stood there; {may}"
    if not test.space.strip():
        return "space", "an empty text stood there; the name of an oil space, such as tank, may stand there"
    if test.raw is not None and (wrong := _raw(test)):
        return "raw", wrong
    whole = WHOLE.get(test.unit or "")
    for path, value in (("value", test.value), ("raw", test.raw)):
        if whole is not None and value is not None and value > whole:
            return path, f"{shown(value)} {test.unit} stood there; no more than {whole}, the whole, may stand there"
    return None


def _raw(test: Test) -> str | None:
    """Why a raw figure cannot stand: it goes with what a laboratory reports, and alone it proves nothing."""
    if test.how != "laboratory":
        return (
            f"{shown(test.raw)} stood there; a raw figure goes with a laboratory's result, so nothing may stand there"
        )
    if test.value is None and test.reporting_limit is None and not test.congeners:
        return f"{shown(test.raw)} stood there alone; the figure that was reported stands beside it under value"
    return None
