"""A code typed off a certificate: exactly one of the load, or one slip away from some, or unknown.

The outside check is the distance of Damerau and Levenshtein in its plain form (optimal string alignment), by its
recurrence as the textbooks give it.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from disposal.core.match import Match, match, one_slip, plain
from hazmat.core.codes import ALPHABET, new_tag

CODES = st.integers(0, 32**5 - 1).map(new_tag)
TEXTS = st.text(st.sampled_from(ALPHABET[:4]), max_size=6)


def distance(left: str, right: str) -> int:
    """How many characters are changed, left out, put in, or swapped with their neighbour."""
    table = [
        [row + column if not row * column else 0 for column in range(len(right) + 1)] for row in range(len(left) + 1)
    ]
    for row in range(1, len(left) + 1):
        for column in range(1, len(right) + 1):
            other = left[row - 1] != right[column - 1]
            table[row][column] = min(
                table[row - 1][column] + 1, table[row][column - 1] + 1, table[row - 1][column - 1] + other
            )
            if row > 1 and column > 1 and left[row - 2 : row] == right[column - 2 : column][::-1]:
                table[row][column] = min(table[row][column], table[row - 2][column - 2] + 1)
    return table[-1][-1]


@given(TEXTS, TEXTS)
def test_one_slip_is_a_distance_of_one(left: str, right: str) -> None:
    assert one_slip(left, right) == (distance(left, right) == 1)
    assert one_slip(left, right) == one_slip(right, left)


@given(st.text(st.sampled_from([*ALPHABET, "O", "0", "-"]), max_size=8), st.sets(CODES, max_size=6))
def test_what_is_offered_is_what_lies_one_slip_away(typed: str, codes: set[str]) -> None:
    found, asked = match(typed, codes), typed.replace("-", "")
    near = () if asked in codes else tuple(sorted(one for one in codes if distance(asked, one) == 1))
    assert found == Match(exact=asked if asked in codes else "", near=near)


@given(CODES, st.sampled_from([" ", "-", "–", "\u00a0", "\t", " - "]), st.booleans(), st.sets(CODES, max_size=4))
def test_blanks_dashes_and_small_letters_do_not_matter(code: str, between: str, small: bool, others: set[str]) -> None:
    typed = f" {code[:3]}{between}{code[3:]}\n"
    assert match(typed.lower() if small else typed, {*others, code}) == Match(exact=code)
    assert plain(typed) == code


@pytest.mark.parametrize(
    ("typed", "near"),
    [
        ("K7M4PX", ()), ("K7N4PX", ("K7M4PX",)), ("K7M4P", ("K7M4PX",)), ("K7M4PXX", ("K7M4PX",)),
        ("7KM4PX", ("K7M4PX",)), ("K7M4XP", ("K7M4PX",)), ("K7O4PX", ("K7M4PX",)), ("K7N4PY", ()),
        ("7KM4XP", ()), ("7M4PXK", ()), ("", ()), ("K7M4", ()), ("k7-m4 p", ("K7M4PX",)),
    ],
)  # fmt: skip
def test_by_hand(typed: str, near: tuple[str, ...]) -> None:
    found = match(typed, ["K7M4PX", "BBB222"])
    assert found == (Match(exact="K7M4PX") if typed == "K7M4PX" else Match(near=near))


def test_two_that_are_near_are_both_offered_and_an_exact_one_stands_alone() -> None:
    two = ["AAAAA2", "AAAAA3"]
    assert match("AAAAA4", two) == Match(near=("AAAAA2", "AAAAA3"))
    assert match("AAAAA2", two) == Match(exact="AAAAA2")
    assert match("AAAAA2", [*two, "AAAAA2"]) == Match(exact="AAAAA2")
