"""The label of a drum as outside programs see it."""

import re
import subprocess
from io import BytesIO
from itertools import pairwise

import numpy
import pikepdf
import pypdf
import pytest
import zxingcpp

from hazmat import papers
from hazmat.core.codes import new_tag, spaced
from hazmat.papers.render import qr_text
from tests.papers.conftest import YARDS, tool
from tests.papers.printing import LABELS, drawn, label, made_all, pdf, words_of
from tests.papers.test_papers import BOX
from tests.papers.things import CODE, drum


@pytest.mark.parametrize("country", YARDS)
def test_a_label_is_one_page_of_100_by_150_mm_whatever_stands_on_it(country: str) -> None:
    """100 mm are 283.46 points, 150 mm 425.2; nothing stands within 3.3 mm of the edge, which are 19 dots."""
    long = drum(
        country, 200, un_mark="1A1/X1.8/300/24/NZ/" + "W" * 60, litres="", kg="", between_l=("1234.5", "2345.6"),
        between_kg=("1234.5", "2345.6"), dated_by="poured", capacity_l="12345678.125",
    )  # fmt: skip
    made = [
        *(one for name, one in made_all(country).items() if name.startswith("label")),
        label(long, country, name="W" * 120, phone="+64 " + "9" * 60),
        label(long, country, name="A very long name of a yard " * 5),
    ]
    for one in made:
        pages = pypdf.PdfReader(BytesIO(pdf(one))).pages
        assert len(pages) == 1
        assert (round(float(pages[0].mediabox.width)), round(float(pages[0].mediabox.height))) == (283, 425)
        asked = [tool("pdftotext", "poppler-utils"), "-bbox", "-", "-"]
        boxes = subprocess.run(asked, input=pdf(one), capture_output=True, check=True).stdout.decode()
        for _, top, _, bottom in re.findall(BOX, boxes):
            assert float(top) >= 11
            assert float(bottom) <= 425.2 - 11
        dark = numpy.argwhere(numpy.array(drawn(one, "-gray").convert("L")) < 200)
        assert dark.min() >= 19
        assert tuple(dark.max(axis=0)) <= (885 - 19, 590 - 19)
        assert "check code" in words_of(one)


def test_the_code_is_huge_and_the_square_is_large() -> None:
    """Letters 8 mm high, and a square of 40 mm without its quiet zone, in the picture at 300 dots an inch.

    The square of a short number has 21 modules a side, and its quiet zone 4 on each (ISO/IEC 18004).
    """
    dots = 300 / 25.4
    ink = numpy.array(drawn(label(drum("us")), "-gray", resolution=300).convert("L")) < 128
    place = zxingcpp.read_barcodes(drawn(label(drum("us")), resolution=300))[0].position
    left, top, quiet = place.top_left.x, place.top_left.y, int(4 * 40 / 21 * dots)
    square = ink[top - quiet : place.bottom_left.y + quiet, left - quiet : place.top_right.x + quiet]
    for axis in (0, 1):
        dark = numpy.flatnonzero(square.any(axis=axis))
        assert 40 <= (dark[-1] - dark[0] + 1) / dots <= 41
        assert abs(dark[0] - quiet) <= 3
    rows = ink[:, int(15 * dots) : int(85 * dots)].any(axis=1)
    edges = numpy.flatnonzero(numpy.diff(rows.astype(int)))
    heights = [(end - start) / dots for start, end in pairwise(edges) if rows[start + 1]]
    assert any(7.9 <= height <= 9 for height in heights), heights


def test_a_label_says_what_is_in_it_and_what_dates_it() -> None:
    words = words_of(label(drum("us", 3)))
    for wanted in (
        spaced(CODE),
        "Treat as PCB-contaminated, 50 to below 500 ppm, not proven",
        "Handle as 50 to below 500 mg/kg",
        "HOLD: not proven.",
        "7 Mar 2026",
        "decided to be waste",
        "120 L, 105.6 kg, 24 Nov 2026, 17:02",
        "205 L; mark 1A1/X1.8/300/24/NZ/1234",
        "Do not open, tip, heat or move it",
        "Stands beside the marks and labels that your law asks for",
        "rule book us, edition 2026-11-27",
        "law day 24 Nov 2026",
        *(spaced(new_tag(number)) for number in range(3)),
    ):
        assert wanted in words, wanted
    assert "more" not in words.replace("500 mg/kg or more", "")
    assert "Test Yard +64 0 000 0000" in words_of(label(drum("nz"), "nz"))


def test_a_day_that_stands_in_is_said_to() -> None:
    assert "the day on which its oil was first drained stands in" in words_of(label(drum("us", dated_by="poured")))
    assert "stands in" not in words_of(label(drum("us")))


@pytest.mark.parametrize(("sources", "more"), [(1, 0), (8, 0), (9, 1), (200, 192)])
def test_as_many_tags_as_fit_and_how_many_more(sources: int, more: int) -> None:
    made = label(drum("us", sources))
    words = words_of(made)
    shown = [number for number in range(sources) if spaced(new_tag(number)) in words]
    assert shown == list(range(min(sources, 8)))
    assert (f"and {more} more" in words) == bool(more)
    assert [*made.payload["sources"], *made.payload["rest"]] == [new_tag(number) for number in range(sources)]


def test_what_was_not_measured_is_not_told_as_if_it_were() -> None:
    now = drum("us", litres="", kg="", between_l=("80", "120"), between_kg=("0", ""))
    assert "80 to 120 L, not all of it measured in litres, not weighed" in words_of(label(now))


@pytest.mark.parametrize(
    ("name", "wanted"),
    [
        ("empty", ["Nothing was ever poured into it.", "nothing yet", "none yet"]),
        ("low", ["Lab says: below 50 ppm PCB", "Shown to be low, each of its units by a signed result."]),
        ("high", ["Lab says: PCB, 500 ppm or more", "it leaves only with licensed people and their papers"]),
        ("can", ["Slop can of", "20 L; its UN mark is not on record", "K7M 4PK alone"]),
    ],
)
def test_each_sort_of_drum(name: str, wanted: list[str]) -> None:
    words = words_of(label(LABELS[name]("us")))
    for one in wanted:
        assert one in words, one


def test_the_ring_is_of_the_care_of_hands() -> None:
    """Solid only where every source has its result. Alternative texts by pikepdf."""
    for name, alternative in {
        "one": "Care of hands: 50 to below 500 mg/kg, not proven",
        "low": "Care of hands: 2 to below 50 mg/kg, by laboratory",
        "empty": "Care of hands: 500 mg/kg or more, not proven",
    }.items():
        made = label(LABELS[name]("us"))
        with pikepdf.open(BytesIO(pdf(made))) as found:
            texts = {str(one.Alt) for one in found.objects if isinstance(one, pikepdf.Dictionary) and "/Alt" in one}
        assert texts == {alternative, f"Code of this label: {qr_text('17', papers.code(made.payload))}"}
