"""Photographs that are taken: upright, in sRGB, and without a byte of a camera's notes, which are told beside it.

Outside expectations: the orientations of Exif (tag 0x0112), the layouts of JPEG (T.81) and PNG, plain arithmetic.
"""

import io
import struct
import warnings
import zlib
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageCms, TiffImagePlugin

from hazmat.edge import pictures
from hazmat.edge.pictures import BadPicture, read_picture
from tests.edge.photographs import NOTED, corner, exif_of, gps, noted, opened, quarters, saved

# ---------------------------------------------------------------------- what is kept, what is left behind

MARKS = (
    b"Exif", b"mark", b"MARK", b"http", b"xmp", b"ICC_PROFILE", b"Photoshop", b"GPS", b"2026:11:25", b"MPF",
    b"MM\x00*", b"II*\x00",
)  # fmt: skip


def segments(jpeg: bytes) -> list[int]:
    """The markers of a JPEG up to its first scan, by T.81 B.1.1."""
    found, at = [], 2
    while jpeg[at + 1] != 0xDA:
        assert jpeg[at] == 0xFF
        found.append(jpeg[at + 1])
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4], "big")
    return found


@pytest.mark.parametrize("kind", pictures.KINDS)
def test_the_record_keeps_time_and_place_and_the_picture_none(kind: str) -> None:
    data = noted(kind)
    assert b"MAKERNOTEMARK" in data
    got = read_picture(data)
    assert got.taken_at == "2026-11-25T13:02:03+13:00"
    assert got.zone_known
    assert (got.latitude, got.longitude) == ("-45.874000", "170.503800")
    for kept in (got.full, got.thumb):
        assert [mark for mark in MARKS if mark in kept] == []
        assert set(segments(kept)) <= {0xE0, 0xDB, 0xC0, 0xC4}  # JFIF, tables, frame: no other APPn, no comment
        assert kept.count(b"\xff\xd8\xff") == 1
        assert kept.endswith(b"\xff\xd9")
        assert kept.index(b"\xff\xd9") == len(kept) - 2
        assert set(opened(kept).info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_the_search_would_find_notes() -> None:
    data = noted("JPEG")
    assert {mark for mark in MARKS if mark in data} >= {b"Exif", b"mark", b"MARK", b"ICC_PROFILE", b"Photoshop"}
    assert not set(segments(data)) <= {0xE0, 0xDB, 0xC0, 0xC4}


def test_a_time_without_an_offset_is_local_and_says_so() -> None:
    got = read_picture(saved(quarters(), exif=exif_of()))
    assert got.taken_at == "2026-11-25T13:02:03"
    assert not got.zone_known


@pytest.mark.parametrize(
    ("taken", "offset", "wanted"),
    [
        ("2026:11:25 13:02:03", "-08:00", "2026-11-25T13:02:03-08:00"),
        ("2026:11:25 13:02:03", "Z", "2026-11-25T13:02:03Z"),
        ("2026:11:25 13:02:03", "+99:00", "2026-11-25T13:02:03"),
        ("2026:11:25 13:02:03", "soon", "2026-11-25T13:02:03"),
        ("0000:00:00 00:00:00", "", None),
        ("2026:02:30 10:00:00", "", None),
        ("    :  :     :  :  ", "", None),
        ("yesterday", "+13:00", None),
    ],
)
def test_times(taken: str, offset: str, wanted: str | None) -> None:
    got = read_picture(saved(quarters(), exif=exif_of(taken=taken, offset=offset)))
    assert got.taken_at == wanted
    assert not (wanted is None and got.zone_known)


@pytest.mark.parametrize(
    ("place", "wanted"),
    [
        (gps("N", (44, 3, 0), "W", (123, 6, 36)), ("44.050000", "-123.110000")),
        (gps("N", (90, 0, 0), "E", (180, 0, 0)), ("90.000000", "180.000000")),
        (gps("N", (90, 0, 1), "E", (180, 0, 0)), (None, None)),
        (gps("N", (44, 60, 0), "W", (123, 6, 36)), (None, None)),
        (gps("N", (0, 0, 0), "E", (0, 0, 0)), (None, None)),
        (gps("S", (0, 0, 0), "E", (9, 0, 0)), ("0.000000", "9.000000")),
        (gps("", (44, 3, 0), "W", (123, 6, 36)), (None, None)),
        (gps("Q", (44, 3, 0), "W", (123, 6, 36)), (None, None)),
        ({2: (44, 3, 0), 4: (123, 6, 36)}, (None, None)),
        ({1: "N", 2: (44, 3, 0)}, (None, None)),
        (gps("N", (44, 3), "W", (123, 6, 36)), (None, None)),
        (gps("N", (TiffImagePlugin.IFDRational(44, 0), 3, 0), "W", (123, 6, 36)), (None, None)),
    ],
)
def test_places(place: dict[int, Any], wanted: tuple[str | None, str | None]) -> None:
    got = read_picture(saved(quarters(), exif=exif_of(gps=place)))
    assert (got.latitude, got.longitude) == wanted


def test_damaged_notes_do_not_damage_the_picture() -> None:
    good = exif_of(offset="+13:00").tobytes()
    for at in range(6, len(good), 3):
        bad = good[:at] + b"\xff" + good[at + 1 :]
        assert read_picture(saved(quarters(), exif=bad)).width in (80, 120)
        assert read_picture(saved(quarters(), exif=good[:at])).height in (80, 120)


def test_a_picture_without_notes_knows_neither_time_nor_place() -> None:
    got = read_picture(saved(quarters()))
    assert (got.taken_at, got.latitude, got.longitude, got.zone_known) == (None, None, None, False)


# ---------------------------------------------------------------------- drawn anew

# Exif 2.32, tag 0x0112: which side of the picture the stored row 0 and column 0 are; so which colour is seen where.
SEEN = {
    1: ("red", "green", "blue", "yellow"),
    2: ("green", "red", "yellow", "blue"),
    3: ("yellow", "blue", "green", "red"),
    4: ("blue", "yellow", "red", "green"),
    5: ("red", "blue", "green", "yellow"),
    6: ("blue", "red", "yellow", "green"),
    7: ("yellow", "green", "blue", "red"),
    8: ("green", "yellow", "red", "blue"),
}


@pytest.mark.parametrize("kind", pictures.KINDS)
@pytest.mark.parametrize("orientation", SEEN)
def test_every_orientation_comes_out_upright(orientation: int, kind: str) -> None:
    got = read_picture(saved(quarters(), kind, exif=exif_of(orientation=orientation)))
    for data in (got.full, got.thumb):
        assert tuple(corner(data, right, down) for down in (0, 1) for right in (0, 1)) == SEEN[orientation]
    assert (got.width, got.height) == ((120, 80) if orientation < 5 else (80, 120))
    assert opened(got.full).size == (got.width, got.height)


@pytest.mark.parametrize("orientation", [0, 9, 255])
def test_an_orientation_that_is_none_turns_nothing(orientation: int) -> None:
    got = read_picture(saved(quarters(), exif=exif_of(orientation=orientation)))
    assert corner(got.full, 0, 0) == "red"


@pytest.mark.parametrize(
    ("kind", "mode"),
    [("JPEG", "CMYK"), ("JPEG", "YCbCr"), ("PNG", "P"), ("PNG", "RGBA"), ("PNG", "RGB"), ("WEBP", "RGBA")],
)
def test_every_mode_keeps_its_colours(kind: str, mode: str) -> None:
    got = read_picture(saved(quarters(mode=mode), kind))
    seen = tuple(corner(got.full, right, down) for down in (0, 1) for right in (0, 1))
    assert seen == SEEN[1]
    assert opened(got.full).mode == "RGB"


@pytest.mark.parametrize("mode", ["1", "L", "LA", "I;16"])
def test_grey_keeps_its_greys(mode: str) -> None:
    levels = (0, 255) if mode == "1" else (0, 128, 255)
    ramp = Image.new("I;16" if mode == "I;16" else "L", (30 * len(levels), 20))
    for place, level in enumerate(levels):
        ramp.paste(level * (257 if mode == "I;16" else 1), (30 * place, 0, 30 * place + 30, 20))
    got = opened(read_picture(saved(ramp if mode == "I;16" else ramp.convert(mode), "PNG")).full).convert("L")
    for place, level in enumerate(levels):
        seen = got.getpixel((30 * place + 15, 10))
        assert isinstance(seen, int)
        assert abs(seen - level) <= 2


def sixteen_bit_rgb(width: int, height: int, pixel: tuple[int, int, int]) -> bytes:
    """A PNG of 16 bits a channel, which Pillow reads and cannot write; by the PNG standard, chunks by hand."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    rows = (b"\0" + struct.pack(">3H", *pixel) * width) * height
    head = struct.pack(">IIBBBBB", width, height, 16, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")


def test_sixteen_bits_a_channel() -> None:
    got = opened(read_picture(sixteen_bit_rgb(40, 30, (51200, 5120, 25600))).full)
    seen = got.getpixel((20, 15))
    assert isinstance(seen, tuple)
    assert all(abs(a - b) <= 3 for a, b in zip(seen, (200, 20, 100), strict=True))


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_what_is_clear_stands_on_white(kind: str) -> None:
    clear = Image.new("RGBA", (40, 40), (0, 0, 0, 0))
    assert opened(read_picture(saved(clear, kind)).full).getpixel((20, 20)) == (255, 255, 255)
    half = Image.new("RGBA", (40, 40), (0, 0, 0, 128))
    seen = opened(read_picture(saved(half, kind, lossless=True)).full).getpixel((20, 20))
    assert isinstance(seen, tuple)
    assert all(abs(level - 127) <= 2 for level in seen)


def test_a_clear_colour_of_a_palette_stands_on_white() -> None:
    image = quarters().quantize(4)
    data = saved(image, "PNG", transparency=image.getpixel((5, 5)))
    seen = opened(read_picture(data).full).getpixel((5, 5))
    assert isinstance(seen, tuple)
    assert min(seen) >= 250


def test_colours_come_out_in_srgb() -> None:
    """A profile with red and blue changed about (a BGR display) shows that the profile is really used."""
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    plain = read_picture(saved(quarters())).full
    assert read_picture(saved(quarters(), icc_profile=lab)).full == plain  # no profile of RGB: passed over
    assert read_picture(saved(quarters(), icc_profile=b"no profile")).full == plain
    srgb = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    red, blue = srgb.index(b"rXYZ"), srgb.index(b"bXYZ")
    srgb[red : red + 4], srgb[blue : blue + 4] = b"bXYZ", b"rXYZ"
    swapped = read_picture(saved(quarters(), icc_profile=bytes(srgb))).full
    assert [corner(swapped, 0, 0), corner(swapped, 0, 1)] == ["blue", "red"]


@pytest.mark.parametrize(
    ("size", "full", "thumb"),
    [
        ((2560, 1000), (2560, 1000), (480, 188)),
        ((2561, 1000), (2560, 1000), (480, 188)),
        ((1000, 5120), (500, 2560), (94, 480)),
        ((480, 480), (480, 480), (480, 480)),
        ((3, 2), (3, 2), (3, 2)),
        ((1, 1), (1, 1), (1, 1)),
        ((9000, 1), (2560, 1), (480, 1)),
    ],
)
def test_sizes(size: tuple[int, int], full: tuple[int, int], thumb: tuple[int, int]) -> None:
    got = read_picture(saved(quarters(*size)))
    assert (got.width, got.height) == full == opened(got.full).size
    assert opened(got.thumb).size == thumb


def test_the_same_bytes_come_out_again_and_from_other_threads() -> None:
    first = [read_picture(data) for data in NOTED]
    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(read_picture, NOTED * 3)) == first * 3
    assert [read_picture(one.full).width for one in first] == [120, 120, 120]


def test_warnings_are_as_they_were_afterwards() -> None:
    before = list(warnings.filters)
    read_picture(noted("JPEG"))
    with pytest.raises(BadPicture):
        read_picture(b"text")
    assert list(warnings.filters) == before


def test_a_path_reads_as_its_bytes(tmp_path: Path) -> None:
    file = tmp_path / "picture.txt"
    file.write_bytes(noted("JPEG"))
    assert read_picture(file) == read_picture(file.read_bytes())
    with pytest.raises(FileNotFoundError):
        read_picture(tmp_path / "nothing.jpg")


def test_a_phones_picture_with_a_second_one_or_a_film_behind_it_is_its_first() -> None:
    two = io.BytesIO()
    quarters().save(two, "MPO", save_all=True, append_images=[quarters(40, 40)])
    assert opened(two.getvalue()).format == "MPO"
    plain = read_picture(saved(quarters()))
    assert (read_picture(two.getvalue()).width, plain.width) == (120, 120)
    film = b"\0\0\0\x18ftypmp42" + b"\xff\xda" * 400 + b"\xff\xd8\xff"
    assert read_picture(saved(quarters()) + film) == plain
