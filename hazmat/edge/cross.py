"""What no single value can show: two values of a line that cannot both stand, or one that needs another."""

from decimal import Decimal

from hazmat.core.facts import Test, Unit

LIGHTEST_KG_L, HEAVIEST_KG_L = Decimal("0.6"), Decimal("2.0")
"""Densities of insulating liquids lie within; outside, the unit of measure is wrong (880 is kg/m3, 0.88 is kg/L).

Source: mineral oil about 0.88, askarel up to about 1.6 (NIOSH Pocket Guide, chlorodiphenyl: 1.39); common practice.
"""


def contradiction(unit: Unit) -> tuple[str, str] | None:
    """The path and the sentence of the first thing in a unit that cannot stand, or None."""
    if unit.density_kg_l is not None and not _a_density(unit.density_kg_l):
        return "density_kg_l", _density_words(unit.density_kg_l)
    names = [space.name for space in unit.spaces]
    for place, name in enumerate(names):
        if name in names[:place] or not name.strip():
            return (
                f"spaces[{place}].name",
                f"“{name}” stood there; a name that no other space of the unit has may stand there",
            )
    for place, test in enumerate(unit.tests):
        wrong = _test(test)
        if wrong:
            return f"tests[{place}].{wrong[0]}", wrong[1]
    return None


def _a_density(value: Decimal) -> bool:
    return LIGHTEST_KG_L <= value <= HEAVIEST_KG_L


def _density_words(value: Decimal) -> str:
    range_words = f"kilograms a litre between {LIGHTEST_KG_L} and {HEAVIEST_KG_L}"
    return f"{value} stood there; {range_words} may stand there, such as 0.88"


def _test(test: Test) -> tuple[str, str] | None:
    if (test.value is not None or test.reporting_limit is not None) and test.unit is None:
        return "unit", "a value stood there without its unit; one of mg/kg, mg/L, ppm, ug/100cm2, % may stand there"
    if test.density_kg_l is not None and not _a_density(test.density_kg_l):
        return "density_kg_l", _density_words(test.density_kg_l)
    if test.uncertainty and test.uncertainty.k is not None and not test.uncertainty.k:
        return "uncertainty.k", "0 stood there; a coverage factor above 0 may stand there, such as 2"
    if not test.space.strip():
        return "space", "an empty text stood there; the name of an oil space, such as tank, may stand there"
    if test.unit == "%" and test.value is not None and test.value > 100:
        return "value", f"{test.value} % stood there; no more than 100 % may stand there"
    return None
