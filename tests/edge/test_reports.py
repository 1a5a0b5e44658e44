"""Reports of a laboratory as files: what writers of PDF in use make is taken as it came; the rest is refused."""

import contextlib
import io
import re
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from hazmat.edge import reports
from hazmat.edge.reports import BadReport, read_report


def drawn(**saved: Any) -> bytes:
    """Three pages, written by a well-kept library in one of its ways."""
    made, out = pikepdf.new(), io.BytesIO()
    for _ in range(3):
        made.add_blank_page()
    made.docinfo["/Title"] = "Report 7"
    made.save(out, **saved)
    return out.getvalue()


PLAIN = drawn(object_stream_mode=pikepdf.ObjectStreamMode.disable)
PACKED = drawn(object_stream_mode=pikepdf.ObjectStreamMode.generate)
KEY = pikepdf.Encryption(owner="o", user="u")


def by_pillow() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), "white").save(out, "PDF")
    return out.getvalue()


def by_printer() -> bytes:
    import weasyprint

    made: bytes = weasyprint.HTML(string="<title>Report</title><p>1.2 mg/kg</p>").write_pdf()
    return made


def appended() -> bytes:
    """A second version after the first in the same file, with a table of its own that leads back to the first."""
    first = PLAIN.rindex(b"startxref\n") + len(b"startxref\n")
    old = int(PLAIN[first : PLAIN.index(b"\n", first)])
    root = re.search(rb"/Root \d+ 0 R", PLAIN)
    assert root
    at = len(PLAIN) + 1
    more = b"\n99 0 obj\n<< /Note (mended) >>\nendobj\n"
    table = b"xref\n99 1\n%010d 00000 n \n" % at
    trailer = b"trailer\n<< /Size 100 %s /Prev %d >>\nstartxref\n%d\n%%%%EOF\n" % (root[0], old, len(PLAIN) + len(more))
    return PLAIN + more + table + trailer


GOOD = {
    "plain": PLAIN,
    "packed": PACKED,
    "for the web": drawn(linearize=True),
    "for the web, packed": drawn(linearize=True, object_stream_mode=pikepdf.ObjectStreamMode.generate),
    "of 1.3": drawn(force_version="1.3", object_stream_mode=pikepdf.ObjectStreamMode.disable),
    "of 2.0": drawn(force_version="2.0"),
    "of a picture": by_pillow(),
    "printed": by_printer(),
    "with a second version": appended(),
    "with line ends of another machine": PLAIN.rstrip() + b"\r\n",
}


@pytest.mark.parametrize("name", GOOD)
def test_a_pdf_of_a_writer_in_use_is_kept_as_it_came(name: str, tmp_path: Path) -> None:
    data = GOOD[name]
    with pikepdf.open(io.BytesIO(data)) as outside:
        assert len(outside.pages) >= 1
    kept = read_report(data)
    assert (kept.kind, kept.data, kept.picture) == ("pdf", data, None)
    path = tmp_path / "report.pdf"
    path.write_bytes(data)
    assert read_report(path).data == data


@pytest.mark.parametrize("name", ["plain", "packed", "for the web"])
def test_a_pdf_that_is_cut_off_anywhere_is_refused(name: str) -> None:
    whole = GOOD[name].rstrip()
    for length in range(1, len(whole) - 5):
        with pytest.raises(BadReport):
            read_report(whole[:length])


def test_the_first_half_of_a_file_made_for_the_web_is_refused() -> None:
    """It ends like a whole one, with a start of nought."""
    data = GOOD["for the web"]
    first = data.index(b"%%EOF") + len(b"%%EOF")
    assert re.search(rb"startxref\s+0\s+%%EOF\Z", data[:first])
    with pytest.raises(BadReport, match="does not say where its pages are"):
        read_report(data[:first])


@pytest.mark.parametrize("more", [{}, {"object_stream_mode": pikepdf.ObjectStreamMode.generate}, {"linearize": True}])
def test_a_locked_pdf_is_refused(more: dict[str, Any]) -> None:
    with pytest.raises(BadReport, match="locked with a password or a key: save it without"):
        read_report(drawn(encryption=KEY, **more))


def test_a_lock_whose_name_is_spelled_in_numbers_is_seen() -> None:
    locked = drawn(encryption=KEY, object_stream_mode=pikepdf.ObjectStreamMode.disable)
    spelled = locked.replace(b"/Encrypt ", b"/#45ncryp#74 ")
    assert spelled != locked
    with pytest.raises(BadReport, match="locked"):
        read_report(spelled)


def test_a_pdf_in_which_an_object_is_not_where_it_should_be_is_refused() -> None:
    at = PLAIN.index(b" 00000 n ")
    moved = PLAIN[: at - 1] + bytes([PLAIN[at - 1] ^ 4]) + PLAIN[at:]
    with pytest.raises(BadReport, match="does not say where its pages are"):
        read_report(moved)
    with pytest.raises(BadReport, match="does not say where its pages are"):
        read_report(PLAIN.replace(b"/Root", b"/Rood"))
    with pytest.raises(BadReport, match="does not say where its pages are"):
        read_report(PACKED.replace(b"/Type /XRef", b"/Type /ABCD"))


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "The file is empty"),
        (b"<html><body>Report</body></html>", "A report is a PDF or a picture of it"),
        (b"<html>%PDF-1.7 " + PLAIN, "damaged or cut off"),
        (b"%PDF-9.9\n" + PLAIN[9:], "damaged or cut off"),
        (b"PK\x03\x04 a text of an office program", "A report is a PDF or a picture of it"),
        (PLAIN + b"x" * 2000, "damaged or cut off"),
    ],
)
def test_what_is_no_report_is_refused_in_one_sentence(data: bytes, says: str) -> None:
    with pytest.raises(BadReport) as wrong:
        read_report(data)
    assert says in str(wrong.value)
    assert str(wrong.value).endswith(".")
    assert "\n" not in str(wrong.value)


def test_a_pdf_that_is_too_large_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reports, "LARGEST_PDF", len(PLAIN))
    assert read_report(PLAIN).kind == "pdf"
    monkeypatch.setattr(reports, "LARGEST_PDF", len(PLAIN) - 1)
    path = tmp_path / "report.pdf"
    path.write_bytes(PLAIN)
    for given_ in (PLAIN, path):
        with pytest.raises(BadReport, match="too large"):
            read_report(given_)


def test_a_picture_of_a_report_is_kept_as_a_picture() -> None:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), "white").save(out, "PNG")
    kept = read_report(out.getvalue())
    assert kept.kind == "picture"
    assert kept.picture
    assert kept.data == kept.picture.full
    assert kept.data.startswith(b"\xff\xd8\xff")


@given(st.integers(0, len(PLAIN) - 1), st.integers(1, 255))
def test_whatever_is_changed_it_is_taken_or_refused_and_nothing_else(at: int, by: int) -> None:
    changed = PLAIN[:at] + bytes([PLAIN[at] ^ by]) + PLAIN[at + 1 :]
    with contextlib.suppress(BadReport):
        assert read_report(changed).data == changed
