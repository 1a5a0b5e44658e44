"""Sampling gear: what it touched, what is in doubt because of that, and what is refused. Common practice, no source."""

from typing import Any
from uuid import UUID

import pytest

from hazmat.actions.codes import drawn
from hazmat.actions.results import enter_result
from hazmat.actions.tools import add_tool, clean_tool, retire_tool
from hazmat.actions.units import log_unit
from hazmat.book.act import Refused
from hazmat.book.prove import prove
from hazmat.core.tools import KINDS, ToolIn
from hazmat.models import Bottle, Person, Tool, Touch, Unit, Yard
from hazmat.queries.codes import kind_of
from hazmat.queries.tools import IN_USE, at_hand, tools
from hazmat.queries.units import UNITS
from tests.cast import look_in, opened, order, person, reported
from tests.hazmat.gear import Gear, before, doubts, now

pytestmark = [pytest.mark.both, pytest.mark.django_db]


@pytest.fixture
def gear(yard: Yard, boss: Person) -> Gear:
    return Gear(yard.pk, boss.pk)


def tag(unit: UUID) -> str:
    return now(unit).tag


# ------------------------------------------------------------------ doubt


def test_a_shared_thief_makes_the_second_sample_doubtful_and_not_the_first(gear: Gear) -> None:
    first, second, thief = gear.unit(), gear.unit(), gear.tool()
    gear.filled(first, 10, thief)
    code = gear.filled(second, 20, thief)
    assert before(first) == []
    (one,) = doubts(second)
    assert (one.use.bottle, one.use.test) == (code, "")
    assert [(met.use.tag, met.use.space, met.how) for met in one.before] == [(tag(first), "tank", "no signed result")]
    assert UNITS.fold([second])[second] == now(second)
    assert prove().faults == []


def test_nothing_is_judged_otherwise_by_doubt(gear: Gear) -> None:
    """Two units of one line, one sampled with gear that was in other oil: both count as the same."""
    first, second, thief = gear.unit(), gear.unit(), gear.tool()
    gear.filled(first, 10, thief)
    gear.filled(second, 20, thief)
    assert doubts(second)
    one, other = now(first), now(second)
    assert (one.oil, one.stands, one.answer["class"]) == (other.oil, other.stands, other.answer["class"])
    gear.released(second)
    assert now(second).stands == "released"
    assert before(second) == [[tag(first)]]


def test_a_cleaning_between_ends_it_also_where_it_is_written_down_last(gear: Gear) -> None:
    first, second, third, thief = gear.unit(), gear.unit(), gear.unit(), gear.tool()
    gear.filled(first, 10, thief)
    gear.filled(second, 20, thief)
    gear.filled(third, 30, thief)
    gear.cleaned(thief, 15)
    assert (before(second), before(third)) == ([], [[tag(second)]])


def test_a_late_entry_of_an_earlier_touch_brings_doubt(gear: Gear) -> None:
    first, second, thief = gear.unit(), gear.unit(), gear.tool()
    gear.filled(second, 20, thief)
    assert before(second) == []
    gear.filled(first, 10, thief)
    assert before(second) == [[tag(first)]]


def test_doubt_goes_by_what_the_other_oil_counts_as_now(gear: Gear) -> None:
    """A release of the first unit clears it; a result of that unit that nobody signed does not."""
    first, second, thief = gear.unit(), gear.unit(), gear.tool()
    gear.filled(first, 10, thief)
    gear.filled(second, 20, thief)
    enter_result(order(gear.yard, gear.by), unit=first, told=reported("1.2"), place="NZ")
    assert before(second) == [[tag(first)]]
    gear.released(first)
    assert before(second) == []
    enter_result(order(gear.yard, gear.by), unit=first, told=reported("120"), place="NZ")
    assert before(second) == [[tag(first)]]


def test_the_same_oil_again_is_no_doubt_and_another_space_of_the_unit_is(gear: Gear) -> None:
    unit, thief = gear.unit(spaces=("tap changer",)), gear.tool()
    gear.filled(unit, 10, thief)
    gear.filled(unit, 20, thief)
    assert doubts(unit) == []
    gear.filled(unit, 30, thief, space="tap changer")
    (one,) = doubts(unit)
    assert (one.use.space, [met.use.space for met in one.before]) == ("tap changer", ["tank"])


def test_each_piece_of_gear_speaks_for_itself(gear: Gear) -> None:
    first, second = gear.unit(), gear.unit()
    thief, syringe = gear.tool(), gear.tool("syringe")
    gear.filled(first, 10, thief)
    gear.filled(second, 20, thief, syringe)
    (one,) = doubts(second)
    assert one.tool.id == str(thief)
    gear.filled(second, 25, syringe)
    assert len(doubts(second)) == 1


def test_a_shot_in_a_cell_that_was_in_other_oil(gear: Gear) -> None:
    first, second, cell = gear.unit(), gear.unit(), gear.tool("cell")
    gear.shot(first, 10, cell)
    test = gear.shot(second, 20, cell)
    (one,) = doubts(second)
    assert (one.use.test, one.use.bottle) == (str(test), "")
    assert now(second).breakdowns[0].tools == (str(cell),)
    assert UNITS.fold([second])[second] == now(second)
    gear.cleaned(cell, 15)
    assert doubts(second) == []
    assert prove().faults == []


