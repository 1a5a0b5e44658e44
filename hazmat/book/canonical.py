"""The one spelling of a value that is hashed or compared: RFC 8785, with every number, day and key as text."""

import unicodedata
from collections.abc import Mapping
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

import msgspec
import rfc8785

from hazmat.core.measures import figure_words

FORMAT = 1
"""The format of an entry. It is final: another one would get another number. Source: our own."""

BEYOND = (b"\xf0", b"\xf1", b"\xf2", b"\xf3", b"\xf4")
"""How a character beyond the first plane begins in UTF-8. Source: RFC 3629, 3 and 4; RFC 8785, 3.2.3."""

_encode = msgspec.json.Encoder(order="sorted").encode
_decode = msgspec.json.Decoder().decode


def canonical(value: Any) -> bytes:
    """The bytes of `plain(value)` by RFC 8785 (https://www.rfc-editor.org/rfc/rfc8785).

    Raises ValueError for text that no UTF-8 can hold (a lone surrogate).
    """
    return dumps(plain(value))


def dumps(value: Any) -> bytes:
    """RFC 8785 of text, truth, nothing, whole numbers, lists and objects.

    msgspec escapes as the standard does and sorts keys by character, which is the order of the standard as long as no
    character lies beyond the first plane; else the library made for it is asked.
    """
    text = _encode(value)
    return rfc8785.dumps(value) if beyond_first_plane(text) else text


def beyond_first_plane(text: bytes) -> bool:
    """Whether a character lies beyond the first plane, where the order of UTF-16 code units is another one."""
    return not text.isascii() and any(lead in text for lead in BEYOND)


def plain(value: Any) -> Any:
    """A value as JSON holds it: text in NFC, numbers, days, instants and keys as text; nothing else changes.

    Raises TypeError for a float and for whatever is no plain value.
    """
    if type(value) is str:
        return value if value.isascii() else unicodedata.normalize("NFC", value)
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, str):
        return unicodedata.normalize("NFC", str(value))
    if isinstance(value, (dict, Mapping)):  # the first is found without asking, and is nearly always there
        return {
            key if type(key) is str and key.isascii() else plain(str(key)): plain(one) for key, one in value.items()
        }
    if isinstance(value, (list, tuple)):
        return [plain(one) for one in value]
    return _text(value)


def _text(value: Any) -> str:
    if isinstance(value, UUID):
        return str(value)
    if isinstance(value, Decimal):
        return figure_words(value)
    if isinstance(value, int):
        return str(value)
    if isinstance(value, datetime):
        return instant(value)
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} has no one spelling")


def instant(moment: datetime) -> str:
    """An instant in UTC with six decimals: `2026-11-25T01:02:03.000000Z`. Raises ValueError without a zone."""
    if moment.tzinfo is None:
        raise ValueError("an instant needs a zone")
    return moment.astimezone(UTC).replace(tzinfo=None).isoformat(timespec="microseconds") + "Z"


def parsed(text: str) -> Any:
    """The value of a canonical text. Raises ValueError where it is no JSON."""
    try:
        return _decode(text)
    except msgspec.DecodeError as wrong:
        raise ValueError(str(wrong)) from None
