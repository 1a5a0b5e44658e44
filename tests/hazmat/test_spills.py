"""Spills as acts: what is refused, what is open, what a later result changes, how it ends."""

from collections.abc import Mapping
from datetime import timedelta
from typing import Any
from uuid import UUID

import pytest
from django.utils import timezone

from hazmat.actions.results import enter_result
from hazmat.actions.spills import (
    close_spill,
    correct_spill,
    old_stain,
    open_spill,
    reading,
    spill_step,
    told_of_spill,
)
from hazmat.actions.units import log_unit
from hazmat.book.act import Refused
from hazmat.book.aside import words_of
from hazmat.core.spill import SpillIn
from hazmat.core.spillnow import SpillNow, StepIn, late, still_open
from hazmat.models import Spill, SpillAccount, SpillTold, Unit, Yard
from hazmat.queries.next import lines
from hazmat.queries.spills import judged, spill_now
from tests.cast import Cast, look_in, opened, order, person, reported

pytestmark = pytest.mark.django_db

LINE = {
    "kind": "transformer", "mounting": "pole", "built": "1968", "found_in": "US-OR", "state": "leaking",
    "fluid": "mineral", "fluid_volume_l": "75",
}  # fmt: skip
TOLD = SpillIn(amount="20", measure="US gallons", grounds=("concrete",), place="restricted", public="no")


class Creek:
    """A yard in Oregon with one leaking transformer."""

    def __init__(self) -> None:
        self.boss = person("creek")
        self.yard: Yard = opened(self.boss, "Creek", "US", state="US-OR")
        seen = log_unit(self.order(), look=look_in(line=LINE, leak="dripping"), place="US-OR")
        self.unit = Unit.objects.get(pk=seen.the("hazmat.unit"))

    def order(self, **more: Any) -> Any:
        return order(self.yard.pk, self.boss.pk, zone="America/Los_Angeles", **more)

    def opened(self, told: SpillIn = TOLD, **more: Any) -> SpillNow:
        words: dict[str, Any] = {"place": "US-OR", "source": self.unit.tag, "names": {"where": "by the shed"}}
        hours = more.pop("hours", 0)
        at = timezone.now() - timedelta(hours=hours)
        made = open_spill(self.order(happened_at=at), told=told, **{**words, **more})
        return self.now(made.the("hazmat.spill"))

    def now(self, spill: Any) -> SpillNow:
        found = spill_now(self.yard.pk, UUID(str(spill)))
        assert found is not None
        return found

    def asked(self, spill: SpillNow) -> list[str]:
        return [one.name for one in judged(self.now(spill.id), "US-OR").asked if one.owed]

    def left(self, spill: SpillNow) -> list[str]:
        now = self.now(spill.id)
        return [one.name for one in still_open(now, judged(now, "US-OR").asked)]

    def end(self, spill: SpillNow, **more: str) -> Any:
        now = self.now(spill.id)
        told = {"reached": "no trace", "statement": "it is done", "name": "Mere Example", "read": reading(now), **more}
        return close_spill(self.order(), spill=UUID(now.id), place="US-OR", **told)


@pytest.fixture
def creek() -> Creek:
    return Creek()


def says(refused: Any) -> str:
    return str(refused.value)


# ------------------------------------------------------------------ opening


def test_a_spill_of_untested_oil_goes_by_the_upper_end_of_its_presumption(creek: Creek) -> None:
    """20 US gallons x 3.785411784 x 0.88 x 500 mg/kg = 0.0333 kg of PCB, which is 0.073 lb: less than a pound."""
    spill = creek.opened()
    found = judged(spill, "US-OR")
    assert found.rule == "low"
    assert found.sum.pcb_kg is not None
    assert abs(float(found.sum.pcb_kg) - 0.033312) < 0.000001
    assert "0.073 lb" in " ".join(one.says for one in found.sum.says)
    assert creek.asked(spill) == ["tell_owner", "finish"] or set(creek.asked(spill)) == {"tell_owner", "finish"}
    assert words_of([spill.account.id]) == {"where": "by the shed"}
    assert "by the shed" not in SpillAccount.objects.get().entry.body


def test_an_amount_that_nobody_knows_is_all_that_the_unit_holds(creek: Creek) -> None:
    """75 L of 500 mg/kg hold 0.033 kg: less than a pound even if all of it ran out."""
    spill = creek.opened(SpillIn(grounds=("soil",), place="open"))
    found = judged(spill, "US-OR")
    assert (found.rule, str(found.sum.litres)) == ("low", "75")
    assert {one.key for one in found.sum.says} >= {"spill_all_of_it", "spill_by_class"}


