"""A photograph from anybody's hands: decoded to the last pixel, drawn anew without a byte of its notes, or refused.

When and where it was taken is given back beside the picture, so that the caller can keep it apart; the bytes that come
out hold pixels alone. The same bytes in give the same bytes out (of one build of Pillow).
"""

import io
import re
import threading
import warnings
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from PIL import ExifTags, Image, ImageCms, ImageFile

KINDS = ("JPEG", "PNG", "WEBP")
LARGEST_FILE = 50_000_000
"""Most bytes of a file that is looked into. Source: our own choice, several times what a phone's camera writes."""
MOST_PIXELS = 40_000_000
"""Most pixels that are decoded: a picture of as many is scaled down, one of more is refused. Source: our own choice."""
MOST_SCANS = 100
"""Most passes over one JPEG; each costs a whole decoding. Source: our own choice, ten times what cameras write."""
LONGEST_SIDE, THUMB_SIDE = 2560, 480
"""Longest side in pixels of what is kept, and of its thumbnail. Source: our own choice (a plate stays legible)."""
FULL_QUALITY, THUMB_QUALITY = 85, 80
"""JPEG quality of both. Source: our own choice."""

SAVE, SEND = "save it as JPEG", "send a photograph (JPEG, PNG or WebP)"
TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""How a picture is turned upright: by the orientation that the camera noted. Source: Exif 2.32, 4.6.4, tag 0x0112."""
STARTS: tuple[tuple[bytes, str], ...] = (
    (rb"\xff\xd8\xff", "JPEG"),
    (rb"\x89PNG\r\n\x1a\n", "PNG"),
    (rb"RIFF....WEBP", "WEBP"),
    (rb"....ftyp(hei[cmsx]|hev[cmsx]|mif1|msf1)", "a HEIC picture, which is not read here"),
    (rb"....ftypavi[fs]", "an AVIF picture, which is not read here"),
    (rb"....ftyp", "a film and not a picture"),
    (rb"GIF8[79]a", "a GIF, which is not read here"),
    (rb"II\*\x00|MM\x00\*", "a TIFF or a camera's raw picture, which is not read here"),
    (rb"BM.{8}", "a BMP, which is not read here"),
    (rb"\s*%PDF-", "a PDF and not a picture"),
    (rb"PK(\x03\x04|\x05\x06|\x07\x08)", "a zip file or a document and not a picture"),
    (rb"(?i:\s*(<\?xml[^>]*>)?\s*(<!--.*?-->)?\s*(<!doctype svg[^>]*>)?\s*<svg\b)", "an SVG, which is not read here"),
    (rb"(\xef\xbb\xbf)?\s*<", "a web page or other text and not a picture"),
)
"""How files begin, and the kind, or what to say of it."""

HEAD = 1536
"""First bytes in which readers of other kinds look for their own mark. Source: PDF readers 1024, browsers 1445."""
ALSO = re.compile(rb"%PDF-|<html\b|<script\b|<svg\b|<!doctype|<\?php|<iframe\b", re.IGNORECASE)
ZIP_END, ZIP_END_BYTES, ZIP_COMMENT = b"PK\x05\x06", 22, 65_535
"""The record that ends a zip file, its length, and that of the longest comment after it. Source: ZIP APPNOTE 4.3.16."""

_one_at_a_time = threading.Lock()
"""One picture is decoded at a time in a process: that bounds memory, and Python's warnings are not set by thread."""


class BadPicture(ValueError):
    """Why a file is not taken as a picture: one plain sentence, with how to mend it."""


@dataclass(frozen=True, kw_only=True)
class Picture:
    """A photograph as it is kept: `full` and `thumb` are JPEG in sRGB, upright, without any notes; size is of `full`.

    `taken_at`: when the camera says that it was taken, ISO 8601; without an offset it is the camera's local time and
    nobody knows of which zone. `latitude` and `longitude`: decimal degrees as text, north and east positive.
    None: the file does not say.
    """

    full: bytes
    thumb: bytes
    width: int
    height: int
    taken_at: str | None = None
    latitude: str | None = None
    longitude: str | None = None

    @property
    def zone_known(self) -> bool:
        """Whether `taken_at` names its offset from UTC; else it is local time of an unknown zone."""
        return self.taken_at is not None and datetime.fromisoformat(self.taken_at).tzinfo is not None


def read_picture(given: bytes | Path) -> Picture:
    """A photograph from its bytes or its file. Raises BadPicture; OSError where the file itself cannot be read."""
    data = _bytes(given)
    kind = _kind(data)
    with _one_at_a_time, _whole_ones_only(), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            return _decoded(data, kind)
        except BadPicture:
            raise
        except Image.DecompressionBombError:
            raise BadPicture(_too_many_pixels()) from None
        except MemoryError:
            raise BadPicture("The picture does not fit into this machine's memory: send a smaller one.") from None
        except Exception:  # decoders of foreign bytes raise nearly anything; whatever they raise, it is no picture
            raise BadPicture(
                f"The {kind} is damaged or cut off: send it again, or take the photograph again."
            ) from None


