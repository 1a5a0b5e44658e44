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
from hazmat.core.parts import first_of, open_tasks, take
from hazmat.core.unitfold import Written
from hazmat.core.unitnow import UnitNow
from tests.core.test_unitnow import HIGH, JUDGED, LOGGED, RELEASE, RESULT, assessed, in_order
from tests.core.written import result, verdict, written

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


@pytest.mark.parametrize(
    ("act", "care", "leaking", "says"),
    [
        (
            "wear_to_look",
            "50_499",
            False,
            "To look: nitrile gauntlets of 0.45 mm or more, safety glasses, coverall and",
        ),
        ("wear_to_look", "50_499", True, "safety glasses, hooded disposable coverall and overboots; touch no oil"),
        (
            "wear_to_sample",
            "lt2",
            False,
            "never used again once wetted, safety glasses, coverall and safety boots; wash",
        ),
        ("wear_to_sample", "ge500", False, "To sample: licensed or specially trained people only; laminate or"),
        ("wear_for_leak", "2_49", True, "hooded disposable coverall and overboots; on a hot surface a mask"),
    ],
)
def test_gear_is_told_afresh_for_another_care(act: str, care: str, leaking: bool, says: str) -> None:
    """Words by hand, from the pieces that the gear matrix names for that task and care."""
    given = [{"act": act, "says": "Gloves of before"}, {"act": "no_ladder", "says": "No ladder"}]
    first, second = worn_for(given, care, leaking, LawDay(HOUSE, date(2026, 11, 26)))
    assert first["act"] == act
    assert says in first["says"]
    assert second == given[1]


# ------------------------------------------------------------------ what to do first

FILLED = [
    written("bottle", "b", {"space": "s", "code": "AAA222"}, 2, 3),
    written("hand", "h1", {"bottle": "b", "what": "filled"}, 2, 4),
]


def to_do(*acts: str) -> list[dict[str, str]]:
    return [{"act": act, "says": act} for act in acts]


def first(records: list[Written], *acts: str, proved: bool = True) -> str:
    return first_of(with_answer(in_order([LOGGED, *records]), next=to_do(*acts)), HOUSE, proved)


def test_what_is_proved_dead_is_not_to_be_proved_again() -> None:
    assert first([], "look_first", "prove_dead", "laboratory", proved=False) == "prove_dead"
    assert first([], "look_first", "prove_dead", "laboratory") == "laboratory"
    assert open_tasks(to_do("prove_dead", "laboratory"), True) == to_do("laboratory")
    assert open_tasks(to_do("prove_dead", "laboratory"), False) == to_do("prove_dead", "laboratory")


def test_a_leak_and_electricity_come_before_any_bottle() -> None:
    assert first(FILLED, "contain", "prove_dead", "laboratory") == "contain"
    assert first(FILLED, "prove_dead", "laboratory", proved=False) == "prove_dead"
    assert first([RESULT, JUDGED], "contain", "laboratory") == "contain"


@pytest.mark.parametrize(
    ("trail", "name"),
    [
        ((), "first_fill"),
        (("filled",), "first_send"),
        (("filled", "handed_on"), "first_send"),
        (("filled", "at_laboratory"), "first_report"),
        (("filled", "at_laboratory", "returned"), "first_send"),
        (("filled", "lost"), ""),
        (("filled", "destroyed"), ""),
    ],
)
def test_a_bottle_on_its_way_says_what_comes_next(trail: tuple[str, ...], name: str) -> None:
    steps = [written("hand", f"h{n}", {"bottle": "b", "what": what}, 2, 4 + n) for n, what in enumerate(trail)]
    expected = f"{HOUSE.sentences[name].says}." if name else "laboratory"
    assert first([FILLED[0], *steps], "laboratory", "look_first") == expected
    assert first([FILLED[0], *steps], "settle_figures", "laboratory") == "settle_figures"


def test_of_two_bottles_the_one_that_is_further_counts() -> None:
    other = written("bottle", "c", {"space": "s", "code": "BBB333"}, 2, 9)
    assert first([*FILLED, other], "laboratory") == f"{HOUSE.sentences['first_send'].says}."


def test_a_result_asks_for_a_signature_and_a_bottle_that_is_answered_for_nothing() -> None:
    answered = [*FILLED, result("r", 3, 5, bottle="b"), JUDGED]
    assert first(answered, "look_first", "laboratory") == f"{HOUSE.sentences['first_verdict'].says}."
    held = [*answered, verdict("v", "hold", 4, 6)]
    assert first(held, "laboratory") == "laboratory"
    two = [*answered, verdict("v", "release", 4, 6, ["r"], two=True)]
    assert first(two, "look_first") == f"{HOUSE.sentences['first_second'].says}."
