"""Vapour over oil: what stands over it at rest in a closed space, and how a share of air is told by weight.

Each figure is an upper bound for vapour at rest. It lowers no care and clears nobody to go in.
"""

from collections.abc import Iterator
from decimal import Decimal
from typing import NamedTuple

from hazmat.core.measures import MG_KG_IN_PER_CENT, PER_CENT, figure_words
from hazmat.core.sums.frame import CannotWork, Fixed, Given, Note, Work, Worked

GAS = Decimal("8.314462618")
"""Molar gas constant in J/mol/K. Source: CODATA 2018, exact to the tenth figure."""
ICE = Decimal("273.15")
"""0 °C in kelvins. Source: definition."""
ROOM = Decimal(25)
"""Temperature in °C at which pressures of vapour and limits in air are told. Source: NIOSH Pocket Guide."""
PA_IN_MMHG = Decimal("133.322")
"""Pascals in a millimetre of mercury. Source: definition, to six figures."""
ATMOSPHERE = Decimal(101325)
"""Pascals in a standard atmosphere. Source: definition."""
THOUSAND = Decimal(1000)
"""Milligrams in a gram, litres in a cubic metre, pascals in a kilopascal. Source: definition."""
MILLION = Decimal(1000000)
"""Parts of a million in the whole. Source: definition."""
NEAT = PER_CENT * MG_KG_IN_PER_CENT
"""All of a liquid in mg/kg. Source: definition."""
UNKNOWN, PCB, TCB = "unknown", "pcb", "tcb"
MIXTURE = "pressure_"
"""How the figure of each mixture begins whose pressure of vapour is held."""


class Over(NamedTuple):
    """What stands over a liquid: pressure of the neat mixture in Pa, share of molecules, mg/m3 neat and over it."""

    pressure: Decimal
    share: Decimal
    neat: Decimal
    mg_m3: Decimal


def saturated(pa: Decimal, molar: Decimal, celsius: Decimal) -> Decimal:
    """Mass in mg of a vapour of this pressure and g/mol in a cubic metre of air: P·M/(R·T)."""
    return pa * molar * THOUSAND / (GAS * (celsius + ICE))


def share_of(mg_kg: Decimal, molar: Decimal, other: Decimal) -> Decimal:
    """Share of molecules in a liquid that holds so many mg/kg of one part; g/mol of that part and of the rest."""
    weight = mg_kg / NEAT
    mine, rest = weight / molar, (1 - weight) / other
    return mine / (mine + rest)


def warmed(celsius: Decimal, heat: Decimal) -> Decimal:
    """Pressure of vapour at a temperature over the one at 25 °C; `heat` of vaporisation in J/mol."""
    return (heat / GAS * (1 / (ROOM + ICE) - 1 / (celsius + ICE))).exp()


def over_oil(mg_kg: Decimal, mixture: str, celsius: Decimal, fixed: Fixed, heat: str = "heat") -> Over:
    """What stands over oil with so many mg/kg of a mixture, at rest. `heat`: which figure of vaporisation counts."""
    molar = fixed.number(f"molar_{mixture}")
    pa = fixed.number(f"{MIXTURE}{mixture}") * PA_IN_MMHG * warmed(celsius, fixed.number(heat) * THOUSAND)
    share, neat = share_of(mg_kg, molar, fixed.number("molar_oil")), saturated(pa, molar, celsius)
    return Over(pa, share, neat, share * neat)


def worst_mixture(mg_kg: Decimal, fixed: Fixed) -> str:
    """The mixture that gives most vapour for the same mg/kg, of all whose pressure is held."""
    known = [name.removeprefix(MIXTURE) for name in fixed.versions if name.startswith(MIXTURE)]
    return max(known, key=lambda one: over_oil(mg_kg, one, ROOM, fixed).mg_m3)


def vapour(given: Given, fixed: Fixed) -> Worked:
    """PCB over oil in a closed space. `pcb` in mg/kg, or `neat`; `celsius`: temperature of the oil."""
    mg_kg, celsius, mixture = _amount(given), given["celsius"], given["mixture"]
    least, most = fixed.number("model_least"), fixed.number("model_most")
    if not least <= celsius <= most:
        raise CannotWork("celsius", "outside_model", least=figure_words(least), most=figure_words(most))
    if mixture != UNKNOWN and f"{MIXTURE}{mixture}" not in fixed.versions:
        raise CannotWork("mixture", "no_pressure", mixture=mixture)
    used = worst_mixture(mg_kg, fixed) if mixture == UNKNOWN else mixture
    found = over_oil(mg_kg, used, celsius, fixed)
    ends = [over_oil(mg_kg, used, celsius, fixed, heat).mg_m3 for heat in ("heat_least", "heat_most")]
    values = {
        "pressure": found.pressure, "share": found.share, "neat": found.neat, "mg_m3": found.mg_m3,
        "ug_m3": found.mg_m3 * THOUSAND, "low": min(ends) * THOUSAND, "high": max(ends) * THOUSAND,
    }  # fmt: skip
    return Worked(values, tuple(_said(mixture, used, fixed)), of=PCB)


def _amount(given: Given) -> Decimal:
    """The mg/kg that was given, or all of it. Raises CannotWork."""
    if bool(given["neat"]) == (given["pcb"] is not None):
        raise CannotWork("pcb", "amount_or_neat")
    return NEAT if given["neat"] else Decimal(given["pcb"])


def _said(mixture: str, used: str, fixed: Fixed) -> Iterator[Note]:
    if mixture == UNKNOWN:
        yield Note("mixture_is_worst", {"mixture": used})
    if fixed.versions[f"{MIXTURE}{used}"].cite.basis == "memory":
        yield Note("pressure_remembered", {"mixture": used})


def vapour_tcb(given: Given, fixed: Fixed) -> Worked:
    """Trichlorobenzene over askarel of which it is so many per cent by weight, between the pressures told for it.

    At the temperatures of those pressures, 20 to 25 °C.
    """
    molar = fixed.number("molar_tcb")
    share = share_of(given["share"] * MG_KG_IN_PER_CENT, molar, fixed.number(f"molar_{given['mixture']}"))
    values = {"share": share}
    for end in ("low", "high"):
        pa = fixed.number(f"tcb_{end}") * PA_IN_MMHG * share
        values[f"{end}_ppm"] = pa / ATMOSPHERE * MILLION
        values[f"{end}_mg_m3"] = saturated(pa, molar, ROOM)
    return Worked(values, of=TCB)


def by_weight(ppm: Decimal, molar: Decimal, celsius: Decimal = ROOM, pa: Decimal = ATMOSPHERE) -> Decimal:
    """Parts of a million of air, told in mg/m3 of a gas of so many g/mol."""
    return ppm / MILLION * saturated(pa, molar, celsius)


def ppm_mgm3(given: Given, fixed: Fixed) -> Worked:
    """ppm told as mg/m3, or the other way round. `molar` in g/mol, `celsius`, `kpa`: of the air."""
    if (given["ppm"] is None) == (given["mg_m3"] is None):
        raise CannotWork("ppm", "ppm_or_mg_m3")
    one = by_weight(Decimal(1), given["molar"], given["celsius"], given["kpa"] * THOUSAND)
    ppm = given["ppm"] if given["ppm"] is not None else given["mg_m3"] / one
    return Worked({"ppm": ppm, "mg_m3": ppm * one, "litres": given["molar"] / one})


WORK: dict[str, Work] = {"vapour": vapour, "vapour_tcb": vapour_tcb, "ppm_mgm3": ppm_mgm3}
