"""An invented register, as lines or as columns: the same for a seed, hundreds of shapes of unit, each with figures."""

import json
import random
from collections.abc import Iterator
from datetime import date
from typing import Any

import numpy as np

from hazmat.edge.columns import BITS, NAMES, TYPES, WORDS, Columns

SEED = 20261125
SHAPES_IN_A_REGISTER = 640
"""Different units drawn; some of them come to the same pattern, so that about 1,000 patterns are judged."""
ON = date(2026, 11, 25)

KINDS = (
    ["transformer"] * 9 + ["regulator", "breaker", "breaker", "recloser", "switch", "capacitor", "capacitor", "bushing"]
    + ["instrument_transformer", "cable", "rectifier", "ballast", "motor", "electromagnet", "drum", "other"]
)  # fmt: skip
PLATES = (
    "50 kVA 11000/400 V three phase", "OIL 180 L AT 20 C", "SERIAL NO 4471 B", "NON-PCB", "PYRANOL 340 KG",
    "FILLED WITH MINERAL OIL", "plate half painted over", "MADE 1971 TYPE ON-12",
)  # fmt: skip


def seeded_lines(n: int, seed: int = SEED) -> list[bytes]:
    """n lines of an invented register, the same for a seed: hundreds of shapes of unit, each with its figures."""
    return list(drawn_lines(n, seed))


def drawn_lines(n: int, seed: int = SEED) -> Iterator[bytes]:
    """The same, one after the other."""
    draw = random.Random(seed)
    shapes = [_shape(draw) for _ in range(SHAPES_IN_A_REGISTER)]
    for place in range(n):
        yield json.dumps(_line(draw, draw.choice(shapes), place)).encode() + b"\n"


def _shape(draw: random.Random) -> dict[str, Any]:
    """What kind of unit it is: all that is the same for units of one shape."""
    kind = draw.choice(KINDS)
    shape: dict[str, Any] = {"kind": kind, "found_in": draw.choice(["US", "US-WA", "US-NY"]), "role": "holder"}
    _maybe(draw, shape, 0.7, "mounting", ["pole", "pad", "ground", "indoor"])
    _maybe(draw, shape, 0.3, "construction", ["conservator", "sealed"])
    _maybe(draw, shape, 0.6, "fluid", ["mineral"] * 9 + ["silicone", "ester", "other"])
    _maybe(
        draw,
        shape,
        0.8,
        "built",
        [1962, "1968-05", "1970/1985", "~1975", "1979-07-02", 1984, "1996/1998", "/1985", 2003],
    )
    _maybe(draw, shape, 0.8, "state", ["intact", "intact", "in_use", "removed", "leaking", "drained"])
    _maybe(draw, shape, 0.5, "last_energised", ["2005", "2010/2015", "2021-06"])
    _maybe(draw, shape, 0.4, "made_in", ["US", "CA", "GB", "DE"])
    _maybe(draw, shape, 0.4, "service_records", ["all", "some", "none"])
    if draw.random() < 0.6:
        shape["plate_words"] = draw.sample(PLATES, draw.randint(1, 3))
    if draw.random() < 0.1:
        shape["marks"] = [draw.choice(["maker_no_pcbs", "owner_no_pcbs", "pcb_mark"])]
    if draw.random() < 0.1:
        shape["history"] = [{"what": draw.choice(["topped_up", "refilled"]), "on": "1998"}]
    if draw.random() < 0.35:
        shape["tests"] = draw.choice(["laboratory", "laboratory", "screen"])
    return shape


def _maybe(draw: random.Random, shape: dict[str, Any], chance: float, key: str, values: list[Any]) -> None:
    if draw.random() < chance:
        shape[key] = draw.choice(values)


