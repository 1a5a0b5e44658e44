"""What is refused as a photograph, in which words, before anything is decoded; and that nothing gets by.

Outside expectations: the layouts of JPEG (T.81) and WebP (RFC 9649), plain arithmetic.
"""

import contextlib
import io
import struct
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageFile

from hazmat.edge import pictures
from hazmat.edge.pictures import BadPicture, Picture, read_picture
from tests.conftest import ROOT
from tests.edge.photographs import NOTED, exif_of, opened, quarters, saved

JPEG = saved(quarters(400, 300), quality=90)
PNG = saved(quarters(400, 300), "PNG")
WEBP = saved(quarters(400, 300), "WEBP")


def refused(given: bytes | Path) -> str:
    with pytest.raises(BadPicture) as caught:
        read_picture(given)
    says = str(caught.value)
    assert says.endswith(".")
    assert says[0].isupper()
    assert "\n" not in says
    return says


def zipped() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("note.txt", "words")
    return out.getvalue()


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b"a list of units\n", "text and not a picture"),
        ("čtyři jednotky".encode() * 200, "text and not a picture"),
        (b"\xef\xbb\xbf<!doctype html><title>x</title>", "web page"),
        (b"<html></html>", "web page"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "SVG"),
        (b"<?xml version='1.0'?>\n<!-- x -->\n<svg/>", "SVG"),
        (b"%PDF-1.7\n", "a PDF"),
        (zipped(), "a zip file"),
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "HEIC"),
        (b"\0\0\0\x18ftypmif1\0\0\0\0mif1heic", "HEIC"),
        (b"\0\0\0\x20ftypavif\0\0\0\0", "AVIF"),
        (b"\0\0\0\x20ftypisom\0\0\0\0", "a film"),
        (b"\x00\x01\x02\x03" * 99, "no picture of a kind that is read here"),
        (b"\xff", "no picture of a kind that is read here"),
        (b"\xff\xd8\xff", "damaged or cut off"),
        (b"\x89PNG\r\n\x1a\n", "damaged or cut off"),
        (b"RIFF\0\0\0\0WEBP", "damaged or cut off"),
        (PNG + zipped(), "another kind of file in one"),
        (JPEG + zipped(), "another kind of file in one"),
        (saved(quarters(), comment=b"%PDF-1.4 1 0 obj"), "another kind of file in one"),
        (saved(quarters(), comment=b"<SCRIPT>go()</SCRIPT>"), "another kind of file in one"),
        (saved(quarters(), comment=b"<?php go();"), "another kind of file in one"),
    ],
)
def test_what_is_no_picture_is_named(data: bytes, words: str) -> None:
    says = refused(data)
    assert words in says
    assert ":" in says  # after it stands how to mend it


@pytest.mark.parametrize("kind", ["GIF", "TIFF", "BMP", "AVIF"])
def test_other_kinds_of_picture_are_to_be_saved_as_jpeg(kind: str) -> None:
    says = refused(saved(quarters(), kind))
    assert kind in says
    assert "save it as JPEG" in says