# ------------------------------------------------------------------ corrected tests


def test_a_correction_written_down_later_keeps_the_touch_where_it_was(gear: Gear) -> None:
    """The shots were at 10, the cell was in other oil at 20, and at 60, after a cleaning, a slip of 10 is corrected."""
    first, second, cell = gear.unit(), gear.unit(), gear.tool("cell")
    test = gear.shot(first, 10, cell)
    gear.shot(second, 20, cell)
    gear.cleaned(cell, 50)
    gear.shot(first, 60, cell, replaces=test, why="a slip")
    assert before(second) == [[tag(first)]]


def test_a_test_in_doubt_stays_in_doubt_when_it_is_corrected_after_a_cleaning(gear: Gear) -> None:
    first, second, cell = gear.unit(), gear.unit(), gear.tool("cell")
    gear.shot(first, 10, cell)
    test = gear.shot(second, 20, cell)
    gear.cleaned(cell, 50)
    fresh = gear.shot(second, 60, cell, replaces=test, why="a slip")
    assert [one.use.test for one in doubts(second)] == [str(fresh)]


@pytest.mark.parametrize("coded", [True, False])
def test_a_correction_that_names_another_cell_or_none_takes_the_touch_back(gear: Gear, coded: bool) -> None:
    first, second, cell, other = gear.unit(), gear.unit(), gear.tool("cell"), gear.tool("cell")
    test = gear.shot(first, 10, cell)
    gear.shot(second, 20, cell)
    assert before(second) == [[tag(first)]]
    gear.shot(first, 11, other if coded else None, replaces=test, why="it was the other cell")
    assert before(second) == []
    assert [line.met.use.tag for line in gear.trace(other).lines if line.met] == ([tag(first)] if coded else [])


def test_a_touch_that_was_taken_back_stays_so_through_a_second_correction(gear: Gear) -> None:
    first, cell, other = gear.unit(), gear.tool("cell"), gear.tool("cell")
    test = gear.shot(first, 10, cell)
    second = gear.shot(first, 11, other, replaces=test, why="it was the other cell")
    gear.shot(first, 12, other, replaces=second, why="a slip")
    assert gear.trace(cell).lines == ()
    assert len(gear.trace(other).lines) == 2


# ------------------------------------------------------------------ the trace


def test_the_trace_of_a_thief_in_order_of_time(gear: Gear) -> None:
    first, second, thief = gear.unit(), gear.unit(), gear.tool()
    gear.cleaned(thief, 15)
    gear.filled(second, 20, thief)
    gear.filled(first, 10, thief)
    trace = gear.trace(thief)
    assert [line.met.use.tag if line.met else "cleaned" for line in trace.lines] == [tag(first), "cleaned", tag(second)]
    assert [met.use.tag for met in trace.clings] == [tag(second)]
    gear.released(second)
    assert gear.trace(thief).clings == ()


def test_untested_oil_in_a_cell_that_is_not_kept_for_it(gear: Gear) -> None:
    unit, shared, kept = gear.unit(), gear.tool("cell"), gear.tool("cell", kept=True)
    gear.shot(unit, 10, shared)
    gear.shot(unit, 20, kept)
    assert (gear.trace(shared).shared, gear.trace(kept).shared) == (True, False)
    gear.cleaned(shared, 30)
    assert not gear.trace(shared).shared


# ------------------------------------------------------------------ refused


def refused_filling(gear: Gear, says: str, unit: UUID, at: int, *named: UUID) -> None:
    touches = Touch.objects.count()
    with pytest.raises(Refused, match=says):
        gear.filled(unit, at, *named)
    assert Touch.objects.count() == touches


def test_a_single_use_tube_is_used_up_by_its_use(gear: Gear) -> None:
    unit, tube = gear.unit(), gear.tool("tube", single_use=True)
    gear.filled(unit, 10, tube)
    (one,) = tools(gear.yard, pk=tube)
    assert (one.spent, one.in_use) == (True, False)
    refused_filling(gear, "made for one use and was used already", unit, 20, tube)
    refused_filling(gear, "made for one use and was used already", unit, 5, tube)
    with pytest.raises(Refused, match="take a fresh one"):
        gear.cleaned(tube, 30)
    assert tools(gear.yard, IN_USE) == []
    assert at_hand(gear.yard, cell=False) == []


def test_the_correction_of_a_test_may_name_its_cell_of_one_use_again(gear: Gear) -> None:
    unit, cell = gear.unit(), gear.tool("cell", single_use=True)
    test = gear.shot(unit, 10, cell)
    gear.shot(unit, 11, cell, replaces=test, why="a slip")
    with pytest.raises(Refused, match="was used already"):
        gear.shot(unit, 12, cell)


