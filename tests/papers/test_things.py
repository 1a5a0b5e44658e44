"""The drum label and the hand-over sheet as outside programs see them."""

import json
import re
import socketserver
import subprocess
import threading
from dataclasses import replace
from hashlib import sha256
from http.server import BaseHTTPRequestHandler
from io import BytesIO
from itertools import chain, pairwise
from pathlib import Path
from typing import Any

import jcs
import numpy
import pikepdf
import pypdf
import pytest
import zxingcpp
from PIL import Image

from disposal.papers import build
from disposal.papers.build import Loaded, drum_label, hand_over_sheet
from hazmat import papers
from hazmat.core.codes import code_of, is_good, new_tag, spaced
from hazmat.papers.render import qr_text
from tests.papers.conftest import AT, YARDS, tool
from tests.papers.poppler import text_of
from tests.papers.stages import stage
from tests.papers.test_papers import BOX, EVIL, verdicts
from tests.papers.things import CODE, FIRMS, drum, empty, load, loaded, signed, source

BY = "Ana Example"
NEVER = ("pcb free", "compliant", "clean", "safe", "harmless")
SHOWN = {"nz": ("up_to_50", "over_50"), "us": ("below_50", "from_500")}
"""The lowest and the highest class of each law."""
LABELS = {
    "one": lambda country: drum(country),
    "many": lambda country: drum(country, 200, dated_by="poured"),
    "empty": lambda country: empty(),
    "low": lambda country: drum(country, known="low", care="2_49", klass={"nz": "up_to_50", "us": "below_50"}[country]),
    "high": lambda country: drum(
        country, known="high", care="ge500", klass={"nz": "over_50", "us": "from_500"}[country]
    ),
    "can": lambda country: replace(empty(), kind="slop_can", for_unit="K7M4PK", capacity_l="20", un_mark=""),
}
"""Drums as they come."""


def label(now: Any, country: str = "us", **yard: str) -> papers.Made:
    return drum_label(now, {**YARDS[country], **yard}, "17", AT, BY)


def sheet(of: Any, rows: Any = None, country: str = "us", **more: Any) -> papers.Made:
    told = loaded(of, country) if rows is None else rows
    return hand_over_sheet(of, told, more.pop("firms", FIRMS), YARDS[country], "17", AT, BY, **more)


def pdf(made: papers.Made) -> bytes:
    return papers.pdf(made.payload, made.aside, papers.code(made.payload))


def words_of(made: papers.Made, *more: str) -> str:
    return text_of(pdf(made), *more)


def drawn(made: papers.Made, *more: str, resolution: int = 150) -> Image.Image:
    asked = [tool("pdftoppm", "poppler-utils"), "-r", str(resolution), "-png", "-f", "1", "-l", "1", *more, "-"]
    return Image.open(BytesIO(subprocess.run(asked, input=pdf(made), capture_output=True, check=True).stdout))


def made_all(country: str) -> dict[str, papers.Made]:
    """Every paper of a drum and of a load that these tests make."""
    labels = {f"label {name}": label(now(country), country) for name, now in LABELS.items()}
    signed_ = signed(load(3, official="012345678 JJK"), yard="typed", carrier="drawn", facility="ink")
    return {
        **labels, "sheet": sheet(load(3), country=country), "sheet of many": sheet(load(40), country=country),
        "sheet signed": sheet(signed_, country=country, signers={"carrier": "Dev Driver"}, chain=("16", "ab" * 32)),
    }  # fmt: skip


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


# ------------------------------------------------------------------ the label


@pytest.mark.parametrize("country", YARDS)
def test_a_label_is_one_page_of_100_by_150_mm_whatever_stands_on_it(country: str) -> None:
    """100 mm are 283.46 points, 150 mm 425.2; nothing stands within 3.3 mm of the edge, which are 19 dots."""
    long = drum(
        country, 200, un_mark="1A1/X1.8/300/24/NZ/" + "W" * 60, litres="", kg="", between_l=("1234.5", "2345.6"),
        between_kg=("1234.5", "2345.6"), dated_by="poured", capacity_l="12345678.125",
    )  # fmt: skip
    made = [
        *(one for name, one in made_all(country).items() if name.startswith("label")),
        label(long, country, name="W" * 120, phone="+64 " + "9" * 60),
        label(long, country, name="A very long name of a yard " * 5),
    ]
    for one in made:
        pages = pypdf.PdfReader(BytesIO(pdf(one))).pages
        assert len(pages) == 1
        assert (round(float(pages[0].mediabox.width)), round(float(pages[0].mediabox.height))) == (283, 425)
        asked = [tool("pdftotext", "poppler-utils"), "-bbox", "-", "-"]
        boxes = subprocess.run(asked, input=pdf(one), capture_output=True, check=True).stdout.decode()
        for _, top, _, bottom in re.findall(BOX, boxes):
            assert float(top) >= 11
            assert float(bottom) <= 425.2 - 11
        dark = numpy.argwhere(numpy.array(drawn(one, "-gray").convert("L")) < 200)
        assert dark.min() >= 19
        assert tuple(dark.max(axis=0)) <= (885 - 19, 590 - 19)
        assert "check code" in words_of(one)


