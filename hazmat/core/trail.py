"""The trail of a sample bottle: labelled before or at filling, then from hand to hand, and what became of the rest.

Whoever gave it and whoever took it are people: their names stand in the aside of each step. A bottle that was lost and
found again keeps its trail, and the gap stays in it. Source of the order: common practice, no source.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

Hand = Literal["filled", "handed_on", "at_laboratory", "returned", "destroyed", "spoiled", "lost"]
"""What may happen to a bottle after it was labelled."""
BottleState = Literal["labelled", "filled", "handed_on", "at_laboratory", "returned", "destroyed", "spoiled", "lost"]
HANDS: tuple[Hand, ...] = get_args(Hand)
FOLLOWS: Mapping[BottleState, tuple[Hand, ...]] = {
    "labelled": ("filled", "spoiled", "lost"),
    "filled": ("handed_on", "at_laboratory", "destroyed", "spoiled", "lost"),
    "handed_on": ("handed_on", "at_laboratory", "returned", "destroyed", "spoiled", "lost"),
    "at_laboratory": ("returned", "destroyed", "spoiled", "lost"),
    "returned": ("handed_on", "at_laboratory", "destroyed", "spoiled", "lost"),
    "spoiled": ("destroyed",),
    "lost": ("returned", "at_laboratory", "destroyed"),
    "destroyed": (),
}
"""What may follow what."""
WORDS: Mapping[BottleState, str] = {
    "labelled": "labelled", "filled": "filled", "handed_on": "handed on", "at_laboratory": "at the laboratory",
    "returned": "returned", "destroyed": "destroyed", "spoiled": "spoiled", "lost": "lost",
}  # fmt: skip
"""How a bottle stands, in words."""


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step of a trail: what happened and when; `record` names the row beside which the names of people stand.

    `tools`: ids of the gear that the oil went through, where somebody named it.
    """

    record: str
    what: Hand
    at: str
    note: str = ""
    tools: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class BottleNow:
    """A bottle as it stands: its code, the id of its oil space, when it was labelled, and its trail in order.

    `point`: where the sample was drawn, empty where nobody said.
    """

    id: str
    code: str
    space: str
    labelled_at: str
    point: str = ""
    trail: tuple[Step, ...] = ()

    @property
    def state(self) -> BottleState:
        """What happened to it last."""
        return self.trail[-1].what if self.trail else "labelled"

    @property
    def last_at(self) -> str:
        """When that was."""
        return self.trail[-1].at if self.trail else self.labelled_at

    @property
    def filled_at(self) -> str | None:
        """When it was filled; None while it is empty."""
        return next((one.at for one in self.trail if one.what == "filled"), None)

    @property
    def unbroken(self) -> bool:
        """Whether somebody had it all the time: a bottle that was ever lost or spoiled proves nothing for sure."""
        return not any(one.what in ("lost", "spoiled") for one in self.trail)


def refusal(bottle: BottleNow, what: Hand, at: str) -> str:
    """Why this step cannot follow, as one sentence with its mend; empty where it can. `at`: an instant in UTC."""
    allowed = FOLLOWS[bottle.state]
    if what not in allowed:
        may = either([WORDS[one] for one in allowed])
        return f"This bottle is {WORDS[bottle.state]}; {f'next it can be {may}' if may else 'nothing can follow'}."
    if at < bottle.last_at:
        return f"This lies before the last step, {WORDS[bottle.state]}; look at both times and write when it was."
    return ""


def either(words: Sequence[str]) -> str:
    """`filled, spoiled or lost`."""
    return f"{', '.join(words[:-1])} or {words[-1]}" if len(words) > 1 else "".join(words)
