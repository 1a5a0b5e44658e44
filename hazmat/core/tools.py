"""Sampling gear and test cells: what each is, and what was written down of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from hazmat.core.codes import spaced

Kind = Literal["thief", "tube", "syringe", "cell", "pump", "other"]
KINDS: tuple[Kind, ...] = get_args(Kind)
CELL: Kind = "cell"
"""The kind into which oil is filled to be shot; all others draw it."""
WORDS: Mapping[Kind, str] = {
    "thief": "thief", "tube": "tube", "syringe": "syringe", "cell": "test cell", "pump": "pump or filter rig",
    "other": "gear",
}  # fmt: skip
"""What each kind is called."""


@dataclass(frozen=True, kw_only=True)
class ToolIn:
    """A piece of gear as somebody writes it down. `words`: how to tell it from others; `kept`: for untested oil alone;
    `single_use`: thrown away once oil was in it."""

    kind: Kind
    words: str = ""
    kept: bool = False
    single_use: bool = False


@dataclass(frozen=True, kw_only=True)
class ToolNow:
    """A piece of gear as it stands. `spent`: made for one use, and used; `retired_at`: when it was taken out of use,
    None while it is in use; `reason`: why. The last use and the last cleaning are instants, None where there is none.
    """

    id: str
    code: str
    told: ToolIn
    added_at: str
    spent: bool = False
    retired_at: str | None = None
    reason: str = ""
    used_at: str | None = None
    cleaned_at: str | None = None

    @property
    def in_use(self) -> bool:
        """Whether it may touch oil again."""
        return self.retired_at is None and not self.spent

    @property
    def uncleaned(self) -> bool:
        """Whether it was used and no cleaning after that is written down."""
        return self.used_at is not None and (self.cleaned_at is None or self.cleaned_at <= self.used_at)

    @property
    def kind(self) -> str:
        """What it is called, without its code."""
        return WORDS[self.told.kind]

    @property
    def name(self) -> str:
        """`thief K7M 4PX`."""
        return f"{self.kind} {spaced(self.code)}"


def use_refusal(tool: ToolNow, at: str) -> str:
    """Why this gear cannot have touched oil at this instant, as one sentence with its mend; empty where it can."""
    if tool.retired_at is not None and at >= tool.retired_at:
        return f"The {tool.name} was out of use by then; name the gear that was used, or look at the time."
    if tool.spent:
        return f"The {tool.name} is made for one use and was used already; name the one that was used, or none."
    return ""


def clean_refusal(tool: ToolNow, at: str) -> str:
    """Why no cleaning of this gear can be written down, as one sentence; empty where it can."""
    if tool.told.single_use:
        return f"The {tool.name} is made for one use and is not cleaned; take a fresh one."
    if tool.retired_at is not None and at >= tool.retired_at:
        return f"The {tool.name} was out of use by then; write when it was cleaned, or add it as gear of a new code."
    return ""


def retire_refusal(tool: ToolNow, at: str) -> str:
    """Why this gear cannot be taken out of use at this instant, as one sentence; empty where it can."""
    if not tool.in_use:
        return f"The {tool.name} is out of use already; nothing more is to be done."
    if tool.used_at is not None and at < tool.used_at:
        return f"The {tool.name} was used after that; write when it was taken out of use."
    return ""
