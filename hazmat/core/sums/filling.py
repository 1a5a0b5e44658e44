"""How full a drum may be: its degree of filling, so that the liquid has room to grow, and the room that is left."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from hazmat.core.measures import PER_CENT, figure_words
from hazmat.core.sums.frame import CannotWork, Fixed, Given, Note, Value, Work, Worked
from hazmat.core.sums.oil import KG_M3_IN_KG_L, correction

SHOWN = Decimal("0.1")
"""To what amounts are rounded in a sentence. Source: our own choice."""


@dataclass(frozen=True, slots=True)
class Liquid:
    """A liquid as it grows with warmth.

    `expansion`: mean share a kelvin between 15 and 50 °C; `swells`: its volume at a second temperature (°C) over
    that at the first; `density_15`: kg/L, None where nobody knows; `notes`: what was assumed.
    """

    expansion: Decimal
    swells: Callable[[Decimal, Decimal], Decimal]
    density_15: Decimal | None
    notes: tuple[Note, ...] = ()

    def density(self, at: Decimal, fixed: Fixed) -> Decimal | None:
        """Its density in kg/L at a temperature in °C."""
        if self.density_15 is None:
            return None
        return self.density_15 / self.swells(fixed.number("base_temperature"), at)


def liquid_of(given: Given, fixed: Fixed) -> Liquid:
    """The liquid that was described: by two densities, by its expansion, or by its name. Raises CannotWork."""
    name, at_15, at_50 = given["liquid"], given["density_15"], given["density_50"]
    if at_50 is not None:
        if at_15 is None:
            raise CannotWork("density_15", "second_density_alone")
        return _by_densities(at_15, at_50, fixed)
    if given["expansion"] is not None:
        return _by_expansion(given["expansion"], at_15, ())
    if name == "mineral":
        return _oil(at_15, fixed)
    if name == "askarel":
        both = fixed.number("askarel_15"), fixed.number("askarel_50")
        found = _by_densities(*both, fixed)
        assumed = Note("askarel_assumed", {"at_15": figure_words(both[0]), "at_50": figure_words(both[1])})
        return Liquid(found.expansion, found.swells, at_15 or both[0], (assumed,))
    if name == "other":
        raise CannotWork("expansion", "expansion_missing")
    expansion = fixed.number("silicone_expansion")
    slots = {"expansion": figure_words(expansion)}
    return _by_expansion(expansion, at_15, (Note(f"{name}_assumed", slots),))


def _by_densities(at_15: Decimal, at_50: Decimal, fixed: Fixed) -> Liquid:
    """Density falls along a straight line through both; the expansion is that of ADR 4.1.1.4."""
    base, warm = fixed.number("base_temperature"), fixed.number("warm_temperature")
    if at_50 >= at_15:
        raise CannotWork("density_50", "grows_denser")
    fall = (at_15 - at_50) / (warm - base)

    def density(at: Decimal) -> Decimal:
        return at_15 - fall * (at - base)

    return Liquid(fall / at_50, lambda cold, hot: density(cold) / density(hot), at_15)


def _by_expansion(expansion: Decimal, at_15: Decimal | None, notes: tuple[Note, ...]) -> Liquid:
    return Liquid(expansion, lambda cold, hot: 1 + expansion * (hot - cold), at_15, notes)


def _oil(at_15: Decimal | None, fixed: Fixed) -> Liquid:
    """Mineral oil by its table of volumes; the lightest usual oil where nobody said its density."""
    base, warm = fixed.number("base_temperature"), fixed.number("warm_temperature")
    notes: tuple[Note, ...] = ()
    if at_15 is None:
        at_15 = fixed.number("light_oil")
        notes = (Note("oil_assumed", {"density": figure_words(at_15)}),)
    rho = at_15 * KG_M3_IN_KG_L
    low, high = fixed.number("correction_least"), fixed.number("correction_most")
    if not low <= rho <= high:
        raise CannotWork("density_15", "no_mineral_oil", least=figure_words(low), most=figure_words(high))

    def swells(cold: Decimal, hot: Decimal) -> Decimal:
        return correction(rho, cold - base, fixed) / correction(rho, hot - base, fixed)

    return Liquid((swells(base, warm) - 1) / (warm - base), swells, at_15, notes)


def degree_of(liquid: Liquid, filled_at: Decimal, fixed: Fixed) -> Decimal:
    """ADR 4.1.1.4 (b) in per cent, and never so much that it would be full at 55 °C."""
    warm, hot = fixed.number("warm_temperature"), fixed.number("full_temperature")
    by_rule = fixed.number("degree_warm") / (1 + liquid.expansion * (warm - filled_at))
    return min(by_rule, fixed.number("degree_hot") / liquid.swells(filled_at, hot))


def by_boiling(point: Decimal, fixed: Fixed) -> Decimal:
    """ADR 4.1.1.4 (a) in per cent, by the initial boiling point in °C."""
    passed = sum(point >= line for line in fixed.series("boiling_lines"))
    return fixed.series("boiling_degrees")[passed]


def counted(said: Decimal | None, fixed: Fixed) -> Decimal:
    """The temperature in °C that is reckoned with: cold where nobody said any, and never above 50 °C."""
    return -fixed.number("cold_filling") if said is None else min(said, fixed.number("warm_temperature"))


def drum_filling(given: Given, fixed: Fixed) -> Worked:
    """How many litres and kg may be in a drum at the temperature of filling, and how much more than is in it."""
    liquid, warm = liquid_of(given, fixed), fixed.number("warm_temperature")
    said, notes = given["filled_at"], list(liquid.notes)
    at = counted(said, fixed)
    if said is None:
        notes.append(Note("temperature_unsaid", {"at": figure_words(at)}))
    elif said > warm:
        notes.append(Note("filled_hot", {"warm": figure_words(warm)}))
    base, hot = fixed.number("base_temperature"), fixed.number("full_temperature")
    capacity, degree, density = given["capacity_l"], degree_of(liquid, at, fixed), liquid.density(at, fixed)
    values: dict[str, Value] = {
        "degree": degree, "most_l": capacity * degree / PER_CENT, "expansion": liquid.expansion,
        "at_hot": degree * liquid.swells(at, hot), "full_l": capacity / liquid.swells(at, hot), "reckoned_at": at,
    }  # fmt: skip
    if density is not None:
        values["most_kg"] = capacity * degree / PER_CENT * density
    if given["boiling_point"] is not None:
        share = by_boiling(given["boiling_point"], fixed)
        at_hot = share * liquid.swells(base, hot)
        values |= {"boiling": share, "boiling_l": capacity * share / PER_CENT, "boiling_hot": at_hot}
        notes.append(Note("boiling_full" if at_hot >= PER_CENT else "boiling_beside"))
    said_of_it = _held(
        given, liquid, density if density is not None else _lightest(given, liquid, fixed), values, fixed
    )
    return Worked(values, (*said_of_it, *notes))


def _lightest(given: Given, liquid: Liquid, fixed: Fixed) -> Decimal | None:
    """Of a liquid of no known density that was weighed: the lightest usual one, by which it takes up the most room."""
    if given["held_kg"] is None or given["held_l"] is not None:
        return None
    base = fixed.number("base_temperature")
    return fixed.number("light_oil") / liquid.swells(base, counted(given["filled_at"], fixed))


def _held(given: Given, liquid: Liquid, density: Decimal | None, values: dict[str, Value], fixed: Fixed) -> list[Note]:
    """What is in it and the room that is left, put into the values; what has to be said of that. Raises CannotWork."""
    litres, kg, capacity = given["held_l"], given["held_kg"], given["capacity_l"]
    notes: list[Note] = []
    if litres is not None and given["liquid"] == "askarel":
        raise CannotWork("held_l", "askarel_is_weighed")
    if litres is None and kg is not None and density is not None:
        litres = kg / density
        if liquid.density_15 is None:
            notes.append(Note("lightest_assumed", {"density": figure_words(fixed.number("light_oil"))}))
    if litres is None:
        return notes
    most, full = values["most_l"], values["full_l"]
    if not isinstance(most, Decimal) or not isinstance(full, Decimal):
        raise TypeError("amounts are numbers")
    measured, weighed = given["held_l"] is not None, given["density_15"] is not None
    if litres > capacity and (measured or weighed):
        told = {"litres": figure_words(litres.quantize(SHOWN, ROUND_CEILING)), "capacity": figure_words(capacity)}
        raise CannotWork("held_l" if measured else "held_kg", "above_capacity", **told)
    room = max(Decimal(0), most - litres)
    values |= {"held_l": litres, "room_l": room}
    if density is not None:
        values["room_kg"] = room * density
    stands = "within" if litres <= most else "over" if litres < full else "full"
    values["stands"] = stands
    notes.insert(0, Note(f"stands_{stands}", {"most": figure_words(most.quantize(SHOWN, ROUND_FLOOR))}))
    return notes


WORK: dict[str, Work] = {"drum_filling": drum_filling}