@pytest.mark.parametrize("data", [JPEG, PNG, WEBP], ids=pictures.KINDS)
def test_a_cut_off_picture_is_refused_wherever_it_is_cut(data: bytes) -> None:
    for end in range(12, len(data) - 64, max(1, len(data) // 60)):
        assert "damaged or cut off" in refused(data[:end])


@pytest.mark.parametrize("others", [True, False])
def test_a_cut_off_picture_is_refused_whatever_others_let_in(others: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """A printer in the same process tells every decoder to fill up what is missing; and goes on being told so."""
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", others)
    for data in (JPEG, PNG, WEBP):
        assert "damaged or cut off" in refused(data[: len(data) // 2])
    assert ImageFile.LOAD_TRUNCATED_IMAGES is others


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_a_picture_that_moves_is_refused(kind: str) -> None:
    data = saved(quarters(), kind, save_all=True, append_images=[quarters(mode="L").convert("RGB")], duration=100)
    assert "moves" in refused(data)


def test_a_file_that_is_too_large_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    vast = tmp_path / "vast.jpg"
    with vast.open("wb") as out:
        out.truncate(200_000_000)
    monkeypatch.setattr(Path, "read_bytes", lambda self: pytest.fail("it was read"))
    monkeypatch.setattr(Image, "open", lambda *args, **words: pytest.fail("it was opened"))
    assert "200 MB" in refused(vast)
    assert "too large" in refused(JPEG + bytes(pictures.LARGEST_FILE + 1 - len(JPEG)))


def test_a_file_of_just_the_size_is_read() -> None:
    assert read_picture(JPEG + bytes(pictures.LARGEST_FILE - len(JPEG))).width == 400


def vast(width: int, height: int, kind: str) -> bytes:
    """A small file of very many pixels."""
    return saved(Image.new("1" if kind == "PNG" else "L", (width, height)), kind)


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_both_sides_of_forty_million_pixels(kind: str) -> None:
    assert pictures.MOST_PIXELS == 40_000_000
    got = read_picture(vast(8000, 5000, kind))
    assert (got.width, got.height) == (2560, 1600)
    assert "more than 40 million pixels" in refused(vast(8000, 5001, kind))


def test_a_bomb_is_refused_before_it_is_decoded(monkeypatch: pytest.MonkeyPatch) -> None:
    bombs = [vast(12000, 9000, "PNG"), vast(30000, 30000, "PNG"), vast(20000, 10000, "JPEG")]
    assert all(len(bomb) < 3_000_000 for bomb in bombs)
    huge = b"RIFF" + struct.pack("<I", 30) + b"WEBPVP8X" + struct.pack("<I", 10) + b"\0" * 4 + b"\xff" * 6
    lossless = (
        b"RIFF" + struct.pack("<I", 30) + b"WEBPVP8L" + struct.pack("<I", 10) + b"\x2f\xff\xff\xff\x0f" + b"\0" * 5
    )
    monkeypatch.setattr("PIL.ImageFile.ImageFile.load", lambda self: pytest.fail("it was decoded"))
    for bomb in [*bombs, huge, lossless]:
        assert "million pixels" in refused(bomb)


def test_webp_sizes_are_those_that_the_decoder_finds() -> None:
    for words in ({"lossless": True}, {"quality": 80}, {"quality": 80, "exif": exif_of().tobytes()}):
        for size in ((1, 1), (317, 201), (2000, 3)):
            data = saved(quarters(*size), "WEBP", **words)
            assert pictures._webp_size(data) == opened(data).size == size


def test_a_jpeg_of_very_many_passes_is_refused() -> None:
    data = saved(quarters(64, 64), progressive=True)
    first = data.index(b"\xff\xda")
    second = data.index(b"\xff", first + 14)
    scan = data[first:second]
    assert data.count(b"\xff\xda") <= 12
    assert read_picture(data).width == 64
    assert "passes" in refused(data[:first] + scan * 200 + data[second:])


@given(st.data())
def test_whatever_is_done_to_a_picture_it_is_a_picture_or_refused(data: st.DataObject) -> None:
    whole = bytearray(data.draw(st.sampled_from([*NOTED, JPEG])))
    for _ in range(data.draw(st.integers(1, 6))):
        at = data.draw(st.integers(0, max(0, len(whole) - 1)))
        change = data.draw(st.sampled_from(["write", "cut", "drop", "repeat"]))
        some = data.draw(st.binary(min_size=1, max_size=4))
        if change == "write":
            whole[at : at + len(some)] = some
        elif change == "cut" and at:
            del whole[at:]
        elif change == "drop":
            del whole[at : at + 1]
        else:
            whole[at:at] = whole[max(0, at - 40) : at]
    with contextlib.suppress(BadPicture):
        got = read_picture(bytes(whole))
        assert isinstance(got, Picture)
        assert max(got.width, got.height) <= pictures.LONGEST_SIDE
        assert [mark for mark in (b"Exif", b"MARK", b"GPS") if mark in got.full + got.thumb] == []


@given(st.binary(max_size=200), st.sampled_from([b"", b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF\0\0\0\0WEBPVP8X"]))
def test_noise_is_refused(noise: bytes, start: bytes) -> None:
    refused(start + noise)


PROBE = """
import sys
from pathlib import Path
from hazmat.edge.pictures import read_picture
read_picture(Path(sys.argv[1]))
print(next(line.split()[1] for line in open("/proc/self/status") if line.startswith("VmHWM")))
"""


@pytest.mark.parametrize(("kind", "mode"), [("JPEG", "RGB"), ("JPEG", "CMYK"), ("PNG", "RGBA"), ("PNG", "P")])
def test_the_largest_picture_fits_a_small_machine(kind: str, mode: str, tmp_path: Path) -> None:
    """Forty million pixels of four bytes are 160 MB: twice that and the interpreter, never much more at once."""
    file = tmp_path / "large"
    Image.linear_gradient("L").resize((8000, 5000)).convert(mode).save(file, kind, compress_level=1)
    words = [sys.executable, "-c", PROBE, str(file)]
    done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=True)
    assert 100_000 < int(done.stdout) < 450_000  # kB
