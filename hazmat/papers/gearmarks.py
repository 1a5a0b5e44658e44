"""Pictures of gear and of what is never done, drawn by us: solid ink for what is worn, struck through for what is not.

Each stands in a square of 100 and is told apart from every other one in grey at 12 mm. Never without its words.
Source of every line here: our own drawing.
"""

import base64
from collections.abc import Mapping
from functools import cache

from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

INK, PAPER = "currentColor", "var(--paper)"
"""As pages colour them; on paper black on white."""
BLACK, WHITE = "#000", "#fff"


def _path(d: str, width: float = 5, fill: str = "none", stroke: str = INK) -> str:
    return (
        f'<path d="{d}" fill="{fill}" stroke="{stroke}" stroke-width="{width}" stroke-linecap="round" '
        'stroke-linejoin="round"/>'
    )


def _solid(d: str, fill: str = INK) -> str:
    return f'<path d="{d}" fill="{fill}" fill-rule="evenodd"/>'


def _hand(colour: str, wide: float = 9) -> str:
    """A hand held up, as thick strokes."""
    return _path("M38 50V28M49 48V17M60 48V20M70 50V31M37 60L21 43M38 50H70V62H38z", wide, colour, colour)


def _open_hand(wide: float = 4) -> str:
    """The same as an outline."""
    return _hand(INK, 9 + wide) + _hand(PAPER, 9 - wide)


def _struck(inside: str) -> str:
    """What is never done: between two heavy rules, struck through once from the foot."""
    rules = _solid("M4 2H96V9H4zM4 91H96V98H4z")
    return f"{rules}{inside}{_path('M12 88L88 12', 15, stroke=PAPER)}{_path('M12 88L88 12', 7)}"


def _small(inside: str, x: float = 15, y: float = 15, scale: float = 0.7) -> str:
    return f'<g transform="translate({x} {y}) scale({scale})">{inside}</g>'


def _head(fill: str = "none") -> str:
    """A head from the side, looking left."""
    return _path(
        "M72 90V70C82 60 84 44 78 32C70 16 44 12 34 26C30 32 31 38 30 42L22 54L30 57V66C30 72 34 74 44 73V90", 5, fill
    )


def _figure(hood: bool, fill: str) -> str:
    """Somebody standing, arms a little apart: a suit with a hood, or an open neck with the head above it."""
    head = "M50 4C38 4 36 14 37 24H63C64 14 62 4 50 4z" if hood else "M50 4a10 10 0 1 0 0.1 0z"
    suit = "M37 26L18 36L10 66L20 69L30 48V96H47V66H53V96H70V48L80 69L90 66L82 36L63 26z"
    face = _solid("M50 9a8 7 0 1 0 0.1 0z", PAPER) + _path("M50 9a8 7 0 1 0 0.1 0z", 2.5) if hood else ""
    return _path(head, 4, fill if hood else "none") + _path(suit, 4, fill) + face


GLOVE = _hand(INK)
LONG_CUFF = "M34 64H74L82 96H26z"
TALL_BOOT = "M34 6H62V58L88 72C94 76 94 92 92 92H34z"
LOW_BOOT = "M30 34H60V56L86 68C94 72 94 86 92 88H26C25 70 30 52 30 34z"
DROP = "M{x} {y}c-7 10 -9 13 -9 17a9 9 0 0 0 18 0c0 -4 -2 -7 -9 -17z"


def _drop(x: float, y: float) -> str:
    return _solid(DROP.format(x=x, y=y))


