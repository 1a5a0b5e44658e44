"""What a screen in the yard says: the colour that two people saw, and the test that a register would hold.

An above counts at once, whoever saw it; a below is taken only where everybody who looked saw the same.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from hazmat.core.amended import Amendable

Way = Literal["colour", "drop"]
"""A colour screen for chlorine, or a drop of the oil in water."""
ABOVE, BELOW, UNCLEAR = "yellow", "blue_violet", "unclear"


@dataclass(frozen=True, kw_only=True)
class ScreenIn:
    """A screen as somebody writes it down. `colours`: one for each reader; `bottle`: code of the bottle, or empty.

    `set_point`: mg/kg as plain text; `apart`: a second person is to read it apart; the rest None where nobody said.
    """

    way: Way
    space: str
    bottle: str = ""
    colours: tuple[str, ...] = ()
    set_point: str = ""
    wet: bool | None = None
    expired: bool | None = None
    control_ok: bool | None = None
    sinks: bool | None = None
    lot: str = ""
    note: str = ""
    apart: bool = False

    def test(self, on: str) -> dict[str, Any]:
        """The test as a line of a register has it; `on`: the day, as ISO text."""
        how = "screen" if self.way == "colour" else "density"
        told: dict[str, Any] = {"how": how, "on": on, "space": self.space, "sample": self.bottle}
        if self.way == "drop":
            told["sinks"] = self.sinks
        else:
            told |= {
                "set_point": self.set_point, "colour": combined(self.colours), "wet": self.wet,
                "expired": self.expired, "control_ok": self.control_ok,
            }  # fmt: skip
        return {key: value for key, value in told.items() if value not in ("", None)}


def combined(colours: Sequence[str]) -> str:
    """The colour that counts: above where anybody saw it, below where everybody did, else unclear."""
    if ABOVE in colours:
        return ABOVE
    return BELOW if colours and all(one == BELOW for one in colours) else UNCLEAR


@dataclass(frozen=True, kw_only=True)
class ScreenNow(Amendable):
    """A screen on record. `apart`: a second person reads it apart; `second_at`: when that one did, empty before."""

    test: Mapping[str, Any]
    at: str
    colours: tuple[str, ...] = ()
    lot: str = ""
    note: str = ""
    apart: bool = False
    second_at: str = ""

    @property
    def waits(self) -> bool:
        """Whether a second person has still to read it."""
        return self.apart and not self.second_at and self.amended_by is None

    def read_again(self, colour: str, at: str) -> "ScreenNow":
        """The same, read by a second person: both colours stay, and the one that counts follows from both."""
        colours = (*self.colours, colour)
        return replace(self, colours=colours, second_at=at, test={**self.test, "colour": combined(colours)})

    @property
    def differ(self) -> bool:
        """Whether two people saw different colours."""
        return len(set(self.colours)) > 1
