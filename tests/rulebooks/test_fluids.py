"""Words on plates: listed names by whole words, denials as claims, and nothing that may mean PCB read as a denial.

The names and their sources stand in fluids.toml. That a denial is a claim and no more: 40 CFR 761.2(b)(2) asks for a
document with the concentration, https://codes.findlaw.com/cfr/title-40-protection-of-environment/cfr-sect-40-761-2/.
Which words count as a denial is a house rule; where a text can be read both ways, the worse reading is right.
"""

import itertools
import string
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from hazmat import rulebooks
from hazmat.core.identity import FluidName, Names, joined, read_plate
from hazmat.rulebooks.fluids import fluid_names, load_fluids
from hazmat.rulebooks.strict import RulebookError

NAMES = fluid_names()
LISTED = list(NAMES.listed.values())
CLAIM_BELOW = Decimal(50)
FREE = "fr" + "ee"


def reads(*texts: str, law: str = "us") -> str:
    return read_plate(texts, NAMES, law, CLAIM_BELOW).reads


def each_name() -> pytest.MarkDecorator:
    return pytest.mark.parametrize("name", LISTED, ids=lambda name: name.name)


# ------------------------------------------------------------------ listed names


def odd(text: str) -> str:
    """Capitals where nobody puts them."""
    return "".join(c.upper() if n % 2 else c.lower() for n, c in enumerate(text))


def spellings(name: str) -> Iterator[str]:
    """The same name as plates have it: capitals, hyphens for blanks and back, run together, blanks about it."""
    for cased in (name, name.upper(), name.lower(), odd(name), odd(name).swapcase()):
        for mark in (" ", "-", "", "\u2013", "\u2011", "  ", " - "):
            yield cased.replace("-", " ").replace(" ", mark)
        yield from (f"{cased} ", f"  {cased}\t", f"{cased}\n", f"({cased}).", f"filled with {cased}, 1962")


def decides(text: str) -> tuple[str, str]:
    """The name that decides how a text reads, and how."""
    plate = read_plate((text,), NAMES, "", CLAIM_BELOW)
    return plate.word, plate.reads


def alone(name: FluidName, text: str) -> bool:
    """Whether this one name is found in a text, asked of a list that holds no other."""
    names = Names({joined(name.name): replace(name, reads="pcb", reads_in={})})
    return read_plate((text,), names, "", CLAIM_BELOW).reads == "pcb"


def test_the_list_is_not_short() -> None:
    assert len(LISTED) >= 78
    assert {name.reads for name in LISTED} == {"pcb", "ask", "not_pcb"}


@each_name()
def test_a_name_is_found_by_itself_however_it_is_written(name: FluidName) -> None:
    for text in spellings(name.name):
        assert decides(text) == (name.name, name.reads), text


@each_name()
def test_a_name_reads_as_the_list_says(name: FluidName) -> None:
    for law in (*rulebooks.laws(), "eu", ""):
        assert reads(name.name, law=law) == name.reads_in.get(law, name.reads)
    assert read_plate((f"{name.name} ",), NAMES, "us", CLAIM_BELOW).word == name.name


@each_name()
def test_a_name_with_one_wrong_letter_is_not_found(name: FluidName) -> None:
    """One letter or digit changed, lost or doubled, at every place."""
    plain = name.name
    for place, letter in enumerate(plain):
        if not letter.isalnum():
            continue
        other = "z" if letter.isalpha() and letter.lower() != "z" else "7" if letter != "7" else "8"
        for text in (
            plain[:place] + other + plain[place + 1 :],
            plain[:place] + plain[place + 1 :],
            plain[:place] + letter + plain[place:],
        ):
            if joined(text) != joined(plain):
                assert not alone(name, text), text


@each_name()
def test_a_name_inside_a_longer_word_is_not_found(name: FluidName) -> None:
    edges = [f"x{name.name}"] if name.name[-1].isdigit() else [f"x{name.name}", f"{name.name}x"]
    for text in edges:
        assert not alone(name, text), text


def test_a_number_may_touch_a_name() -> None:
    """A stamped plate often leaves no room: the grade stands right behind the name, or the amount before it."""
    assert decides("AROCLOR1260") == ("Aroclor", "pcb")
    assert decides("340KG PYRANOL2") == ("Pyranol", "pcb")
    assert decides("CLOPHEN A60") == ("Clophen A 60", "pcb")


def test_the_longer_of_two_names_counts_alone() -> None:
    """Pydraul alone asks; Pydraul 540 is a grade with PCB, Pydraul 150 one that asks (producer's letter, 1970)."""
    assert decides("Pydraul 540") == ("Pydraul 540", "pcb")
    assert decides("Pydraul 150") == ("Pydraul 150", "ask")
    assert decides("Pydraul") == decides("Pydraul 999") == ("Pydraul", "ask")
    assert decides("Ugilec 141, Wecosol") == ("Ugilec 141", "not_pcb")


def test_the_worst_of_all_names_counts() -> None:
    assert decides("Wecosol, before that Pyranol") == ("Pyranol", "pcb")
    assert decides("Pyranol Wecosol Therminol") == ("Pyranol", "pcb")
    assert reads("Wecosol", "Therminol") == "ask"
    assert reads("No PCBs", "Wecosol") == "not_pcb"
    assert reads("No PCBs", "Pyranol") == "pcb"


