"""Oil in kilograms and litres: how density and volume change with temperature."""

from decimal import Decimal

from hazmat.core.sums.frame import CannotWork, Fixed, Given, Work, Worked

KG_M3_IN_KG_L = Decimal(1000)
"""Kilograms in a cubic metre for one kilogram in a litre. Source: definition."""
SECOND_ORDER = Decimal("0.8")
"""Factor of the second-order term of the volume correction. Source: API MPMS chapter 11.1, form of the formula."""
CLOSE_ENOUGH = Decimal("1E-9")
"""When the search for the density at the base temperature stops. Source: our own choice."""


def correction(rho_base: Decimal, degrees: Decimal, fixed: Fixed) -> Decimal:
    """Volume at 15 °C over volume at the temperature, for a density at 15 °C in kg/m3 and degrees above 15 °C."""
    warmed = fixed.number("lube_k1") / rho_base * degrees
    return (-warmed * (1 + SECOND_ORDER * warmed)).exp()


def _within(rho: Decimal, box: str, fixed: Fixed) -> None:
    low, high = fixed.number("correction_least"), fixed.number("correction_most")
    if not low <= rho <= high:
        raise CannotWork(box, "outside_correction", least=str(low), most=str(high))


def density(given: Given, fixed: Fixed) -> Worked:
    """Density at 15 °C, at another temperature, and a volume carried along.

    Either `density_15` in kg/L, or `density_seen` in kg/L at `seen_at` °C; `to` in °C; `litres` at `to`.
    """
    base = fixed.number("base_temperature")
    if given["density_15"] is not None:
        rho = given["density_15"] * KG_M3_IN_KG_L
        _within(rho, "density_15", fixed)
    elif given["density_seen"] is not None and given["seen_at"] is not None:
        rho = _at_base(given["density_seen"] * KG_M3_IN_KG_L, given["seen_at"] - base, fixed)
        _within(rho, "density_seen", fixed)
    else:
        raise CannotWork("density_15", "density_missing")
    factor = correction(rho, given["to"] - base, fixed)
    values = {"density_15": rho / KG_M3_IN_KG_L, "factor": factor, "density_to": rho * factor / KG_M3_IN_KG_L}
    if given["litres"] is not None:
        values["litres_15"] = given["litres"] * factor
        values["kg"] = given["litres"] * values["density_to"]
    return Worked(values)


def _at_base(seen: Decimal, degrees: Decimal, fixed: Fixed) -> Decimal:
    """The density at 15 °C whose density at the temperature is the one that was seen: a fixed point, found by steps."""
    rho = seen
    for _ in range(100):
        nearer = seen / correction(rho, degrees, fixed)
        if abs(nearer - rho) < CLOSE_ENOUGH:
            return nearer
        rho = nearer
    raise CannotWork("density_seen", "density_not_found")


WORK: dict[str, Work] = {"density": density}
