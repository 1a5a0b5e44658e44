"""What oil reached: by hand, and any history against an oracle that knows steps and no containers.

The oracle goes from step to step: one may follow another where it begins in what the other ended in, not before it in
time, with no clean-out of that strictly between the two. Its shortest chains are the shortest ways.
"""

from bisect import bisect_left, bisect_right
from collections import defaultdict, deque
from itertools import pairwise
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from disposal.core.reach import Reach, Step, back, forth

MANY, A_DAY = 100, 20
"""Rules of one run and steps that each writes down: 2,000 in all."""


def at(minute: int) -> str:
    return f"2026-11-25T{minute // 60:02}:{minute % 60:02}:00.000000Z"


def went(minute: int, source: str, target: str, gear: bool = False) -> Step:
    return Step(at(minute), source, target, gear)


def cleaned(minute: int, gear: str) -> Step:
    return Step(at(minute), gear, "", True)


def hops(found: Reach) -> dict[str, int]:
    return {one: way.hops for one, way in found.near.items()}


# ------------------------------------------------------------------ by hand


def test_oil_that_left_before_the_bad_oil_came_is_not_reached() -> None:
    """The worked order of four moves: B got its oil of A before C went into A."""
    told = [went(1, "A", "B"), went(2, "C", "A"), went(3, "A", "D"), went(4, "B", "D")]
    assert hops(forth(told, ["C"])) == {"A": 1, "D": 2}
    assert hops(back(told, ["D"])) == {"A": 1, "B": 1, "C": 2}
    assert hops(back(told, ["B"])) == {"A": 1}


def test_the_same_written_down_late_is_found_all_the_same() -> None:
    told = [went(4, "B", "D"), went(3, "A", "D"), went(1, "A", "B"), went(2, "C", "A")]
    assert hops(forth(told, ["C"])) == {"A": 1, "D": 2}


def test_the_way_is_the_shortest_and_keeps_to_the_order_of_time() -> None:
    long = [went(1, "A", "B"), went(2, "B", "C"), went(3, "C", "D")]
    short = [went(9, "A", "D"), went(10, "D", "E"), went(5, "D", "F")]
    found = forth([*long, *short], ["A"])
    assert found.way("D") == (short[0],)
    assert found.way("E") == (short[0], short[1])
    assert found.way("F") == (*long, short[2])
    assert found.first["D"] == at(3)
    assert found.nearest() == ["B", "D", "C", "E", "F"]


def test_what_was_asked_of_is_never_among_what_it_reached() -> None:
    told = [went(1, "A", "B"), went(2, "B", "A"), went(3, "A", "C")]
    assert hops(forth(told, ["A"])) == {"B": 1, "C": 1}
    assert hops(back(told, ["A"])) == {"B": 1}


def test_several_are_asked_of_at_once_as_of_the_spaces_of_one_unit() -> None:
    told = [went(1, "A", "C"), went(2, "B", "A"), went(3, "C", "D")]
    assert hops(forth(told, ["A", "B"])) == {"C": 1, "D": 2}


TOUCHED = [went(1, "bad", "thief", True), went(5, "thief", "bottle", True)]


@pytest.mark.parametrize(
    ("minute", "still"), [(0, True), (1, True), (2, False), (4, False), (5, True), (6, True)]
)  # fmt: skip
def test_a_clean_out_ends_what_gear_carries_only_where_it_surely_lies_between(minute: int, still: bool) -> None:
    told = [*TOUCHED, cleaned(minute, "thief")]
    assert ("bottle" in forth(told, ["bad"]).near) is still
    assert ("bad" in back(told, ["bottle"]).near) is still
    assert "thief" in forth(told, ["bad"]).near


def test_after_a_clean_out_gear_may_be_reached_anew() -> None:
    told = [*TOUCHED, cleaned(3, "thief"), went(4, "other bad", "thief", True)]
    assert hops(forth(told, ["other bad"])) == {"thief": 1, "bottle": 2}
    assert hops(forth([*told, went(2, "bad", "other bad")], ["bad"])) == {"thief": 1, "other bad": 1, "bottle": 3}


