"""Keys of rows."""

import time
import uuid

from hazmat.book.ids import new_id


def test_key_is_version_7_of_rfc_9562() -> None:
    """RFC 9562 section 5.7: version 7 in four bits, variant 10 in two, 48 bits of milliseconds in front."""
    key = new_id()
    assert type(key) is uuid.UUID
    assert key.version == 7
    assert key.variant == uuid.RFC_4122


def test_key_front_is_the_time_in_milliseconds() -> None:
    before = time.time_ns() // 1_000_000
    front = new_id().int >> 80
    assert before <= front <= time.time_ns() // 1_000_000


def test_keys_differ() -> None:
    assert len({new_id() for _ in range(1000)}) == 1000
