"""A drum cut open: what is in it, up to where it may be filled, and its brim."""

from collections.abc import Iterable
from decimal import ROUND_FLOOR, Decimal

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from hazmat.core.measures import figure_words

WIDTH, HEIGHT, LEFT, RIGHT, BRIM, FLOOR = 320, 190, 14, 134, 16, 176
"""Size of the drawing, sides of the drum, its brim and its floor. Source: our own drawing."""
APART, WORDS_FROM = 15, 156
"""Least distance of two lines of words, and where they begin. Source: our own drawing."""
TENTH = Decimal("0.1")
"""How finely places and litres are told. Source: our own drawing."""
RIBS = (1, 2)
"""Thirds of its height at which a drum has its ribs. Source: our own drawing."""


def drum_svg(capacity: Decimal, most: Decimal | None, held: Decimal | None, at: Decimal | None) -> SafeString:
    """Litres to the brim, at most at a temperature in °C, and in it now; None where that is not known."""

    def up(litres: Decimal) -> Decimal:
        share = min(litres / capacity, Decimal(1)) if capacity else Decimal(0)
        return (FLOOR - share * (FLOOR - BRIM)).quantize(TENTH)

    said = [(up(capacity), f"to the brim {_litres(capacity)}", "")]
    if most is not None:
        said.append(
            (
                up(most),
                f"at most {_litres(most.quantize(TENTH, ROUND_FLOOR))}",
                f"at {figure_words(at)} °C" if at is not None else "",
            )
        )
    if held is not None:
        said.append((up(held), f"in it {_litres(held)}", ""))
    told = "; ".join(f"{words} {more}".strip() for _, words, more in said)
    if held is None:
        told += "; how many litres are in it is not known"
    liquid: SafeString | str = ""
    if held is None:
        liquid = format_html(
            '<text x="{}" y="{}" font-size="34" text-anchor="middle" fill="currentColor">?</text>',
            (LEFT + RIGHT) // 2, (BRIM + FLOOR) // 2 + 12,
        )  # fmt: skip
    elif held:
        top = up(held)
        liquid = format_html(
            '<rect x="{}" y="{}" width="{}" height="{}" fill="currentColor" opacity="0.25"/>'
            '<path d="M{} {}H{}" stroke="currentColor" stroke-width="1.5"/>',
            LEFT, top, RIGHT - LEFT, FLOOR - top, LEFT, top, RIGHT,
        )  # fmt: skip
    limit: SafeString | str = ""
    if most is not None:
        limit = format_html(
            '<path d="M{} {}H{}" stroke="currentColor" stroke-width="1.8" stroke-dasharray="5 3"/>',
            LEFT - 8, up(most), RIGHT + 8,
        )  # fmt: skip
    title = "How full the drum is, and may be"
    return format_html(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {} {}" role="img" aria-label="{}: {}" class="plot">'
        "<title>{}</title><desc>{}. The broken line is the most that may be in it.</desc>{}{}{}{}</svg>",
        WIDTH, HEIGHT, title, told, title, told, liquid, _shell(), limit, _words(said),
    )  # fmt: skip


def _litres(litres: Decimal) -> str:
    return f"{figure_words(litres.quantize(TENTH))} L"


def _shell() -> SafeString:
    """The drum itself: its sides and floor, a lid, two ribs."""
    ribs = format_html_join(
        "",
        '<path d="M{} {}h5M{} {}h-5" stroke="currentColor" stroke-width="1.5"/>',
        ((LEFT, y, RIGHT, y) for y in (BRIM + (FLOOR - BRIM) * third // (len(RIBS) + 1) for third in RIBS)),
    )
    return format_html(
        '<path d="M{} {}V{}H{}V{}" fill="none" stroke="currentColor" stroke-width="2.5"/>'
        '<path d="M{} {}H{}" stroke="currentColor" stroke-width="1"/>{}',
        LEFT, BRIM, FLOOR, RIGHT, BRIM, LEFT, BRIM, RIGHT, ribs,
    )  # fmt: skip


def _words(said: Iterable[tuple[Decimal, str, str]]) -> SafeString:
    """Words beside the drum, each led to its line, far enough from the one above to be read."""
    rows, free = [], Decimal(BRIM)
    for y, words, more in sorted(said, key=lambda one: one[0]):
        place = max(y, free)
        free = place + APART * (2 if more else 1)
        rows.append(
            (RIGHT, y, WORDS_FROM - 4, place, WORDS_FROM, place + 4, words, WORDS_FROM, place + 4 + APART, more)
        )
    return format_html_join(
        "",
        '<path d="M{} {}L{} {}" stroke="currentColor" stroke-width="0.5"/>'
        '<text x="{}" y="{}" font-size="12" fill="currentColor">{}</text>'
        '<text x="{}" y="{}" font-size="12" fill="currentColor">{}</text>',
        rows,
    )