def test_gear_that_is_asked_of_is_asked_of_at_any_time() -> None:
    told = [went(1, "A", "thief", True), cleaned(2, "thief"), went(3, "thief", "B", True)]
    assert hops(forth(told, ["thief"])) == {"B": 1}
    assert hops(back(told, ["thief"])) == {"A": 1}


def test_of_steps_at_one_moment_each_may_have_come_first() -> None:
    told = [went(5, "B", "C"), went(5, "A", "B"), went(5, "C", "A")]
    assert hops(forth(told, ["A"])) == {"B": 1, "C": 2}
    assert hops(back(told, ["A"])) == {"C": 1, "B": 2}


def test_a_clean_out_at_the_moment_of_two_uses_leaves_what_touched_it_then() -> None:
    told = [went(1, "A", "T", True), cleaned(5, "T"), went(5, "B", "T", True), went(9, "T", "C", True)]
    assert hops(forth(told, ["A"])) == {"T": 1}
    assert hops(forth(told, ["B"])) == {"T": 1, "C": 2}
    assert hops(forth([*told, went(5, "T", "B", True)], ["A"])) == {"T": 1, "B": 2, "C": 4}


def test_of_two_touches_at_the_moment_of_a_clean_out_the_nearer_one_counts() -> None:
    told = [
        went(1, "A", "B"),
        went(5, "B", "T", True),
        went(5, "A", "T", True),
        cleaned(5, "T"),
        went(6, "T", "C", True),
    ]
    assert hops(forth(told, ["A"])) == {"B": 1, "T": 1, "C": 2}
    assert hops(forth([told[0], told[2], told[1], *told[3:]], ["A"])) == {"B": 1, "T": 1, "C": 2}


def test_of_ways_of_one_length_the_one_that_was_there_first_is_told() -> None:
    told = [went(1, "A", "B"), went(2, "A", "B"), went(3, "B", "C")]
    assert forth(told, ["A"]).way("C") == (told[0], told[2])
    again = [*TOUCHED, cleaned(3, "thief"), went(4, "bad", "thief", True)]
    assert forth(again, ["bad"]).way("thief") == (TOUCHED[0],)


def test_what_is_not_reached_has_no_way() -> None:
    with pytest.raises(KeyError):
        forth([went(1, "A", "B")], ["B"]).way("A")
    assert forth([], ["A"]).near == {}


# ------------------------------------------------------------------ against the oracle


class Chains:
    """Histories as a graph whose nodes are the steps themselves."""

    def __init__(self, steps: list[Step]) -> None:
        self.steps = sorted((one for one in steps if one.target), key=lambda one: one.at)
        self.wiped: dict[str, list[str]] = defaultdict(list)
        for one in sorted(steps):
            if not one.target:
                self.wiped[one.source].append(one.at)
        self.out: dict[str, list[int]] = defaultdict(list)
        for n, one in enumerate(self.steps):
            self.out[one.source].append(n)

    def apart(self, of: str, early: str, late: str) -> bool:
        """Whether a clean-out of this lies strictly between two moments."""
        wiped = self.wiped[of]
        return bisect_right(wiped, early) < bisect_left(wiped, late)

    def reached(self, begun: set[str]) -> dict[str, int]:
        """How many steps away each container is, by the shortest chain."""
        first = [n for one in begun for n in self.out[one]]
        far = dict.fromkeys(first, 1)
        waiting = deque(first)
        while waiting:
            n = waiting.popleft()
            step = self.steps[n]
            for after in self.out[step.target]:
                follows = step.at <= self.steps[after].at
                if after not in far and follows and not self.apart(step.target, step.at, self.steps[after].at):
                    far[after] = far[n] + 1
                    waiting.append(after)
        found: dict[str, int] = {}
        for n, hops in far.items():
            found[self.steps[n].target] = min(hops, found.get(self.steps[n].target, hops))
        return {one: hops for one, hops in found.items() if one not in begun}