DRAWN: Mapping[str, tuple[str, str]] = {
    "work_gloves": (
        "A short glove with a knitted cuff",
        _open_hand(4) + _path("M36 72H72V90H36zM42 72V90M48 72V90M54 72V90M60 72V90M66 72V90", 3.5),
    ),
    "gauntlets": ("A thick glove with a long cuff", GLOVE + _solid(LONG_CUFF) + _path("M36 68H72", 3, stroke=PAPER)),
    "layered_gloves": (
        "A long glove with a second one that shows underneath",
        _hand(INK, 15)
        + _hand(PAPER, 9.5)
        + _hand(INK, 4)
        + _path("M32 68H76L84 96H24z", 4)
        + _solid("M40 76H68L72 96H36z"),
    ),
    "safety_glasses": (
        "Glasses with side pieces",
        _path("M8 44H44V60C44 70 16 70 14 60zM56 44H92L86 60C84 70 56 70 56 60z", 6)
        + _path("M44 48H56M8 44L2 34M92 44L98 34", 5),
    ),
    "goggles": (
        "Goggles that close all round, with their strap",
        _solid("M0 36H14V28H86V36H100V60H86V66C86 78 62 78 56 66H44C38 78 14 78 14 66V60H0z")
        + _solid("M22 36H78V62C76 68 62 68 58 58H42C38 68 24 68 22 62z", PAPER),
    ),
    "goggles_and_shield": (
        "A head with goggles behind a shield that covers the whole face",
        _head() + _solid("M28 34H58V50H28z") + _path("M82 26H22C10 38 8 66 14 88", 6) + _path("M58 42H80", 5),
    ),
    "coverall": (
        "Somebody in a coverall with a collar, bare-headed",
        _figure(False, "none")
        + _path("M50 30V62M42 28L50 36L58 28", 4)
        + _path("M34 44H43M57 44H66", 5)
        + _solid("M30 62H70V96H53V68H47V96H30z"),
    ),
    "hooded_coverall": (
        "Somebody in a light suit with a hood",
        _figure(True, "none") + _path("M50 28V62", 2.5) + _path("M34 34C44 40 56 40 66 34", 2.5),
    ),
    "liquid_tight_suit": (
        "Somebody in a dark suit with a hood, taped at wrists and ankles",
        _figure(True, INK) + _path("M13 58L24 61M87 58L76 61M30 84H47M53 84H70", 5, stroke=PAPER),
    ),
    "safety_boots": (
        "A low boot with a toe cap",
        _path(LOW_BOOT, 5)
        + _solid("M70 60L86 68C94 72 94 86 92 88H70z")
        + _path("M22 90H94", 8)
        + _path("M44 42H58M44 50H58", 3.5),
    ),
    "overboots": (
        "A boot inside a loose cover that is tied above it",
        _path(
            "M22 12H70C66 24 66 26 66 30C68 46 72 50 90 60C102 70 98 90 90 92H16C12 60 26 50 26 30C26 26 26 24 22 12z",
            4,
        )
        + _path("M24 28H68", 7)
        + _solid("M38 46H58V66L80 74C86 78 86 84 84 84H32C32 72 38 60 38 46z"),
    ),
    "rubber_boots": (
        "A tall dark boot",
        _solid(TALL_BOOT) + _path("M34 16H62M30 94H94", 5, stroke=INK) + _path("M38 16H58M36 80H84", 4, stroke=PAPER),
    ),
    "open_air": (
        "A bare head in moving air",
        _small(_head(), 22, 10, 0.8) + _path("M2 22C12 14 20 30 30 22M0 62C8 54 16 70 26 62M2 84C12 76 20 92 30 84", 4),
    ),
    "mask": (
        "A mask over nose and mouth with a filter on each side",
        _solid("M50 24C62 24 68 40 70 54C70 72 60 84 50 84C40 84 30 72 30 54C32 40 38 24 50 24z")
        + _solid("M18 46a15 15 0 1 0 0.1 0zM82 46a15 15 0 1 0 0.1 0z")
        + _solid("M18 54a7 7 0 1 0 0.1 0zM82 54a7 7 0 1 0 0.1 0z", PAPER)
        + _path("M34 32L8 14M66 32L92 14", 4)
        + _path("M44 60H56M44 68H56", 3.5, stroke=PAPER),
    ),
    "powered_mask": (
        "A mask over the whole face, with a hose to a blower at the belt",
        _path("M18 6H62C66 20 64 44 52 56H28C16 44 14 20 18 6z", 6)
        + _path("M24 14H56V30C52 36 28 36 24 30z", 4)
        + _path("M40 56C40 84 56 82 66 74", 9)
        + _solid("M60 58H96V94H60z")
        + _solid("M78 66a10 10 0 1 0 0.1 0z", PAPER)
        + _path("M78 70V82M72 76H84", 3),
    ),
    "breathing_apparatus": (
        "A cylinder of air with its valve, and a hose to a mask over the whole face",
        _solid("M62 26C62 14 92 14 92 26V90C92 96 62 96 62 90z")
        + _solid("M72 4H82V18H72z")
        + _path("M66 6H88", 4)
        + _path("M62 46H92M62 58H92", 4, stroke=PAPER)
        + _path("M72 10C50 10 54 84 30 74", 5)
        + _solid("M8 34H46V54C46 72 38 80 27 80C16 80 8 72 8 54z")
        + _solid("M14 40H40V54C36 60 18 60 14 54z", PAPER),
    ),
    "cut_layer": (
        "A glove with a blade that does not go through it",
        _open_hand(6)
        + _path("M38 72H70V92H38z", 5)
        + _path("M34 82H74", 3)
        + _solid("M98 44L60 58L56 52L92 26z")
        + _path("M98 44L60 58L56 52L92 26z", 3, stroke=PAPER),
    ),
    "never_thin_nitrile": (
        "A thin glove",
        _struck(
            _small(
                _hand(INK, 11)
                + _hand(PAPER, 7)
                + _path("M36 70C34 80 34 88 36 98M72 70C74 80 74 88 72 98M44 80H50M58 88H64", 2),
                4,
                8,
                0.82,
            )
        ),
    ),
    "never_pvc_latex": (
        "A household glove that drops go through",
        _struck(
            _small(
                _open_hand(3)
                + _path("M34 74C30 80 40 84 34 92C44 98 52 88 56 94C64 98 70 90 76 92C70 84 78 80 72 74", 4),
                0,
                12,
                0.72,
            )
            + _drop(78, 50)
            + _drop(64, 66)
        ),
    ),
    "never_leather": (
        "A leather mitten with stitches",
        _struck(
            _small(
                _solid("M30 96V44C30 14 74 14 74 44V96zM30 70L12 48C14 36 22 36 30 50z")
                + _path("M38 92V46C38 26 66 26 66 46V92", 3.5, stroke=PAPER).replace("/>", ' stroke-dasharray="2 8"/>')
                + _path("M30 78H74", 5, stroke=PAPER),
                16,
                10,
                0.76,
            )
        ),
    ),
    "never_again": (
        "A glove that goes round and is worn again",
        _struck(_small(GLOVE, 24, 24, 0.5) + _path("M24 66A34 34 0 1 1 70 78", 6) + _solid("M12 56L36 58L22 76z")),
    ),
    "never_heat": (
        "A torch with its flame",
        _struck(
            _solid("M16 18C40 18 52 30 50 44C50 54 40 58 33 52C30 56 22 54 24 46C14 44 24 34 16 18z")
            + _path("M52 56L84 82M74 86L86 72", 9)
        ),
    ),
    "never_entry": (
        "A doorway with smoke coming out",
        _struck(
            _path("M26 86V20H62V86M14 86H80", 6)
            + _solid("M62 34C70 22 84 26 82 36C94 40 90 54 80 52C78 62 62 60 62 50z")
            + _solid("M34 48a5 5 0 1 0 0.1 0z")
        ),
    ),
    "wash_no_food": (
        "A cup and a smoking cigarette",
        _struck(
            _solid("M18 42H52V66C52 78 18 78 18 66z")
            + _path("M52 48C66 46 66 62 52 62", 5)
            + _path("M26 34C22 28 30 26 26 20M40 34C36 28 44 26 40 20", 4)
            + _path("M62 78H90", 7)
            + _path("M86 68C80 62 92 58 86 50", 4)
        ),
    ),
    "wash_hands": (
        "A tap with water running over a hand",
        _solid("M10 10H22V34H10z")
        + _solid("M22 16H66C78 16 82 24 82 36H68C68 30 66 28 62 28H22z")
        + _solid("M40 4H54V16H40z")
        + _path("M70 44V58M78 42V62M86 46V56", 4)
        + _solid("M4 78C20 62 34 66 48 72L92 66C98 68 96 76 92 78L50 92L4 96z"),
    ),
    "wash_waste": (
        "A bag that is tied and labelled",
        _solid("M38 24H62L58 34C82 46 88 66 84 94H16C12 66 18 46 42 34z")
        + _path("M36 8L50 24L64 8", 6)
        + _solid("M34 56H66V78H34z", PAPER)
        + _path("M40 63H60M40 71H54", 3.5),
    ),
    "reach_eyewash": (
        "An eye over two jets of water",
        _path("M6 32C28 4 72 4 94 32C72 58 28 58 6 32z", 5)
        + _solid("M50 18a14 14 0 1 0 0.1 0z")
        + _solid("M50 27a5 5 0 1 0 0.1 0z", PAPER)
        + _path("M32 94C32 78 38 70 40 62M68 94C68 78 62 70 60 62", 5)
        + _solid("M20 90H80V98H20z"),
    ),
    "stop_doubt": (
        "Footprints that lead away from a pool",
        _solid("M2 84C2 74 16 76 22 70C32 62 44 72 42 80C52 84 46 96 30 94C14 98 2 94 2 84z")
        + _solid(
            "M44 48L54 40C62 40 66 50 60 56L52 62C46 60 42 54 44 48z"
            "M64 34L70 26C76 24 84 30 80 38L74 44C66 46 62 40 64 34z"
        )
        + _path("M40 66L46 62M78 22L98 2M80 2H98V20", 6),
    ),
    "barred": (
        "A gate of bars",
        _path("M6 16V96M94 16V96", 9)
        + _path("M6 34H94M6 80H94", 6)
        + _path("M22 26V88M36 26V88M50 26V88M64 26V88M78 26V88", 4.5),
    ),
}
"""Each picture by its name: what it shows, and how it is drawn."""


def shows(name: str) -> str:
    """What a picture shows, for those who do not see it. Raises KeyError."""
    return DRAWN[name][0]


def mark_svg(name: str) -> SafeString:
    """A picture for a page, in its colours; the words beside it say what it means. Raises KeyError."""
    inside = mark_safe(DRAWN[name][1])  # drawn above, nothing of it comes from anybody else
    return format_html(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100" class="gear" aria-hidden="true">{}</svg>', inside
    )


@cache
def mark_image(name: str) -> dict[str, str]:
    """The same as a picture for paper: its data address and what it shows. Raises KeyError."""
    svg = mark_svg(name).replace(INK, BLACK).replace(PAPER, WHITE)
    return {"src": f"data:image/svg+xml;base64,{base64.b64encode(svg.encode()).decode()}", "alt": shows(name)}