@pytest.mark.parametrize(
    ("text", "expected"),
    [("DKK 1200", "none"), ("DK-1200K", "ask"), ("DK", "ask"), ("dk ", "ask"), ("ADK", "none"), ("DK1200", "ask")],
)
def test_two_letters_never_decide(text: str, expected: str) -> None:
    """A maker's type number is no fluid name, and DK by itself only asks."""
    assert reads(text) == expected


@pytest.mark.parametrize(
    "text", ["", "   ", "Mineral oil 1962", "PCBA 12", "Model XPCB", "Type OA/FA 50 MVA", "PC B-2"]
)
def test_other_words_say_nothing(text: str) -> None:
    assert reads(text) == "none"


# ------------------------------------------------------------------ the bare word


@pytest.mark.parametrize(
    "text",
    [
        "PCB",
        "pcb ",
        "PCBs",
        "Contains PCBs",
        "CONTAINS PCB",
        "PCB 1254",
        "No. PCB 1254",
        "Serial no.: PCB 1254",
        "No: PCB 1254",
        "N° PCB 1254",
        "PCB 0.5 %",
        "PCB: 0.5 %",
        "PCB: 0,5 %",
        "PCB: 620 ppm",
        "PCB < 500 ppm",
        "less than 500 ppm PCB",
        "polychlorinated biphenyl",
        "Polychlorinated  Biphenyls",
        "polychlorobiphenyls",
        "PCB?",
        "no longer PCB",
        "PCB removed",
        "not tested for PCB",
        "PCB not tested",
        "PCB content unknown",
        "non-PCB bushings, PCB in the tank",
        "No PCBs when made. Refilled with PCB",
    ],
)
def test_pcb_that_is_said_or_may_be_there_counts(text: str) -> None:
    assert reads(text) == "pcb"


@pytest.mark.parametrize(
    "text",
    [
        "No PCBs",
        "NO PCB",
        "no pcbs ",
        "No\u00a0PCBs",
        "NON-PCB",
        "Non PCB",
        "NON\u2011PCB",
        "non-PCB oil at manufacture",
        f"PCB-{FREE}",
        f"PCB {FREE}",
        f"{FREE} of PCB",
        f"{FREE} from PCBs",
        "does not contain PCB",
        "Does not contain any PCBs",
        "contains no PCB",
        "contains no detectable PCBs",
        "without PCB",
        "zero PCB",
        "PCB: none",
        "PCB: nil",
        "PCB: no",
        "PCB: 0",
        "PCB none",
        "PCBs absent",
        "no polychlorinated biphenyls",
        "less than 1 ppm PCB",
        "PCB less than 2 ppm",
        "PCB < 50 ppm",
        "PCB <50 mg/kg at time of manufacture",
    ],
)
def test_a_denial_is_a_claim(text: str) -> None:
    assert reads(text) == "claim"


DOUBLE = [
    f"not {FREE} of PCB",
    f"not PCB-{FREE}",
    f"not PCB {FREE}",
    "not without PCB",
    "not a non-PCB unit",
    f"PCB {FREE}: no",
    f"PCB {FREE}? no",
]
"""A denial denied."""

NUMBERED = ["No PCB 1254", "Serial No PCB-1254", "Nº PCB 1254", "PCB: No. 1254", "Fluid No PCB 42"]
"""No as the short word for number, with a number after it."""

RANGES = ["PCB: 0-500 ppm", "PCB: 0 to 500 ppm", "PCB: 0 - 60 ppm"]
"""From nought to something."""

ELSEWHERE = [
    "Contains PCB. Moisture below 20 ppm",
    "PCB 700 ppm, water < 35 ppm",
    "PCB oil, furan under 1 ppm",
    "Less than 1 ppm PCB as made; refilled with PCB",
]
"""A limit that speaks of something else, or of another time."""

AT_LEAST = ["not less than 50 ppm PCB", "PCB not below 50 ppm", "PCB no less than 50 ppm", "PCB < 50 ppm or more"]
"""A least amount."""

UNTESTED = ["PCB: no data", "PCB: no test", "PCB: none tested", "No PCB test on record", "PCB: no limit"]
"""Nothing is said but that nobody looked."""

LOOSE = [f"{FREE} PCB liquid", f"danger: {FREE} PCB"]
"""Loose, not absent."""


@pytest.mark.parametrize("text", [*NUMBERED, *UNTESTED])
def test_what_may_mean_that_pcb_is_there_is_no_claim(text: str) -> None:
    assert reads(text) != "claim"


@pytest.mark.parametrize("text", [*DOUBLE, *RANGES, *ELSEWHERE, *AT_LEAST, *LOOSE])
def test_pcb_that_is_said_in_a_roundabout_way_counts(text: str) -> None:
    assert reads(text) == "pcb"


