"""A register judged by several processes is answered as one process answers it, to the byte and in order."""

import json
import multiprocessing
import random
from datetime import date
from itertools import groupby
from pathlib import Path

import pytest

from hazmat import rulebooks
from hazmat.edge import abreast
from hazmat.edge.abreast import Abreast
from hazmat.edge.drawn import seeded_lines
from hazmat.edge.lines import Assessor
from hazmat.edge.reader import BOM, Refused

ON = date(2026, 11, 25)
ODD = (
    b"nonsense\n", b"\n", b"  \r\n", b'{"id":"X","kind":"drumm"}\n',
    BOM + b'{"id":"M","kind":"drum","found_in":"NZ"}\n',
    b'{"id":"no law","kind":"drum"}\n', b'{"id":"\xc3\xa9","kind":"motor","found_in":"NZ"}\n',
)  # fmt: skip


@pytest.fixture(autouse=True)
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    """Blocks are small and other processes start soon."""
    monkeypatch.setattr(abreast, "ALONE", 10)
    monkeypatch.setattr(abreast, "BLOCK", 7)


def told(answers: list[bytes | Refused]) -> list[str]:
    """Answers as text, those in a row joined, and refusals as people see them."""
    parts = groupby(answers, key=lambda one: isinstance(one, Refused))
    return [text for bad, some in parts for text in (map(str, some) if bad else [b"".join(some).decode()])]  # type: ignore[arg-type]


def answers(lines: list[bytes], many: int) -> list[bytes | Refused]:
    return list(Abreast(Assessor(None, ON, ON), many).answers(lines))


def test_a_good_register_comes_out_the_same() -> None:
    lines = seeded_lines(300)
    many = answers(lines, 2)
    assert told(many) == told(answers(lines, 1))
    assert len(many) < 60, "blocks come back whole"
    ids = [json.loads(line)["id"] for line in told(many)[0].splitlines()]
    assert ids == [json.loads(line)["id"] for line in lines]


@pytest.mark.parametrize("seed", range(3))
def test_odd_lines_are_refused_where_they_stand(seed: int) -> None:
    """Bad, blank, marked and repeated lines, within a block and far apart."""
    draw = random.Random(seed)
    lines = seeded_lines(200)
    for _ in range(12):
        lines.insert(draw.randrange(len(lines)), draw.choice([*ODD, draw.choice(lines)]))
    one = told(answers(lines, 1))
    assert told(answers(lines, 2)) == one
    assert len(one) > 5


@pytest.mark.parametrize("count", [0, 1, 9, 10, 11, 17, 18, 24])
def test_every_length_is_answered(count: int) -> None:
    lines = seeded_lines(count)
    assert told(answers(lines, 2)) == told(answers(lines, 1))


def test_an_id_of_the_first_lines_is_known_in_every_block() -> None:
    lines = seeded_lines(100)
    again = [*lines, lines[0]]
    assert str(answers(again, 2)[-1]).startswith("line 101, id: “U000000” stood on an earlier line already")


def test_whoever_stops_early_leaves_no_process_behind() -> None:
    stream = Abreast(Assessor(None, ON, ON), 2).answers(seeded_lines(400))
    for _ in range(15):
        next(stream)
    assert multiprocessing.active_children()
    stream.close()
    assert not multiprocessing.active_children()


def test_a_process_that_is_lost_loses_no_answer() -> None:
    lines = seeded_lines(400)
    stream = Abreast(Assessor(None, ON, ON), 2).answers(lines)
    found = [next(stream) for _ in range(15)]
    for child in multiprocessing.active_children():
        child.kill()
    assert told([*found, *stream]) == told(answers(lines, 1))


def test_every_process_judges_by_the_edition_that_was_loaded(tmp_path: Path) -> None:
    """A figure of 45 with a loaded New Zealand text of 40 ppm (made up) in place of the notice's own 50."""
    shipped = rulebooks.rulebook("nz")
    text = shipped.canonical.replace(f'"edition":"{shipped.edition}"', '"edition":"2027-03-01"')
    (tmp_path / "nz.json").write_text(text.replace('"is":"50"', '"is":"40"'), encoding="utf-8")
    test = {"how": "laboratory", "value": 45, "unit": "mg/kg"}
    lines = [
        json.dumps({"id": f"U{n}", "kind": "transformer", "found_in": "NZ", "tests": [test]}).encode() + b"\n"
        for n in range(60)
    ]
    rulebooks.look_beside(tmp_path)
    try:
        found = [json.loads(line) for line in "".join(told(answers(lines, 2))).splitlines()]
    finally:
        rulebooks.look_beside(None)
    assert len(found) == 60
    assert {(one["class"], one["edition"][:10]) for one in found} == {("over_50", "2027-03-01")}
