"""What every refusal must be, and short ways to a line of a register."""

from hazmat.core.facts import Unit
from hazmat.edge.reader import Reader, Refused
from tests.edge.strategies import TODAY

GOOD, ALSO_GOOD = b'{"id":"good","kind":"drum"}', b'{"id":"also good","kind":"drum"}'
LONGEST = 700
"""Characters of a refusal that a screen can hold; the longest list of keys takes about 500."""


def is_one_sentence(refused: Refused) -> None:
    """One printable line that names the line of the file and says something."""
    text = str(refused)
    assert text.isprintable(), ascii(text)
    assert text.startswith(f"line {refused.line}")
    assert refused.says
    assert len(text) < LONGEST, len(text)


def refusal(raw: bytes) -> Refused:
    """The refusal of a line between two good ones, which are both read."""
    stream = [GOOD, raw, ALSO_GOOD]
    (_, before), (number, refused), (_, after) = Reader(TODAY).lines(stream)
    assert isinstance(before, Unit)
    assert isinstance(after, Unit)
    assert isinstance(refused, Refused), f"{raw[:80]!r} was read"
    assert number == refused.line == 2
    is_one_sentence(refused)
    return refused


def says(raw: bytes, path: str, stood: str, may: str) -> None:
    """The four things that a refusal must name."""
    refused = refusal(raw)
    assert refused.path == path
    assert stood in refused.says
    assert may in refused.says
    assert str(refused).startswith(f"line 2, {path}: " if path else "line 2: ")


def read(raw: bytes) -> Unit:
    ((_, unit),) = Reader(TODAY).lines([raw])
    assert isinstance(unit, Unit), str(unit)
    return unit


def line(inner: str) -> bytes:
    return f'{{"id":"A1","kind":"transformer",{inner}}}'.encode()


def second(inner: str) -> bytes:
    """A line whose second test holds this."""
    return line(f'"tests":[{{"how":"density"}},{{"how":"laboratory",{inner}}}]')
