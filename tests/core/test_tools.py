"""Sampling gear as it stands, and what may be written of it: both sides of each refusal. Common practice, no source."""

from typing import Any

import pytest

from hazmat.core.tools import ToolIn, ToolNow, clean_refusal, retire_refusal, use_refusal
from hazmat.core.trail import BottleNow
from hazmat.core.unitnow import UnitNow
from tests.core.written import in_order, written

EARLIER, AT, LATER = (f"2026-11-25T01:02:0{second}.000000Z" for second in (2, 3, 4))


def tool(single_use: bool = False, **more: Any) -> ToolNow:
    told = ToolIn(kind="thief", words="brass", single_use=single_use)
    return ToolNow(id="t", code="K7M4PX", told=told, added_at=EARLIER, **more)


def test_gear_out_of_use_is_named_for_what_lies_before_that_alone() -> None:
    retired = tool(retired_at=AT, reason="bent")
    assert use_refusal(retired, EARLIER) == ""
    for moment in (AT, LATER):
        assert use_refusal(retired, moment).startswith("The thief K7M 4PX was out of use by then; name the gear")
    assert (retired.in_use, tool().in_use) == (False, True)


def test_gear_of_one_use_is_named_once() -> None:
    assert use_refusal(tool(single_use=True), AT) == ""
    spent = tool(single_use=True, spent=True, used_at=EARLIER)
    assert "made for one use and was used already" in use_refusal(spent, AT)
    assert not spent.in_use


def test_gear_of_one_use_is_not_cleaned_and_gear_out_of_use_only_before_that() -> None:
    assert clean_refusal(tool(), AT) == ""
    assert "is not cleaned; take a fresh one" in clean_refusal(tool(single_use=True), AT)
    assert clean_refusal(tool(retired_at=AT), EARLIER) == ""
    assert "out of use by then" in clean_refusal(tool(retired_at=AT), AT)


def test_gear_goes_out_of_use_once_and_not_before_its_last_use() -> None:
    assert retire_refusal(tool(used_at=AT), AT) == ""
    assert "was used after that" in retire_refusal(tool(used_at=AT), EARLIER)
    for out in (tool(retired_at=AT), tool(single_use=True, spent=True, used_at=AT)):
        assert "out of use already" in retire_refusal(out, LATER)


@pytest.mark.parametrize(
    ("used", "cleaned", "uncleaned"),
    [(None, None, False), (AT, None, True), (AT, EARLIER, True), (AT, AT, True), (AT, LATER, False)],
)
def test_whether_a_cleaning_stands_after_the_last_use(used: str | None, cleaned: str | None, uncleaned: bool) -> None:
    assert tool(used_at=used, cleaned_at=cleaned).uncleaned is uncleaned


def test_every_refusal_is_one_sentence() -> None:
    out = tool(retired_at=AT, used_at=AT)
    for says in (use_refusal(out, LATER), clean_refusal(out, LATER), retire_refusal(out, LATER)):
        assert says.endswith(".")
        assert says.count(".") == 1


# ------------------------------------------------------------------ the fold


def unit(*touches: dict[str, str]) -> UnitNow:
    shots = {"asked": {"shots": "48 55"}, "space": "tank"}
    return in_order([
        written("space", "s", {"name": "tank", "unit": "u"}, 2, 2),
        written("bottle", "one", {"space": "s", "code": "AAA222"}, 3, 3),
        written("bottle", "two", {"space": "s", "code": "BBB333"}, 3, 4),
        written("hand", "h1", {"bottle": "one", "what": "filled"}, 4, 5),
        written("hand", "h2", {"bottle": "two", "what": "filled"}, 5, 6),
        written("breakdown", "b1", {"told": shots}, 6, 7),
        *(written("touch", f"t{n}", {"holder": "x", **one}, 8, 8 + n) for n, one in enumerate(touches)),
    ])  # fmt: skip


def gear(bottle: BottleNow) -> list[tuple[str, ...]]:
    return [step.tools for step in bottle.trail]


def test_gear_stands_with_its_own_step_or_test_alone() -> None:
    now = unit({"tool": "thief", "hand": "h2"}, {"tool": "syringe", "hand": "h2"}, {"tool": "cell", "breakdown": "b1"})
    first, second = now.bottles
    assert (gear(first), gear(second)) == ([()], [("thief", "syringe")])
    assert [one.tools for one in now.breakdowns] == [("cell",)]


def test_without_gear_nothing_is_said() -> None:
    now = unit()
    assert [gear(one) for one in now.bottles] == [[()], [()]]
    assert now.breakdowns[0].tools == ()
