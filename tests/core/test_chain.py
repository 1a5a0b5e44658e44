"""The chain of the day-book: SHA-256 of the mark 0x02, the 32 bytes of the hash before, and the body.

The hashes of the two records were made apart from this code.
"""

from hashlib import sha256

import pytest
import rfc8785

from hazmat.core.chain import NOTHING_BEFORE, link


def test_two_records_in_a_chain() -> None:
    """Numbers as bare integers: the bodies of this check are not entries of ours, only the chain is."""
    first = rfc8785.dumps({"seq": 1, "body": {"event": "received", "unit": "U-1", "kg": "182.5"}})
    second = rfc8785.dumps({"seq": 2, "body": {"event": "sampled", "unit": "U-1", "sample": "S-1"}})
    one = link(NOTHING_BEFORE, first)
    assert one.hex() == "2c65e46c456f96ca628a165ba6029759e761564e4b956a9b03c7c31a577090c7"
    assert link(one, second).hex() == "846cc2deb055f0e436067806698154e57784d67be14c42cf61e27e385650640c"


def test_the_chain_by_hand() -> None:
    assert bytes(32) == NOTHING_BEFORE
    assert link(NOTHING_BEFORE, b"{}") == sha256(b"\x02" + bytes(32) + b"{}").digest()


@pytest.mark.parametrize("previous", [b"", b"short", bytes(31), bytes(33), b"0" * 64])
def test_a_previous_hash_of_another_length_is_refused(previous: bytes) -> None:
    """Sixty-four characters are a hash in hexadecimal: never taken for the hash itself."""
    with pytest.raises(ValueError, match="32 bytes"):
        link(previous, b"{}")
