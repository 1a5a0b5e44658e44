"""What the report of a laboratory says of one sample, read and checked, as an act takes it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

ReportKind = Literal["pdf", "picture"]
SENT_AS: Mapping[str, tuple[str, str]] = {"pdf": ("application/pdf", "pdf"), "picture": ("image/jpeg", "jpg")}
"""As what a kept file of each kind is sent: its media type, and how its name ends."""


@dataclass(frozen=True, kw_only=True)
class KeptReport:
    """A report that was looked into and is kept as a file; `name`: what it was called where it came from."""

    sha256: str
    kind: ReportKind
    name: str


@dataclass(frozen=True, kw_only=True)
class Reported:
    """What a report says of one sample. `test`: as a line of a register has it; without a bottle with `on` and `space`.

    `bottle`: the code of the bottle, empty where the sample was drawn before it came into this book; `gap`: whoever
    enters it knows that the trail of the bottle has a gap.
    """

    test: Mapping[str, Any]
    reported_on: date
    laboratory: str
    job: str = ""
    bottle: str = ""
    gap: bool = False
    report: KeptReport | None = None
