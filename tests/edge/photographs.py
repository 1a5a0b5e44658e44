"""Pictures for tests: four corners of four colours, with whatever a camera may note in them."""

import io
import struct
from typing import Any

from PIL import Image, ImageCms, ImageDraw, PngImagePlugin

from hazmat.edge import pictures

RED, GREEN, BLUE, YELLOW = (200, 20, 20), (20, 160, 20), (20, 20, 200), (220, 210, 20)


def quarters(width: int = 120, height: int = 80, mode: str = "RGB") -> Image.Image:
    """Four corners of four colours: red, green over blue, yellow."""
    image = Image.new("RGB", (width, height))
    draw = ImageDraw.Draw(image)
    for place, colour in enumerate((RED, GREEN, BLUE, YELLOW)):
        x, y = (place % 2) * width // 2, (place // 2) * height // 2
        draw.rectangle((x, y, x + width // 2, y + height // 2), fill=colour)
    return image.convert(mode)


def saved(image: Image.Image, kind: str = "JPEG", **words: Any) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **words)
    return out.getvalue()


def opened(data: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


def corner(data: bytes, right: int, down: int) -> str:
    """Which of the four colours stands nearest to that corner."""
    image = opened(data)
    at = (image.width * (1 + 2 * right) // 4, image.height * (1 + 2 * down) // 4)
    seen = image.getpixel(at)
    assert isinstance(seen, tuple)
    names = {"red": RED, "green": GREEN, "blue": BLUE, "yellow": YELLOW}
    return min(names, key=lambda name: sum((a - b) ** 2 for a, b in zip(names[name], seen, strict=True)))


def exif_of(**words: Any) -> Image.Exif:
    exif = Image.Exif()
    exif[0x010F], exif[0x0110], exif[0x013B] = "Makermark", "Modelmark", "Ownermark"
    if "orientation" in words:
        exif[0x0112] = words["orientation"]
    inner = exif.get_ifd(0x8769)
    inner[0x9003] = words.get("taken", "2026:11:25 13:02:03")
    inner[0x927C] = b"MAKERNOTEMARK" * 20
    inner[0x9286] = b"ASCII\0\0\0COMMENTMARK"
    if words.get("offset"):
        inner[0x9011] = words["offset"]
    exif.get_ifd(0x8825).update(words.get("gps", gps("S", (45, 52, 26.4), "E", (170, 30, 13.68))))
    return exif


def gps(ns: Any, latitude: tuple[float, ...], ew: Any, longitude: tuple[float, ...]) -> dict[int, Any]:
    return {1: ns, 2: latitude, 3: ew, 4: longitude, 29: "2026:11:25", 27: b"ASCII\0\0\0GPSMARK"}


def noted(kind: str) -> bytes:
    """A picture with everything that people and cameras leave in one, a thumbnail of it too."""
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    xmp = b"<x:xmpmeta xmlns:x='http://ns.adobe.com/x/'>XMPMARK</x:xmpmeta>"
    exif = exif_of(offset="+13:00").tobytes()
    if kind == "PNG":
        text = PngImagePlugin.PngInfo()
        text.add_text("Comment", "TEXTMARK")
        text.add_itxt("XML:com.adobe.xmp", xmp.decode())
        return saved(quarters(), kind, exif=exif, icc_profile=profile, pnginfo=text)
    words = {"comment": b"COMMARK"} if kind == "JPEG" else {}
    data = saved(quarters(), kind, exif=exif, xmp=xmp, icc_profile=profile, **words)
    if kind == "JPEG":
        inner = saved(quarters(16, 16))
        extra = b"Photoshop 3.0\0" + inner
        data = data[:2] + b"\xff\xed" + struct.pack(">H", len(extra) + 2) + extra + data[2:] + b"TRAILINGMARK" + inner
    return data


NOTED = [noted(kind) for kind in pictures.KINDS]
"""Made once: a colour profile holds the second in which it was made."""
