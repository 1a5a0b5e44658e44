"""What gear carries from one oil to the next: which samples and shots are in doubt, and because of which oil.

Nothing is judged otherwise by it: oil that clung to gear can make a result read too high or spoil a filling, so doubt
is a sentence beside what stands. Where two things were written down for one moment nobody knows which came first, and
the one that asks for more care counts. So the order in which things are typed never matters.
"""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Touch:
    """Gear that was in one oil. `oil`: the id of what held it; `at`: an instant in UTC, as ISO text.

    `low`: whether that oil is known low now; untested oil, oil over the line and oil treated as PCB are not.
    """

    id: str
    oil: str
    at: str
    low: bool


def since_cleaned(at: str, cleaned: Iterable[str]) -> str:
    """The last cleaning that was surely before this instant; empty where there was none."""
    return max((one for one in cleaned if one < at), default="")


def doubt(one: Touch, touches: Iterable[Touch], cleaned: Iterable[str]) -> tuple[Touch, ...]:
    """The other oils that this touch may carry, each by the last touch of it before, the latest first.

    `touches`, `cleaned`: all that is written down of the same gear, in any order. A cleaning ends doubt only where it
    lies between the two.
    """
    since = since_cleaned(one.at, cleaned)
    return _latest(other for other in touches if other.oil != one.oil and since <= other.at <= one.at)


def clinging(touches: Iterable[Touch], cleaned: Iterable[str]) -> tuple[Touch, ...]:
    """The oils that cling to gear as it lies there, each by the last touch of it, the latest first."""
    since = max(cleaned, default="")
    return _latest(one for one in touches if since <= one.at)


def _latest(touches: Iterable[Touch]) -> tuple[Touch, ...]:
    """Of each oil that is not known low the last touch, the latest first."""
    last: dict[str, Touch] = {}
    for one in sorted(touches, key=_place):
        if not one.low:
            last[one.oil] = one
    return tuple(sorted(last.values(), key=_place, reverse=True))


def _place(touch: Touch) -> tuple[str, str]:
    return touch.at, touch.id
