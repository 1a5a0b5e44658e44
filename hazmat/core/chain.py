"""The day-book's chain: each entry's hash holds the hash of the one before it."""

from hashlib import sha256

ENTRY_MARK = b"\x02"
"""What stands before the bytes of an entry, so that no other hash can be taken for one. Source: our format, 1."""

NOTHING_BEFORE = bytes(32)
"""The hash before the first entry: 32 bytes of zero. Source: our format, 1."""


def link(previous: bytes, body: bytes) -> bytes:
    """SHA-256 of the mark, the 32 bytes of the previous hash, and the body as it is written: 32 bytes.

    Raises ValueError where `previous` is not 32 bytes long.
    """
    if len(previous) != len(NOTHING_BEFORE):
        raise ValueError("a previous hash is 32 bytes long")
    return sha256(ENTRY_MARK + previous + body).digest()


def aside_digest(salt: bytes, body: bytes) -> str:
    """What an entry keeps of personal data that can be erased: SHA-256 of salt and body, in hexadecimal."""
    return sha256(salt + body).hexdigest()
