"""The inked ring, as pages and papers draw it alike."""

import base64
from math import cos, pi, sin

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

QUARTERS = {"lt2": 1, "2_49": 2, "50_499": 3, "ge500": 4, "unknown": 4}
"""How many quarters of the ring are inked: most ink is worst or least known."""
BAND_WORDS = {
    "lt2": "below 2 mg/kg", "2_49": "2 to below 50 mg/kg", "50_499": "50 to below 500 mg/kg",
    "ge500": "500 mg/kg or more", "unknown": "not known, so handled as 500 mg/kg or more",
}  # fmt: skip
BAND, CARE = "Safety band", "Care of hands"
"""What a ring shows."""
OUTER, INNER, MIDDLE = 46, 27, 50
"""Radii and centre of the ring in a square of 100. Source: our own drawing."""
HATCH = 7
"""Distance of the hatching's strokes. Source: our own drawing."""
ASKED = mark_safe('<text x="50" y="63" font-size="38" text-anchor="middle" fill="currentColor">?</text>')


def _quarter(place: int) -> str:
    """The outline of one quarter of the ring, clockwise from the top, a little apart from its neighbours."""
    gap = pi / 45
    start, end = place * pi / 2 - pi / 2 + gap, (place + 1) * pi / 2 - pi / 2 - gap
    points = [(OUTER, start), (OUTER, end), (INNER, end), (INNER, start)]
    at = [(MIDDLE + radius * cos(angle), MIDDLE + radius * sin(angle)) for radius, angle in points]
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = at
    return (
        f"M{ax:.2f} {ay:.2f}A{OUTER} {OUTER} 0 0 1 {bx:.2f} {by:.2f}"
        f"L{cx:.2f} {cy:.2f}A{INNER} {INNER} 0 0 0 {dx:.2f} {dy:.2f}Z"
    )


def ring_words(band: str, solid: bool, of: str = BAND) -> str:
    """The ring in words, for those who do not see it."""
    return f"{of}: {BAND_WORDS.get(band, BAND_WORDS['unknown'])}, {'by laboratory' if solid else 'not proven'}"


def ring_svg(band: str, solid: bool, name: str, of: str = BAND) -> SafeString:
    """The inked ring as SVG with presentation attributes only; `name` must be unique on the page.

    `solid`: a laboratory result stands; else the ink is hatched.
    """
    inked = QUARTERS.get(band, 4)
    fill = "currentColor" if solid else f"url(#{name})"
    parts = format_html_join(
        "",
        '<path d="{}" fill="{}" stroke="currentColor" stroke-width="2"/>',
        ((_quarter(place), fill if place < inked else "none") for place in range(4)),
    )
    hatch = format_html(
        '<defs><pattern id="{}" width="{}" height="{}" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        '<line x1="0" y1="0" x2="0" y2="{}" stroke="currentColor" stroke-width="5"/></pattern></defs>',
        name, HATCH, HATCH, HATCH,
    )  # fmt: skip
    return format_html(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100" role="img" aria-label="{}" class="mark">'
        "{}{}{}</svg>",
        ring_words(band, solid, of), "" if solid else hatch, parts, ASKED if band == "unknown" else "",
    )  # fmt: skip


def ring_image(band: str, solid: bool, of: str = BAND) -> dict[str, str]:
    """The ring as a picture for paper: its data address and its words."""
    svg = ring_svg(band, solid, "hatch", of).replace("currentColor", "#000")
    data = base64.b64encode(svg.encode()).decode()
    return {"src": f"data:image/svg+xml;base64,{data}", "alt": ring_words(band, solid, of)}
