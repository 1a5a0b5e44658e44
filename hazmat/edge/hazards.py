"""What is dangerous in a unit of the book besides its oil, and hot work on it, as at the law day of its answer."""

from dataclasses import dataclass
from datetime import date

from hazmat import rulebooks
from hazmat.core.facts import TANK
from hazmat.core.law import LawDay
from hazmat.core.sidehazards import MAYBE, NONE_SEEN, THERE, Gate, Hazard, gate_of, hazards_of
from hazmat.core.unitnow import UnitNow
from hazmat.core.walked import WORDS, Walk


@dataclass(frozen=True)
class Hazards:
    """What was found, what nobody looked for, what was looked for and not seen; hot work. `at`: of the last walk."""

    found: list[Hazard]
    unseen: list[Hazard]
    none: list[Hazard]
    gate: Gate
    at: str = ""
    note: str = ""

    @property
    def unseen_words(self) -> str:
        """What nobody looked for, as one list."""
        return ", ".join(WORDS[one.key] for one in self.unseen)

    @property
    def none_words(self) -> str:
        """What was looked for and not seen, likewise."""
        return ", ".join(WORDS[one.key] for one in self.none)


def kinds_of(now: UnitNow) -> list[str]:
    """The kind of a unit and of each of its oil spaces that are still on it."""
    spaces = [str(space.get("kind") or "") for space in now.line.get("spaces") or () if space["name"] != TANK]
    return list(dict.fromkeys([str(now.line.get("kind") or "other"), *(kind for kind in spaces if kind)]))


def last_walk(now: UnitNow) -> Walk | None:
    """The walk that counts."""
    return now.walks[-1].walk if now.walks else None


def house_of(now: UnitNow) -> LawDay:
    """The handling book as at the law day of the answer of a unit."""
    return rulebooks.house(date.fromisoformat(now.answer["on"]))


def hazards(now: UnitNow) -> Hazards:
    """All of it, for a page or a paper."""
    house, walk = house_of(now), last_walk(now)
    every = hazards_of(kinds_of(now), walk, house)
    lists = {stands: [one for one in every if one.stands == stands] for stands in (THERE, MAYBE, NONE_SEEN)}
    last = now.walks[-1] if now.walks else None
    return Hazards(
        lists[THERE], lists[MAYBE], lists[NONE_SEEN], gate_of(now, walk, house), last.at if last else "",
        last.note if last else "",
    )  # fmt: skip
