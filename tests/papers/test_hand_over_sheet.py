"""The sheet of a load as outside programs see it."""

from dataclasses import replace
from io import BytesIO
from itertools import chain

import pikepdf
import pypdf
import pytest

from disposal.papers.build import Loaded
from hazmat import papers
from hazmat.core.codes import new_tag, spaced
from tests.papers.printing import pdf, sheet, words_of
from tests.papers.stages import stage
from tests.papers.things import FIRMS, drum, load, loaded, signed


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
        "Rule book us, edition 2026-11-27",
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


@pytest.mark.parametrize("lines", range(5))
def test_no_row_is_split_wherever_the_page_ends(lines: int) -> None:
    """Lines of a note push the ledger down: each page holds as many ends of rows as beginnings."""
    of = load(40, note="\n".join("x" * 20 for _ in range(lines)))
    pages = pypdf.PdfReader(BytesIO(pdf(sheet(of)))).pages
    texts = ["".join(page.extract_text().split()) for page in pages]
    begun = [text.count("TreatasPCB-contaminated,50tobelow") for text in texts]
    assert begun == [text.count("500ppm,notproven") for text in texts]
    assert sum(begun) == 39


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


def test_a_low_result_that_nobody_signed_is_no_proof_on_the_sheet() -> None:
    """A US transformer of 1968 in mineral oil: 40 CFR 761.2(a)(2) takes it as 50 to 499 ppm until it is shown lower."""
    of = load(1)
    unsigned, released = stage("result", "us"), stage("released", "us")
    low = replace(unsigned, presumed=("50_to_499", "50_499"), presumed_book="us")
    made = sheet(of, [Loaded(item=of.items[0], unit=low)])
    (row,) = made.payload["rows"]
    assert row["class"] == "Treat as PCB-contaminated, 50 to below 500 ppm, not proven"
    assert (row["hold"], row["known"]) == ("HOLD", "presumed")
    assert "HOLD. Treat as PCB-contaminated" in words_of(made, "-raw").replace("\n", " ")
    (row,) = sheet(of, [Loaded(item=of.items[0], unit=released)]).payload["rows"]
    assert (row["class"], row["hold"]) == ("Lab says: below 50 ppm PCB", "")
    (row,) = sheet(of, [Loaded(item=of.items[0], unit=stage("route", "us"))]).payload["rows"]
    assert (row["class"], row["hold"]) == ("Lab says: PCB, 500 ppm or more", "")


def test_a_lot_counts_as_many_units_as_it_is() -> None:
    of, now = load(1), stage("untested", "us")
    made = sheet(of, [Loaded(item=of.items[0], unit=replace(now, line={**now.line, "count": "12"}))])
    assert made.payload["rows"][0]["kind"] == "Transformer, 12 alike"
    assert (made.payload["totals"]["items"], made.payload["totals"]["units"]) == ("1", "12")
