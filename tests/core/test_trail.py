"""The trail of a bottle: what may follow what, by the order of a chain of custody, and never before the step before.

Expected orders are written by hand from common practice: labelled before or at filling; filled once; a hand follows a
filling; a destroyed sample has no later step. No source.
"""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.trail import FOLLOWS, HANDS, BottleNow, Hand, Step, either, refusal

AT = "2026-11-25T01:02:03.000000Z"
LATER, EARLIER = "2026-11-25T01:02:04.000000Z", "2026-11-25T01:02:02.999999Z"


def bottle(*steps: Hand) -> BottleNow:
    trail = tuple(Step(record=f"r{n}", what=what, at=AT) for n, what in enumerate(steps))
    return BottleNow(id="b", code="ABC234", space="s", labelled_at=AT, trail=trail)


@pytest.mark.parametrize(
    ("steps", "what"),
    [
        ((), "filled"), (("filled",), "handed_on"), (("filled",), "at_laboratory"),
        (("filled", "handed_on"), "handed_on"), (("filled", "handed_on"), "at_laboratory"),
        (("filled", "handed_on", "at_laboratory"), "returned"), (("filled", "at_laboratory"), "destroyed"),
        (("filled", "at_laboratory", "returned"), "destroyed"), ((), "spoiled"), (("filled", "spoiled"), "destroyed"),
        (("filled", "lost"), "at_laboratory"),
    ],
)  # fmt: skip
def test_what_custody_allows(steps: tuple[Hand, ...], what: Hand) -> None:
    assert refusal(bottle(*steps), what, AT) == ""


@pytest.mark.parametrize(
    ("steps", "what"),
    [
        ((), "handed_on"), ((), "at_laboratory"), ((), "returned"), ((), "destroyed"), (("filled",), "filled"),
        (("filled", "at_laboratory"), "handed_on"), (("filled", "at_laboratory"), "filled"),
        (("filled", "destroyed"), "returned"), (("filled", "destroyed"), "lost"), (("spoiled",), "filled"),
        (("filled", "spoiled"), "at_laboratory"), (("lost",), "filled"),
    ],
)  # fmt: skip
def test_what_custody_forbids(steps: tuple[Hand, ...], what: Hand) -> None:
    says = refusal(bottle(*steps), what, AT)
    assert says.startswith("This bottle is ")
    assert says.count(".") == 1


def test_both_sides_of_the_moment_of_the_last_step() -> None:
    assert refusal(bottle(), "filled", AT) == ""
    assert refusal(bottle("filled"), "handed_on", LATER) == ""
    assert refusal(bottle("filled"), "handed_on", EARLIER).startswith("This lies before the last step, filled;")
    assert refusal(bottle(), "filled", EARLIER).startswith("This lies before the last step, labelled;")


def test_a_refusal_says_what_may_follow() -> None:
    assert refusal(bottle("spoiled"), "filled", AT) == "This bottle is spoiled; next it can be destroyed."
    assert refusal(bottle("filled", "destroyed"), "lost", AT) == "This bottle is destroyed; nothing can follow."


@given(st.lists(st.sampled_from(HANDS), max_size=8))
def test_no_trail_that_the_rules_allow_fills_twice_or_goes_on_after_its_end(tried: list[Hand]) -> None:
    now = bottle()
    for what in tried:
        if not refusal(now, what, AT):
            now = bottle(*(one.what for one in now.trail), what)
    whats = [one.what for one in now.trail]
    assert whats.count("filled") <= 1
    assert "destroyed" not in whats[:-1]
    if set(whats) & {"handed_on", "at_laboratory"} and "lost" not in whats:
        assert whats.index("filled") == 0
    assert now.unbroken == (not {"lost", "spoiled"} & set(whats))
    assert (now.filled_at is None) == ("filled" not in whats)


def test_every_state_has_its_rule() -> None:
    assert set(FOLLOWS) == {"labelled", *HANDS}
    assert all(one in HANDS for follows in FOLLOWS.values() for one in follows)
    assert not [pair for pair in product(FOLLOWS, ("filled",)) if pair[0] != "labelled" and pair[1] in FOLLOWS[pair[0]]]


def test_words_in_a_row() -> None:
    assert (either([]), either(["a"]), either(["a", "b"]), either(["a", "b", "c"])) == ("", "a", "a or b", "a, b or c")
