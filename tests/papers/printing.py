"""Labels and sheets of made things, printed and drawn."""

import subprocess
from dataclasses import replace
from io import BytesIO
from typing import Any

from PIL import Image

from disposal.papers.build import drum_label, hand_over_sheet
from hazmat import papers
from tests.papers import people
from tests.papers.conftest import AT, YARDS, tool
from tests.papers.poppler import text_of
from tests.papers.things import FIRMS, drum, empty, load, loaded, signed

BY = "Ana Example"
ENDS = {"nz": ("up_to_50", "over_50"), "us": ("below_50", "from_500")}
"""The lowest and the highest class of each law."""
LABELS = {
    "one": lambda country: drum(country),
    "many": lambda country: drum(country, 200, dated_by="poured"),
    "empty": lambda country: empty(),
    "low": lambda country: drum(country, known="low", care="2_49", klass=ENDS[country][0]),
    "high": lambda country: drum(country, known="high", care="ge500", klass=ENDS[country][1]),
    "can": lambda country: replace(empty(), kind="slop_can", for_unit="K7M4PK", capacity_l="20", un_mark=""),
}
"""Drums as they come."""
PRINTED: dict[tuple[str, str], bytes] = {}


def label(now: Any, country: str = "us", **yard: str) -> papers.Made:
    return drum_label(now, {**YARDS[country], **yard}, "17", AT, BY)


def sheet(of: Any, rows: Any = None, country: str = "us", **more: Any) -> papers.Made:
    told = loaded(of, country) if rows is None else rows
    return hand_over_sheet(of, told, more.pop("firms", FIRMS), YARDS[country], "17", AT, BY, **more)


def pdf(made: papers.Made) -> bytes:
    """The paper printed, each once: the same words give the same bytes."""
    key = papers.code(made.payload), repr(sorted(made.aside.items()))
    if key not in PRINTED:
        PRINTED[key] = papers.pdf(made.payload, made.aside, key[0])
    return PRINTED[key]


def words_of(made: papers.Made, *more: str) -> str:
    return text_of(pdf(made), *more)


def drawn(made: papers.Made, *more: str, resolution: int = 150) -> Image.Image:
    asked = [tool("pdftoppm", "poppler-utils"), "-r", str(resolution), "-png", "-f", "1", "-l", "1", *more, "-"]
    return Image.open(BytesIO(subprocess.run(asked, input=pdf(made), capture_output=True, check=True).stdout))


def made_all(country: str) -> dict[str, papers.Made]:
    """Every paper of a drum, a load, a yard and a job that these tests make."""
    labels = {f"label {name}": label(now(country), country) for name, now in LABELS.items()}
    signed_ = signed(load(3, official="012345678 JJK"), yard="typed", carrier="drawn", facility="ink")
    return {
        **labels, **people.sheets(country),
        "sheet": sheet(load(3), country=country), "sheet of many": sheet(load(40), country=country),
        "sheet signed": sheet(signed_, country=country, signers={"carrier": "Dev Driver"}, chain=("16", "ab" * 32)),
    }  # fmt: skip
