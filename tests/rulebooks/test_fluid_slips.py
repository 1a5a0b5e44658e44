"""Words one slip away from a listed name, and listed names that are denied: they ask, and decide nothing.

That both only ask is a house rule; that a denial is no more than a claim follows from 40 CFR 761.2(b)(2), which asks
for a document with the concentration:
https://codes.findlaw.com/cfr/title-40-protection-of-environment/cfr-sect-40-761-2/. The names stand in fluids.toml.
Which names stand whole in a text is found out here anew, by trying every run of words.
"""

import re
import string
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.identity import FluidName, Plate, read_plate
from hazmat.rulebooks.fluids import fluid_names

NAMES = fluid_names()
LISTED = list(NAMES.listed.values())
CLAIM_BELOW = Decimal(50)


def plate_of(*texts: str, law: str = "us") -> Plate:
    return read_plate(texts, NAMES, law, CLAIM_BELOW)


def reads(*texts: str) -> str:
    return plate_of(*texts).reads


def decides(text: str) -> tuple[str, str]:
    """The name that decides how a text reads, and how."""
    return plate_of(text).word, plate_of(text).reads


LONG = [name for name in LISTED if sum(map(str.isalpha, name.name)) >= 5]
"""Names of five letters and more; of shorter ones a slip is too like other words."""
LAWS = ("us", "nz", "eu", "gb", "")


def whole(text: str) -> list[FluidName]:
    """The names that stand in a text as whole words: neighbouring words joined, each against the list."""
    words = re.findall("[a-z]+|[0-9]+", text.lower())
    runs = {"".join(words[a:b]) for a in range(len(words)) for b in range(a + 1, len(words) + 1)}
    return [name for name in LISTED if re.sub("[^a-z0-9]", "", name.name.lower()) in runs]


def decided(text: str, law: str) -> set[str]:
    """How the names that stand whole in a text read, one by one."""
    return {name.reads_in.get(law, name.reads) for name in whole(text)}


@given(st.sampled_from(LONG), st.integers(0, 24), st.sampled_from(string.ascii_letters), st.sampled_from(LAWS))
def test_a_name_with_a_letter_too_many_asks_and_decides_nothing(
    name: FluidName, at: int, letter: str, law: str
) -> None:
    """Unless what is left is a listed name by itself, as Aroclor is of Aroclor 12x54."""
    place = at % (len(name.name) + 1)
    text = name.name[:place] + letter + name.name[place:]
    plate = plate_of(text, law=law)
    if decided(text, law):
        assert plate.reads == "ask" or plate.reads in decided(text, law)
    else:
        assert plate.reads == "ask"
        assert plate.word == text
        assert not plate.denied


@pytest.mark.parametrize(
    ("text", "near", "might"),
    [
        ("ASKERAL", "Askarel", None),
        ("ASKEREL", "Askarel", "pcb"),
        ("Askarell 1962", "Askarel", "pcb"),
        ("filled with PYRAN0L", "Pyranol", "pcb"),
        ("yranol", "Pyranol", "pcb"),
        ("INERTEN", "Inerteen", "pcb"),
        ("Pyralnee", "Pyralene", "pcb"),
        ("SAFT KUHN", "Saft-Kuhl", "pcb"),
        ("BAKOLA 13", "Bakola 131", "pcb"),
        ("NO-FLAMMOL", "Noflamol", "pcb"),
        ("R-TEMPX", "R-Temp", "not_pcb"),
        ("Wecosel", "Wecosol", "not_pcb"),
        ("Therminal", "Therminol", "ask"),
        ("Decor", "Delor", "pcb"),
    ],
)
def test_a_word_one_slip_away_names_what_it_is_near(text: str, near: str, might: str | None) -> None:
    """A letter wrong, too many, too few, two turned round, a nought for an O; two slips are none."""
    plate = plate_of(text)
    if might is None:
        assert plate.reads == "none"
    else:
        assert (plate.reads, plate.near, plate.might, plate.halogenated) == ("ask", near, might, False)