@contextmanager
def _whole_ones_only() -> Iterator[None]:
    """Let no decoder fill up what is cut off: a printer in the same process lets them all do so."""
    before, ImageFile.LOAD_TRUNCATED_IMAGES = ImageFile.LOAD_TRUNCATED_IMAGES, False
    try:
        yield
    finally:
        ImageFile.LOAD_TRUNCATED_IMAGES = before


# ------------------------------------------------------------------ before anything is decoded


def _bytes(given: bytes | Path) -> bytes:
    """The bytes, unless there are too many; a file that is too large is not read at all."""
    size = given.stat().st_size if isinstance(given, Path) else len(given)
    if size > LARGEST_FILE:
        most = f"at most {LARGEST_FILE // 1_000_000} MB are read"
        raise BadPicture(f"The file is too large ({size // 1_000_000} MB; {most}): send a smaller picture.")
    return given.read_bytes() if isinstance(given, Path) else bytes(given)


def _kind(data: bytes) -> str:
    """Which of KINDS the bytes begin as, and nothing else besides. Raises BadPicture."""
    if not data:
        raise BadPicture(f"The file is empty: {SEND}.")
    kind = next((what for mark, what in STARTS if re.match(mark, data[:HEAD], re.DOTALL)), None)
    if kind is None:
        text = b"\x00" not in data[:HEAD] and _is_text(data[:HEAD])
        what = "text and not a picture" if text else "no picture of a kind that is read here"
        raise BadPicture(f"This is {what}: {SEND}.")
    if kind not in KINDS:
        raise BadPicture(f"This is {kind}: {SAVE if 'not read here' in kind else SEND}.")
    if ALSO.search(data[:HEAD]) or _ends_as_zip(data):
        raise BadPicture("This is a picture and another kind of file in one: open it and save the picture as JPEG.")
    return kind


def _is_text(head: bytes) -> bool:
    try:
        head.decode("utf-8")
    except UnicodeDecodeError as error:
        return error.start > len(head) - 4 and error.start > 0
    return True


def _ends_as_zip(data: bytes) -> bool:
    """Whether a zip reader, which begins at the end, would open it."""
    at = data.rfind(ZIP_END, max(0, len(data) - ZIP_END_BYTES - ZIP_COMMENT))
    return at >= 0 and at + ZIP_END_BYTES + int.from_bytes(data[at + 20 : at + 22], "little") == len(data)


def _scans(data: bytes) -> int:
    """How many passes a JPEG makes up to its end; whatever stands after the end is none of them."""
    count, at = 0, 2
    marker = re.compile(rb"\xff+([^\x00\xd0-\xd7\xff])")
    while (found := marker.search(data, at)) and found[1] != b"\xd9":
        count += found[1] == b"\xda"
        at = found.end() + int.from_bytes(data[found.end() : found.end() + 2], "big")
    return count


