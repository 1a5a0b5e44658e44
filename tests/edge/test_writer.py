"""The line that is put together from kept parts is the line that a plain encoder writes."""

from datetime import date

import msgspec
from hypothesis import given
from hypothesis import strategies as st

from hazmat.edge.lines import Assessor
from hazmat.edge.reader import Refused
from hazmat.edge.writer import JsonLines, as_dict
from tests.edge.strategies import encoded, units

DAY = date(2026, 11, 25)


def plain(value: object) -> object:
    """The same without the tuples of our own, which a plain encoder does not know."""
    return tuple(value) if isinstance(value, tuple) else value


@given(st.lists(units(), max_size=5), st.sampled_from(["us", "ca", "nz", "au", "gb", "eu", "treaty"]))
def test_a_kept_part_never_changes_a_line(register: list[dict[str, object]], law: str) -> None:
    write = JsonLines().line
    lines = [encoded({**unit, "id": str(place)}) for place, unit in enumerate(register)]
    for answer in Assessor(law, DAY, DAY).answers(
        [*lines, *(line.replace(b'"id":"', b'"id":"again ') for line in lines)]
    ):
        assert not isinstance(answer, Refused), answer
        expected = msgspec.json.encode({key: plain(value) for key, value in as_dict(answer).items()})
        assert write(answer) == expected + b"\n"
