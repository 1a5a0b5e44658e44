"""Somebody out alone: when that person is due back, and whether the moment has come."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo

from hazmat.core.law import LawDay

LONGEST = "out_longest"
"""The figure after which whoever goes is asked once more. Hours."""


@dataclass(frozen=True, kw_only=True)
class OutNow:
    """Somebody who is out. `person`, `called`: who; `left_at`, `due_back`: instants with their zone; `tag`: of a unit.

    `where`, `whom`, `phone`: in that person's words; empty where nothing was said, or where it was erased.
    """

    id: str
    person: str
    called: str
    left_at: datetime
    due_back: datetime
    tag: str = ""
    where: str = ""
    whom: str = ""
    phone: str = ""

    def late(self, now: datetime) -> bool:
        """Whether the moment has come: from that very moment on."""
        return now >= self.due_back


def instant_of(typed: datetime, zone: tzinfo) -> datetime:
    """A typed day and time of a zone as an instant in UTC.

    Where the clocks are put back and it comes twice, the first of the two: an alarm comes early, never late.
    Raises ValueError, with one sentence, where the clocks are put forward over it and it never comes.
    """
    try:
        found = typed.replace(tzinfo=zone, fold=0).astimezone(UTC)
        back = found.astimezone(zone).replace(tzinfo=None)
    except OverflowError:
        raise ValueError("This lies at the end of the calendar; write the day once more.") from None
    if back != typed:
        raise ValueError("The clocks are put forward over this time, so it never comes; write an hour before or after.")
    return found


def due_refusal(left_at: datetime, due_back: datetime, meant: bool, house: LawDay) -> str:
    """Why this cannot be written down, as one sentence with its mend; empty where it can.

    `meant`: whoever goes says that so long a time is meant.
    """
    if due_back <= left_at:
        return "That moment has passed already; write when you will be back."
    longest = house.number(LONGEST)
    if due_back - left_at > timedelta(hours=int(longest)) and not meant:
        return f"That is more than {longest} hours from now; look at the day, or tick that it is meant."
    return ""
