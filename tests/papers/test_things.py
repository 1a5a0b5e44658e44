"""What holds for the papers of drums and of loads alike."""

import json
import re
import socketserver
import subprocess
import threading
from dataclasses import replace
from hashlib import sha256
from http.server import BaseHTTPRequestHandler
from io import BytesIO
from pathlib import Path

import jcs
import pikepdf
import pytest
import zxingcpp

from disposal.papers.build import drum_label
from hazmat import papers, rulebooks
from hazmat.core.codes import code_of, is_good
from hazmat.papers.render import qr_text
from tests.papers.conftest import AT, YARDS, tool
from tests.papers.printing import BY, drawn, label, made_all, pdf, sheet, words_of
from tests.papers.test_papers import BOX, EVIL, verdicts
from tests.papers.things import FIRMS, drum, empty, load, signed, source

NEVER = ("pcb free", "compliant", "clean", "safe", "harmless")


def test_every_paper_conforms(tmp_path: Path) -> None:
    """PDF/A-3a (ISO 19005-3), and PDF/UA-1 (ISO 14289-1) but for the identifier, which no file can carry beside 3a."""
    paths = []
    for country in YARDS:
        for name, made in made_all(country).items():
            paths.append(tmp_path / f"{country} {name}.pdf")
            paths[-1].write_bytes(pdf(made))
    for path, verdict in zip(paths, verdicts(*(f"3a:{path}" for path in paths)), strict=True):
        assert verdict == {"passed": True, "failed": []}, path.name
    for path, verdict in zip(paths, verdicts(*(f"ua1:{path}" for path in paths)), strict=True):
        assert set(verdict["failed"]) <= {"5-1"}, path.name


@pytest.mark.parametrize("country", YARDS)
def test_codes_are_read_back_and_the_data_lies_inside(country: str) -> None:
    """At 150 dots an inch, in grey: the code of each paper, whose payload is canonical and names no person."""
    for name, made in made_all(country).items():
        code = papers.code(made.payload)
        canonical = jcs.canonicalize(made.payload)
        assert is_good(code)
        assert code == code_of(sha256(canonical).hexdigest())
        assert [one.text for one in zxingcpp.read_barcodes(drawn(made, "-gray"))] == [qr_text("17", code)], name
        with pikepdf.open(BytesIO(pdf(made))) as found:
            kind = made.payload["paper"]
            kept = found.attachments
            assert list(kept) == [f"{kind}-17.json"]
            assert kept[f"{kind}-17.json"].get_file().read_bytes() == canonical
        told = json.loads(canonical)
        assert told["private"] == sorted(made.aside)
        people = ("Ana Example", "Dev Driver", "+64 0 000")
        assert [one for one in people if one.encode() in canonical] == []


@pytest.mark.parametrize("country", YARDS)
def test_nothing_is_promised(country: str) -> None:
    for name, made in made_all(country).items():
        plain = re.sub(r"[-\s]+", " ", words_of(made).lower())
        assert [word for word in NEVER if re.search(rf"\b{word}\b", plain)] == [], name


def test_words_are_words_and_nothing_is_fetched() -> None:
    hits: list[str] = []

    class Listener(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            hits.append(self.path)
            self.send_response(200)
            self.end_headers()

    with socketserver.TCPServer(("127.0.0.1", 0), Listener) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        evil = EVIL.format(port=server.server_address[1])
        of = signed(load(3, official=evil, note=evil), yard="typed")
        firms = {party: replace(firm, name=evil, licences=(evil,)) for party, firm in FIRMS.items()}
        for made in (
            label(drum("us", un_mark=evil), name=evil, phone=evil, keeps=evil),
            sheet(of, firms=firms, signers={"yard": evil}),
        ):
            with pikepdf.open(BytesIO(pdf(made))) as found:
                assert list(found.attachments) == [f"{made.payload['paper']}-17.json"]
            assert "</style><script>x</script>" in words_of(made, "-raw").replace(" ", "")
        server.shutdown()
    assert hits == []


def test_long_names_stay_on_the_page() -> None:
    of = load(3, official="9" * 60, note="W" * 900)
    firms = {party: replace(firm, name="W" * 120, licences=("9" * 60,) * 4) for party, firm in FIRMS.items()}
    made = sheet(of, firms=firms, signers={"yard": "W" * 120})
    asked = [tool("pdftotext", "poppler-utils"), "-bbox", "-", "-"]
    boxes = subprocess.run(asked, input=pdf(made), capture_output=True, check=True).stdout.decode()
    for left, top, right, bottom in re.findall(BOX, boxes):
        assert float(left) >= 0
        assert float(right) <= 613
        assert float(top) >= 0
        assert float(bottom) <= 793


def test_the_same_words_give_the_same_bytes() -> None:
    for make in (lambda: label(drum("us", 3)), lambda: sheet(load(3))):
        made = make()
        assert pdf(made) == papers.pdf(made.payload, made.aside, papers.code(made.payload))


def test_labels_go_by_the_law_of_the_drum_else_of_the_yard() -> None:
    assert label(drum("us"), "nz").payload["law"]["rulebook"] == "us"
    assert label(empty(), "nz").payload["law"]["rulebook"] == "nz"
    swiss = drum_label(empty(), {**YARDS["nz"], "country": "ch"}, "17", AT, BY)
    assert swiss.payload["law"] == {
        "rulebook": "none held for this place", "edition": "none", "on": "25 Nov 2026",
    }  # fmt: skip
    assert rulebooks.law("") is None


def test_a_drum_of_two_sources_is_told_as_the_drum_stands() -> None:
    """The label says what the drum says, not what one of its sources does."""
    worse = source(2, klass="from_500", care="ge500")
    mixed = replace(drum("us"), klass="from_500", care="ge500", sources=(source(1), worse))
    assert "Treat as PCB, 500 ppm or more, not proven" in words_of(label(mixed))
