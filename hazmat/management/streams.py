"""Where lines come from: a file, or standard input; what cannot be read is refused in one sentence."""

import sys
from collections.abc import Iterable, Iterator
from contextlib import AbstractContextManager, nullcontext

from hazmat.management.verb import Refusal


def opened(name: str) -> AbstractContextManager[Iterable[bytes]]:
    """A file of JSON lines, or standard input for `-`. Raises Refusal."""
    if name == "-":
        if sys.stdin is None:
            raise Refusal("“-” cannot be read: standard input is closed; name a file, or send lines to it")
        return nullcontext(sys.stdin.buffer)
    try:
        return open(name, "rb")
    except (OSError, ValueError) as error:
        raise _unreadable(name, error) from None


def _unreadable(name: str, error: Exception) -> Refusal:
    why = (getattr(error, "strerror", None) or "it is not a name of a file").lower()
    plain = "".join([c if c.isprintable() else "?" for c in name])
    return Refusal(f"“{plain}” cannot be read: {why}; name a file of JSON lines")


def lines_of(stream: Iterable[bytes], name: str) -> Iterator[bytes]:
    """The lines of a stream; one that breaks off is refused like one that cannot be opened."""
    try:
        yield from stream
    except OSError as error:
        raise _unreadable(name, error) from None