def sound(found: Reach, told: list[Step], begun: set[str], backwards: bool) -> None:
    """Each way begins where it was begun, hangs together, keeps to time, and crosses no clean-out."""
    wiped = Chains(told)
    for one, way in found.near.items():
        steps = found.way(one)
        assert len(steps) == way.hops
        assert steps[0].source in begun
        assert steps[-1].target == one
        for a, b in pairwise(steps):
            early, late = (b, a) if backwards else (a, b)
            assert a.target == b.source
            assert early.at <= late.at
            assert not wiped.apart(a.target, early.at, late.at)


def agrees(told: list[Step], begun: set[str]) -> None:
    """Both ways in time as the oracle has them, for which time runs backwards by its own reckoning."""
    ahead = forth(told, begun)
    assert hops(ahead) == Chains(told).reached(begun)
    sound(ahead, told, begun, backwards=False)
    behind = back(told, begun)
    mirrored = [
        Step(f"{99_999 - _minute(one):05}", *((one.target, one.source) if one.target else (one.source, "")))
        for one in told
    ]
    assert hops(behind) == Chains(mirrored).reached(begun)
    sound(behind, told, begun, backwards=True)


def _minute(step: Step) -> int:
    return int(step.at[11:13]) * 60 + int(step.at[14:16])


names = st.sampled_from("ABCDET")
histories = st.lists(
    st.tuples(st.integers(0, 7), names, st.one_of(names, st.just(""))).map(lambda one: went(*one)), max_size=14
)


@settings(max_examples=400)
@given(histories, st.sets(names, min_size=1, max_size=2))
def test_any_history_is_followed_as_the_oracle_follows_it(told: list[Step], begun: set[str]) -> None:
    agrees(told, begun)


@given(histories, names, names)
def test_what_reaches_is_what_it_came_from(told: list[Step], one: str, other: str) -> None:
    """Forward and back are each other's mirror, and as far."""
    ahead, behind = forth(told, [one]).near, back(told, [other]).near
    assert (other in ahead) == (one in behind)
    if other in ahead:
        assert ahead[other].hops == behind[one].hops


@given(histories, histories, names)
def test_more_oil_never_ends_a_reach_and_order_of_writing_changes_nothing(
    told: list[Step], more: list[Step], one: str
) -> None:
    poured = [step for step in more if step.target]
    assert forth(told, [one]).near.keys() <= forth([*told, *poured], [one]).near.keys()
    assert hops(forth(told[::-1], [one])) == hops(forth(told, [one]))


class Days(RuleBasedStateMachine):
    """A yard of forty containers, one in four of them gear, over 2,000 steps that are written down in any order."""

    def __init__(self) -> None:
        super().__init__()
        self.told: list[Step] = []

    @rule(seed=st.integers(0, 2**32))
    def a_day(self, seed: int) -> None:
        drawn = Random(seed)
        for _ in range(A_DAY):
            source, target = drawn.randrange(40), drawn.randrange(40)
            gear = source % 4 == 0
            wiped = gear and drawn.random() < 0.4
            self.told.append(went(drawn.randrange(1440), str(source), "" if wiped else str(target), gear))
        self.asked = {str(drawn.randrange(40))}

    @invariant()
    def stands_as_the_oracle_has_it(self) -> None:
        if self.told and (len(self.told) // A_DAY) % 10 == 0:
            agrees(self.told, self.asked)


Days.TestCase.settings = settings(max_examples=3, stateful_step_count=MANY, deadline=None)
TestDays: Any = Days.TestCase


def test_a_planted_error_is_seen() -> None:
    """Reach that knows no time finds more, so the oracle is no such thing."""
    told = [went(1, "A", "B"), went(2, "C", "A")]
    timeless = [went(1, one.source, one.target) for one in told]
    assert hops(forth(timeless, ["C"])) != Chains(told).reached({"C"})