def _webp_size(data: bytes) -> tuple[int, int]:
    """Width and height that a WebP asks for, before its decoder sets memory aside. Source: RFC 9649, 2.5 to 2.7."""
    chunk, body = data[12:16], data[20:30]
    if chunk == b"VP8X":
        return int.from_bytes(body[4:7], "little") + 1, int.from_bytes(body[7:10], "little") + 1
    if chunk == b"VP8L":
        bits = int.from_bytes(body[1:5], "little")
        return (bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1
    if chunk == b"VP8 ":
        return int.from_bytes(body[6:8], "little") & 0x3FFF, int.from_bytes(body[8:10], "little") & 0x3FFF
    raise ValueError("no size")


def _too_many_pixels() -> str:
    return f"The picture has more than {MOST_PIXELS // 1_000_000} million pixels: send a smaller one."


# ------------------------------------------------------------------ decoding


def _decoded(data: bytes, kind: str) -> Picture:
    """The picture; whatever a decoder raises comes through."""
    if kind == "WEBP":
        _refuse_if_vast(_webp_size(data))
    with Image.open(io.BytesIO(data), formats=[kind]) as image:
        _refuse_if_vast(image.size)
        if kind == "JPEG" and _scans(data) > MOST_SCANS:
            raise BadPicture(f"The JPEG is built of too many passes to be a photograph: {SEND}.")
        if kind != "JPEG" and getattr(image, "is_animated", False):
            raise BadPicture("The picture moves, and only one of its pictures would be kept: save that one as JPEG.")
        image.load()
        notes = _notes(image)
        upright = _upright(image)
    full = _within(upright, LONGEST_SIDE)
    return Picture(
        full=_jpeg(full, FULL_QUALITY),
        thumb=_jpeg(_within(full, THUMB_SIDE), THUMB_QUALITY),
        width=full.width,
        height=full.height,
        **notes,
    )


def _refuse_if_vast(size: tuple[int, int]) -> None:
    if size[0] * size[1] > MOST_PIXELS:
        raise BadPicture(_too_many_pixels())


def _upright(image: Image.Image) -> Image.Image:
    """A copy in RGB that is no larger than what is kept, colours in sRGB, clear parts on white, top side up."""
    profile = image.info.get("icc_profile")
    turn = _told(lambda: image.getexif().get(ExifTags.Base.Orientation))
    deep = image.mode.startswith(("I", "F"))
    plain = image.convert("I").point(lambda value: value * (1 / 257)).convert("L") if deep else image
    if not deep and (image.mode in ("1", "P", "PA") or "transparency" in image.info):
        plain = image.convert("RGBA")
    small = _in_srgb(_on_white(_within(plain, LONGEST_SIDE)), profile)
    bare = Image.new("RGB", small.size)
    bare.paste(small)
    return bare.transpose(TURNS[turn]) if turn in TURNS else bare


def _within(image: Image.Image, side: int) -> Image.Image:
    """The picture with its longest side no longer than `side` pixels; never made larger."""
    longest = max(image.size)
    if longest <= side:
        return image
    width, height = (max(1, round(edge * side / longest)) for edge in image.size)
    return image.resize((width, height), Image.Resampling.LANCZOS, reducing_gap=3.0)


def _on_white(image: Image.Image) -> Image.Image:
    """The picture as it looks on white paper."""
    if image.mode not in ("RGBA", "LA", "RGBa", "La"):
        return image
    seen = image.convert("RGBA")
    paper = Image.new("RGBA", seen.size, "white")
    paper.alpha_composite(seen)
    return paper.convert("RGB")


def _in_srgb(image: Image.Image, profile: bytes | None) -> Image.Image:
    """The picture in sRGB by its own colour profile; one without, or with one that cannot be used, is plain RGB."""
    if profile:
        try:
            given = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            made = ImageCms.profileToProfile(image, given, ImageCms.createProfile("sRGB"), outputMode="RGB")
        except (ImageCms.PyCMSError, OSError, TypeError, ValueError):
            made = None
        if made is not None:
            return made
    return image.convert("RGB")


def _jpeg(image: Image.Image, quality: int) -> bytes:
    out = io.BytesIO()
    image.save(out, "JPEG", quality=quality, optimize=True)
    return out.getvalue()


# ------------------------------------------------------------------ what the camera noted


def _told(read: Callable[[], Any]) -> Any:
    """What is read, or None: a picture counts even where its notes are damaged."""
    try:
        return read()
    except Exception:  # foreign notes raise nearly anything
        return None


def _notes(image: Image.Image) -> dict[str, Any]:
    """When and where, as keys of Picture; None for what the file does not say, or says badly."""
    exif = _told(lambda: image.getexif().get_ifd(ExifTags.IFD.Exif)) or {}
    where = _told(lambda: image.getexif().get_ifd(ExifTags.IFD.GPSInfo)) or {}
    latitude = _told(lambda: _degrees(where, ExifTags.GPS.GPSLatitude, "NS", 90))
    longitude = _told(lambda: _degrees(where, ExifTags.GPS.GPSLongitude, "EW", 180))
    if latitude is None or longitude is None or (not latitude and not longitude):  # 0, 0: written before a fix was had
        return {"taken_at": _told(lambda: _taken_at(exif))}
    return {"taken_at": _told(lambda: _taken_at(exif)), "latitude": f"{latitude:f}", "longitude": f"{longitude:f}"}


def _taken_at(exif: Mapping[int, Any]) -> str:
    """Date and time, with its offset where the camera gave one. Raises where that is no time."""
    written = str(exif[ExifTags.Base.DateTimeOriginal]).strip("\x00 ")
    moment = datetime.strptime(written, "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007 - local time of an unknown zone
    offset = str(exif.get(ExifTags.Base.OffsetTimeOriginal, "")).strip("\x00 ")
    known = re.fullmatch(r"[+-](0\d|1[0-4]):[0-5]\d|Z", offset, re.ASCII)
    return moment.isoformat() + (offset if known else "")


def _degrees(where: Mapping[int, Any], key: int, signs: str, most: int) -> Decimal:
    """Decimal degrees with six decimals (about a tenth of a metre). Raises where that is no place on Earth."""
    sign = str(where[key - 1]).strip("\x00 ").upper()
    parts = [Fraction(int(part.numerator), int(part.denominator)) for part in where[key]]
    degrees = sum((part / 60**place for place, part in enumerate(parts)), Fraction(0))
    if sign not in list(signs) or len(parts) != 3 or min(parts) < 0 or max(parts[1:]) >= 60 or degrees > most:
        raise ValueError("no place on Earth")
    found = Decimal(round(degrees * 10**6)).scaleb(-6)
    return -found if sign == signs[1] else found
