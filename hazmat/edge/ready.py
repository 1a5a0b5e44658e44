"""What is on record of a unit, as far as a named calculation asks for it: so that nobody copies a figure by hand."""

from collections.abc import Mapping
from decimal import Decimal

from hazmat.core.measures import figure_words
from hazmat.core.unitnow import UnitNow

VOLTS_IN_KV = Decimal(1000)
"""Source: definition of the kilovolt."""
ASKS: Mapping[str, Mapping[str, str]] = {
    "rating": {"kv": "kv"},
    "full_load": {"kv": "kv"},
    "build_year": {"plate": "plate"},
    "fluid_share": {"gross_kg": "gross_mass_kg"},
    "oil_expansion": {"litres": "fluid_volume_l"},
    "density": {"litres": "fluid_volume_l"},
    "decide": {"result": "result"},
    "borderline": {"result": "result"},
    "vapour": {"pcb": "result"},
}
"""Of each calculation the boxes that a unit can fill, and with what: a fact of its line, or one of those below."""


def ready(unit: UnitNow) -> dict[str, dict[str, str]]:
    """For each calculation that can use something on record of this unit: each box, with its text."""
    known = _known(unit)
    filled = {
        name: {box: known[fact] for box, fact in boxes.items() if known.get(fact)} for name, boxes in ASKS.items()
    }
    return {name: boxes for name, boxes in filled.items() if boxes}


def _known(unit: UnitNow) -> dict[str, str]:
    """The facts of the line as text; voltage in kV, plate on one line, highest result by weight in mg/kg."""
    found = {key: str(value) for key, value in unit.line.items() if isinstance(value, str)}
    if volts := found.get("voltage_v"):
        found["kv"] = figure_words(Decimal(volts) / VOLTS_IN_KV)
    found["plate"] = "; ".join(unit.line.get("plate_words") or ())
    figures = [
        Decimal(one.test["value"])
        for one in unit.counting
        if one.test.get("unit") == "mg/kg" and one.test.get("value") and one.test.get("sign", "=") == "="
    ]
    return found | ({"result": figure_words(max(figures))} if figures else {})
