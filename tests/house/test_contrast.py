"""Colours: each pair used for text has a contrast of 7:1 or more, each edge of a box 3:1, in both schemes.

Formula: WCAG 2.2, relative luminance and contrast ratio, https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio
"""

import re
from itertools import product

import pytest

from tests.conftest import ROOT

FOLDER = ROOT / "hazmat/static/oilward"
CSS = (FOLDER / "style.css").read_text(encoding="utf-8")
SHEETS = {file.name: file.read_text(encoding="utf-8") for file in sorted(FOLDER.glob("*.css"))}
GROUNDS = ("paper", "sheet")
"""What lies under words that name no ground of their own: the page, and a box on it."""
PAGE_ONLY = {"stop"}
"""Ink of heads, strips and errors, which stand on the page and never in a box."""
TEXT, EDGE = 7.0, 3.0
"""Least contrast of words, and of the edge of a box. Source: our own rule (WCAG 2.2 AAA 1.4.6) and AA 1.4.11."""

Pairs = set[tuple[str, str]]


def schemes(css: str = CSS) -> dict[str, dict[str, str]]:
    """The colours of the light and of the dark scheme, by name."""
    light = re.search(r":root \{(.*?)\n\}", css, re.DOTALL)
    dark = re.search(r"prefers-color-scheme: dark\) \{\s*:root \{(.*?)\}", css, re.DOTALL)
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


def rules(css: str) -> list[str]:
    """The declarations of every rule that names no colours of its own."""
    return [body for body in re.findall(r"\{([^{}]*)\}", css) if "--paper:" not in body]


def named(declaration: str, body: str) -> set[str]:
    """The colours that a declaration names in a rule."""
    found = re.findall(rf"(?:^|[;\s])(?:{declaration}):([^;]*)", body)
    return {name for value in found for name in re.findall(r"var\(--([\w-]+)\)", value)}


def text_pairs(css: str) -> Pairs:
    """Each ink with each ground that it stands on: the ground of its own rule, else whatever words stand on."""
    pairs: Pairs = set()
    for body in rules(css):
        inks, grounds = named("color", body), named("background", body)
        pairs |= set(product(inks, grounds or (["paper"] if inks <= PAGE_ONLY else GROUNDS)))
        pairs |= set(product(() if inks else ("ink",), grounds & set(GROUNDS)))
    return pairs


def edge_pairs(css: str) -> Pairs:
    """Each colour that bounds a box, on the page and in a box; the hairline between lines bounds none."""
    edges = {name for body in rules(css) for name in named("border(?:-[a-z]+)*|outline", body)}
    return set(product(edges - {"line"}, GROUNDS))


def weak(css: str, pairs: Pairs, least: float) -> list[str]:
    """Every pair that is too weak in a scheme."""
    return [
        f"{scheme}: {front} on {back} has {contrast(colours[front], colours[back]):.2f}"
        for scheme, colours in schemes(css).items()
        for front, back in sorted(pairs)
        if contrast(colours[front], colours[back]) < least
    ]


def test_the_formula_by_known_pairs() -> None:
    """Black on white is 21:1; #767676 on white is the well-known lightest grey that reaches 4.5:1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("sheet", SHEETS)
def test_words_stand_out(sheet: str) -> None:
    assert weak(CSS, text_pairs(SHEETS[sheet]), TEXT) == []


@pytest.mark.parametrize("sheet", SHEETS)
def test_edges_stand_out(sheet: str) -> None:
    assert weak(CSS, edge_pairs(SHEETS[sheet]), EDGE) == []


def test_pairs_are_read_from_the_sheet() -> None:
    """The pairs that anybody sees on a page are among those that are read."""
    seen = {
        ("ink", "paper"), ("ink", "sheet"), ("faint", "paper"), ("act", "paper"), ("on-act", "act"), ("stop", "paper"),
        ("note", "note-paper"), ("paper", "stop"),
    }  # fmt: skip
    assert seen <= text_pairs(CSS)
    assert {("edge", "paper"), ("edge", "sheet"), ("act", "sheet"), ("stop", "paper")} <= edge_pairs(CSS)


@pytest.mark.parametrize(
    ("rule", "found"),
    [
        (".x { color: var(--line); }", "light: line on paper"),
        (".x { color: var(--edge); }", "dark: edge on sheet"),
        (".x { background: var(--act); color: var(--ink); }", "light: ink on act"),
        (".x { color: var(--stop); background: var(--note-paper); }", "light: stop on note-paper"),
    ],
)
def test_a_weak_pair_is_found(rule: str, found: str) -> None:
    planted = CSS + rule
    assert any(one.startswith(found) for one in weak(planted, text_pairs(planted), TEXT))


def test_a_weak_edge_is_found() -> None:
    planted = CSS + ".x { border: 2px solid var(--note-paper); }"
    assert any("note-paper on paper" in one for one in weak(planted, edge_pairs(planted), EDGE))


@pytest.mark.parametrize("sheet", SHEETS)
def test_no_colour_stands_outside_the_two_schemes(sheet: str) -> None:
    """A colour written somewhere else would be in no test."""
    bodies = re.sub(r":root \{.*?\}", "", SHEETS[sheet], flags=re.DOTALL)
    assert re.findall(r"#[0-9a-fA-F]{3,8}\b(?=[^{]*;)|\b(?:rgba?|hsla?|oklch)\(", bodies) == []


def test_brick_never_stands_on_ochre() -> None:
    for sheet in SHEETS.values():
        assert ("stop", "note-paper") not in text_pairs(sheet)
