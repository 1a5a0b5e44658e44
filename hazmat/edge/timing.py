"""Speed as a ratio to a floor measured in turns in the same run; never a timed test."""

import platform
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from statistics import median
from time import perf_counter

ROUNDS = 5


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
    return Measured(name, n, round(ratio, 2), goal, _short(base), _short(mine), "us", machine, today)


def _short(figure: float) -> float:
    """Two decimals, or three digits of what is less than one."""
    return round(figure, 2) if figure >= 1 else float(f"{figure:.3g}")