def test_a_result_that_comes_later_is_counted_with_its_uncertainty(creek: Creek) -> None:
    """Lab says 620 ± 10 %: high concentration, and 682 mg/kg in the sum; a PCB Transformer has 48 hours."""
    spill = creek.opened()
    told = reported("620", test={
        "how": "laboratory", "on": "2026-01-05", "value": "620", "unit": "mg/kg", "reporting_limit": "2",
        "uncertainty": {"value": "10", "kind": "percent", "k": "2"},
    })  # fmt: skip
    enter_result(creek.order(), unit=creek.unit.pk, told=told, place="US-OR")
    found = judged(creek.now(spill.id), "US-OR")
    assert found.rule == "large_transformer"
    assert found.care == "ge500"
    begin = next(one for one in found.asked if one.name == "begin")
    assert (begin.hours, begin.due is not None) == (48, True)


def test_a_low_result_that_nobody_signed_takes_nothing_back(creek: Creek) -> None:
    spill = creek.opened()
    enter_result(creek.order(), unit=creek.unit.pk, told=reported("1.2"), place="US-OR")
    found = judged(creek.now(spill.id), "US-OR")
    assert (found.rule, found.sum.mg_kg) == ("low", 500)


@pytest.mark.parametrize(
    ("told", "more", "wrong"),
    [
        (SpillIn(grounds=("soil",)), {"source": "", "names": {}}, "Say what leaked, or where it is"),
        (SpillIn(amount="0", grounds=("soil",)), {}, "An amount of nothing is no spill"),
        (SpillIn(mg_kg="0.0", grounds=("soil",)), {}, "A figure of nought says nothing"),
        (SpillIn(grounds=()), {}, "Tick what it fell on"),
        (TOLD, {"source": "222222"}, "Nothing of this yard has the code 222222"),
        (TOLD, {"space": "bushing"}, "has no oil space of that name"),
        (TOLD, {"hours": -1}, "This lies in the future"),
    ],
)
def test_what_cannot_stand_is_refused(creek: Creek, told: SpillIn, more: Mapping[str, Any], wrong: str) -> None:
    with pytest.raises(Refused) as refused:
        creek.opened(told, **more)
    assert wrong in says(refused)
    assert not Spill.objects.exists()


def test_an_old_stain_has_no_clock_and_no_line_of_a_spill(creek: Creek) -> None:
    made = old_stain(creek.order(), told=SpillIn(grounds=("soil",)), place="US-OR", names={"where": "the creek"})
    now = creek.now(made.the("hazmat.spill"))
    found = judged(now, "US-OR")
    assert (now.old, found.rule) == (True, "old")
    assert [one.name for one in found.asked if one.owed] == ["tell_land"]
    assert not [one for one in found.asked if one.due]


# ------------------------------------------------------------------ told, done, ended


def test_what_is_told_is_no_longer_open_and_late_is_late(creek: Creek) -> None:
    spill = creek.opened(SpillIn(amount="0.1", grounds=("drain",), place="restricted", public="no"), hours=30)
    assert set(creek.left(spill)) == {"region_water", "tell_drain", "tell_owner", "finish"}
    told_of_spill(
        creek.order(), spill=UUID(spill.id), office="EPA regional office", duties=["region_water"], who="A Name",
        place="US-OR",
    )  # fmt: skip
    now = creek.now(spill.id)
    assert "region_water" not in creek.left(spill)
    region = next(one for one in judged(now, "US-OR").asked if one.name == "region_water")
    assert late(now, region)
    assert "A Name" not in SpillTold.objects.get().entry.body
    assert words_of([now.told[0].id]) == {"who": "A Name"}


def test_an_end_waits_for_what_is_open_or_a_reason(creek: Creek) -> None:
    spill = creek.opened()
    with pytest.raises(Refused) as refused:
        creek.end(spill)
    assert "These are not written down as done" in says(refused)
    step = StepIn(what="washed", where="concrete", duties=("finish",))
    spill_step(creek.order(), spill=UUID(spill.id), told=step, place="US-OR")
    told_of_spill(creek.order(), spill=UUID(spill.id), office="Owner", duties=["tell_owner"], place="US-OR")
    assert creek.left(spill) == []
    creek.end(spill)
    now = creek.now(spill.id)
    assert now.end is not None
    assert words_of([now.end.id]) == {"name": "Mere Example"}
    with pytest.raises(Refused, match="ended and signed already"):
        creek.end(spill)


