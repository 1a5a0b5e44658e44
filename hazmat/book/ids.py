"""Keys of our rows."""

from uuid import UUID

from uuid_utils.compat import uuid7


def new_id() -> UUID:
    """A fresh UUIDv7 (RFC 9562 section 5.7, https://www.rfc-editor.org/rfc/rfc9562): no order is read from it."""
    return uuid7()
