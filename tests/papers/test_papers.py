"""Papers as outside programs see them: conformance, words, codes, attachment, pages, and nothing fetched."""

import json
import re
import socketserver
import subprocess
import sys
import threading
from collections.abc import Iterable
from hashlib import sha256
from http.server import BaseHTTPRequestHandler
from io import BytesIO
from pathlib import Path
from typing import Any

import jcs
import pikepdf
import pypdf
import pytest
import zxingcpp
from PIL import Image

from hazmat import papers, rulebooks
from hazmat.core.codes import code_of, is_good
from hazmat.papers.render import qr_text
from tests.conftest import ROOT
from tests.papers.conftest import ASIDE, AT, KINDS, LINE, YARDS, Printed, frozen, tool, unit

EVERYTHING_UNKNOWN: dict[str, Any] = {"kind": "other"}


def text(path: Path) -> str:
    """The words of a PDF by poppler, white space folded."""
    found = subprocess.run([tool("pdftotext", "poppler-utils"), "-layout", path, "-"], capture_output=True, check=True)
    return " ".join(found.stdout.decode().split())


def pages(path: Path) -> int:
    return len(pypdf.PdfReader(path).pages)


def verdicts(*asked: str) -> list[dict[str, Any]]:
    """What the validator says, file by file."""
    tool("java", "default-jre-headless")
    done = subprocess.run(
        [sys.executable, "-m", "tests.papers.verdict", *asked], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return [json.loads(line) for line in done.stdout.splitlines()]


def test_every_paper_conforms(printed: Printed) -> None:
    """PDF/A-3a (ISO 19005-3), and PDF/UA-1 (ISO 14289-1) but for the identifier, which no file can carry beside 3a."""
    now = unit(LINE, proved=True)
    made = [printed(kind, now, country) for kind in KINDS for country in YARDS]
    for path, verdict in zip(made, verdicts(*(f"3a:{path}" for path in made)), strict=True):
        assert verdict == {"passed": True, "failed": []}, path.name
    for path, verdict in zip(made, verdicts(*(f"ua1:{path}" for path in made)), strict=True):
        assert set(verdict["failed"]) <= {"5-1"}, path.name


def test_the_validator_finds_what_is_planted(printed: Printed, tmp_path: Path) -> None:
    """A plain page, and a sheet without title and language, fail."""
    (tmp_path / "plain.pdf").write_bytes(papers.minimal())
    bare = tmp_path / "bare.pdf"
    with pikepdf.open(printed("notice", unit(LINE))) as sheet:
        del sheet.Root.Lang
        sheet.save(bare)
    plain, untold = verdicts(f"3a:{tmp_path / 'plain.pdf'}", f"ua1:{bare}")
    assert not plain["passed"]
    assert len(plain["failed"]) >= 3
    assert any(clause.startswith("7.2") for clause in untold["failed"])


@pytest.mark.parametrize("kind", KINDS)
def test_two_readers_agree_on_the_words(kind: str, printed: Printed) -> None:
    path = printed(kind, unit(LINE))
    theirs = "".join(page.extract_text() for page in pypdf.PdfReader(path).pages)
    assert sorted("".join(theirs.split())) == sorted(text(path).replace(" ", ""))


def test_the_sheet_says_everything(printed: Printed) -> None:
    now = unit(LINE, "us", note="by the creek")
    path = printed("site_sheet", now, "us")
    words = text(path)
    flat = words.replace(" ", "")
    for reason in now.answer["because"]:
        assert reason["says"].replace(" ", "")[:40] in flat
    for task in now.answer["next"]:
        if task["act"] != "wear_to_sample":
            assert task["says"].replace(" ", "")[:24] in flat, task["act"]
    told = "".join("".join(page.extract_text().split()) for page in pypdf.PdfReader(path).pages)
    for caution in ("It stands where it was found", "Nobody reaches for a fuse on a live side"):
        assert caution.replace(" ", "") in told
    for wanted in (
        "HOLD: not proven",
        "Treat as",
        "K7M 4PK",
        "Mere Example",
        "by the creek",
        "Ana Example",
        "page 1 of",
    ):
        assert wanted in words
    assert "this does not say that it is dead" in words
    assert "Rule book us, edition" in words
    assert "not known" in words
    for banned in ("PCB-free", "compliant", "is clean", "is safe"):
        assert banned not in words


def test_no_sampling_step_is_printed_before_it_is_proved_dead(printed: Printed) -> None:
    words = text(printed("site_sheet", unit(LINE)))
    assert "No sampling steps are given" in words
    assert "Rinse the bottle" not in words
    assert "To sample:" not in words
    after = text(printed("site_sheet", unit(LINE, proved=True)))
    assert "Rinse the bottle" in after
    assert "No sampling steps" not in after
    assert "Ben Example" in after


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("grey", [False, True])
def test_the_code_is_read_back(kind: str, grey: bool, printed: Printed, tmp_path: Path) -> None:
    path = printed(kind, unit(LINE))
    words = [tool("pdftoppm", "poppler-utils"), "-r", "150", "-png", *(["-gray"] if grey else []), path]
    subprocess.run([*words, tmp_path / "page"], check=True)
    first = Image.open(sorted(tmp_path.glob("page*.png"))[0])
    codes = [one.text for one in zxingcpp.read_barcodes(first)]
    made = frozen(kind, unit(LINE))
    assert codes == [qr_text("17", papers.code(made.payload))]
    assert re.fullmatch(r"OW1:17:[2-9A-HJ-NP-Z]{11}", codes[0])


@pytest.mark.parametrize("kind", KINDS)
def test_the_payload_lies_inside(kind: str, printed: Printed) -> None:
    """Canonical by another writer of RFC 8785; its first fifty bits are the check code; no person stands in it."""
    made = frozen(kind, unit(LINE))
    canonical = jcs.canonicalize(made.payload)
    code = papers.code(made.payload)
    assert is_good(code)
    assert code == code_of(sha256(canonical).hexdigest())
    for word in (*ASIDE.values(), "Ana Example"):
        assert word.encode() not in canonical
    with pikepdf.open(printed(kind, unit(LINE))) as sheet:
        kept = sheet.attachments
        assert list(kept) == [f"{kind}-17.json"]
        assert kept[f"{kind}-17.json"].get_file().read_bytes() == canonical
        assert str(sheet.Root.Lang) == "en"


def test_fonts_are_inside_and_the_file_is_sound(printed: Printed) -> None:
    path = printed("site_sheet", unit(LINE))
    fonts = subprocess.run([tool("pdffonts", "poppler-utils"), path], capture_output=True, text=True, check=True).stdout
    rows = fonts.splitlines()[2:]
    assert rows
    assert all(re.search(r"\byes yes yes\b", row) for row in rows), fonts
    assert subprocess.run([tool("qpdf", "qpdf"), "--check", path], capture_output=True, check=False).returncode == 0


PRINT = """
import os, sys
os.environ["DJANGO_SETTINGS_MODULE"] = "hazmat.conf.settings"
import django; django.setup()
from hashlib import sha256
from hazmat import papers
from tests.papers.conftest import KINDS, LINE, frozen, unit
for kind in KINDS:
    made = frozen(kind, unit(LINE))
    print(sha256(papers.pdf(made.payload, made.aside, papers.code(made.payload))).hexdigest())
"""


def test_the_same_words_give_the_same_bytes() -> None:
    """In two processes whose hashing differs."""
    import os

    runs = [
        subprocess.run(
            [sys.executable, "-c", PRINT], cwd=ROOT, env={**os.environ, "PYTHONHASHSEED": seed}, capture_output=True,
            text=True, check=True,
        ).stdout
        for seed in ("1", "2")
    ]  # fmt: skip
    assert runs[0] == runs[1]
    assert len(set(runs[0].split())) == len(KINDS)


@pytest.mark.parametrize(("country", "size"), [("nz", (595, 842)), ("us", (612, 792))])
def test_paper_is_that_of_the_country(country: str, size: tuple[int, int], printed: Printed) -> None:
    """A4 is 210 x 297 mm, ISO 216; letter 8.5 x 11 inches. Tag 60 x 90 mm and bottle label 40 x 25 mm everywhere."""
    for kind in ("site_sheet", "notice"):
        box = pypdf.PdfReader(printed(kind, unit(LINE, country), country)).pages[0].mediabox
        assert (round(float(box.width)), round(float(box.height))) == size
    box = pypdf.PdfReader(printed("unit_tag", unit(LINE, country), country)).pages[0].mediabox
    assert (round(float(box.width)), round(float(box.height))) == (170, 255)
    box = pypdf.PdfReader(printed("bottle_label", unit(LINE, country), country)).pages[0].mediabox
    assert (round(float(box.width)), round(float(box.height))) == (113, 71)


EVIL = (
    "</style><script>x</script><img src=http://127.0.0.1:{port}/a.png> {{{{ 7 }}}} "
    "<link rel=attachment href=file:///etc/passwd>"
)


def test_words_are_words_and_nothing_is_fetched(printed: Printed) -> None:
    hits: list[str] = []

    class Listener(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            hits.append(self.path)
            self.send_response(200)
            self.end_headers()

    with socketserver.TCPServer(("127.0.0.1", 0), Listener) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        evil = EVIL.format(port=server.server_address[1])
        line = {**LINE, "plate_words": [evil, f"url(http://127.0.0.1:{server.server_address[1]}/b)"]}
        for kind in KINDS:
            path = printed(kind, unit(line, note=evil), aside={"owner": evil, "where": evil, "owner_phone": evil})
            with pikepdf.open(path) as sheet:
                assert list(sheet.attachments) == [f"{kind}-17.json"]
            if kind == "site_sheet":
                assert "</style><script>x</script>" in text(path).replace(" ", "")
        server.shutdown()
    assert hits == []


@pytest.mark.parametrize("kind", KINDS)
def test_a_unit_of_which_nothing_is_known(kind: str, printed: Printed) -> None:
    words = text(printed(kind, unit(EVERYTHING_UNKNOWN, "us"), "us", aside={}))
    assert "not proven" in words or kind == "bottle_label"
    assert ("HOLD" if kind != "bottle_label" else "Treat as") in words


BOX = r'xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)"'
LONG = {
    **LINE, "plate_words": ["W" * 190, "שנאי ישן", "変圧器", "é" * 80, *(f"line {n}" for n in range(40))],
}  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_stands_outside_the_page(kind: str, printed: Printed) -> None:
    """Each word by poppler lies within the page; long words break; a tag stays one page."""
    path = printed(kind, unit(LONG, note="word " * 700), aside={"where": "x" * 290, "owner": "y" * 110})
    found = subprocess.run(
        [tool("pdftotext", "poppler-utils"), "-bbox", path, "-"], capture_output=True, text=True, check=True
    )
    sheets = re.findall(r'<page width="([\d.]+)" height="([\d.]+)">(.*?)</page>', found.stdout, re.DOTALL)
    assert len(sheets) == pages(path)
    for width, height, words in sheets:
        for left, top, right, bottom in re.findall(
            r'xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)"', words
        ):
            assert float(left) >= 0
            assert float(top) >= 0
            assert float(right) <= float(width) + 1
            assert float(bottom) <= float(height) + 1
    if kind in ("unit_tag", "bottle_label"):
        assert pages(path) == 1
    if kind == "site_sheet":
        assert pages(path) >= 2
        assert f"page {pages(path)} of {pages(path)}" in text(path)


def test_an_ordinary_sheet_is_one_page(printed: Printed) -> None:
    assert pages(printed("site_sheet", unit(LINE), "nz")) == 1
    assert pages(printed("notice", unit(LINE), "nz")) == 1


def test_a_machine_that_cannot_print_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    from hazmat.papers import render

    render._printer.cache_clear()
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    with pytest.raises(papers.CannotPrint, match="sudo apt-get install -y libpango"):
        papers.minimal()
    monkeypatch.undo()
    render._printer.cache_clear()


@pytest.mark.parametrize("kind", KINDS)
def test_a_low_class_never_stands_without_the_care_of_hands(kind: str, printed: Printed) -> None:
    """The law lets a capacitor of 1988 pass as below 50 ppm for use; hands take the highest care all the same."""
    words = text(printed(kind, unit({"kind": "capacitor", "built": "1988"}, "us"), "us"))
    assert "Treat as below 50 ppm PCB, not proven. Handle as 500 mg/kg or more" in words


@pytest.mark.parametrize("lacks", ["detector_before", "detector_after", "back_feed", "earthed"])
@pytest.mark.parametrize("answer", [None, False])
def test_a_proof_that_lacks_a_part_gives_no_steps(lacks: str, answer: bool | None, printed: Printed) -> None:
    words = text(printed("site_sheet", unit(LINE, proved=True, partly={lacks: answer})))
    assert "Said to be proved dead" in words
    assert "No sampling steps are given" in words
    assert "bottom valve" not in words
    assert "To sample" not in words


def test_the_notice_ends_its_sentences(printed: Printed) -> None:
    assert "Treat it as live." in text(printed("notice", unit(LINE)))


def longest(sentences: Iterable[str]) -> str:
    return max(sentences, key=len)


@pytest.mark.parametrize("kind", ["unit_tag", "bottle_label"])
def test_a_tag_and_a_label_are_one_page_whatever_is_known(kind: str) -> None:
    """The longest of every word that may stand on it, all at once: strength of a class, strip, kind, name of a yard."""
    house = rulebooks.rulebook(rulebooks.HANDLING)
    said = [
        one for key, one in house.sentences.items() if key.startswith("strength_") and key != "strength_undetermined"
    ]
    classes = [word.says for name in rulebooks.laws() for word in rulebooks.rulebook(name).class_words.values()]
    known = longest(one.says.format_map({"class": longest(classes)}) for one in said)
    now = unit({**LINE, "kind": "instrument_transformer"})
    its = now.bottles[0] if kind == "bottle_label" else None
    yard = {**YARDS["us"], "name": "Yard " * 24}
    made = papers.payload(kind, now, yard, ASIDE, "1234567", AT, "Ana Example", its)
    strip = longest(one.says for key, one in house.sentences.items() if "strip" in key)
    hands = f"Handle as {longest(word.says for word in house.class_words.values())}"
    told = {
        **made.payload, "strength": known, "hands": hands, "hold": {**made.payload["hold"], "says": strip},
        **({"space": "W" * 60, "labelled": "30 Nov 2026, 23:59"} if its else {}),
    }  # fmt: skip
    reader = pypdf.PdfReader(BytesIO(papers.pdf(told, made.aside, papers.code(told))))
    assert len(reader.pages) == 1
    words = "".join(reader.pages[0].extract_text().split())
    for wanted in (known, hands, *((strip, "law day") if its is None else ("Drawn (who, when)",))):
        assert "".join(wanted.split()) in words


def test_the_notice_of_a_drum_speaks_of_no_equipment(printed: Printed) -> None:
    words = text(printed("notice", unit({"kind": "drum"}), aside={}))
    assert "Oil of unknown origin" in words
    assert "Do not open it" in words
    for wrong in ("Electrical equipment", "Treat it as live", "climb"):
        assert wrong not in words
