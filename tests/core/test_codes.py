"""Codes that are copied by hand: what a check character must notice."""

from hashlib import sha256

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.codes import ALPHABET, check_char, code_of, is_good, new_tag, read_code, spaced

bodies = st.text(st.sampled_from(ALPHABET), min_size=1, max_size=12)


def test_the_alphabet_holds_nothing_that_looks_alike() -> None:
    assert len(set(ALPHABET)) == 32
    assert set("O0I1") & set(ALPHABET) == set()


def field_times(left: int, right: int) -> int:
    """Multiplication in GF(2)[x] modulo x^5 + x^2 + 1, by long division: written apart from the code."""
    product = 0
    for bit in range(5):
        if right >> bit & 1:
            product ^= left << bit
    for bit in range(8, 4, -1):
        if product >> bit & 1:
            product ^= 0b100101 << (bit - 5)
    return product


@given(bodies)
def test_the_check_character_by_long_division(body: str) -> None:
    power, total = 1, 0
    for char in body:
        power = field_times(power, 2)
        total ^= field_times(ALPHABET.index(char), power)
    assert check_char(body) == ALPHABET[total]


@given(bodies, st.data())
def test_one_wrong_character_is_noticed(body: str, data: st.DataObject) -> None:
    code = body + check_char(body)
    place = data.draw(st.integers(0, len(code) - 1))
    other = data.draw(st.sampled_from([char for char in ALPHABET if char != code[place]]))
    assert not is_good(code[:place] + other + code[place + 1 :])


@given(st.text(st.sampled_from(ALPHABET), min_size=2, max_size=12), st.data())
def test_two_exchanged_characters_are_noticed(body: str, data: st.DataObject) -> None:
    place = data.draw(st.integers(0, len(body) - 2))
    later = data.draw(st.integers(place + 1, len(body) - 1))
    code = list(body + check_char(body))
    code[place], code[later] = code[later], code[place]
    assert is_good("".join(code)) == (body[place] == body[later])


@given(st.integers(0, 32**5 - 1))
def test_every_number_has_a_tag_of_its_own(number: int) -> None:
    tag = new_tag(number)
    assert len(tag) == 6
    assert is_good(tag)
    assert sum(ALPHABET.index(char) * 32**place for place, char in enumerate(reversed(tag[:5]))) == number


@given(st.binary())
def test_a_paper_code_is_the_first_fifty_bits(data: bytes) -> None:
    digest = sha256(data)
    bits = f"{int(digest.hexdigest(), 16):0256b}"
    body = "".join(ALPHABET[int(bits[place : place + 5], 2)] for place in range(0, 50, 5))
    assert code_of(digest.hexdigest()) == body + check_char(body)


def test_codes_as_people_type_them() -> None:
    tag = new_tag(12345)
    for typed in (tag, tag.lower(), spaced(tag), f" {tag[:3]}-{tag[3:]} "):
        assert read_code(typed) == tag
    assert spaced("ABCDEF") == "ABC DEF"


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "No code was typed"),
        ("   ", "No code was typed"),
        ("K7M4P0", "never holds 0"),
        ("OI7M4P", "never holds I or O"),
        ("K7M4Pé", "never holds É"),
        ("K", "wrong or missing"),
    ],
)
def test_codes_that_cannot_be(typed: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        read_code(typed)


def test_a_wrong_character_is_told_to_who_typed_it() -> None:
    for number in range(0, 32**5, 999_983):
        tag = new_tag(number)
        with pytest.raises(ValueError, match="wrong or missing"):
            read_code(tag[:3] + ("2" if tag[3] != "2" else "3") + tag[4:])


@pytest.mark.parametrize("char", ALPHABET)
def test_one_character_is_no_code(char: str) -> None:
    """A check character alone checks nothing, not even the one that stands for nought."""
    assert not is_good(char)


@pytest.mark.parametrize("strange", ["0", "O", "1", "I", "é", "-", "a"])
def test_a_character_of_another_alphabet_makes_no_code(strange: str) -> None:
    tag = new_tag(12345)
    for place in range(len(tag)):
        assert not is_good(tag[:place] + strange + tag[place + 1 :])
    assert not is_good("")
