"""The photographs of the demo, drawn by us: the unit, its plate, its leak, its mark; as a phone would hand them over.

Each is a JPEG that carries a time and a place, so that taking those off is part of every demo. Drawn on one
machine they are the same every time.
"""

import io
import textwrap
from collections.abc import Sequence
from functools import lru_cache

from PIL import ExifTags, Image

from hazmat.demo import parts
from hazmat.demo.ink import HEIGHT, WIDTH, Sheet, box, oval
from hazmat.demo.things import thing

QUALITY = 84
MARK_WORDS = {
    "maker_no_pcbs": ("NO PCBs", "MAKER'S LABEL"),
    "owner_no_pcbs": ("NO PCBs", "OWNER'S LABEL"),
    "pcb_mark": ("CAUTION", "CONTAINS PCBs"),
    "pcb_contaminated_mark": ("CAUTION", "PCB-CONTAMINATED"),
}
"""What a label on a unit says, as drawn here; every law has its own form and colours."""


def draw(
    kind: str, mounting: str | None, state: str | None, plate_words: Sequence[str], shows: str, seed: str, *,
    construction: str | None = None, in_place: bool = False, plated: bool = True, leak: str = "unknown",
    marks: Sequence[str] = (), taken_at: str = "", latitude: str = "", longitude: str = "",
) -> bytes:  # fmt: skip
    """A picture as JPEG. `shows`: whole, plate, leak or other; the rest as in a line of a register and in *Look*.

    `in_place`: it stands where it was put up; else what hung on a pole is drawn set down on the ground. `plated`: its
    name plate is there.
    `taken_at`: ISO 8601; `latitude`, `longitude`: decimal degrees. All three are written into the file's notes.
    """
    sheet = Sheet(f"{seed} {shows}")
    sheet.plated = plated
    if shows == "plate":
        _plate(sheet, plate_words)
    elif shows == "leak":
        _leak(sheet, leak)
    elif shows == "other" and marks:
        _label(sheet, *MARK_WORDS[marks[0]])
    else:
        stands = "ground" if mounting == "pole" and not in_place else mounting
        _whole(sheet, kind, stands, construction, state, leak)
    out = io.BytesIO()
    sheet.done().save(out, "JPEG", quality=QUALITY, exif=notes(taken_at, latitude, longitude))
    return out.getvalue()


def _whole(
    sheet: Sheet, kind: str, mounting: str | None, construction: str | None, state: str | None, leak: str
) -> None:
    """The unit where it stands, with its oil where it leaks."""
    spot = thing(kind, mounting, construction)(sheet)
    if state != "leaking" and leak not in ("sweating", "dripping", "pool"):
        return
    parts.oil_run(sheet, *spot.out, spot.far, 13)
    if leak != "sweating":
        parts.pool(sheet, *spot.under, 150 if leak == "pool" else 60, 22 if leak == "pool" else 10)


@lru_cache(1)
def _paint() -> Image.Image:
    """A sheet that is all painted steel; the same behind every close-up."""
    sheet = Sheet("steel")
    sheet.wash(box(-40, -40, WIDTH + 80, HEIGHT + 80)[:-1], parts.GREY, 0.85, 8)
    sheet.wash(box(760, -40, 600, HEIGHT + 80)[:-1], (196, 198, 194), 0.8, 60)
    return sheet.done()


def _steel(sheet: Sheet) -> None:
    """Painted steel from close by, flaking."""
    sheet.image.paste(_paint())
    for place in range(3):
        parts.rust(sheet, 20 + place * 420, 30, 360, HEIGHT - 60, 9)


def _plate(sheet: Sheet, words: Sequence[str]) -> None:
    """A name plate, screwed to painted steel, its words legible; without words it is a bare patch with four holes."""
    _steel(sheet)
    x, y, width, height = 170, 170, 940, 620
    if not words:
        _bare_patch(sheet, x, y, width, height)
        return
    sheet.wash(box(x + 14, y + 16, width, height)[:-1], (120, 118, 110), 0.7, 10)
    sheet.shape(box(x, y, width, height)[:-1], parts.CREAM, 0.75, 3.2)
    sheet.line(box(x + 20, y + 20, width - 40, height - 40), 1.6, 1, 190)
    for screw in _corners(x, y, width, height):
        sheet.shape(oval(*screw, 16, 16), parts.STEEL, 0.9, 2.2)
        turn = sheet.hand.uniform(-9, 9)
        sheet.line([(screw[0] - 10, screw[1] - turn), (screw[0] + 10, screw[1] + turn)], 2.4, 0.3)
    lines = [part for line in words for part in textwrap.wrap(line, 24)]
    step = min(116, (height - 150) / len(lines))
    longest = max(len(line) for line in lines)
    size = min(step * 0.62, 1150 / max(longest, 12))
    for row, line in enumerate(lines):
        base = y + height / 2 + (row - (len(lines) - 1) / 2) * step
        sheet.text(x + width / 2, base + size * 0.35, line, size, middle=True)
        sheet.line([(x + 90, base + step * 0.46), (x + width - 90, base + step * 0.46)], 1.2, 1, 110)
    for _ in range(4):
        begin = (sheet.hand.uniform(x + 60, x + width - 200), sheet.hand.uniform(y + 60, y + height - 60))
        sheet.line([begin, (begin[0] + sheet.hand.uniform(40, 150), begin[1] - sheet.hand.uniform(6, 40))], 1, 0.6, 80)
    parts.rust(sheet, x + 8, y + height - 70, width - 30, 60, 6)


