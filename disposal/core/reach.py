"""What oil reached: forward to what it went into, back to where it came from, each with its shortest way. Pure.

A container at a moment is one state. Steps are followed in order of time, so oil that left before other oil came is not
reached by it, and a clean-out ends what gear carries. Of steps at one moment nobody knows which came first, so each may
have come before each other one, and a clean-out at the moment of a use lies on the side that asks for more care.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from operator import itemgetter
from typing import Any, NamedTuple, Optional


class Step(NamedTuple):
    """Oil that went from one container into another one; a clean-out of `source` where `target` is empty.

    `at`: an instant in UTC, as ISO text; `gear`: it clung to gear, or was cleaned off it; `of`: what is said of it.
    """

    at: str
    source: str
    target: str
    gear: bool = False
    of: Any = None


class Way(NamedTuple):
    """The last step of a way to a container, by its place among the steps, and the way to where that step began."""

    hops: int
    place: int
    before: Optional["Way"]


@dataclass(frozen=True)
class Reach:
    """What was reached. `first`: when each container was first reached (going back: when oil last left it that came
    here); `near`: the shortest way to each, of ways of one length the one that was there first; `steps`: as followed.

    Where it was begun has no part in either.
    """

    first: dict[str, str]
    near: dict[str, Way]
    steps: Sequence[Step]

    def nearest(self) -> list[str]:
        """The containers, the nearest first, then as they were reached."""
        return sorted(self.near, key=lambda one: (self.near[one].hops, self.near[one].place))

    def way(self, to: str) -> tuple[Step, ...]:
        """The steps of the shortest way to a container, as they were followed. Raises KeyError for one not reached."""
        return tuple(reversed(list(self._back(self.near[to]))))

    def _back(self, way: Way) -> Iterator[Step]:
        at: Way | None = way
        while at is not None and at.before is not None:
            yield self.steps[at.place]
            at = at.before


def in_order(steps: Iterable[Step]) -> list[Step]:
    """Steps in order of time."""
    return sorted(steps, key=itemgetter(0))


def turned(steps: Sequence[Step]) -> list[Step]:
    """Steps in order of time, told backwards, so that what follows them comes to where oil was before."""
    return [
        step if not step.target else Step(step.at, step.target, step.source, step.gear, step.of)
        for step in reversed(steps)
    ]


def forth(steps: Iterable[Step], begun: Collection[str]) -> Reach:
    """What the oil of these containers went into, whenever it was in them."""
    return follow(in_order(steps), begun)


def back(steps: Iterable[Step], begun: Collection[str]) -> Reach:
    """Where the oil came from that ever came into these containers."""
    return follow(turned(in_order(steps)), begun)


def follow(steps: Sequence[Step], begun: Collection[str]) -> Reach:
    """Follow steps that stand in order of time, in one pass."""
    now: dict[str, Way] = dict.fromkeys(begun, Way(0, -1, None))
    run = _Run(steps, frozenset(begun), now)
    done, last = 0, len(steps) - 1
    for place, (at, source, target, _, _) in enumerate(steps):
        here = now.get(source)
        if here is None:
            continue
        there = now.get(target)
        if (there is not None and here[0] + 1 >= there[0]) or place < done:
            continue
        if (place and steps[place - 1][0] == at) or (place < last and steps[place + 1][0] == at):
            done = run.together(place)
        elif target:
            run.reached(target, at, new(Way, (here[0] + 1, place, here)))
        elif source not in run.begun:
            del now[source]
    return Reach(run.first, run.near, steps)


new = tuple.__new__
"""A named tuple by the short way, for the inside of a loop."""


class _Run:
    """One pass: the ways that oil is carried by now, and what was reached so far."""

    def __init__(self, steps: Sequence[Step], begun: frozenset[str], now: dict[str, Way]) -> None:
        self.steps, self.begun, self.now = steps, begun, now
        self.first: dict[str, str] = {}
        self.near: dict[str, Way] = {}

    def reached(self, target: str, at: str, way: Way) -> None:
        """A container is reached by a shorter way than it was by now; never one where it was begun, which has none."""
        self.now[target] = way
        near = self.near.get(target)
        if near is None:
            self.first[target], self.near[target] = at, way
        elif way[0] < near[0]:
            self.near[target] = way

    def together(self, place: int) -> int:
        """All steps of one moment, each as if it might have come before each other one; where they end."""
        begin = end = place
        at = self.steps[place].at
        while begin > 0 and self.steps[begin - 1].at == at:
            begin -= 1
        while end < len(self.steps) and self.steps[end].at == at:
            end += 1
        out: dict[str, list[int]] = defaultdict(list)
        cleaned: set[str] = set()
        for one in range(begin, end):
            if self.steps[one].target:
                out[self.steps[one].source].append(one)
            elif self.steps[one].source not in self.begun:
                cleaned.add(self.steps[one].source)
        self._spread(out, at)
        self._clean(cleaned, range(begin, end))
        return end

    def _spread(self, out: dict[str, list[int]], at: str) -> None:
        """Follow the steps of one moment, the shortest ways first."""
        waiting = [(self.now[one].hops, one) for one in out if one in self.now]
        heapify(waiting)
        while waiting:
            hops, source = heappop(waiting)
            here = self.now[source]
            if hops > here.hops:
                continue
            for place in out[source]:
                target = self.steps[place].target
                if target not in self.now or hops + 1 < self.now[target].hops:
                    self.reached(target, at, Way(hops + 1, place, here))
                    if target in out:
                        heappush(waiting, (hops + 1, target))

    def _clean(self, cleaned: Collection[str], places: Iterable[int]) -> None:
        """Of gear that was cleaned at this moment only what touched it at this moment is left."""
        if cleaned:
            left: dict[str, Way] = {}
            for place in places:
                _, source, target, _, _ = self.steps[place]
                here = self.now.get(source)
                if target in cleaned and here and (target not in left or here.hops + 1 < left[target].hops):
                    left[target] = Way(here.hops + 1, place, here)
            for one in cleaned:
                self.now.pop(one, None)
            self.now.update(left)
