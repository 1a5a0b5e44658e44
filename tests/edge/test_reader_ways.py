"""The quick way of the reader and the careful one: what the quick way takes, the careful way reads the same."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.facts import Unit
from hazmat.edge.reader import Reader, Refused
from hazmat.edge.shapes import Slip
from tests.edge.sentences import is_one_sentence
from tests.edge.strategies import TODAY, lines, mutated, nonsense


def quick(raw: bytes) -> Unit | None:
    return Reader(TODAY)._quickly(raw)


def careful(raw: bytes) -> Unit | None:
    try:
        return Reader(TODAY)._carefully(raw)
    except Slip:
        return None


def alike(raw: bytes) -> None:
    """Where the quick way answers, the careful way gives the very same, to the last digit."""
    found = quick(raw)
    if found is not None:
        assert (found, repr(found)) == (careful(raw), repr(careful(raw)))


@given(lines)
def test_a_valid_line_is_read_alike(raw: bytes) -> None:
    assert careful(raw) is not None
    alike(raw)


@given(mutated())
def test_a_line_with_slips_is_read_alike(raw: bytes) -> None:
    alike(raw)


@given(st.binary(max_size=80))
def test_what_makes_no_sense_is_never_read_quickly(raw: bytes) -> None:
    alike(raw)


@given(st.lists(st.one_of(mutated(), nonsense, lines), max_size=5))
def test_any_bytes_are_read_or_refused_and_nothing_is_raised(stream: list[bytes]) -> None:
    found = list(Reader(TODAY).lines(stream))
    blank = [number for number, raw in enumerate(stream, 1) if not raw.removeprefix(b"\xef\xbb\xbf").strip()]
    assert [number for number, _ in found] == [
        n for n in range(1, len(stream) + 1) if n not in blank or n in dict(found)
    ]
    for number, one in found:
        assert isinstance(one, Unit | Refused)
        if isinstance(one, Refused):
            assert one.line == number
            is_one_sentence(one)


DEPTHS = (100, 500, *range(900, 1100), 5_000, 100_000)
"""Around the limits of the decoders, and far beyond."""


@pytest.mark.parametrize("escape", [b"", b"\\u0041"])
@pytest.mark.parametrize("pair", [(b"[", b"]"), (b'{"x":', b"}")], ids=["lists", "objects"])
def test_nesting_to_any_depth_is_refused(escape: bytes, pair: tuple[bytes, bytes]) -> None:
    """The quick decoder, the careful one and the search for half characters each have a limit of their own."""
    for depth in DEPTHS:
        deep = pair[0] * depth + b"1" + pair[1] * depth
        for line in (deep, b'{"id":"a%s","kind":"drum","x":%s}' % (escape, deep), pair[0] * depth):
            ((_, found),) = Reader(TODAY).lines([line])
            assert isinstance(found, Refused)
            is_one_sentence(found)


TWICE = [
    b'{"id":"a","id":"b","kind":"drum"}',
    b'{"id":"a","kind":"drum","id":"a"}',
    b'{"id":"a","kind":"drum","count":1,"count":null}',
    b'{"id":"a","kind":"drum","count":null,"count":null}',
    b'{"id":"a","kind":"drum","id" :"b"}',
    b'{"id":"a","kind":"drum","id"\t\r\n:"b"}',
    b'{"id":"a","kind":"drum","\\u0069d":"b"}',
    b'{"id":"a","kind":"drum","tests":[{"how":"screen","how":"wipe"}]}',
    b'{"id":"a","kind":"drum","tests":[{"how":"screen"}],"tests":[{"how":"wipe"}]}',
    b'{"id":"a","kind":"drum","tests":[{"how":"wipe","congeners":{"28":1,"28":2}}]}',
    b'{"id":"a","kind":"drum","tests":[{"how":"wipe","congeners":{"28":1,"2\\u0038":2}}]}',
    b'{"id":"a","kind":"drum","spaces":[{"name":":","name":":"}]}',
    b'{"id":":","kind":"drum","plate_words":["\\":"],"id":"b"}',
]


@pytest.mark.parametrize("raw", TWICE)
def test_a_key_that_stands_twice_is_refused_both_ways(raw: bytes) -> None:
    """Names within an object should be unique, and readers differ on which one counts: RFC 8259, section 4."""
    assert quick(raw) is None
    with pytest.raises(Slip, match="twice"):
        Reader(TODAY)._carefully(raw)


def test_a_colon_in_a_text_is_no_key() -> None:
    for text in (':"', ":", '\\":', '","kind":"', "a:b", '"id":1'):
        ((_, found),) = Reader(TODAY).lines([json.dumps({"id": text, "kind": "drum"}).encode()])
        assert isinstance(found, Unit), str(found)
        assert found.id == text


def test_ids_are_remembered_over_lines_and_ways() -> None:
    stream = [b'{"id":"a","kind":"drum"}', b'{"id" : "\\u0061","kind":"drum"}', b'{"id":"A","kind":"drum"}']
    found = [one for _, one in Reader(TODAY).lines(stream)]
    assert [type(one) for one in found] == [Unit, Refused, Unit]
    assert isinstance(found[1], Refused)
    assert found[1].path == "id"


def test_a_line_that_is_refused_does_not_use_up_its_id() -> None:
    stream = [b'{"id":"a","kind":"drumm"}', b'{"id":"a","kind":"drum","density_kg_l":880}', b'{"id":"a","kind":"drum"}']
    assert [type(one) for _, one in Reader(TODAY).lines(stream)] == [Refused, Refused, Unit]
