"""Random units as facts, many and quickly, about every line and day that some law draws; half of them capacitors."""

import random
from collections.abc import Iterator
from datetime import date
from typing import Any, get_args

from hazmat.core import facts
from hazmat.core.facts import Event, Space, Unit
from hazmat.core.measures import Count, Measure, Tag
from hazmat.core.spans import Span

DAYS = [
    date(1, 1, 1), date(1960, 1, 1), date(1978, 6, 30), date(1978, 7, 1), date(1979, 7, 1), date(1979, 7, 2),
    date(1979, 7, 3), date(1979, 12, 31), date(1985, 1, 1), date(1986, 1, 1), date(1995, 12, 31), date(1996, 1, 1),
    date(2004, 2, 29),
]  # fmt: skip
MASSES = ["0", "0.001", "0.9", "1.088", "1.359", "1.3599", "1.36", "1.361", "4", "4.001", "5", "90.5", "640", "9e17"]
LITRES = ["0", "0.04", "0.05", "0.051", "0.5", "0.849", "0.85", "0.851", "1", "4.9999", "5", "5.001", "180", "1e19"]
BODIES = ["0", "1638", "1638.9", "1639", "1640", "3278", "3279", "9000"]
WEIGHTS = ["0", "4.079", "4.08", "4.081", "0.4", "350"]
VOLTS = ["0", "0.4", "400", "1999", "2000", "2001", "11000"]
PLATES = ["50 KVA", "PYRANOL", "NON-PCB", "CONTAINS PCB", "MIDEL 7131", "Therminol FR-3", "R-TEMP"]
FIGURES = ["0", "1.9", "49.9", "50", "50.1", "499", "500", "700"]


def units(count: int, seed: int) -> Iterator[Unit]:
    """So many units, the same for a seed."""
    draw = random.Random(seed)
    for number in range(count):
        yield Unit(id=Tag(f"U{number}"), **unit_facts(draw))


def unit_facts(draw: random.Random) -> dict[str, Any]:
    kinds: tuple[str, ...] = get_args(facts.Kind)
    said: dict[str, Any] = {
        "kind": draw.choice(("capacitor", "ballast")) if draw.random() < 0.4 else draw.choice(kinds)
    }

    def maybe(chance: float, key: str, values: Any) -> None:
        if draw.random() < chance:
            said[key] = draw.choice(values)

    maybe(0.6, "mounting", get_args(facts.Mounting))
    maybe(0.3, "construction", get_args(facts.Construction))
    maybe(0.5, "fluid", get_args(facts.Fluid))
    maybe(0.3, "state", get_args(facts.State))
    maybe(0.2, "count", [Count(1), Count(2), Count(3), Count(7000), Count(10**12)])
    for key, values in (("fluid_mass_kg", MASSES), ("fluid_volume_l", LITRES), ("body_cm3", BODIES)):
        maybe(0.4, key, [Measure(value) for value in values])
    maybe(0.4, "gross_mass_kg", [Measure(value) for value in WEIGHTS])
    maybe(0.4, "voltage_v", [Measure(value) for value in VOLTS])
    if draw.random() < 0.75:
        said["built"] = span(draw)
    if draw.random() < 0.3:
        said["marks"] = tuple(draw.sample(get_args(facts.Mark), draw.randint(1, 2)))
    if draw.random() < 0.25:
        said["plate_words"] = tuple(draw.sample(PLATES, draw.randint(1, 2)))
    if draw.random() < 0.2:
        said["history"] = tuple(event(draw) for _ in range(draw.randint(1, 2)))
    return said if draw.random() < 0.95 else {"kind": said["kind"]}


def span(draw: random.Random) -> Span:
    first, last = sorted([draw.choice(DAYS), draw.choice(DAYS)])
    shape = draw.randrange(4)
    return Span(first if shape != 1 else None, last if shape not in (2, 3) else first if shape == 3 else None)


def event(draw: random.Random) -> Event:
    figure = Measure(draw.choice(FIGURES)) if draw.random() < 0.5 else None
    return Event(what=draw.choice(get_args(facts.Change)), fluid_mg_kg=figure)


def with_spaces(unit: Unit, draw: random.Random) -> Unit:
    """The same with an oil space of its own, or with a liquid that sinks."""
    made: Any = object.__new__(Unit)
    made.__dict__.update(unit.__dict__)
    if draw.random() < 0.5:
        made.__dict__["density_kg_l"] = Measure(draw.choice(["0.88", "1", "1.01", "1.5"]))
    else:
        kind = draw.choice([None, *get_args(facts.Kind)])
        space = Space(name="box", kind=kind, sealed=draw.choice([None, True]), built=draw.choice([None, span(draw)]))
        made.__dict__["spaces"] = (space,)
    return made  # type: ignore[no-any-return]
