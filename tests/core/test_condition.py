"""A condition test on record: what the record keeps, and how a unit holds it and its corrections."""

import pytest

from hazmat.core.amended import counting
from hazmat.core.condition import ConditionIn
from hazmat.core.unitnow import UnitNow
from tests.core.test_unitfold import BEGUN, folded, record

SLIP = ConditionIn(asked={"water": "<5"}, space="tank", methods={"water": "coulometer"}, tester="Example Laboratory")


def written(key: str, seq: int, **more: str | None) -> UnitNow:
    first = record("condition", {"told": SLIP.image(), "note": "dry day"}, id="a", day=4, seq=5)
    return folded(BEGUN, first, record("condition", {"told": SLIP.image(), "why": "a slip"}, id=key, seq=seq, **more))


def test_a_record_keeps_what_was_said_and_nothing_else() -> None:
    assert SLIP.image() == {
        "asked": {"water": "<5"}, "space": "tank", "methods": {"water": "coulometer"}, "tester": "Example Laboratory",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("methods", "stray"), [({}, []), ({"water": "x"}, []), ({"ift": "x", "flash": "y"}, ["flash", "ift"])]
)
def test_a_method_without_its_figure_is_stray(methods: dict[str, str], stray: list[str]) -> None:
    assert ConditionIn(asked={"water": "5"}, space="tank", methods=methods).stray == stray


def test_a_unit_holds_its_tests_in_order_and_nothing_else_of_it_changes() -> None:
    now = written("b", 6)
    assert [one.id for one in now.conditions] == ["a", "b"]
    first = now.conditions[0]
    assert (first.asked, first.methods, first.space, first.note) == (
        {"water": "<5"},
        {"water": "coulometer"},
        "tank",
        "dry day",
    )
    assert (now.answer, now.results, now.screens) == ({}, (), ())


@pytest.mark.parametrize("day", [3, 9])
def test_a_correction_takes_the_place_whichever_of_the_two_is_met_first(day: int) -> None:
    old = record("condition", {"told": SLIP.image()}, id="a", day=5, seq=5)
    new = record("condition", {"told": SLIP.image(), "why": "a slip"}, id="b", day=day, seq=6, replaces="a")
    now = folded(BEGUN, *sorted((old, new), key=lambda one: one.happened_at))
    assert [one.id for one in counting(now.conditions)] == ["b"]
    kept = {one.id: one for one in now.conditions}
    assert (kept["a"].amended_by, kept["b"].amends, kept["b"].why) == ("b", "a", "a slip")