def _line(draw: random.Random, shape: dict[str, Any], place: int) -> dict[str, Any]:
    """One unit of a shape, with figures of its own."""
    line: dict[str, Any] = {"id": f"U{place:06d}", **shape}
    line["fluid_mass_kg"] = round(draw.uniform(20, 900), 1)
    line["gross_mass_kg"] = round(line["fluid_mass_kg"] * draw.uniform(3, 4))
    line["voltage_v"] = draw.choice([11000, 12470, 22000, 33000])
    line["body_cm3"] = draw.randint(900, 9000) if line["kind"] in ("capacitor", "ballast") else None
    line["arrived"] = f"2026-{draw.randint(1, 10):02d}-{draw.randint(1, 28):02d}"
    line["decided_waste"] = line["arrived"]
    if "tests" in shape:
        line["tests"] = [_screen(draw) if shape["tests"] == "screen" else _result(draw)]
    return line


def _screen(draw: random.Random) -> dict[str, Any]:
    seen = {"set_point": 50, "colour": draw.choice(["yellow", "blue_violet"]), "wet": False, "control_ok": True}
    return {"how": "screen", "on": "2026-09-01", **seen, "sample": f"B-{draw.randint(1000, 9999)}"}


def _result(draw: random.Random) -> dict[str, Any]:
    given = {"value": round(draw.lognormvariate(3, 1.5), 1), "unit": "mg/kg", "reporting_limit": 1}
    size = {"value": 12, "kind": "percent", "k": 2}
    told = {"method": "IEC 61619", "accredited": True, "report": f"R-{draw.randint(1000, 9999)}"}
    return {"how": "laboratory", "space": "tank", "on": "2026-09-01", **given, "uncertainty": size, **told}


# ------------------------------------------------------------------ the same as columns

LIKELY = {"transformer": 0.55, "capacitor": 0.12}
"""Shares of kinds in the columns; the others share the rest. Source: invented."""
NEAR_G, NEAR_DAY = 1360, date(1979, 7, 2).toordinal()
"""About what mass and day some units are drawn. Source: 40 CFR 761.2(a)."""


def drawn_columns(n: int, seed: int = SEED) -> Columns:
    """n units in columns: a quarter undated, a third known by the year, some about the lines of 40 CFR 761.2."""
    dice = np.random.default_rng(seed)
    made = {name: np.zeros(n, TYPES[name]) for name in NAMES}
    kinds = WORDS["kind"]
    rest = (1 - sum(LIKELY.values())) / (len(kinds) - len(LIKELY))
    made["kind"] = dice.choice(len(kinds), n, p=[LIKELY.get(str(kind), rest) for kind in kinds]).astype(TYPES["kind"])
    made["unit_kind"] = made["kind"]
    made["mounting"] = dice.integers(0, len(WORDS["mounting"]), n, TYPES["mounting"])
    made["fluid"] = dice.choice([0, 1, 3], n, p=[0.22, 0.7, 0.08]).astype(TYPES["fluid"])
    made["mass_g"] = np.where(dice.random(n) < 0.1, 0, (1000 * 10 ** dice.normal(1.7, 0.9, n)).astype(TYPES["mass_g"]))
    near = dice.random(n) < 0.02
    made["mass_g"][near] = NEAR_G + dice.integers(-2, 3, int(near.sum()))
    made["earliest"], made["latest"] = _drawn_days(n, dice)
    marked = dice.random(n) < 0.1
    made["marks"][marked] = BITS["maker_no_pcbs"]
    made["volts"][:] = 400
    return Columns(**made).checked()


def _drawn_days(n: int, dice: np.random.Generator) -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    """First and last possible day of building, as ordinals, 0 where nothing is known."""
    years = np.array([date(year, 1, 1).toordinal() for year in range(1925, 2016)], TYPES["earliest"])
    earliest = dice.integers(years[0], years[-1], n, TYPES["earliest"])
    latest = earliest.copy()
    by_year = np.flatnonzero(dice.random(n) < 0.35)
    year = dice.integers(0, len(years) - 1, len(by_year))
    earliest[by_year], latest[by_year] = years[year], years[year + 1] - 1
    near = np.flatnonzero(dice.random(n) < 0.02)
    earliest[near] = latest[near] = NEAR_DAY + dice.integers(-2, 3, len(near))
    unknown = dice.random(n) < 0.25
    earliest[unknown] = latest[unknown] = 0
    return earliest, latest