def test_an_end_with_something_open_keeps_its_reason(creek: Creek) -> None:
    spill = creek.opened()
    creek.end(spill, reason="the owner cannot be found")
    end = creek.now(spill.id).end
    assert end is not None
    assert end.reason == "the owner cannot be found"


def test_a_correction_opens_a_spill_again(creek: Creek) -> None:
    spill = creek.opened()
    creek.end(spill, reason="away")
    more: dict[str, Any] = {"told": SpillIn(amount="300", measure="US gallons", grounds=("soil",)), "place": "US-OR"}
    with pytest.raises(Refused, match="Say why it is corrected"):
        correct_spill(creek.order(), spill=UUID(spill.id), based_on=UUID(spill.account.id), why=" ", **more)
    correct_spill(
        creek.order(), spill=UUID(spill.id), based_on=UUID(spill.account.id), why="read again", source=creek.unit.tag,
        **more,
    )  # fmt: skip
    now = creek.now(spill.id)
    assert (now.end, now.lapsed, judged(now, "US-OR").rule) == (None, True, "large")
    with pytest.raises(Refused, match="in the meantime"):
        correct_spill(creek.order(), spill=UUID(spill.id), based_on=UUID(spill.account.id), why="again", **more)


def test_an_end_is_not_signed_over_what_nobody_read(creek: Creek) -> None:
    spill = creek.opened()
    read = reading(creek.now(spill.id))
    spill_step(creek.order(), spill=UUID(spill.id), told=StepIn(what="contained"), place="US-OR")
    with pytest.raises(Refused, match="in the meantime"):
        creek.end(spill, read=read, reason="away")


@pytest.mark.parametrize(
    ("step", "wrong"),
    [
        (StepIn(what="sampled", result="2"), "A result has a figure and a unit"),
        (StepIn(what="soil_out"), "how deep or how many kilograms"),
        (StepIn(what="other"), "Say in the note what was done"),
        (StepIn(what="washed", duties=("tell_owner",)), "no longer asked of this spill"),
    ],
)
def test_half_a_step_is_refused(creek: Creek, step: StepIn, wrong: str) -> None:
    spill = creek.opened()
    with pytest.raises(Refused) as refused:
        spill_step(creek.order(), spill=UUID(spill.id), told=step, place="US-OR")
    assert wrong in says(refused)


def test_nothing_was_told_before_it_was_found(creek: Creek) -> None:
    spill = creek.opened()
    before = creek.order(happened_at=timezone.now() - timedelta(hours=1))
    with pytest.raises(Refused, match="before the spill was found"):
        told_of_spill(before, spill=UUID(spill.id), office="Owner", place="US-OR")


def test_an_amended_line_no_longer_counts(creek: Creek) -> None:
    spill = creek.opened()
    told: dict[str, Any] = {"spill": UUID(spill.id), "place": "US-OR"}
    first = told_of_spill(creek.order(), office="Owner", duties=["tell_owner"], **told).the("hazmat.spilltold")
    assert "tell_owner" not in creek.left(spill)
    told_of_spill(creek.order(), office="Tenant", replaces=first, why="not the owner", **told)
    assert "tell_owner" in creek.left(spill)
    with pytest.raises(Refused, match="amended already"):
        told_of_spill(creek.order(), office="Owner", replaces=first, why="again", **told)


# ------------------------------------------------------------------ Next, another yard


def test_next_names_an_open_spill_with_its_soonest_deadline(creek: Creek) -> None:
    spill = creek.opened(hours=40)
    later = creek.opened(hours=1)
    told = [one for one in lines(creek.yard.pk, creek.yard.code, timezone.localdate()) if one.mark == "spill"]
    assert [one.words["spill"] for one in told] == [spill.id, later.id]
    assert f"Spill {spill.number} is open: 1 to be told at once, soonest deadline: 7 h" in told[0].says
    creek.end(spill, reason="away")
    left = [one for one in lines(creek.yard.pk, creek.yard.code, timezone.localdate()) if one.mark == "spill"]
    assert [one.words["spill"] for one in left] == [later.id]


def test_a_spill_of_another_yard_is_not_there(creek: Creek, cast: Cast) -> None:
    assert cast.yard_id is not None
    with pytest.raises(Refused, match="This yard has no such spill"):
        told_of_spill(
            order(cast.yard_id, cast.people["boss"].pk), spill=UUID(creek.opened().id), office="x", place="NZ"
        )
