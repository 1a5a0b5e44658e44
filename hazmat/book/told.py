"""What the text of an entry tells, read strictly: an entry that was tampered with is named, never stumbled over."""

import re
from collections.abc import Sequence
from typing import Any

import msgspec

from hazmat.book.canonical import FORMAT, beyond_first_plane, dumps

KEY = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", re.ASCII)
"""A key as an entry writes it. Source: RFC 9562, 4."""


class ToldFile(msgspec.Struct, forbid_unknown_fields=True):
    """A file that an entry names."""

    name: str
    sha256: str


class ToldRecord(msgspec.Struct, forbid_unknown_fields=True):
    """A record that an entry names, with the bytes of its image."""

    aside: str | None
    id: str
    image: msgspec.Raw
    replaces: str | None
    table: str


class Told(msgspec.Struct, forbid_unknown_fields=True):
    """The text of an entry, in the order of its keys."""

    act: str
    by: str
    device: str | None
    files: list[ToldFile]
    happened_at: str
    recorded_at: str
    records: list[ToldRecord]
    said: str | None
    seq: str
    v: int
    verb: str
    yard: str
    zone: str


Image = dict[str, Any]
"""The image of a record as plain data."""
UNREADABLE = (msgspec.DecodeError, UnicodeDecodeError, RecursionError)
"""What reading a text that somebody changed may raise."""

_decode = msgspec.json.Decoder(Told).decode
_image = msgspec.json.Decoder(Image).decode
_encode = msgspec.json.Encoder(order="sorted").encode
_key = KEY.fullmatch


def read(raw: bytes) -> Told | None:
    """The bytes of an entry as what they tell; None where they are no entry of this format."""
    try:
        told = _decode(raw)
    except UNREADABLE:
        return None
    for one in told.records:
        if not _key(one.id) or not (one.replaces is None or _key(one.replaces)):
            return None
    return told if told.v == FORMAT else None


def images(told: Told) -> list[Image] | None:
    """The image of each record that an entry names; None where one is none, so that the text is no entry."""
    try:
        return [_image(record.image) for record in told.records]
    except UNREADABLE:
        return None


def in_one_spelling(told: Told, found: Sequence[Image], raw: bytes) -> bool:
    """Whether these bytes are the one spelling of what they tell (RFC 8785). `found`: the images of its records."""
    try:
        if beyond_first_plane(raw):
            return dumps(msgspec.json.decode(raw)) == raw
        spelled = all(_encode(image) == bytes(record.image) for image, record in zip(found, told.records, strict=True))
        return spelled and bool(_encode(told) == raw)
    except RecursionError:
        return False
