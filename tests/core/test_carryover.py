"""What gear carries from one oil to the next: by hand, and by rules that hold of any trace.

The rules are common practice, no source: a cleaning that lies between ends doubt, more bad oil never ends it, and the
order in which things are written down does not matter.
"""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.carryover import Touch, clinging, doubt


def at(minute: int) -> str:
    return f"2026-11-25T10:{minute:02}:00.000000Z"


def touch(id: str, oil: str, minute: int, low: bool = False) -> Touch:
    return Touch(id=id, oil=oil, at=at(minute), low=low)


BAD, MINE = touch("a", "bad oil", 10), touch("b", "my oil", 30)


def ids(found: tuple[Touch, ...]) -> list[str]:
    return [one.id for one in found]


@pytest.mark.parametrize(
    ("other", "cleaned", "found"),
    [
        (BAD, [], ["a"]),
        (touch("a", "bad oil", 10, low=True), [], []),
        (touch("a", "my oil", 10), [], []),
        (touch("a", "bad oil", 31), [], []),
        (touch("a", "bad oil", 29), [], ["a"]),
        (BAD, [at(20)], []),
        (BAD, [at(9)], ["a"]),
        (BAD, [at(11)], []),
        (BAD, [at(29)], []),
        (BAD, [at(31)], ["a"]),
        (BAD, [at(5), at(20), at(40)], []),
    ],
)
def test_by_hand(other: Touch, cleaned: list[str], found: list[str]) -> None:
    assert ids(doubt(MINE, [other, MINE], cleaned)) == found


@pytest.mark.parametrize("cleaned", [[at(10)], [at(30)]])
def test_a_cleaning_at_the_very_moment_of_a_use_does_not_lie_between(cleaned: list[str]) -> None:
    """Nobody knows which came first, so the one that asks for more care did."""
    assert ids(doubt(MINE, [BAD, MINE], cleaned)) == ["a"]
    assert ids(clinging([BAD], [at(10)])) == ["a"]


def test_of_two_fillings_at_one_moment_each_may_have_spoiled_the_other() -> None:
    first, second = touch("a", "one oil", 10), touch("b", "another oil", 10)
    assert ids(doubt(first, [first, second], [])) == ["b"]
    assert ids(doubt(second, [first, second], [])) == ["a"]


def test_each_oil_is_named_once_by_its_last_touch_before_the_latest_first() -> None:
    trace = [touch("a", "one", 1), touch("b", "two", 2), touch("c", "one", 3), touch("d", "one", 40), MINE]
    assert ids(doubt(MINE, trace, [])) == ["c", "b"]
    assert [one.oil for one in clinging(trace, [])] == ["one", "my oil", "two"]


def test_what_clings_goes_by_the_last_cleaning() -> None:
    trace = [BAD, touch("l", "low oil", 15, low=True), MINE]
    assert ids(clinging(trace, [])) == ["b", "a"]
    assert ids(clinging(trace, [at(20)])) == ["b"]
    assert ids(clinging(trace, [at(31)])) == []
    assert ids(clinging(trace, [at(31), at(5)])) == []


OILS = ("one", "two", "three")
TRACES = st.lists(st.tuples(st.sampled_from(OILS), st.integers(0, 30), st.booleans()), min_size=1, max_size=8).map(
    lambda told: [touch(str(n), oil, minute, low) for n, (oil, minute, low) in enumerate(told)]
)
CLEANED = st.lists(st.integers(0, 30).map(at), max_size=4)


@given(TRACES, CLEANED)
def test_a_cleaning_between_always_ends_doubt(trace: list[Touch], cleaned: list[str]) -> None:
    for one in trace:
        for other in doubt(one, trace, cleaned):
            assert not any(other.at < moment < one.at for moment in cleaned)
            assert (other.oil != one.oil, other.low, other.at <= one.at) == (True, False, True)


@given(TRACES, CLEANED)
def test_without_a_cleaning_between_every_other_oil_that_is_not_known_low_is_named(
    trace: list[Touch], cleaned: list[str]
) -> None:
    """Held against every pair, one by one."""
    for one in trace:
        pairs = {
            other.oil
            for other in trace
            if other.oil != one.oil and not other.low and other.at <= one.at
            if not [moment for moment in cleaned if other.at < moment < one.at]
        }
        assert {other.oil for other in doubt(one, trace, cleaned)} == pairs


@given(TRACES, CLEANED, st.sampled_from(OILS), st.integers(0, 30))
def test_more_bad_oil_never_ends_doubt(trace: list[Touch], cleaned: list[str], oil: str, minute: int) -> None:
    more = [*trace, touch("more", oil, minute)]
    for one in trace:
        before = {other.oil for other in doubt(one, trace, cleaned)}
        assert before <= {other.oil for other in doubt(one, more, cleaned)}
    assert {one.oil for one in clinging(trace, cleaned)} <= {one.oil for one in clinging(more, cleaned)}


@given(TRACES, CLEANED, st.data())
def test_the_order_of_writing_does_not_matter(trace: list[Touch], cleaned: list[str], data: Any) -> None:
    mixed, wiped = data.draw(st.permutations(trace)), data.draw(st.permutations(cleaned))
    for one in trace:
        assert doubt(one, mixed, wiped) == doubt(one, trace, cleaned)
    assert clinging(mixed, wiped) == clinging(trace, cleaned)


@given(TRACES, CLEANED, st.integers(0, 30))
def test_one_more_cleaning_never_brings_doubt(trace: list[Touch], cleaned: list[str], minute: int) -> None:
    for one in trace:
        after = {other.oil for other in doubt(one, trace, [*cleaned, at(minute)])}
        assert after <= {other.oil for other in doubt(one, trace, cleaned)}
