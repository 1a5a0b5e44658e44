"""What stands beside the steps of sampling: for every combination, held against the texts on sampling read by hand.

Sources: ASTM D923 clauses 9 and 12.3 to 12.5 (containers, weather, eight hours for a drum), IEC 60475 clause 4.1
(drums), IEC 60422 clauses 6 to 8 (warm units), a service guide (askarel is not drawn in the field); where water lies
goes by density.
"""

from dataclasses import replace
from datetime import date
from itertools import product

import pytest

from hazmat import rulebooks
from hazmat.core.facts import Event, Unit
from hazmat.core.law import LawDay
from hazmat.core.sampling import plan

HOUSE = LawDay(rulebooks.rulebook(rulebooks.HANDLING), date(2026, 11, 27))
UNIT = Unit(id="A1", kind="transformer")
CHANGED = replace(UNIT, history=(Event(what="retrofilled"),))
ALWAYS = ["dry_day", "bottles", "blanks", "label", "apart"]


def keys(reach: str, heavy: str, unit: Unit = UNIT) -> list[str]:
    return [one.key for one in plan({"reach": reach, "heavy": heavy}, unit, HOUSE)]


def says(key: str, reach: str = "open", heavy: str = "no", unit: Unit = UNIT) -> str:
    (one,) = [row for row in plan({"reach": reach, "heavy": heavy}, unit, HOUSE) if row.key == key]
    return one.finished(HOUSE.words)


@pytest.mark.parametrize(
    ("reach", "heavy", "changed"),
    [*product(("open", "sealed", "both", "container"), ("yes", "maybe", "no"), (False, True))],
)
def test_every_combination_says_what_the_texts_say(reach: str, heavy: str, changed: bool) -> None:
    found = keys(reach, heavy, CHANGED if changed else UNIT)
    expected = set() if reach == "sealed" else {*ALWAYS, "water"}
    expected |= {"no_sample"} if reach == "sealed" else set()
    expected |= {"rest", "every_drum"} if reach == "container" else set()
    expected |= {"flush_much", "warm_tests"} if reach in ("open", "both") else set()
    expected |= {"old_residue"} if reach in ("open", "both") and changed else set()
    expected |= {"whole_answer"} if heavy == "yes" else set()
    assert sorted(found) == sorted(expected)
    assert found[0] == "whole_answer" or heavy != "yes"


def test_only_draining_changes_no_fluid() -> None:
    assert "old_residue" not in keys("open", "no", replace(UNIT, history=(Event(what="drained"),)))
    for what in ("refilled", "topped_up", "reclaimed", "retrofilled"):
        assert "old_residue" in keys("open", "no", replace(UNIT, history=(Event(what=what),)))  # type: ignore[arg-type]


def test_water_lies_under_a_light_liquid_and_floats_on_a_heavy_one() -> None:
    assert "water lies under this oil" in says("water")
    assert "water floats on this liquid" in says("water", heavy="yes")
    assert "keep both layers apart" in says("water", heavy="maybe")
    assert "each one gets a bottle of its own" in says("water", reach="container")
    assert all("void" in says("water", heavy=heavy) for heavy in ("yes", "maybe", "no"))


@pytest.mark.parametrize(
    ("key", "reach", "words"),
    [
        ("dry_day", "open", "above 50 % relative humidity"), ("rest", "container", "still for 8 hours"),
        ("every_drum", "container", "one in ten, and two at least"), ("flush_much", "open", "some 2 L"),
        ("blanks", "open", "every 20 samples"), ("blanks", "open", "every 10 one is drawn twice"),
        ("bottles", "open", "amber glass with a PTFE liner"), ("warm_tests", "open", "working warmth"),
        ("no_sample", "sealed", "not opened"),
    ],
)  # fmt: skip
def test_the_figures_of_the_texts_are_told(key: str, reach: str, words: str) -> None:
    assert words in says(key, reach)


def test_every_row_has_a_source() -> None:
    assert all(row.cite.document for row in HOUSE.book.plan)
