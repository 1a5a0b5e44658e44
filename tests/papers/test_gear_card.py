"""A sheet of gear cards as outside programs see it: four cards of 90 x 125 mm, no word outside its card, sources."""

import re
import subprocess
from dataclasses import replace
from typing import Any

import pytest
import zxingcpp

from hazmat import papers, rulebooks
from hazmat.core.gearcard import TASK_WORDS
from hazmat.core.unitnow import UnitNow
from hazmat.core.wear import ASKED, CALM, TASKS
from hazmat.edge.gear import Answers
from hazmat.papers.build import unit_says
from hazmat.papers.gearsheet import Cards
from hazmat.papers.holds import holds
from hazmat.papers.render import qr_text
from tests.papers.conftest import ASIDE, AT, LINE, YARDS, unit
from tests.papers.poppler import text_of
from tests.papers.printing import drawn, pdf
from tests.papers.stages import LOW, stage, verdict

WIDE, HIGH, POINT = 90, 125, 25.4 / 72
"""A card in mm; a point of a PDF in mm."""
SHEETS = {"nz": (210, 297), "us": (215.9, 279.4)}
"""A4 by ISO 216; letter 8.5 x 11 inches."""
FOUR = ("look", "sample", "drain", "cut")
WORD = re.compile(r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>')


def low(value: str) -> dict[str, Any]:
    return {**LINE, "tests": [{**LOW, "value": value, "uncertainty": {"value": "0.1", "kind": "absolute", "k": "2"}}]}


UNITS: dict[str, dict[str, Any]] = {
    "lt2": low("0.5"), "2_49": low("12.5"), "50_499": LINE,
    "ge500": {"kind": "instrument_transformer", "built": "1960", "plate_words": ["Pyranol"]},
}  # fmt: skip
"""A unit of each care of hands."""


def sheet(now: UnitNow, *tasks: str, country: str = "nz", air: str = "unknown", **said: str) -> papers.Made:
    cards = Cards(tasks=tasks, answers=Answers(said=said, air=air))
    return papers.payload("gear_card", now, YARDS[country], ASIDE, "17", AT, "Ana Example", None, None, cards)


def boxes(made: papers.Made) -> list[list[tuple[float, float, float, float, str]]]:
    """Each word of each page with its edges in mm: left, top, right, bottom."""
    asked = ["pdftotext", "-bbox", "-", "-"]
    out = subprocess.run(asked, input=pdf(made), capture_output=True, check=True).stdout.decode()
    return [
        [(*(float(edge) * POINT for edge in found[:4]), found[4]) for found in WORD.findall(page)]
        for page in out.split("<page ")[1:]
    ]


def edges(country: str) -> tuple[float, float]:
    """Left and top edge of the four cards: in the middle of the sheet, a little above it on the shorter one."""
    wide, _ = SHEETS[country]
    return (wide - 2 * WIDE) / 2, {"nz": 23, "us": 14}[country]


@pytest.mark.parametrize(
    ("country", "said"), [("nz", {}), ("us", dict.fromkeys(ASKED, "yes"))], ids=["unsaid on A4", "yes on letter"]
)
@pytest.mark.parametrize("care", UNITS)
def test_no_word_leaves_its_card(care: str, said: dict[str, str], country: str) -> None:
    """Every task, two beside each other on a sheet: its words end above the lower edge of the card, front and back."""
    now = unit(UNITS[care], country)
    assert now.answer["care"] == care
    left, top = edges(country)
    for first in range(0, len(TASKS), 2):
        tasks = TASKS[first : first + 2]
        for page in boxes(sheet(now, *tasks, country=country, **said)):
            inside = [word for word in page if word[1] < top + 2 * HIGH]
            assert len(inside) > 50 * len(tasks)
            for one, up, right, down, word in inside:
                assert left < one < right < left + WIDE or left + WIDE < one < right < left + 2 * WIDE, (tasks, word)
                assert top < up < down < top + HIGH, (tasks, word)


def test_the_longest_words_fit_too() -> None:
    """The longest strip and strength that a card can carry, all at once."""
    house = rulebooks.rulebook(rulebooks.HANDLING)
    strip = max((one.says for key, one in house.sentences.items() if key.endswith("_strip")), key=len)
    made = sheet(unit(UNITS["ge500"], "us"), "sample", country="us")
    told = {**made.payload, "hold": {**made.payload["hold"], "says": strip}}
    _, top = edges("us")
    front, _ = boxes(papers.Made(told, made.aside))
    assert max(word[3] for word in front if word[1] < top + 2 * HIGH) < top + HIGH


@pytest.mark.parametrize("country", SHEETS)
def test_four_cards_stand_on_one_sheet(country: str) -> None:
    made = sheet(unit(LINE, country), *FOUR, country=country)
    pages = boxes(made)
    assert len(pages) == 2
    left, top = edges(country)
    places = {0: (0, 0), 1: (1, 0), 2: (0, 1), 3: (1, 1)}
    for page, mirrored in ((pages[0], False), (pages[1], True)):
        for n, task in enumerate(FOUR):
            across, down = places[n]
            across = 1 - across if mirrored else across
            first = TASK_WORDS[task].split()[0]
            start, up = left + across * WIDE, top + down * HIGH
            heads = [word for word in page if word[4] == first and word[1] - up < 8 and start < word[0] < start + 40]
            assert heads, (task, mirrored)


def test_the_code_stands_on_every_card_in_grey() -> None:
    made = sheet(unit(LINE), *FOUR)
    found = [one.text for one in zxingcpp.read_barcodes(drawn(made, "-gray", resolution=200))]
    assert found == [qr_text("17", papers.code(made.payload))] * 4


def test_a_card_says_what_is_worn_and_never_and_when_to_stop() -> None:
    words = text_of(pdf(sheet(unit(UNITS["ge500"]), "drain")), "-raw")
    for wanted in (
        "Drain or pump", "K7M 4PK", "HOLD: not proven", "Licensed or specially trained people only",
        "Breathing apparatus", "NEVER", "PVC, latex", "Wash:", "Stop and leave:", "pregnant", "four hours",
        "Within reach:", "Check code", "read)", "our judgement)", "from memory)", "This yard goes by this one",
        "Local law and licensed people come first", "this does not say that it is dead",
    ):  # fmt: skip
        assert wanted.replace(" ", "") in words.replace(" ", "").replace("\u2010", ""), wanted
    assert "Ana Example" in words


def test_every_number_on_a_card_names_a_document_behind_it() -> None:
    for task in TASKS:
        (card,) = sheet(unit(LINE), task).payload["cards"]
        lines = [
            *card["wear"],
            *card["raised"],
            *card["air"],
            *(one for part in card["parts"] for one in part["lines"]),
        ]
        numbers = {n for one in lines for n in one["n"].split(", ")}
        assert numbers == {one["n"] for one in card["sources"]}
        assert all(one["marks"].count(": ") == len(one["n"].split(", ")) for one in lines)
        assert all(one["cite"] and one["basis"] in ("read", "from memory", "our judgement") for one in card["sources"])


def test_what_was_said_of_the_work_stands_behind() -> None:
    made = sheet(unit(LINE), "sample", hot="yes", indoors="no", air="above")
    told = {one["asks"]: one["answer"] for one in made.payload["asked"]}
    assert list(told.values()) == ["yes", "no", "not said", "no", "no", "not said", "above its limit"]
    assert "Breathing apparatus" in made.payload["cards"][0]["wear"][-1]["says"]
    assert "40 °C" in next(iter(told))


def test_a_barred_task_says_who_does_it_and_shows_no_gear() -> None:
    (card,) = sheet(unit(LINE), "cut").payload["cards"]
    assert card["barred"]
    assert card["wear"] == []
    assert "Nobody here does this" in text_of(pdf(sheet(unit(LINE), "cut")), "-raw")


def test_nothing_of_anybody_stands_on_a_card() -> None:
    """Who is pregnant is printed as advice and asked of nobody; no name stands in the words that are hashed."""
    made = sheet(unit(LINE), "sample")
    assert set(made.aside) == {"by", "phone"}
    for word in ASIDE.values():
        assert word not in str(made.payload)


@pytest.mark.parametrize(
    ("tasks", "fit"),
    [((), False), (FOUR, True), ((*FOUR, "spill"), False), (("look", "look"), False), (("dance",), False)],
)
def test_a_sheet_has_one_to_four_different_cards(tasks: tuple[str, ...], fit: bool) -> None:
    assert Cards(tasks=tasks, answers=Answers()).fit == fit


def test_a_sheet_is_outdated_once_its_unit_would_say_otherwise() -> None:
    now = unit(LINE)
    made = sheet(now, "sample", "cut", hot="no")
    assert holds(made.payload, unit_says("gear_card", now, YARDS["nz"], made.payload))
    worse = unit({**LINE, "plate_words": ["Pyranol"]})
    assert not holds(made.payload, unit_says("gear_card", worse, YARDS["nz"], made.payload))
    leaking = replace(now, leak="pool")
    assert not holds(made.payload, unit_says("gear_card", leaking, YARDS["nz"], made.payload))
    other = {**YARDS["nz"], "air": "mask"}
    assert not holds(made.payload, unit_says("gear_card", now, other, made.payload))


def test_a_low_figure_lowers_no_gear_before_it_is_signed() -> None:
    """Of this unit nothing is presumed on record, so that until somebody signs hands go by the highest care."""
    found = stage("result")
    assert found.answer["care"] == "2_49"
    before = sheet(found, "sample", "cut", **CALM).payload["cards"]
    assert before[0]["wear"][0]["says"].startswith("Laminate or fluoroelastomer")
    assert before[1]["barred"]
    signed = replace(found, verdicts=(verdict(found, "release"),))
    after = sheet(signed, "sample", "cut", **CALM).payload["cards"]
    assert [one["says"] for one in after[0]["wear"]][2:4] == ["Hooded disposable coverall", "Safety boots"]
    assert not after[1]["barred"]
