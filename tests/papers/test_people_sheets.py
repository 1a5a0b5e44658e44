"""The emergency sheet of a yard and the list of a job: one page, every step, empty boxes ruled; read by poppler."""

import re
from io import BytesIO

import numpy as np
import pikepdf
import pytest

from hazmat import papers
from hazmat.papers.people import BOXES
from tests.papers.conftest import YARDS
from tests.papers.people import FULL, LONGEST, crew_list, emergency, job, signed
from tests.papers.printing import drawn, pdf, words_of

HEADS = ("Electric shock", "Fire with oil", "Spill", "Eye, skin, mouth, breath", "Somebody is not back")
SIZES = {"nz": (595, 842), "us": (612, 792)}
"""Points of A4 and letter. Source: ISO 216; ANSI Y14.1."""


def pages(made: papers.Made) -> list[tuple[int, int]]:
    with pikepdf.open(BytesIO(pdf(made))) as found:
        return [(round(float(one.mediabox[2])), round(float(one.mediabox[3]))) for one in found.pages]


@pytest.mark.parametrize("country", YARDS)
@pytest.mark.parametrize("card", [None, FULL, LONGEST], ids=["empty", "full", "longest"])
def test_the_emergency_sheet_is_one_page_of_the_paper_of_the_country(card: dict[str, str] | None, country: str) -> None:
    assert pages(emergency(card, country)) == [SIZES[country]]


def test_it_says_every_step_in_order_and_every_box() -> None:
    words = words_of(emergency(FULL), "-raw")
    assert [words.index(head) for head in HEADS] == sorted(words.index(head) for head in HEADS)
    for box, told in FULL.items():
        assert BOXES[box] in words
        assert " ".join(told.split()) in words
    assert re.search(
        r"Nobody within 50 m \(150 feet\); where a tank or a truck is in the fire, nobody within 800 m", words
    )
    assert words.index("Do not touch the person") < words.index("Switch off where you can do it")
    assert "No kerosene" in words
    assert "Emergency Response Guidebook, guide 171" in words


def test_nothing_is_invented_where_nothing_was_written() -> None:
    words = words_of(emergency(None), "-raw")
    assert re.findall(r"\b(?:111|112|911|999|000)\b", words.replace("+64 0 000 0000", "").replace("86-111", "")) == []
    assert all(name in words for name in BOXES.values())


def test_an_empty_box_is_ruled() -> None:
    """Dark rules cross the page left to right above and below each of the three rows of boxes."""
    grey = np.asarray(drawn(emergency(None), resolution=100).convert("L"))
    dark = (grey < 120).mean(axis=1) > 0.8
    lines = int(np.count_nonzero(np.diff(dark.astype(int)) == 1))
    assert lines >= 4
    full = np.asarray(drawn(emergency(FULL), resolution=100).convert("L"))
    assert int(np.count_nonzero(np.diff(((full < 120).mean(axis=1) > 0.8).astype(int)) == 1)) == lines


def test_names_of_a_list_are_printed_and_stand_in_no_payload() -> None:
    made = crew_list(job(signed(1), signed(2), signed(3, person="", name="", part="looks_on", read="leader")))
    words = words_of(made, "-raw")
    assert "Person Number 1" in words
    assert "training had run out; let go ahead today: the pan is full" in words
    assert "name erased" in words
    assert "looks on; read the card, ticked by the leader" in words
    assert "Person Number" not in str(made.payload)


@pytest.mark.parametrize("first_aid", [True, False])
def test_a_list_says_where_nobody_holds_first_aid(first_aid: bool) -> None:
    words = words_of(crew_list(job(signed(1), first_aid=first_aid)), "-raw")
    assert ("Nobody on this list has first aid written down that still holds" in words) != first_aid


def test_a_long_list_goes_on_and_says_how_many_pages_it_has() -> None:
    made = crew_list(job(*map(signed, range(60))))
    count = len(pages(made))
    assert count > 1
    words = words_of(made)
    assert f"page 1 of {count}" in words
    assert f"page {count} of {count}" in words
    assert all(f"Person Number {place}" in words for place in range(60))
