"""One slip: a letter too many, too few, wrong, or two turned round. Source of the rule: house rule.

The expected answers are worked out by hand from that sentence.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.slips import Slips, one_slip

LETTERS = "abcdefghijklmnopqrstuvwxyz"
NAMES = {"pyranol": False, "delor": False, "rtemp": True, "saftkuhl": True, "kc300": True, "dk": False}
"""Invented and real names, joined, and whether each is written in several words."""


@pytest.mark.parametrize(
    "word",
    [
        "xpyranol", "pyranolx", "pyraxnol", "ppyranol",  # one too many
        "yranol", "pyrano", "pyanol",  # one too few
        "qyranol", "pyranox", "pyran0l",  # one wrong
        "ypranol", "pyranlo", "pyarnol",  # two turned round
    ],
)  # fmt: skip
def test_one_slip_of_a_name_is_one(word: str) -> None:
    assert one_slip(word, "pyranol")


@pytest.mark.parametrize(
    "word",
    ["pyranol", "xpyranolx", "pyrano1x", "yrano", "xyranox", "pryaonl", "lonaryp", "", "pyranolxx", "pyr", "pynarol"],
)
def test_none_or_two_slips_are_none(word: str) -> None:
    assert not one_slip(word, "pyranol")


def test_the_first_letter_of_a_short_name_stands_unless_more_stands_before_it() -> None:
    """TEMP stands on most plates, and is R-Temp without its first letter."""
    assert not one_slip("temp", "rtemp")
    assert not one_slip("ctemp", "rtemp")
    assert not one_slip("edlor", "delor")
    assert one_slip("xdelor", "delor")
    assert one_slip("delo", "delor")
    assert one_slip("decor", "delor")
    assert one_slip("dleor", "delor")


def slips(*ordinary: str) -> Slips:
    return Slips(NAMES, frozenset(ordinary))


def test_a_name_of_few_letters_is_never_looked_for() -> None:
    for word in ("kc3000", "kc30", "kd300", "dkx", "d"):
        assert slips().of(word, False) == set()


def test_a_name_of_one_word_is_not_pieced_together() -> None:
    assert slips().of("pyranoll", False) == {"pyranol"}
    assert slips().of("pyranoll", True) == set()
    assert slips().of("saftkuhll", True) == slips().of("saftkuhll", False) == {"saftkuhl"}
    assert slips().of("rtempx", False) == {"rtemp"}
    assert slips().of("rtempx", True) == set()


def test_an_ordinary_word_is_no_slip() -> None:
    assert slips().of("decor", False) == {"delor"}
    assert slips("decor").of("decor", False) == set()
    assert slips("decor").of("delir", False) == {"delor"}


def test_names_of_any_length_are_looked_up() -> None:
    """From one character less than the shortest name to one more than the longest."""
    assert slips().of("delo", False) == {"delor"}
    assert slips().of("saftkuhlx", False) == {"saftkuhl"}
    assert slips().of("saftkuhlxx", False) == set()
    assert slips().of("del", False) == set()
    assert Slips({}, frozenset()).of("delor", False) == set()


def test_a_word_may_be_near_two_names() -> None:
    two = Slips({"phenclor": False, "fhenclor": False}, frozenset())
    assert two.of("henclor", False) == {"phenclor", "fhenclor"}


@given(st.text(LETTERS, min_size=6, max_size=9), st.integers(0, 9), st.sampled_from(LETTERS))
def test_a_letter_more_is_always_found(name: str, at: int, letter: str) -> None:
    place = min(at, len(name))
    word = name[:place] + letter + name[place:]
    assert Slips({name: False}, frozenset()).of(word, False) == {name}


@given(st.text(LETTERS, min_size=6, max_size=8), st.text(LETTERS, min_size=4, max_size=10))
def test_what_is_found_is_what_counting_the_slips_says(name: str, word: str) -> None:
    """Against a table of distances, filled in by the rule that a turn of two neighbours is one slip."""
    assert (Slips({name: False}, frozenset()).of(word, False) == {name}) == (distance(word, name) == 1)


def distance(a: str, b: str) -> int:
    """How many slips apart two words are (no letter is touched twice)."""
    row = {(i, 0): i for i in range(len(a) + 1)} | {(0, j): j for j in range(len(b) + 1)}
    for i in range(1, len(a) + 1):
        for j in range(1, len(b) + 1):
            row[i, j] = min(row[i - 1, j] + 1, row[i, j - 1] + 1, row[i - 1, j - 1] + (a[i - 1] != b[j - 1]))
            if i > 1 and j > 1 and a[i - 1] == b[j - 2] and a[i - 2] == b[j - 1]:
                row[i, j] = min(row[i, j], row[i - 2, j - 2] + 1)
    return row[len(a), len(b)]


@given(st.text("ab", min_size=6, max_size=8), st.text("ab", min_size=5, max_size=9))
def test_the_same_with_two_letters_alone(name: str, word: str) -> None:
    assert (Slips({name: False}, frozenset()).of(word, False) == {name}) == (distance(word, name) == 1)
