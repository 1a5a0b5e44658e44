"""Pages that came on paper, drawn by us: the report of a laboratory, a certificate, a signed sheet, a drawn name."""

import io
from collections.abc import Sequence

from hazmat.demo.ink import WIDTH, Sheet, box
from hazmat.demo.sketches import QUALITY

LEFT, TOP, LINE = 150, 170, 78
"""Margins of a page and the height of a line, in pixels of the sheet. Source: our own drawing."""


def page(head: str, lines: Sequence[str], seed: str) -> bytes:
    """A page with a head and some lines, as JPEG: photographed where it lay."""
    sheet = Sheet(seed)
    sheet.line(box(70, 60, WIDTH - 140, 830), 2.0)
    sheet.text(LEFT, TOP, head, 46)
    sheet.line([(LEFT, TOP + 24), (WIDTH - LEFT, TOP + 24)], 1.6)
    for place, words in enumerate(lines, 1):
        sheet.text(LEFT, TOP + 30 + place * LINE, words, 34)
    return _jpeg(sheet)


def scrawl(name: str, inked: str) -> bytes:
    """A name written by hand, as JPEG: on the sheet that was photographed, or drawn on glass."""
    sheet = Sheet(f"{name} {inked}")
    if inked == "ink":
        sheet.line(box(140, 330, WIDTH - 280, 300), 2.0)
        sheet.text(170, 380, "signature, name, date", 26, ink=150)
    sheet.text(220, 520, name, 64, ink=245)
    return _jpeg(sheet)


def _jpeg(sheet: Sheet) -> bytes:
    out = io.BytesIO()
    sheet.done().save(out, "JPEG", quality=QUALITY)
    return out.getvalue()
