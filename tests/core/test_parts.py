"""What a page says of taking a unit away while it is held, and gear told afresh for another care of hands.

Expected words are rows and sentences of the handling book, looked up by hand here: which one fits each case follows
from the rule that a low figure moves nothing until a named person has signed a release.
"""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from hazmat import rulebooks
from hazmat.core.gear import worn_for
from hazmat.core.law import LawDay
from hazmat.core.parts import take
from hazmat.core.unitnow import UnitNow
from tests.core.test_unitnow import HIGH, JUDGED, LOGGED, RELEASE, RESULT, assessed, in_order

HOUSE = rulebooks.rulebook(rulebooks.HANDLING)
STAY = f"{HOUSE.sentences['held_take'].says}."
TASKS = [{"act": "may_take", "says": "It may move with papers"}]


def said(unit: UnitNow) -> str:
    (found,) = take(unit, TASKS, HOUSE)
    assert found["act"] == "may_take"
    return str(found["says"])


def with_answer(unit: UnitNow, **more: Any) -> UnitNow:
    return replace(unit, answer={**unit.answer, **more})


def test_a_low_figure_moves_nothing_while_the_unit_is_held() -> None:
    low = in_order([LOGGED, RESULT, JUDGED])
    assert said(low) == STAY
    assert said(with_answer(low, care="2_49")) == STAY
    assert said(with_answer(low, care="50_499")) == TASKS[0]["says"]
    assert said(with_answer(low, basis="presumed")) == TASKS[0]["says"]
    assert said(in_order([LOGGED, RESULT, JUDGED, RELEASE])) == TASKS[0]["says"]
    assert said(in_order([LOGGED, RESULT, assessed(HIGH, 3, 3)])) == TASKS[0]["says"]


def test_a_leak_has_words_of_its_own() -> None:
    low = in_order([LOGGED, RESULT, JUDGED])
    leaking = replace(low, line={**low.line, "state": "leaking"})
    assert said(leaking) == TASKS[0]["says"]


def row(name: str) -> str:
    return next(one.says for one in HOUSE.tables["gear"].rows if one.name == name)


@pytest.mark.parametrize(
    ("act", "care", "leaking", "name"),
    [
        ("wear_to_look", "50_499", False, "look, raised care"),
        ("wear_to_look", "50_499", True, "look, highest care"),
        ("wear_to_sample", "lt2", False, "sample, lowest care"),
        ("wear_to_sample", "ge500", False, "sample, highest care"),
        ("wear_for_leak", "2_49", True, "leak, low care"),
    ],
)
def test_gear_is_told_afresh_for_another_care(act: str, care: str, leaking: bool, name: str) -> None:
    given = [{"act": act, "says": "Gloves of before"}, {"act": "no_ladder", "says": "No ladder"}]
    first, second = worn_for(given, care, leaking, LawDay(HOUSE, date(2026, 11, 26)))
    assert (first["act"], first["says"]) == (act, f"{row(name)}.")
    assert second == given[1]
