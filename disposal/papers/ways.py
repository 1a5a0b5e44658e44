"""The ways of oil as a small drawing: columns by the number of steps, oil flowing from left to right."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

COLUMN, ROW, HEAD = 88, 18, 24
"""Width of a column, height of a row and of the words above them, in px. Source: our own drawing."""
MOST = 50
"""How many things are drawn, the nearest first. Source: our own choice, what one sheet of paper holds."""
FAR = 6
"""How many steps away the farthest thing is that is drawn. Source: our own choice."""
SHAPES = {
    "unit": "M{x} {y}m-4 -4h8v8h-8z", "drum": "M{x} {y}m-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0",
    "slop_can": "M{x} {y}m-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0", "gear": "M{x} {y}m0 -5l5 9h-10z",
    "bottle": "M{x} {y}m0 -5l4 5l-4 5l-4 -5z",
}  # fmt: skip
"""The mark of each sort of thing."""
KEY = "Square: unit; circle: drum or slop can; triangle: gear; diamond: bottle. Broken line: traces on gear."
"""What the marks mean."""


@dataclass(frozen=True, kw_only=True)
class Dot:
    """A thing as it is drawn. `to`: the key of the thing that its step joins it to; `broken`: by traces on gear."""

    key: str
    what: str
    code: str
    hops: int
    to: str
    broken: bool = False


def drawn(dots: Iterable[Dot]) -> list[Dot]:
    """The dots that are drawn: the nearest ones, not too far away."""
    return sorted((one for one in dots if one.hops <= FAR), key=lambda one: one.hops)[:MOST]


def ways_svg(begun: Dot, dots: Iterable[Dot], *, title: str, backwards: bool) -> SafeString:
    """The drawing, from where it is asked; nothing without dots. `backwards`: what is farthest stands on the left."""
    shown = drawn(dots)
    if not shown:
        return SafeString("")
    columns: dict[int, list[Dot]] = defaultdict(list)
    for one in shown:
        columns[one.hops].append(one)
    far, rows = max(columns), max(len(one) for one in columns.values())
    at = {begun.key: (_across(0, far, backwards), HEAD + rows * ROW // 2)}
    for hops, column in columns.items():
        spare = (rows - len(column)) * ROW // 2
        for place, one in enumerate(column):
            at[one.key] = (_across(hops, far, backwards), HEAD + spare + place * ROW + ROW // 2)
    width, height = (far + 1) * COLUMN, HEAD + rows * ROW + ROW // 2
    heads = format_html_join(
        "", '<text x="{}" y="12" font-size="10" fill="currentColor">{}</text>',
        ((_across(hops, far, backwards) - 4, _steps(hops)) for hops in sorted(columns)),
    )  # fmt: skip
    lines = format_html_join(
        "", '<path d="{}" fill="none" stroke="currentColor" stroke-width="1"{}/>',
        (
            (_curve(at[one.key], at[one.to]), SafeString(' stroke-dasharray="3 3"' if one.broken else ""))
            for one in shown if one.to in at
        ),
    )  # fmt: skip
    marks = format_html_join("", "{}", ((_mark(one, at[one.key]),) for one in (begun, *shown)))
    return format_html(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {} {}" width="{}" height="{}" role="img" '
        'aria-label="{}" class="ways"><title>{}</title><desc>Oil flows from left to right, a column a step. {}</desc>'
        '{}<g opacity="0.55">{}</g>{}</svg>',
        width, height, width, height, title, title, KEY, heads, lines, marks,
    )  # fmt: skip


def _across(hops: int, far: int, backwards: bool) -> int:
    return (far - hops if backwards else hops) * COLUMN + 8


def _steps(hops: int) -> str:
    return "1 step" if hops == 1 else f"{hops} steps"


def _curve(one: tuple[int, int], other: tuple[int, int]) -> str:
    """From the right of whichever stands on the left to the other one."""
    (x, y), (u, v) = sorted((one, other))
    x, middle = x + COLUMN - 22, u - 12
    return f"M{x} {y}C{middle} {y} {x} {v} {u - 6} {v}"


def _mark(one: Dot, at: tuple[int, int]) -> SafeString:
    x, y = at
    return format_html(
        '<path d="{}" fill="currentColor"/><text x="{}" y="{}" font-size="11" fill="currentColor"{}>{}</text>',
        SHAPES[one.what].format(x=x, y=y), x + 8, y + 4, SafeString(' font-weight="700"' if not one.hops else ""),
        one.code,
    )  # fmt: skip
