"""One spelling: ours against two libraries for RFC 8785, on anything that an entry can hold."""

from datetime import UTC, date, datetime, timedelta, timezone
from decimal import Decimal
from typing import Any
from uuid import UUID

import jcs
import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from hazmat.book.canonical import canonical, dumps, instant, parsed, plain

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
VALUES = st.recursive(
    st.none() | st.booleans() | TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXT, inner, max_size=4),
    max_leaves=12,
)


@given(VALUES)
def test_the_same_bytes_as_two_libraries(value: Any) -> None:
    """Keys beyond the first plane included, where sorting by character is not sorting by code unit."""
    assert dumps(value) == rfc8785.dumps(value) == jcs.canonicalize(value)


def test_keys_beyond_the_first_plane() -> None:
    """U+FB33 sorts after U+1F600 in UTF-16, and before it by character."""
    value = {"\ufb33": "", "\U0001f600": ""}
    assert dumps(value) == '{"\U0001f600":"","\ufb33":""}'.encode()


@given(VALUES)
def test_canonical_text_is_read_back(value: Any) -> None:
    assert canonical(parsed(canonical(value).decode())) == canonical(value)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Decimal("1.360"), '"1.36"'),
        (Decimal("1E+3"), '"1000"'),
        (3, '"3"'),
        (True, "true"),
        (None, "null"),
        (date(2026, 3, 7), '"2026-03-07"'),
        (datetime(2026, 11, 25, 1, 2, 3, 4, tzinfo=UTC), '"2026-11-25T01:02:03.000004Z"'),
        (UUID(int=1), '"00000000-0000-0000-0000-000000000001"'),
        ("e\u0301", '"\u00e9"'),
        ({"b": 1, "a": [Decimal("0.50")]}, '{"a":["0.5"],"b":"1"}'),
    ],
)
def test_spellings(value: Any, text: str) -> None:
    assert canonical(value).decode() == text


def test_an_instant_is_told_in_utc() -> None:
    there = datetime(2026, 11, 25, 14, 2, 3, tzinfo=timezone(timedelta(hours=13)))
    assert instant(there) == "2026-11-25T01:02:03.000000Z"
    with pytest.raises(ValueError, match="needs a zone"):
        instant(datetime(2026, 11, 25))  # noqa: DTZ001 - this is what must be refused


@pytest.mark.parametrize("value", [1.5, float("nan"), object(), {1.5}, b"bytes"])
def test_what_has_no_one_spelling(value: Any) -> None:
    with pytest.raises(TypeError, match="no one spelling"):
        plain(value)


def test_half_a_character_is_refused() -> None:
    with pytest.raises(ValueError, match="surrogate"):
        canonical("\ud800")
