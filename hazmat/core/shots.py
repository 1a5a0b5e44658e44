"""A breakdown test on record: every shot kept in its order, with what is known of method, tester and cell."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from hazmat.core.amended import Amendable, Told

Cell = Literal["", "kept", "shared"]
"""A cell without a code: kept for untested oil alone, or one that other oil goes through; empty: nobody said."""


@dataclass(frozen=True, kw_only=True)
class ShotsIn:
    """A breakdown test as somebody writes it down.

    `asked`: what the sum `breakdown` takes, each as plain text; `bottle`: code of the bottle, or empty;
    `calibrated_until`: the last day of the tester's calibration, ISO text.
    """

    asked: Mapping[str, Any]
    space: str
    bottle: str = ""
    tester: str = ""
    serial: str = ""
    calibrated_until: str = ""
    cell: Cell = ""

    def image(self) -> dict[str, Any]:
        """What the record keeps: what was said, and nothing else."""
        return {name: value for name, value in vars(self).items() if value}


@dataclass(frozen=True, kw_only=True)
class BreakdownNow(Told, Amendable):
    """A breakdown test on record. `tools`: ids of the cell that has a code, where one was named."""

    tools: tuple[str, ...] = ()

    def out_of_calibration(self, day: str) -> bool:
        """Whether the calibration of the tester had run out on this day (ISO text); its last day counts."""
        until = str(self.told.get("calibrated_until", ""))
        return bool(until) and until < day
