"""Codes for whatever gets a label: no two things of one yard share one, whatever they are."""

from uuid import UUID

from hazmat.book.act import Refused
from hazmat.core.codes import FIELD, TAG_BODY, new_tag
from hazmat.queries.codes import kind_of

SPREAD, STRIDE = 22_695_477, 7_368_787
"""Odd numbers that scatter sequence numbers over all tags, each to one of its own. Source: mathematics."""
TRIES = 20
"""How often another code is tried where the drawn one belongs to something already. Source: our own choice."""


def drawn(yard: UUID, seq: int, attempt: int) -> str:
    """A code that no other entry of this yard draws at the first attempt."""
    return new_tag((yard.int + seq * SPREAD + attempt * STRIDE) % FIELD**TAG_BODY)


def fresh_code(yard: UUID, seq: int, thing: str) -> str:
    """A code that nothing in this yard has, asked under its lock. `thing`: what gets it, in words. Raises Refused."""
    for attempt in range(TRIES):
        code = drawn(yard, seq, attempt)
        if not kind_of(yard, code):
            return code
    raise Refused(f"No free code was found for this {thing}; send the form once more.")


def printed_tag(yard: UUID, tag: str) -> str:
    """A printed tag that is about to be hung on a unit. Raises Refused where something in this yard has its code."""
    kind = kind_of(yard, tag)
    if kind == "unit":
        raise Refused(f"The tag {tag} hangs on another unit of this yard; take the next tag.")
    if kind:
        raise Refused(f"The tag {tag} is the code of a {kind} of this yard; take the next tag.")
    return tag
