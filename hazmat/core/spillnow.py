"""A spill as it stands now: what is on record of it, who was told, what was done, and how it ended."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Literal, get_args

from hazmat.core.amended import Amendable, counting
from hazmat.core.spill import Asked, SpillIn
from hazmat.core.unitnow import Photo

StepWhat = Literal["contained", "cleaned", "washed", "soil_out", "sampled", "waste", "other"]
STEPS: tuple[StepWhat, ...] = get_args(StepWhat)
STEP_WORDS: Mapping[StepWhat, str] = {
    "contained": "contained", "cleaned": "soaked up", "washed": "washed and rinsed twice", "soil_out": "soil dug out",
    "sampled": "sampled", "waste": "waste put away", "other": "something else",
}  # fmt: skip
"""What each step is called."""
UNITS = ("ug/100 cm2", "mg/kg", "ug/L")
"""Units of a result of a surface, of soil or of water."""


@dataclass(frozen=True, kw_only=True)
class StepIn:
    """A step of a cleanup as somebody writes it down; figures as decimal text, empty where there is none.

    `duties`: names of what is asked that this step fulfils; `result`, `unit`: of a wipe, soil or water; `where`: on or
    in what.
    """

    what: StepWhat
    duties: tuple[str, ...] = ()
    where: str = ""
    depth_cm: str = ""
    kg: str = ""
    result: str = ""
    unit: str = ""
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class AccountNow(Amendable):
    """What is on record of a spill. `found_at`: when it was found; `unit`: id of what leaked; `code`: of a drum."""

    told: SpillIn
    found_at: str
    unit: str = ""
    tag: str = ""
    space: str = ""
    holder: str = ""
    code: str = ""


@dataclass(frozen=True, kw_only=True)
class ToldNow(Amendable):
    """Somebody was told. `duties`: names of what is asked that this fulfils; `office`: who; `reference`: theirs."""

    at: str
    office: str
    duties: tuple[str, ...] = ()
    reference: str = ""
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class StepNow(Amendable):
    """A step as it was written down."""

    at: str
    told: StepIn


@dataclass(frozen=True, kw_only=True)
class EndNow:
    """The signed end. `reached`: what was reached against the level asked for; `reason`: why it ends with something
    open; `signer`: id of who signed."""

    id: str
    at: str
    seq: str
    reached: str
    statement: str
    signer: str
    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class SpillNow:
    """A spill, or an old stain, with everything that is on record about it; `accounts`: the first one first."""

    id: str
    yard: str
    number: str
    old: bool
    accounts: tuple[AccountNow, ...]
    told: tuple[ToldNow, ...] = ()
    steps: tuple[StepNow, ...] = ()
    ends: tuple[EndNow, ...] = ()
    photographs: tuple[Photo, ...] = field(default=())

    @property
    def account(self) -> AccountNow:
        """What is on record now."""
        return self.accounts[-1]

    @property
    def found_at(self) -> str:
        """When it was found, as now on record."""
        return self.account.found_at

    @property
    def end(self) -> EndNow | None:
        """The signed end, as long as nothing of the spill was corrected after it."""
        last = self.ends[-1] if self.ends else None
        return last if last and int(last.seq) > int(self.account.seq) else None

    @property
    def lapsed(self) -> bool:
        """Whether it was ended and is open again, since it was corrected."""
        return bool(self.ends) and self.end is None

    @property
    def done(self) -> Mapping[str, str]:
        """What is asked and was done, by its name: the first moment at which it was."""
        found: dict[str, str] = {}
        marks: list[tuple[str, tuple[str, ...]]] = [(one.at, one.duties) for one in counting(self.told)]
        marks += [(one.at, one.told.duties) for one in counting(self.steps)]
        for at, duties in sorted(marks):
            for duty in duties:
                found.setdefault(duty, at)
        return found


def still_open(spill: SpillNow, asked: Iterable[Asked]) -> list[Asked]:
    """What is owed and not written down as done."""
    done = spill.done
    return [one for one in asked if one.owed and one.name not in done]


def late(spill: SpillNow, one: Asked) -> bool:
    """Whether something was done after its last moment."""
    at = spill.done.get(one.name)
    return at is not None and one.due is not None and datetime.fromisoformat(at) > one.due


def left_words(due: datetime, now: datetime) -> str:
    """The time left until a moment: `5 h 20 min left`, `overdue by 1 h 5 min`."""
    minutes = int((due - now).total_seconds() // SECONDS)
    hours, rest = divmod(abs(minutes), MINUTES)
    told = f"{hours} h {rest} min" if hours else f"{rest} min"
    return f"overdue by {told}" if minutes < 0 else f"{told} left"


SECONDS = MINUTES = 60
"""Seconds in a minute, minutes in an hour. Source: definition."""


def kept(told: SpillIn) -> dict[str, Any]:
    """A spill as its record keeps it: what is empty is left out."""
    image = {name: getattr(told, name) for name in SpillIn.__dataclass_fields__ if name != "note"}
    return {name: list(one) if isinstance(one, tuple) else one for name, one in image.items() if one}


def read(told: Mapping[str, Any], note: str = "") -> SpillIn:
    """A spill from its record."""
    return SpillIn(**{**told, "grounds": tuple(told.get("grounds", ("unknown",))), "note": note})


def kept_step(told: StepIn) -> dict[str, Any]:
    """A step as its record keeps it."""
    names = [name for name in StepIn.__dataclass_fields__ if name not in ("note", "what")]
    found = {name: getattr(told, name) for name in names}
    return {name: list(one) if isinstance(one, tuple) else one for name, one in found.items() if one}


def read_step(what: StepWhat, told: Mapping[str, Any], note: str = "") -> StepIn:
    """A step from its record."""
    return StepIn(**{**told, "duties": tuple(told.get("duties", ())), "what": what, "note": note})
