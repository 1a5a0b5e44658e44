"""Speed as a ratio to a floor measured in turns in the same run; never a timed test.

`assess_lines`: the whole of `assess` on seeded lines of a register, against the standard library loading and dumping
the same lines as JSON.
"""

import json
import platform
import random
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from statistics import median
from time import perf_counter
from typing import Any

from hazmat.edge.lines import Assessor
from hazmat.edge.reader import Refused
from hazmat.edge.writer import JsonLines

ROUNDS = 5
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


@dataclass(frozen=True, slots=True)
class Measured:
    """One figure: `value` ours and `floor` the floor, both in `unit`; `ratio` ours over the floor."""

    name: str
    n: int
    ratio: float
    goal: float
    floor: float
    value: float
    unit: str
    machine: str
    day: str

    @property
    def missed(self) -> bool:
        return self.ratio > self.goal


def assess_lines(n: int = 10_000) -> Measured:
    """`assess` under us law on n lines, against JSON load and dump of them; microseconds a line."""
    lines = seeded_lines(n)

    def floor() -> None:
        for line in lines:
            json.dumps(json.loads(line))

    def ours() -> None:
        write = JsonLines().line
        for answer in Assessor("us", ON, ON).answers(lines):
            if isinstance(answer, Refused):
                raise answer
            write(answer)

    return measured("assess_lines", n, 4.0, floor, ours)


BENCHES: dict[str, Callable[[int], Measured]] = {"assess_lines": assess_lines}
DEFAULT_N = {"assess_lines": 10_000}


def measured(name: str, n: int, goal: float, floor: Callable[[], None], ours: Callable[[], None]) -> Measured:
    """The medians of both, taken in turns after one warm-up of each; microseconds an item."""
    floor()
    ours()
    times: dict[str, list[float]] = {"floor": [], "ours": []}
    for _ in range(ROUNDS):
        for label, run in (("floor", floor), ("ours", ours)):
            begun = perf_counter()
            run()
            times[label].append((perf_counter() - begun) / n * 1e6)
    ratio = median(mine / base for mine, base in zip(times["ours"], times["floor"], strict=True))
    base, mine = median(times["floor"]), median(times["ours"])
    machine = f"{platform.system()} {platform.machine()}, CPython {platform.python_version()}"
    today = date.today().isoformat()  # noqa: DTZ011 - the day on this machine's wall
    return Measured(name, n, round(ratio, 2), goal, round(base, 2), round(mine, 2), "us", machine, today)


# ------------------------------------------------------------------ a seeded register


def seeded_lines(n: int, seed: int = SEED) -> list[bytes]:
    """n lines of an invented register, the same for a seed: hundreds of shapes of unit, each with its figures."""
    draw = random.Random(seed)
    shapes = [_shape(draw) for _ in range(SHAPES_IN_A_REGISTER)]
    return [json.dumps(_line(draw, draw.choice(shapes), place)).encode() + b"\n" for place in range(n)]


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