def test_the_code_is_huge_and_the_square_is_large() -> None:
    """Letters 8 mm high, and a square of 40 mm without its quiet zone, in the picture at 300 dots an inch.

    The square of a short number has 21 modules a side, and its quiet zone 4 on each (ISO/IEC 18004).
    """
    dots = 300 / 25.4
    ink = numpy.array(drawn(label(drum("us")), "-gray", resolution=300).convert("L")) < 128
    place = zxingcpp.read_barcodes(drawn(label(drum("us")), resolution=300))[0].position
    left, top, quiet = place.top_left.x, place.top_left.y, int(4 * 40 / 21 * dots)
    square = ink[top - quiet : place.bottom_left.y + quiet, left - quiet : place.top_right.x + quiet]
    for axis in (0, 1):
        dark = numpy.flatnonzero(square.any(axis=axis))
        assert 40 <= (dark[-1] - dark[0] + 1) / dots <= 41
        assert abs(dark[0] - quiet) <= 3
    rows = ink[:, int(15 * dots) : int(85 * dots)].any(axis=1)
    edges = numpy.flatnonzero(numpy.diff(rows.astype(int)))
    heights = [(end - start) / dots for start, end in pairwise(edges) if rows[start + 1]]
    assert any(7.9 <= height <= 9 for height in heights), heights


def test_a_label_says_what_is_in_it_and_what_dates_it() -> None:
    words = words_of(label(drum("us", 3)))
    for wanted in (
        spaced(CODE),
        "Treat as PCB-contaminated, 50 to below 500 ppm, not proven",
        "Handle as 50 to below 500 mg/kg",
        "HOLD: not proven.",
        "7 Mar 2026",
        "decided to be waste",
        "120 L, 105.6 kg, 24 Nov 2026, 17:02",
        "205 L; mark 1A1/X1.8/300/24/NZ/1234",
        "Do not open, tip, heat or move it",
        "Stands beside the marks and labels that your law asks for",
        "rule book us, edition 2026-11-25",
        "law day 24 Nov 2026",
        *(spaced(new_tag(number)) for number in range(3)),
    ):
        assert wanted in words, wanted
    assert "more" not in words.replace("500 mg/kg or more", "")
    assert "Test Yard +64 0 000 0000" in words_of(label(drum("nz"), "nz"))


def test_a_day_that_stands_in_is_said_to() -> None:
    assert "the day on which its oil was first drained stands in" in words_of(label(drum("us", dated_by="poured")))
    assert "stands in" not in words_of(label(drum("us")))


@pytest.mark.parametrize(("sources", "more"), [(1, 0), (8, 0), (9, 1), (200, 192)])
def test_as_many_tags_as_fit_and_how_many_more(sources: int, more: int) -> None:
    made = label(drum("us", sources))
    words = words_of(made)
    shown = [number for number in range(sources) if spaced(new_tag(number)) in words]
    assert shown == list(range(min(sources, 8)))
    assert (f"and {more} more" in words) == bool(more)
    assert [*made.payload["sources"], *made.payload["rest"]] == [new_tag(number) for number in range(sources)]


def test_what_was_not_measured_is_not_told_as_if_it_were() -> None:
    now = drum("us", litres="", kg="", between_l=("80", "120"), between_kg=("0", ""))
    assert "80 to 120 L, not all of it measured in litres, not weighed" in words_of(label(now))


@pytest.mark.parametrize(
    ("name", "wanted"),
    [
        ("empty", ["Nothing was ever poured into it.", "nothing yet", "none yet"]),
        ("low", ["Lab says: below 50 ppm PCB", "Shown to be low, each of its units by a signed result."]),
        ("high", ["Lab says: PCB, 500 ppm or more", "it leaves only with licensed people and their papers"]),
        ("can", ["Slop can of", "20 L; its UN mark is not on record", "K7M 4PK alone"]),
    ],
)
def test_each_sort_of_drum(name: str, wanted: list[str]) -> None:
    words = words_of(label(LABELS[name]("us")))
    for one in wanted:
        assert one in words, one


