"""Pictures of gear as a cheap printer shows them: 12 mm, 150 dots an inch, grey; no two are alike.

The measure is structural similarity (Wang et al., 2004, means and spreads in a Gaussian window), over windows that hold
ink, at the best of small slides: a copy that slid a little still counts as alike, another drawing does not.
"""

import subprocess
from functools import cache
from itertools import combinations, product

import numpy as np
import pytest
import weasyprint
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

from hazmat import rulebooks
from hazmat.core.gearcard import card
from hazmat.core.law import LawDay
from hazmat.core.wear import CALM, TASKS, Work
from hazmat.papers.gearmarks import DRAWN, mark_image, mark_svg, shows
from tests.papers.conftest import AT, tool

Grey = NDArray[np.float64]
MM, DPI, LEVELS = 12, 150, 255.0
SIDE = 71
"""12 mm at 150 dots an inch."""
C1, C2 = (0.01 * LEVELS) ** 2, (0.03 * LEVELS) ** 2
"""The two constants of the measure, as its authors give them."""
SIGMA = 1.5
SLIDES = range(-3, 4)
APART, ALIKE = 0.65, 0.8
NAMES = list(DRAWN)


@cache
def printed() -> dict[str, Grey]:
    """Each picture, printed at 12 mm, a page each, and read back in grey."""
    pages = "".join(f'<p><img src="{mark_image(name)["src"]}"></p>' for name in NAMES)
    style = (
        f"@page {{ size: {MM}mm {MM}mm; margin: 0 }} p {{ margin: 0; break-after: page }} "
        f"img {{ display: block; width: {MM}mm }}"
    )
    pdf = weasyprint.HTML(string=f"<style>{style}</style>{pages}").write_pdf()
    asked = [tool("pdftoppm", "poppler-utils"), "-r", str(DPI), "-gray", "-"]
    out = subprocess.run(asked, input=pdf, capture_output=True, check=True).stdout
    size = SIDE * SIDE
    each = len(out) // len(NAMES)
    assert out.startswith(f"P5\n{SIDE} {SIDE}\n255\n".encode())
    return {
        name: np.frombuffer(out[place * each : (place + 1) * each][-size:], np.uint8).reshape(SIDE, SIDE) * 1.0
        for place, name in enumerate(NAMES)
    }


def blur(of: Grey) -> Grey:
    return np.asarray(gaussian_filter(of, SIGMA), dtype=np.float64)


def similarity(one: Grey, other: Grey) -> float:
    """Mean structural similarity over windows in which either picture changes."""
    mean, its = blur(one), blur(other)
    spread, its_spread = blur(one * one) - mean**2, blur(other * other) - its**2
    both = blur(one * other) - mean * its
    found = ((2 * mean * its + C1) * (2 * both + C2)) / ((mean**2 + its**2 + C1) * (spread + its_spread + C2))
    return float(found[(spread > C2) | (its_spread > C2)].mean())


def slid(of: Grey, down: int, along: int) -> Grey:
    """The picture moved by so many dots, on white."""
    room = max(abs(down), abs(along))
    wide = np.pad(of, room, constant_values=LEVELS)
    return wide[room - down : room - down + SIDE, room - along : room - along + SIDE]


def alike(one: Grey, other: Grey) -> float:
    """The similarity at the small slide at which the two differ least, dot by dot."""
    slides = [slid(other, *slide) for slide in product(SLIDES, SLIDES)]
    return similarity(one, min(slides, key=lambda moved: float(((one - moved) ** 2).sum())))


def test_every_picture_is_printed_at_its_size() -> None:
    assert {one.shape for one in printed().values()} == {(SIDE, SIDE)}
    assert all(one.min() < 40 and one.max() > 215 for one in printed().values())


def test_no_two_pictures_are_alike() -> None:
    found = printed()
    told = {(one, other): alike(found[one], found[other]) for one, other in combinations(NAMES, 2)}
    assert {pair: round(how, 2) for pair, how in told.items() if how >= APART} == {}


@pytest.mark.parametrize("slide", [(0, 0), (1, 1), (-2, 1), (2, -2), (0, 3)])
def test_the_measure_calls_a_copy_that_slid_alike(slide: tuple[int, int]) -> None:
    found = {name: alike(one, slid(one, *slide)) for name, one in printed().items()}
    assert {name: round(how, 2) for name, how in found.items() if how < ALIKE} == {}


def test_every_piece_and_every_never_has_a_picture_with_words() -> None:
    """No picture stands alone: each belongs to a line of some card, whose words stand beside it."""
    house = LawDay(rulebooks.rulebook(rulebooks.HANDLING), AT.date())
    lines = {
        one.picture or one.name: one.says for task in TASKS for care in house.book.classes
        for said in (CALM, {}) for shown in (True, False)
        for one in card(house, task, care, Work(shown, said, "above" if said else "unknown")).every()
    }  # fmt: skip
    wanted = {name for name in lines if name.startswith("never_")}
    wanted |= {
        piece for head in ("hands", "eyes", "body", "feet", "breath", "over")
        for piece in house.book.tables[f"gear_{head}"].answers if piece not in ("not_here", "no_layer")
    }  # fmt: skip
    assert wanted <= set(DRAWN)
    assert set(DRAWN) - set(lines) == {"barred"}


@pytest.mark.parametrize("name", NAMES)
def test_a_picture_is_drawn_in_two_colours_and_says_what_it_shows(name: str) -> None:
    assert len(shows(name).split()) >= 3
    svg = mark_svg(name)
    assert "currentColor" in svg
    assert "#" not in svg
    assert mark_image(name)["alt"] == shows(name)
