"""Which liquid is in a drum, as far as the lines of its sources say, for the sums on filling and on marks. Pure."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Literal

from disposal.core.drumnow import DrumNow
from hazmat.core.measures import figure_words

Name = Literal["mineral", "askarel", "silicone", "unknown"]
NAMES: Mapping[str, Name] = {"mineral": "mineral", "askarel": "askarel", "silicone": "silicone"}
"""Fluids of a line that the sum on filling knows by name; of any other it takes the one that grows most."""


@dataclass(frozen=True)
class Liquid:
    """What is in a drum. `lightest`, `heaviest`: kg/L of the lines of its sources, None where one of them has none."""

    name: Name = "unknown"
    lightest: Decimal | None = None
    heaviest: Decimal | None = None


def liquid_of(lines: Iterable[Mapping[str, Any]]) -> Liquid:
    """The liquid of units with these lines: one that all of them name, else not known."""
    told = list(lines)
    names = {NAMES.get(str(line.get("fluid")), "unknown") for line in told}
    name: Name = names.pop() if len(names) == 1 else "unknown"
    densities = [Decimal(str(line["density_kg_l"])) for line in told if line.get("density_kg_l")]
    if not densities or len(densities) < len(told):
        return Liquid(name)
    return Liquid(name, min(densities), max(densities))


def boxes(capacity_l: str, liquid: Liquid, celsius: str) -> dict[str, str]:
    """What the sum on filling is asked of a drum with this liquid; `celsius` empty: nobody said how warm it was."""
    found = {"capacity_l": capacity_l, "liquid": liquid.name}
    if liquid.lightest is not None and liquid.name != "askarel":
        found["density_15"] = figure_words(liquid.lightest)
    return found | ({"filled_at": celsius} if celsius else {})


def held(drum: DrumNow, liquid: Liquid) -> dict[str, str]:
    """What is in it for that sum, the most that it can be; nothing where nobody measured it so that it can be said."""
    if not drum.moves:
        return {"held_kg" if liquid.name == "askarel" else "held_l": "0"}
    if drum.between_l[1] and liquid.name != "askarel":
        return {"held_l": figure_words(min(Decimal(drum.between_l[1]), Decimal(drum.capacity_l)))}
    return {"held_kg": drum.between_kg[1]} if drum.between_kg[1] else {}


def last_warmth(drum: DrumNow) -> str:
    """How warm the liquid was that came in last, empty where nobody said, or where nothing came in."""
    came = [move for move in drum.moves if move.way == "in"]
    return came[-1].celsius if came else ""


def weighed_density(drum: DrumNow) -> Decimal | None:
    """Kilograms over litres of what is in it, where both were measured of all of it."""
    if drum.litres in ("", "0") or drum.kg in ("", "0"):
        return None
    return Decimal(drum.kg) / Decimal(drum.litres)