def test_the_ring_is_of_the_care_of_hands() -> None:
    """Solid only where every source has its result. Alternative texts by pikepdf."""
    for name, alternative in {
        "one": "Care of hands: 50 to below 500 mg/kg, not proven",
        "low": "Care of hands: 2 to below 50 mg/kg, by laboratory",
        "empty": "Care of hands: 500 mg/kg or more, not proven",
    }.items():
        made = label(LABELS[name]("us"))
        with pikepdf.open(BytesIO(pdf(made))) as found:
            texts = {str(one.Alt) for one in found.objects if isinstance(one, pikepdf.Dictionary) and "/Alt" in one}
        assert texts == {alternative, f"Code of this label: {qr_text('17', papers.code(made.payload))}"}


# ------------------------------------------------------------------ the sheet


def test_a_sheet_lists_every_item_with_what_is_known_of_it() -> None:
    words = words_of(sheet(load(3)), "-layout")
    for number in range(2):
        assert spaced(new_tag(7_000_001 + number)) in words
    for wanted in (
        "Hand-over sheet 17",
        "Load 41",
        "K7M 4PK",
        "Transformer",
        "182.5 120 7 Mar 2026",
        "Lab says: PCB, 500 ppm or more",
        "Travels beside the papers that your law asks for, and replaces none of them.",
        "3 items: 2 drums, 1 unit. Together 365 kg, 1 not weighed; 240 L in drums, 1 not told.",
        "Carry Ltd TR-1177, to 30 Jun 2027",
        "DF-2, Council of the Coast; DF-9, to 31 Dec 2026",
        "1. The yard: Other Yard 2. The carrier: Carry Ltd 3. The facility: Burn & Sons",
        "Spill, crash or fire",
        "page 1 of 1",
        "Rule book us, edition 2026-11-25",
        "law day 24 Nov 2026",
    ):
        assert wanted in words, wanted
    assert words.count("name, signature, day and time") == 3
    assert "Day book up to" not in words
    assert "Day book up to entry 16, abababababababab." in words_of(sheet(load(3), chain=("16", "ab" * 32)))


def test_nothing_is_summed_that_was_not_weighed() -> None:
    """182.5 + 0.25 kg; a drum without litres is not told."""
    of = load(3)
    items = (replace(of.items[0], kg="0.25"), of.items[1], of.items[2])
    of = replace(of, items=items)
    rows = loaded(of)
    rows[0] = replace(rows[0], drum=drum("us", litres="", between_l=("0", "200")))
    totals = sheet(of, rows).payload["totals"]
    assert totals == {
        "items": "3", "drums": "2", "units": "1", "kg": "182.75", "not_weighed": "1", "litres": "120",
        "not_measured": "2",
    }  # fmt: skip


def test_what_came_off_is_not_on_it() -> None:
    of = load(3)
    of = replace(of, items=(replace(of.items[0], off="the driver refused it"), *of.items[1:]))
    words = words_of(sheet(of))
    assert "2 items: 1 drum, 1 unit." in words
    assert spaced(of.items[0].code) not in words


@pytest.mark.parametrize(
    ("country", "official", "shown"),
    [
        ("us", "012345678 JJK", "Number of the manifest: 012345678 JJK"),
        ("us", "", "Number of the manifest: …"),
        ("nz", "TN-5", "Number of the official paper: TN-5"),
        ("nz", "", None),
    ],
)
def test_a_number_is_asked_for_where_the_law_has_one(country: str, official: str, shown: str | None) -> None:
    words = words_of(sheet(load(2, official=official), country=country))
    assert shown is None or shown in words
    assert ("Number of the" in words) == (shown is not None)


def test_each_box_says_what_kind_of_signature_it_holds() -> None:
    of = signed(load(2), yard="ink", carrier="drawn", facility="typed")
    made = sheet(of, signers={"yard": "Sina Yard", "carrier": "Dev Driver", "facility": ""})
    words = words_of(made, "-raw")
    assert "Signed 23 Nov 2026, 16:15: ink on the printed sheet, Sina Yard" in words
    assert "Signed 23 Nov 2026, 17:15: drawn on a screen, Dev Driver" in words
    assert "Signed 23 Nov 2026, 18:15: a typed name with a tick" in words
    assert "name, signature, day and time" not in words
    bare = {**made.aside}
    bare.pop("yard_signed_by")
    assert "Sina" not in papers.html(made.payload, bare, papers.code(made.payload))


