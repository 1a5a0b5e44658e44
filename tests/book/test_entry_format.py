"""The format of an entry is final: its bytes are held against a vector that was made apart from this code."""

import json
from datetime import UTC, datetime
from hashlib import sha256
from uuid import UUID

import jcs
import pytest
import rfc8785

from hazmat.book.act import Act, Order, entry_body
from hazmat.book.aside import Aside
from hazmat.book.canonical import canonical
from hazmat.core.chain import NOTHING_BEFORE, aside_digest, link
from hazmat.models import Unit

YARD = UUID("01939f4e-0000-7000-8000-000000000001")
ASIDE = "aab41244387b93170433a6c6c94680e96f035d2615741e1879edc40cd17369af"
IMAGE = {"built": "1970/1985", "fluid_mass_kg": "182.5", "kind": "transformer", "tag": "K7M4PX"}
HASH = "1d16d111cbdafed3cacaeaff2aa071d6793f92c48e38e4d9c978fd2a7a702518"


def ours(last: str) -> UUID:
    return UUID(f"01939f4e-0000-7000-8000-{last:>012}")


class Stranger(Unit):
    """A record whose image is the one of the vector."""

    class Meta:
        abstract = True


def vector_body(monkeypatch: pytest.MonkeyPatch) -> bytes:
    """The body that the code writes for the act of the vector."""
    order = Order(
        yard=YARD, by=ours("b1"), act=ours("a1"), zone="Pacific/Auckland",
        happened_at=datetime(2026, 11, 25, 1, 2, 3, tzinfo=UTC),
    )  # fmt: skip
    act = Act(order, "log_unit", 1, NOTHING_BEFORE, recorded_at=datetime(2026, 11, 25, 1, 2, 4, tzinfo=UTC))
    record = act.write(Unit(id=ours("c1")))
    record.aside = ASIDE
    monkeypatch.setattr(Unit, "image", lambda self: IMAGE)
    return entry_body(act)


def test_the_aside_of_the_vector() -> None:
    words = canonical({"phone": "+64 0 000 0000", "name": "Mere Example"})
    assert aside_digest(bytes(range(16)), words) == ASIDE
    kept = Aside(salt=bytes(range(16)).hex(), body=words.decode())
    assert kept.digest() == ASIDE


def test_the_entry_of_the_vector(monkeypatch: pytest.MonkeyPatch) -> None:
    body = vector_body(monkeypatch)
    assert len(body) == 582
    assert link(NOTHING_BEFORE, body).hex() == HASH


def test_the_entry_of_the_vector_by_another_writer(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same bytes by an unrelated library for RFC 8785."""
    body = vector_body(monkeypatch)
    assert jcs.canonicalize(json.loads(body)) == body


def test_one_changed_byte_is_another_hash(monkeypatch: pytest.MonkeyPatch) -> None:
    body = bytearray(vector_body(monkeypatch))
    body[100] ^= 1
    assert link(NOTHING_BEFORE, bytes(body)).hex() != HASH


KEY_ORDER = {
    "€": "Euro Sign", "\r": "Carriage Return", "\ufb33": "Hebrew Letter Dalet With Dagesh", "1": "One",
    "\U0001f600": "Emoji: Grinning Face", "\u0080": "Control", "ö": "Latin Small Letter O With Diaeresis",
}  # fmt: skip
"""RFC 8785, section 3.2.3: keys sorted by UTF-16 code units. https://www.rfc-editor.org/rfc/rfc8785#section-3.2.3"""


def test_key_order_of_the_standard() -> None:
    found = rfc8785.dumps(KEY_ORDER)
    assert list(json.loads(found)) == ["\r", "1", "\u0080", "ö", "€", "\U0001f600", "\ufb33"]
    assert sha256(found).hexdigest() == "5e321556d22018a9656991a9e94f77ec175fa193e52a2429d312f8419ec8b08c"
    assert json.dumps(KEY_ORDER, sort_keys=True, ensure_ascii=False, separators=(",", ":")).encode() != found


NUMBERS = {
    "0000000000000000": "0", "8000000000000000": "0", "0000000000000001": "5e-324", "8000000000000001": "-5e-324",
    "7fefffffffffffff": "1.7976931348623157e+308", "ffefffffffffffff": "-1.7976931348623157e+308",
    "4340000000000000": "9007199254740992", "c340000000000000": "-9007199254740992",
    "4430000000000000": "295147905179352830000", "44b52d02c7e14af5": "9.999999999999997e+22",
    "44b52d02c7e14af6": "1e+23", "44b52d02c7e14af7": "1.0000000000000001e+23",
    "444b1ae4d6e2ef4e": "999999999999999700000", "444b1ae4d6e2ef4f": "999999999999999900000",
    "444b1ae4d6e2ef50": "1e+21", "3eb0c6f7a0b5ed8c": "9.999999999999997e-7", "3eb0c6f7a0b5ed8d": "0.000001",
    "41b3de4355555553": "333333333.3333332", "41b3de4355555554": "333333333.33333325",
    "41b3de4355555555": "333333333.3333333", "41b3de4355555556": "333333333.3333334",
    "41b3de4355555557": "333333333.33333343", "becbf647612f3696": "-0.0000033333333333333333",
    "43143ff3c1cb0959": "1424953923781206.2",
}  # fmt: skip
"""RFC 8785, appendix B: IEEE 754 bits and the text of the number. https://www.rfc-editor.org/rfc/rfc8785#appendix-B"""


@pytest.mark.parametrize("bits", NUMBERS)
def test_numbers_of_the_standard(bits: str) -> None:
    """Numbers never stand in an entry; the writer that it rests on is held against the standard all the same."""
    import struct

    assert rfc8785.dumps(struct.unpack(">d", bytes.fromhex(bits))[0]).decode() == NUMBERS[bits]
