"""Colours: each pair used for text has a contrast of 7:1 or more, each edge of a box 3:1, in both schemes.

Formula: WCAG 2.2, relative luminance and contrast ratio, https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio
"""

import re

import pytest

from tests.conftest import ROOT

CSS = (ROOT / "hazmat/static/oilward/style.css").read_text(encoding="utf-8")
TEXT = [
    ("ink", "paper"), ("faint", "paper"), ("act", "paper"), ("stop", "paper"), ("on-act", "act"),
    ("note", "note-paper"), ("ink", "sheet"), ("faint", "sheet"),
]  # fmt: skip
EDGES = [("edge", "paper"), ("edge", "sheet"), ("act", "paper"), ("act", "sheet"), ("stop", "paper")]


def schemes() -> dict[str, dict[str, str]]:
    """The colours of the light and of the dark scheme, by name."""
    light = re.search(r":root \{(.*?)\n\}", CSS, re.DOTALL)
    dark = re.search(r"prefers-color-scheme: dark\) \{\s*:root \{(.*?)\}", CSS, re.DOTALL)
    assert light
    assert dark
    named = re.compile(r"--([\w-]+): (#[0-9a-f]{6})")
    return {"light": dict(named.findall(light[1])), "dark": dict(named.findall(dark[1]))}


def luminance(colour: str) -> float:
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_the_formula_by_known_pairs() -> None:
    """Black on white is 21:1; #767676 on white is the well-known lightest grey that reaches 4.5:1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("front", "back"), TEXT)
def test_text_stands_out(scheme: str, front: str, back: str) -> None:
    colours = schemes()[scheme]
    assert contrast(colours[front], colours[back]) >= 7


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("front", "back"), EDGES)
def test_edges_stand_out(scheme: str, front: str, back: str) -> None:
    colours = schemes()[scheme]
    assert contrast(colours[front], colours[back]) >= 3


def test_a_weak_pair_would_be_found() -> None:
    """The hairline is not for text."""
    colours = schemes()["light"]
    assert contrast(colours["line"], colours["paper"]) < 3


def test_no_colour_stands_outside_the_two_schemes() -> None:
    """A colour written somewhere else would be in no test."""
    for name in ("style.css", "look.css"):
        text = (ROOT / "hazmat/static/oilward" / name).read_text(encoding="utf-8")
        rules = re.sub(r":root \{.*?\}", "", text, flags=re.DOTALL)
        assert re.findall(r"#[0-9a-fA-F]{3,8}\b(?=[^{]*;)", rules) == []


def test_brick_never_stands_on_ochre() -> None:
    assert not re.search(r"\{[^}]*background: var\(--note-paper\)[^}]*color: var\(--stop\)", CSS)