@pytest.mark.parametrize(("country", "size"), [("nz", (595, 842)), ("us", (612, 792))])
def test_forty_items_go_over_pages_under_the_same_head(country: str, size: tuple[int, int]) -> None:
    """A4 is 210 x 297 mm, ISO 216; letter 8.5 x 11 inches. No row is split: its first and last word share a page."""
    of = load(40)
    made = sheet(of, country=country)
    pages = pypdf.PdfReader(BytesIO(pdf(made))).pages
    assert len(pages) == 2
    texts = ["".join(page.extract_text().split()) for page in pages]
    for place, (page, text) in enumerate(zip(pages, texts, strict=True), 1):
        assert (round(float(page.mediabox.width)), round(float(page.mediabox.height))) == size
        assert "Tag,codeWhatClass,andhowitisknownHandsasforkgLitresCountsfrom" in text
        assert f"page{place}of2" in text
    rows = {"us": "TreatasPCB-contaminated,50tobelow500ppm,notproven", "nz": "TreatasPCB:notknown"}[country]
    codes = [one.code for one in of.items if one.thing == "drum"]
    on = [[code for code in codes if code in text] for text in texts]
    assert list(chain(*on)) == codes
    assert [text.count(rows) for text in texts] == [len(on[0]), len(on[1])]
    assert "40K7M4PKTransformer" in texts[1]
    assert "name,signature,dayandtime" not in texts[0]
    assert texts[1].count("name,signature,dayandtime") == 3


def test_headers_are_headers_for_those_who_listen() -> None:
    """By the structure tree: a heading, and a header cell for each column and row of the ledger (ISO 32000-1, 14.8)."""
    with pikepdf.open(BytesIO(pdf(sheet(load(3))))) as found:
        kinds = [
            str(one.S) for one in found.objects if isinstance(one, pikepdf.Dictionary) and "/K" in one and "/S" in one
        ]
    assert kinds.count("/H1") == 1
    assert kinds.count("/TH") >= 8 + 3 + 3
    assert kinds.count("/Table") == 3


def test_a_firm_without_a_licence_is_said_to_have_none() -> None:
    firms = {**FIRMS, "carrier": replace(FIRMS["carrier"], licences=())}
    assert "Carry Ltd no licence on record" in words_of(sheet(load(2), firms=firms))


def test_an_item_of_neither_sort_is_no_item() -> None:
    of = load(2)
    with pytest.raises(LookupError, match="neither a drum nor a unit"):
        sheet(of, [Loaded(item=of.items[0])])


def test_a_unit_of_no_known_day_and_class_is_told_so() -> None:
    of = load(1)
    made = sheet(of, [Loaded(item=of.items[0], unit=stage("untested", "us"))])
    (row,) = made.payload["rows"]
    assert (row["from"], row["kg"], row["litres"]) == ("not known", "not weighed", "not told")
    assert row["class"] == "Treat as PCB-contaminated, 50 to below 500 ppm, not proven"
    dated = stage("untested", "us", {**stage("untested").line, "decided_waste": "2026-02-01"})
    assert sheet(of, [Loaded(item=of.items[0], unit=dated)]).payload["rows"][0]["from"] == "1 Feb 2026"


def test_a_first_drain_stands_in_on_the_sheet_too() -> None:
    of = load(2)
    rows = loaded(of, dated_by="poured")
    assert sheet(of, rows).payload["rows"][0]["from"] == "7 Mar 2026 (first drained)"


# ------------------------------------------------------------------ both


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
        assert pdf(make()) == pdf(make())


def test_labels_go_by_the_law_of_the_drum_else_of_the_yard() -> None:
    assert label(drum("us"), "nz").payload["law"]["rulebook"] == "us"
    assert label(empty(), "nz").payload["law"]["rulebook"] == "nz"
    french = drum_label(empty(), {**YARDS["nz"], "country": "fr"}, "17", AT, BY)
    assert french.payload["law"] == {
        "rulebook": "none held for this place", "edition": "none", "on": "25 Nov 2026",
    }  # fmt: skip
    assert build.law_named("") is None


def test_a_drum_of_two_sources_is_told_as_the_drum_stands() -> None:
    """The label says what the drum says, not what one of its sources does."""
    worse = source(2, klass="from_500", care="ge500")
    mixed = replace(drum("us"), klass="from_500", care="ge500", sources=(source(1), worse))
    assert "Treat as PCB, 500 ppm or more, not proven" in words_of(label(mixed))