@pytest.mark.parametrize(
    "text",
    ["TEMP RISE 65", "max 65 C TEMP", "24 HR TEMP", "Contains asbestos", "Magyar", "HYD OIL", "KC-30", "DKX 12",
     "ugi lex", "Dela or", "EEC-19"],
)  # fmt: skip
def test_other_words_are_no_slip(text: str) -> None:
    """Ordinary words, words pieced together from two, and short names that are too like type numbers."""
    assert reads(text) == "none"


def test_a_name_of_the_fewest_letters_is_near_what_has_one_less() -> None:
    assert reads("Elao") == reads("Elao 3") == "ask"
    assert reads("laol") == "none"


def test_a_slip_beside_a_whole_name_changes_nothing_of_it() -> None:
    assert decides("Pyranol, before that Askerel") == ("Pyranol", "pcb")
    assert reads("Wecosol, before that Askerel") == "ask"
    assert plate_of("Therminol", "Askerel").might == "pcb"
    assert reads("No PCBs", "Askerel") == "ask"


def test_a_slip_of_a_name_reads_by_the_law() -> None:
    """Ugilec is PCB under the laws of the Union and of the United Kingdom alone (Directive 96/59/EC, Article 2(a))."""
    for law, might in (("us", "not_pcb"), ("nz", "not_pcb"), ("eu", "pcb"), ("gb", "pcb")):
        assert plate_of("Ugilek", law=law).might == might


@given(st.sampled_from(LISTED), st.text("qxz", min_size=2, max_size=6), st.booleans(), st.sampled_from(LAWS))
def test_a_name_inside_a_longer_word_says_nothing(name: FluidName, more: str, before: bool, law: str) -> None:
    text = f"{more}{name.name}" if before else f"{name.name}{more}"
    expected = decided(text, law) or {"none"}
    assert plate_of(text, law=law).reads in expected


DENIALS = (
    "no {}", "NO {}", "non-{}", "Non {}", "{}-free", "{} FREE", "free of {}", "contains no {}", "without {}",
    "does not contain any {}", "{}: none", "{}: nil", "{} absent", "zero {}",
)  # fmt: skip


@given(st.sampled_from(LISTED), st.sampled_from(DENIALS), st.sampled_from(LAWS), st.booleans())
def test_a_denied_name_never_reads_as_pcb(name: FluidName, denial: str, law: str, loud: bool) -> None:
    """It asks: a denial on a plate is a claim, and whoever writes of a PCB fluid at all may have met it."""
    text = denial.format(name.name.upper() if loud else name.name)
    plate = plate_of(text, law=law)
    alone = name.reads_in.get(law, name.reads)
    assert plate.reads == ("ask" if alone == "pcb" else alone)
    assert plate.denied == (alone == "pcb")
    if plate.denied:
        assert (plate.near, plate.might, plate.word) == (name.name, "pcb", text)


@given(st.sampled_from(DENIALS), st.sampled_from(("PCB", "PCBs", "pcb", "polychlorinated biphenyls")))
def test_a_denied_bare_word_is_a_claim_in_every_form(denial: str, word: str) -> None:
    assert reads(denial.format(word)) == "claim"


@pytest.mark.parametrize(
    "text",
    ["not without askarel", "not askarel-free", "No Pyranol 1470", "Serial no. Pyranol", "no longer Pyranol",
     "Pyranol removed", "Pyranol 40 % free", "no PCB, Pyranol", "Askarel. No leaks"],
)  # fmt: skip
def test_a_name_that_is_not_plainly_denied_counts(text: str) -> None:
    assert reads(text) == "pcb"


def test_whatever_is_halogenated_on_a_plate_makes_chlorine_screens_unfit() -> None:
    beside = (("Wecosol, before that Therminol",), ("Therminol", "VaporTran"), ("Pyranol", "Wecosol"))
    for texts in (("Wecosol",), *beside):
        assert plate_of(*texts).halogenated
    for texts in (("R-Temp",), ("Therminol",), ("Pyranol",), ("Wecosel",)):
        assert not plate_of(*texts).halogenated