@pytest.mark.parametrize(
    "text",
    ["P.C.B.", "Contains P.C.B.s", "polychlorinated-biphenyls", "poly-chlorinated biphenyls", "\uff30\uff23\uff22"],
)
def test_the_bare_word_in_other_spellings_counts(text: str) -> None:
    """Listed names are compared without hyphens and points; so is this one."""
    assert reads(text) == "pcb"


def test_one_denial_among_texts_does_not_outweigh_the_word() -> None:
    for texts in itertools.permutations(("No PCBs", "PCB", "")):
        assert reads(*texts) == "pcb"


def test_a_plate_without_words_says_nothing() -> None:
    plate = read_plate((), NAMES, "us", CLAIM_BELOW)
    assert (plate.reads, plate.word, plate.halogenated) == ("none", "", False)


def test_no_letters_before_or_after_make_the_word_a_claim() -> None:
    """Whatever single word stands before or after PCB, only the words of a denial make a claim of it."""
    for letter in string.ascii_lowercase:
        assert reads(f"{letter} PCB") == reads(f"PCB {letter}") == "pcb"


# ------------------------------------------------------------------ a broken list

LIST = """
edition = 2026-11-25
[cite."made up"]
document   = "Made-up list"
text_as_of = "undated"
where      = "no address"
read_on    = 2026-11-25
basis      = "judgement"
[[ordinary]]
word = "Example"
cite = "made up"
[[fluid]]
name  = "Exampol"
reads = "pcb"
cites = ["made up"]
[[fluid]]
name  = "Exampol 7"
reads = "not_pcb"
halogenated = true
reads_in = { eu = "pcb" }
cites = ["made up"]
"""


READS = 'reads = "pcb"\ncites = ["made up"]'
"""The two lines of the first fluid that some mistakes change."""


def placed(text: str, folder: Path) -> Path:
    file = folder / "fluids.toml"
    file.write_text(text, encoding="utf-8")
    return file


def test_a_small_list_is_read(tmp_path: Path) -> None:
    names = load_fluids(placed(LIST, tmp_path))
    plate = read_plate(("EXAMPOL-7",), names, "us", CLAIM_BELOW)
    assert (plate.reads, plate.word, plate.halogenated) == ("not_pcb", "Exampol 7", True)
    assert read_plate(("exampol7",), names, "eu", CLAIM_BELOW).reads == "pcb"
    assert read_plate(("exampole",), names, "us", CLAIM_BELOW).near == "Exampol"
    assert read_plate(("EXAMPLE",), names, "us", CLAIM_BELOW).reads == "none"


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("edition = 2026-11-25\n", "", "edition: it is missing; add edition = …"),
        ("edition = 2026", "chapter = 1\nedition = 2026", "chapter: nobody knows this key; use one of: edition"),
        ("edition = 2026-11-25", 'edition = "today"', "edition: it is not a day"),
        ('basis      = "judgement"', 'basis      = "hearsay"', "cite.made up.basis: “hearsay” may not stand here"),
        ('text_as_of = "undated"', 'text_as_of = "old"', "cite.made up.text_as_of: it is not a day"),
        ('where      = "no address"', 'where      = ""', "cite.made up.where: it is not a text"),
        ('name  = "Exampol"\n', 'name  = ""\n', "fluid[1].name: it is not a text"),
        ('name  = "Exampol 7"', 'name  = "EXAM-POL"', "fluid[2].name: “EXAM-POL” stands twice; keep one of them"),
        ('reads = "not_pcb"', 'reads = "maybe"', "fluid[2].reads: “maybe” may not stand here; use one of: pcb"),
        ('{ eu = "pcb" }', '{ eu = "maybe" }', "fluid[2].reads_in: “maybe” may not stand here"),
        ('{ eu = "pcb" }', '"eu"', "fluid[2].reads_in: it is not a table"),
        (READS, 'reads = "pcb"\ncites = ["other"]', "fluid[1].cites: “other” may not stand here"),
        (READS, 'reads = "pcb"\ncites = []', "fluid[1].cites: it is not a list of words"),
        (READS, 'reads = "pcb"', "fluid[1].cites: it is missing"),
        ('word = "Example"', 'word = ""', "ordinary.1.word: it is not a text"),
        ('cite = "made up"', 'cite = "hearsay"', "ordinary.1.cite: “hearsay” may not stand here"),
        ('word = "Example"', "", "ordinary.1.word: it is missing"),
        ("halogenated = true", 'halogenated = "yes"', "fluid[2].halogenated: it is neither true nor false"),
        ("halogenated = true", "chlorinated = true", "fluid[2].chlorinated: nobody knows this key"),
        ("[[fluid]]\nname", "[[fluid]\nname", "the file: it is not TOML"),
    ],
)  # fmt: skip
def test_a_broken_list_is_refused(old: str, new: str, says: str, tmp_path: Path) -> None:
    assert old in LIST
    with pytest.raises(RulebookError) as caught:
        load_fluids(placed(LIST.replace(old, new, 1), tmp_path))
    said = str(caught.value)
    assert said.startswith(f"fluids.toml: {says}")
    assert said.endswith(".")
    assert "\n" not in said


def test_every_name_of_the_list_has_a_document() -> None:
    for name in LISTED:
        assert name.documents
        assert all(document.strip() for document in name.documents)