def test_gear_out_of_use_is_refused_from_then_on_and_late_entries_are_not(gear: Gear) -> None:
    unit, thief = gear.unit(), gear.tool()
    gear.retired(thief, 20)
    refused_filling(gear, "was out of use by then", unit, 20, thief)
    gear.filled(unit, 19, thief)
    with pytest.raises(Refused, match="out of use already"):
        gear.retired(thief, 30)
    assert [one.code for one in at_hand(gear.yard, cell=False)] == [tools(gear.yard, pk=thief)[0].code]


def test_gear_out_of_use_for_long_is_no_longer_offered(gear: Gear) -> None:
    thief = gear.tool()
    gear.retired(thief, -60 * 24 * 20)
    assert at_hand(gear.yard, cell=False) == []
    assert [one.id for one in at_hand(gear.yard, cell=False, keep=[str(thief)])] == [str(thief)]


def test_gear_of_another_yard_is_not_there(gear: Gear) -> None:
    other = person("other")
    far = Gear(opened(other, "Other Yard", "US", state="US-OR").pk, other.pk)
    thief, unit = far.tool(), gear.unit()
    refused_filling(gear, "This yard has no such gear", unit, 10, thief)
    with pytest.raises(Refused, match="This yard has no such gear"):
        gear.shot(unit, 10, far.tool("cell"))
    with pytest.raises(Refused, match="This yard has no such gear"):
        gear.cleaned(thief, 10)
    with pytest.raises(Refused, match="This yard has no such gear"):
        gear.retired(thief, 10)


def test_a_cell_is_shot_in_and_all_else_draws_oil(gear: Gear) -> None:
    unit, cell, thief = gear.unit(), gear.tool("cell"), gear.tool()
    refused_filling(gear, "A test cell draws no sample", unit, 10, cell)
    with pytest.raises(Refused, match="Only a test cell can be named"):
        gear.shot(unit, 10, thief)
    with pytest.raises(Refused, match="A cell with a code says itself"):
        gear.shot(unit, 10, cell, words="kept")
    assert now(unit).breakdowns == ()


def test_gear_is_named_with_a_filling_alone(gear: Gear) -> None:
    from hazmat.actions.bottles import hand_bottle, label_bottle

    unit, thief = gear.unit(), gear.tool()
    bottle = label_bottle(gear.order(1), unit=unit, space="tank").the("hazmat.bottle")
    with pytest.raises(Refused, match="Gear is named where a bottle is filled"):
        hand_bottle(gear.order(2), bottle=bottle, what="spoiled", place="NZ", gear=[thief])
    assert not Touch.objects.exists()


def test_gear_that_is_named_twice_touched_once(gear: Gear) -> None:
    unit, thief = gear.unit(), gear.tool()
    gear.filled(unit, 10, thief, thief)
    assert Touch.objects.count() == 1


@pytest.mark.parametrize(
    ("told", "says"),
    [
        (ToolIn(kind="other"), "Write what it is"),
        (ToolIn(kind="bucket"), "Pick what kind of gear it is"),  # type: ignore[arg-type]
    ],
)
def test_gear_that_nobody_could_tell_apart_is_asked_about(gear: Gear, told: ToolIn, says: str) -> None:
    with pytest.raises(Refused, match=says):
        add_tool(gear.order(0), told=told)
    assert not Tool.objects.exists()


def test_half_a_cleaning_and_an_end_without_a_reason_are_refused(gear: Gear) -> None:
    thief = gear.tool()
    for half in ({"with_what": " ", "how": "rinsed"}, {"with_what": "kerosene", "how": ""}):
        with pytest.raises(Refused, match="Write with what it was cleaned and how"):
            clean_tool(gear.order(5), tool=thief, **half)
    with pytest.raises(Refused, match="Write why it is taken out of use"):
        retire_tool(gear.order(5), tool=thief, reason=" ")


def test_gear_goes_out_of_use_after_its_last_use(gear: Gear) -> None:
    unit, thief = gear.unit(), gear.tool()
    gear.filled(unit, 20, thief)
    with pytest.raises(Refused, match="was used after that"):
        gear.retired(thief, 19)
    gear.retired(thief, 20)


# ------------------------------------------------------------------ codes


def test_no_gear_shares_a_code_with_anything(gear: Gear) -> None:
    """The next code that gear would get is printed on a tag already: it gets another one, of no thing of the yard."""
    taken = drawn(gear.yard, Yard.objects.get(pk=gear.yard).seq + 2, 0)
    log_unit(order(gear.yard, gear.by), look=look_in(), place="NZ", tag=taken)
    pieces: list[UUID] = [gear.tool(kind, words="piece") for kind in KINDS]
    gear.filled(gear.unit(), 10, pieces[0])
    codes: list[Any] = [one.code for one in tools(gear.yard)]
    others = [*Unit.objects.values_list("tag", flat=True), *Bottle.objects.values_list("code", flat=True)]
    assert taken in others
    assert len({*codes, *others}) == len(codes) + len(others)
    assert {kind_of(gear.yard, code) for code in codes} == {"tool"}
    with pytest.raises(Refused, match="is the code of a tool of this yard"):
        log_unit(order(gear.yard, gear.by), look=look_in(), place="NZ", tag=codes[0])
