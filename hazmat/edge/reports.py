"""The report of a laboratory as a file: a PDF that holds together, or a picture; anything else is refused.

What is checked of a PDF is its outer frame alone, on its bytes: it begins as one, it ends as one, the table of contents
that its end names is there, is one, and names the place of each object rightly, and nothing in it is encrypted. No page
is drawn, nothing is run, no font or picture in it is looked at, and a compressed table is not unpacked: a PDF that
passes can still hold a damaged page, or a script. So it is kept as it came and only ever sent as a file to be saved.
Source of the structure: ISO 32000-1, 7.5 (file structure) and 7.6 (encryption).
"""

import re
from dataclasses import dataclass
from pathlib import Path

from hazmat.core.reported import ReportKind
from hazmat.edge.pictures import BadPicture, Picture, read_picture

LARGEST_PDF = 25_000_000
"""Most bytes of a PDF that is kept. Source: our own choice, several times a scanned report of a dozen pages."""
TAIL = 1024
"""Last bytes in which a PDF ends. Source: readers in use look for %%EOF there; ISO 32000-1, annex H."""
NEAR = 4096
"""Bytes after the start of a compressed table in which its dictionary ends. Source: our own choice."""

BEGINS = re.compile(rb"%PDF-(?:1\.[0-7]|2\.0)[\r\n ]")
ENDS = re.compile(rb"startxref[\r\n \t]+([0-9]{1,10})[\r\n \t]+%%EOF[\r\n \t\x00]*\Z")
SECTION = re.compile(rb"[\r\n \t]*([0-9]{1,10}) ([0-9]{1,10})[ \t]*(?:\r\n|\r|\n)")
ENTRY = 20
"""Bytes of one line of a table of contents. Source: ISO 32000-1, 7.5.4."""
LINE = re.compile(rb"([0-9]{10}) ([0-9]{5}) ([nf])(?: \r| \n|\r\n)")
OBJECT = re.compile(rb"[\r\n \t]*([0-9]{1,10})[\r\n \t]+([0-9]{1,5})[\r\n \t]+obj\b")
HASHED = re.compile(rb"#([0-9A-Fa-f]{2})")
PRINT = "print it into a PDF once more, or send a picture of each page that counts"


class BadReport(ValueError):
    """Why a file is not taken as a report: one plain sentence, with how to mend it."""


@dataclass(frozen=True, kw_only=True)
class Report:
    """A report that was looked into: a PDF as it came, or the picture as it is kept."""

    kind: ReportKind
    data: bytes
    picture: Picture | None = None


def read_report(given: bytes | Path) -> Report:
    """A report from its bytes or its file. Raises BadReport; OSError where the file itself cannot be read."""
    with_head = given[:TAIL] if isinstance(given, bytes) else _head(given)
    if not with_head:
        raise BadReport("The file is empty: send the report once more.")
    if b"%PDF-" in with_head:
        return Report(kind="pdf", data=_pdf(given))
    try:
        picture = read_picture(given)
    except BadPicture as bad:
        raise BadReport(f"A report is a PDF or a picture of it. {bad}") from None
    return Report(kind="picture", data=picture.full, picture=picture)


def _head(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(TAIL)


def _pdf(given: bytes | Path) -> bytes:
    """The bytes of a PDF whose frame holds together. Raises BadReport."""
    size = given.stat().st_size if isinstance(given, Path) else len(given)
    if size > LARGEST_PDF:
        most = f"at most {LARGEST_PDF // 1_000_000} MB are kept"
        raise BadReport(f"The PDF is too large ({size // 1_000_000} MB; {most}): send the pages that count alone.")
    data = given.read_bytes() if isinstance(given, Path) else given
    end = ENDS.search(data, max(0, len(data) - TAIL))
    if not BEGINS.match(data) or end is None:
        raise BadReport(f"The PDF is damaged or cut off: send it again, or {PRINT}.")
    trailer = _trailer(data, int(end[1]), end.start())
    if trailer is None or not re.search(rb"/Root[\r\n \t]+[0-9]+[\r\n \t]+[0-9]+[\r\n \t]+R\b", trailer):
        raise BadReport(f"The PDF does not say where its pages are: {PRINT}.")
    if re.search(rb"/Encrypt\b", trailer):
        raise BadReport("The PDF is locked with a password or a key: save it without, and send that.")
    return data


def _trailer(data: bytes, start: int, end: int) -> bytes | None:
    """The dictionary that names where everything is, its names spelled out; None where there is none as told."""
    if start >= end:
        return None
    found = _of_table(data, start, end) if data.startswith(b"xref", start) else _of_stream(data, start, end)
    return None if found is None else HASHED.sub(lambda code: bytes([int(code[1], 16)]), found)


def _of_table(data: bytes, start: int, end: int) -> bytes | None:
    """The trailer after a plain table, whose every line leads to the object that it names."""
    at = start + len(b"xref")
    while section := SECTION.match(data, at, end):
        first, count, at = int(section[1]), int(section[2]), section.end()
        for number in range(first, first + count):
            line = LINE.match(data, at, end)
            if line is None or (line[3] == b"n" and not _is_object(data, int(line[1]), number)):
                return None
            at += ENTRY
    trailer = re.compile(rb"[\r\n \t]*trailer\b").match(data, at, end)
    if trailer is None:
        return None
    stop = data.find(b"startxref", trailer.end())
    return data[trailer.end() : stop]


def _of_stream(data: bytes, start: int, end: int) -> bytes | None:
    """The dictionary of a compressed table, which itself is never compressed."""
    found = OBJECT.match(data, start, end)
    stop = data.find(b"stream", found.end(), min(end, found.end() + NEAR)) if found else -1
    if found is None or stop < 0:
        return None
    told = data[found.end() : stop]
    return told if re.search(rb"/Type[\r\n \t]*/XRef\b", told) else None


def _is_object(data: bytes, at: int, number: int) -> bool:
    """Whether this object stands at this place; an entry of nought is one that some writers leave unused."""
    found = OBJECT.match(data, at)
    return at == 0 or (found is not None and int(found[1]) == number)