def _corners(x: float, y: float, width: float, height: float, inset: float = 46) -> list[tuple[float, float]]:
    """Where the four screws of a plate sit."""
    return [(across, down) for down in (y + inset, y + height - inset) for across in (x + inset, x + width - inset)]


def _bare_patch(sheet: Sheet, x: float, y: float, width: float, height: float) -> None:
    """Where a plate was: paint that never faded, four holes, rust below them."""
    sheet.wash(box(x, y, width, height)[:-1], (176, 194, 180), 0.5, 3)
    sheet.line(box(x, y, width, height), 1.4, 1.6, 120)
    for across, down in _corners(x, y, width, height):
        run = [(across - 9, down), (across + 9, down), (across + 2, down + sheet.hand.uniform(40, 150))]
        sheet.wash(run, parts.RUST, 0.7, 3)
        sheet.shape(oval(across, down, 13, 13), (70, 66, 62), 0.95, 2)
    parts.rust(sheet, x + 40, y + 60, width - 80, height - 120, 5)


def _leak(sheet: Sheet, leak: str) -> None:
    """A drain valve from close by, with what comes out of it."""
    _steel(sheet)
    floor = 770
    sheet.cover(box(-20, floor, WIDTH + 40, HEIGHT - floor + 20)[:-1])
    sheet.wash(box(-30, floor, WIDTH + 60, HEIGHT - floor + 30)[:-1], parts.CONCRETE, 0.8, 4)
    sheet.line([(0, floor), (WIDTH, floor + 4)], 2.6, 1.6)
    sheet.shape(oval(520, 430, 120, 128), parts.STEEL, 0.9, 3)
    for turn in range(0, 360, 60):
        (x, y), *_ = oval(520, 430, 92, 98, turn, turn)
        sheet.shape(oval(x, y, 13, 13), parts.GREY, 0.9, 2)
    sheet.shape(box(500, 378, 250, 104)[:-1], parts.STEEL, 0.9, 3)
    sheet.hatch(box(506, 440, 240, 40)[:-1], 10, 30)
    sheet.shape(box(620, 250, 34, 130)[:-1], parts.STEEL, 0.9, 2.6)
    sheet.shape(oval(637, 238, 120, 30), parts.BRICK, 0.9, 3)
    sheet.shape(oval(637, 234, 26, 8), parts.STEEL, 0.9, 2)
    sheet.shape(box(744, 356, 40, 148)[:-1], parts.STEEL, 0.9, 3)
    sheet.shape([(784, 388), *oval(850, 430, 46, 46, -80, 80), (784, 472)], parts.STEEL, 0.9, 3)
    parts.rust(sheet, 500, 380, 250, 100, 8)
    parts.oil_run(sheet, 764, 500, 60 if leak == "sweating" else 150, 24)
    parts.oil_run(sheet, 520, 552, 190, 26)
    if leak != "sweating":
        for place, y in enumerate((640, 690, 742)):
            parts.drop(sheet, 764, y, 13 - place)
        parts.pool(sheet, 700, 850, 380 if leak == "pool" else 150, 56 if leak == "pool" else 26)


def _label(sheet: Sheet, head: str, words: str) -> None:
    """A label on painted steel."""
    _steel(sheet)
    tint = parts.OCHRE if head == "CAUTION" else (150, 186, 190)
    sheet.wash(box(300, 262, 720, 460)[:-1], (120, 118, 110), 0.6, 10)
    sheet.shape([(286, 252), (1000, 240), (1010, 690), (292, 706)], parts.CREAM, 0.4, 3)
    sheet.wash([(300, 266), (988, 254), (990, 400), (302, 412)], tint, 0.95)
    sheet.line([(302, 412), (990, 400)], 2.4)
    sheet.text(644, 372, head, 92, middle=True)
    sheet.text(646, 560, words, min(76, 930 / len(words)), middle=True)
    sheet.line([(360, 620), (900, 612)], 1.6, 1, 150)
    sheet.line([(360, 652), (820, 646)], 1.6, 1, 150)
    parts.rust(sheet, 300, 560, 680, 120, 6)


def notes(taken_at: str, latitude: str, longitude: str) -> Image.Exif:
    """What a phone writes beside a picture: when and where, and its own name."""
    exif = Image.Exif()
    exif[ExifTags.Base.Make], exif[ExifTags.Base.Model] = "Drawn", "Pen and wash"
    if taken_at:
        day, _, time = taken_at.partition("T")
        inner = exif.get_ifd(ExifTags.IFD.Exif)
        inner[ExifTags.Base.DateTimeOriginal] = f"{day.replace('-', ':')} {time[:8]}"
        if time[8:]:
            inner[ExifTags.Base.OffsetTimeOriginal] = time[8:]
    if latitude and longitude:
        where = exif.get_ifd(ExifTags.IFD.GPSInfo)
        where[ExifTags.GPS.GPSLatitudeRef] = "S" if latitude.startswith("-") else "N"
        where[ExifTags.GPS.GPSLatitude] = _sexagesimal(latitude)
        where[ExifTags.GPS.GPSLongitudeRef] = "W" if longitude.startswith("-") else "E"
        where[ExifTags.GPS.GPSLongitude] = _sexagesimal(longitude)
    return exif


def _sexagesimal(degrees: str) -> tuple[float, float, float]:
    """Degrees, minutes and seconds of decimal degrees, without their sign."""
    whole, rest = divmod(round(abs(float(degrees)) * 3600, 4), 3600)
    minutes, seconds = divmod(rest, 60)
    return whole, minutes, round(seconds, 4)
