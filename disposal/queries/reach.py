"""What the oil of some holders reached, both ways in time, read by keys: round by round outwards, never a whole yard.

Each round asks for what follows the containers that were reached last, from the moment on at which they were reached.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from itertools import islice
from typing import Any, Literal
from uuid import UUID

from django.db.models import F, QuerySet

from disposal.core.reach import Reach, Step, back, forth
from disposal.models import Move
from hazmat.book.canonical import instant
from hazmat.core.facts import TANK
from hazmat.core.tools import CELL
from hazmat.models import Hand, PartOff, Tool, Touch
from hazmat.queries.tools import Cleaned, Use, cleaned, uses_of

HANDFUL = 500
"""How many keys one statement names. Source: our own choice, well below what a database takes."""
ALWAYS = ""
"""The bound of what is read whole."""
How = Literal["pour", "fill", "part", "touch", "trace", "clean"]
"""A pour; a bottle filled; a part taken off with its oil; oil on gear; traces off gear; a clean-out."""


@dataclass(frozen=True, kw_only=True)
class Event:
    """What is said of a step: how oil went, how much (decimal text in litres or kg), through what."""

    how: How
    litres: str = ""
    kg: str = ""
    tool: str = ""


@dataclass(frozen=True, kw_only=True)
class Gear:
    """A piece of gear that was met on the way: its key, its holder, all its uses and cleanings."""

    key: str
    holder: str
    uses: tuple[Use, ...]
    wiped: tuple[Cleaned, ...]


@dataclass(frozen=True, kw_only=True)
class Followed:
    """What was reached: by oil alone, and by traces on gear as well; the gear that was met on the way."""

    begun: frozenset[str]
    oil: Reach
    whole: Reach
    gear: tuple[Gear, ...]
    backwards: bool = False

    @property
    def by_gear(self) -> list[str]:
        """What only traces on gear reached, the nearest first. Going back, gear with no other oil on it is left out."""
        found = [one for one in self.whole.nearest() if one not in self.oil.near]
        if not self.backwards:
            return found
        carried = {self.whole.steps[way.place].source for way in self.whole.near.values()}
        empty = {one.holder for one in self.gear} - carried
        return [one for one in found if one not in empty]

    def there_by(self, holder: str, at: str) -> bool:
        """Whether this held oil that is followed at a moment; only forward in time."""
        return holder in self.begun or self.whole.first.get(holder, "~") <= at


def followed(begun: Collection[UUID], *, backwards: bool = False) -> Followed:
    """Everything that the oil of these holders reached; `backwards`: where it came from."""
    keys = frozenset(str(one) for one in begun)
    reading, follow = _Reading(backwards), back if backwards else forth
    reading.more(keys, ALWAYS)
    while True:
        found = follow(reading.steps.values(), keys)
        fresh = {one: at for one, at in found.first.items() if reading.lacks(one, at)}
        if not fresh:
            break
        reading.more(fresh, (max if backwards else min)(fresh.values()))
    oil = follow((step for step in reading.steps.values() if not step.gear), keys)
    return Followed(begun=keys, oil=oil, whole=found, gear=tuple(reading.gear.values()), backwards=backwards)


def in_handfuls(keys: Iterable[str]) -> Iterator[list[str]]:
    """Keys, so many at a time as one statement names."""
    left = iter(keys)
    while some := list(islice(left, HANDFUL)):
        yield some


@dataclass
class _Reading:
    """Steps as they were read so far, and from (going back: up to) which moment each container was asked for."""

    backwards: bool
    steps: dict[tuple[str, str], Step] = field(default_factory=dict)
    bounds: dict[str, str] = field(default_factory=dict)
    gear: dict[str, Gear] = field(default_factory=dict)

    def lacks(self, holder: str, at: str) -> bool:
        """Whether steps of this may be missing that lie beyond this moment."""
        bound = self.bounds.get(holder)
        return bound is None or (bound != ALWAYS and (bound < at if self.backwards else bound > at))

    def more(self, holders: Iterable[str], bound: str) -> None:
        """Read what follows these containers from this moment on."""
        for some in in_handfuls(holders):
            self._moves(some, bound)
            self._fillings(some, bound)
            self._parts(some, bound)
            self._tools(some, bound)
            self.bounds.update(dict.fromkeys(some, bound))

    def _within(self, rows: QuerySet[Any], bound: str, **more: Any) -> Iterable[Mapping[str, Any]]:
        """Rows on the far side of the bound, with their moment as `at`."""
        if bound != ALWAYS:
            way = "entry__happened_at__lte" if self.backwards else "entry__happened_at__gte"
            rows = rows.filter(**{way: datetime.fromisoformat(bound)})
        return rows.values("pk", at=F("entry__happened_at"), **more)

    def _put(self, how: How, row: Mapping[str, Any], source: Any, target: Any, **more: str) -> None:
        at, gear = instant(row["at"]), how in ("touch", "trace")
        key = (f"{how} {target}", str(row["pk"]))
        self.steps[key] = Step(at, str(source), str(target), gear, Event(how=how, **more))

    def _moves(self, holders: list[str], bound: str) -> None:
        ends = {"target__in" if self.backwards else "source__in": holders}
        rows = Move.objects.filter(target__isnull=False, **ends)
        same = {name: F(name) for name in ("source", "target")}
        told = ("litres", "kg", "tool")
        for row in self._within(rows, bound, **{f"_{name}": F(name) for name in (*same, *told)}):
            self._put("pour", row, row["_source"], row["_target"], **{name: row[f"_{name}"] for name in told})

    def _fillings(self, holders: list[str], bound: str) -> None:
        end = "bottle__holder__in" if self.backwards else "bottle__space__holder__in"
        rows = Hand.objects.filter(what="filled", **{end: holders})
        for row in self._within(rows, bound, source=F("bottle__space__holder"), target=F("bottle__holder")):
            self._put("fill", row, row["source"], row["target"])

    def _parts(self, holders: list[str], bound: str) -> None:
        end = "part__spaces__holder__in" if self.backwards else "unit__spaces__holder__in"
        rows = PartOff.objects.filter(
            space=F("unit__spaces__name"), part__spaces__name=TANK, **{end: holders}
        )  # fmt: skip
        for row in self._within(rows, bound, source=F("unit__spaces__holder"), target=F("part__spaces__holder")):
            self._put("part", row, row["source"], row["target"])

    def _tools(self, holders: list[str], bound: str) -> None:
        """Gear that was in these, filled these, or is one of these, each with all that is written down of it."""
        asked = [
            self._within(Touch.objects.filter(**{f"{end}__in": holders}), bound, found=F("tool"))
            for end in ("holder", "hand__bottle__holder", "tool__holder")
        ]
        fresh = {row["found"] for rows in asked for row in rows} - {UUID(one) for one in self.gear}
        rows = Tool.objects.filter(pk__in=fresh).values_list("pk", "holder", "kind") if fresh else ()
        uses, wiped = uses_of([str(one) for one in fresh]), cleaned([str(one) for one in fresh])
        bottles = dict(
            Touch.objects.filter(tool__in=fresh, hand__isnull=False).values_list("pk", "hand__bottle__holder")
        )  # fmt: skip
        for tool, holder, kind in rows:
            key = str(tool)
            self.gear[key] = Gear(key=key, holder=str(holder), uses=tuple(uses[key]), wiped=tuple(wiped[key]))
            self._uses(self.gear[key], kind, bottles)

    def _uses(self, gear: Gear, kind: str, bottles: Mapping[UUID, UUID]) -> None:
        """Oil on gear, traces off it: into whatever it draws oil out of, and into the bottle that it fills."""
        for use in gear.uses:
            row = {"pk": use.id, "at": datetime.fromisoformat(use.at)}
            self._put("touch", row, use.oil, gear.holder)
            if kind != CELL:
                self._put("trace", row, gear.holder, use.oil)
            if bottle := bottles.get(UUID(use.id)):
                self._put("trace", row, gear.holder, bottle)
        for one in gear.wiped:
            self.steps["clean", f"{gear.key} {one.at}"] = Step(one.at, gear.holder, "", True, Event(how="clean"))
