"""Oil spaces of a unit: each by itself, one more that is found, one that is taken off under a tag of its own.

House rule of care: a part goes with what was tried on its oil, on hold, and nothing comes off what is not proved dead.
"""

from dataclasses import replace
from datetime import timedelta
from html import unescape
from typing import Any
from uuid import UUID

import pytest
from django.utils import timezone

from disposal.actions.drums import label_drum, pour
from disposal.models import DrumStanding
from hazmat.actions.bottles import hand_bottle, label_bottle
from hazmat.actions.people import add_member
from hazmat.actions.screens import read_screen, record_screen
from hazmat.actions.spaces import _refuse_removal, add_space, remove_part
from hazmat.actions.tools import add_tool
from hazmat.actions.units import correct_unit, log_unit, prove_dead
from hazmat.book.act import Refused
from hazmat.book.aside import words_of
from hazmat.book.prove import prove
from hazmat.core.screened import ScreenIn
from hazmat.core.tools import ToolIn
from hazmat.core.unitnow import FateNow, UnitNow
from hazmat.edge.spaces import core_of, looked_for, spaces_of
from hazmat.models import Person, Unit, Yard
from hazmat.queries.next import lines
from hazmat.queries.tools import tools, traces
from hazmat.queries.units import UNITS
from tests.browsing import at, token
from tests.cast import LINE, Cast, look_in, order, person
from tests.hazmat.screening import keys
from tests.hazmat.signing import DEAD, entered, filled, logged, signed, the

pytestmark = [pytest.mark.both, pytest.mark.django_db]
SPACES = [{"name": "bushing", "kind": "bushing", "built": "1990"}, {"name": "tap changer"}]
WITH = {**LINE, "found_in": "US-OR", "fluid": "mineral", "spaces": SPACES}


def unit_with(yard: Yard, boss: Person, line: dict[str, Any] = WITH, dead: bool = True) -> UnitNow:
    now = logged(yard, boss, line)
    if dead:
        prove_dead(order(yard.pk, boss.pk), unit=UUID(now.unit), proved=DEAD)
    return the(now.unit)


def off(yard: Yard, boss: Person, now: UnitNow, space: str = "bushing", **more: Any) -> UnitNow:
    when = {"happened_at": more.pop("happened_at")} if "happened_at" in more else {}
    seen = remove_part(order(yard.pk, boss.pk, **when), unit=UUID(now.unit), space=space, place="US", **more)
    return the(seen.the("hazmat.unit"))


def lab(space: str, value: str) -> dict[str, Any]:
    return {"how": "laboratory", "on": "2026-01-05", "space": space, "value": value, "unit": "mg/kg"}


# ------------------------------------------------------------------ each by itself


def test_each_space_says_what_it_counts_as_by_itself(yard: Yard, boss: Person) -> None:
    """A low result of the tank frees no other space (40 CFR 761.2 presumes each that nobody tested)."""
    now = entered(yard, boss, unit_with(yard, boss), test=lab("tank", "12"))
    told = {one.name: one for one in spaces_of(now, "US")}
    assert list(told) == ["tank", "bushing", "tap changer"]
    assert told["tank"].strength.startswith("Lab says")
    assert "not proven" in told["tap changer"].strength
    assert told["tank"].because[0].says.startswith("Lab says 12 mg/kg")
    assert now.answer["class"] != "below_50"
    assert [one.off for one in told.values()] == [False, True, True]


def test_bottles_and_tests_stand_beside_their_space(yard: Yard, boss: Person) -> None:
    now = unit_with(yard, boss)
    code = filled(yard, boss, now, timezone.now(), "tap changer")
    told = ScreenIn(way="colour", space="tap changer", set_point="50", colours=("yellow",))
    record_screen(order(yard.pk, boss.pk), unit=UUID(now.unit), told=told, place="US")
    spaces = {one.name: one for one in spaces_of(the(now.unit), "US")}
    assert [bottle.code for bottle in spaces["tap changer"].bottles] == [code]
    assert (spaces["tap changer"].tried, spaces["tank"].tried) == (1, 0)


def test_where_else_to_look_is_said_until_somebody_says(yard: Yard, boss: Person) -> None:
    assert "tap changer" in looked_for(logged(yard, boss, LINE))
    assert looked_for(logged(yard, boss, WITH)) == ""
    assert looked_for(logged(yard, boss, {"kind": "ballast"})) == ""
    switch = unit_with(yard, boss, {**WITH, "spaces": [{"name": "selector", "kind": "switch"}]})
    assert looked_for(off(yard, boss, switch, "selector")) == ""


def test_no_result_of_the_oil_frees_what_is_solid(cast: Cast) -> None:
    """Common practice, no source: core, wood and paper hold what the oil left in them."""
    yard, boss = Yard.objects.get(pk=cast.yard_id), cast.people["boss"]
    bare = {key: value for key, value in WITH.items() if key != "spaces"}
    now = signed(yard, boss, entered(yard, boss, logged(yard, boss, bare), test=lab("tank", "1")))
    assert now.stands == "released"
    page = unescape(cast.client("visitor").get(at(cast, "unit", tag=now.tag)).content.decode())
    assert "<b>Core, wood and paper</b>: Core, winding, wood and paper hold what the oil left in them" in page
    assert core_of(logged(yard, boss, {"kind": "capacitor"})) == ""


# ------------------------------------------------------------------ one more


def test_one_more_space_is_judged_with_the_rest(yard: Yard, boss: Person) -> None:
    now = entered(
        yard, boss, logged(yard, boss, {**LINE, "found_in": "US-OR", "fluid": "mineral"}), test=lab("tank", "12")
    )
    assert now.answer["class"] == "below_50"
    space = {"name": "bushing", "kind": "bushing", "sealed": True}
    add_space(order(yard.pk, boss.pk), unit=UUID(now.unit), based_on=UUID(now.look), space=space, place="US")
    after = the(now.unit)
    assert after.line["spaces"] == [space]
    assert after.answer["class"] != "below_50"
    assert "bushing" in after.oil_spaces.values()
    assert (after.note, after.sources, after.leak) == (now.note, now.sources, now.leak)
    assert prove().faults == []


def test_a_space_is_added_once_and_to_what_stands(yard: Yard, boss: Person) -> None:
    now = unit_with(yard, boss)
    for name in ("tank", "bushing"):
        with pytest.raises(Refused, match="on record already"):
            add_space(
                order(yard.pk, boss.pk), unit=UUID(now.unit), based_on=UUID(now.look), space={"name": name}, place="US"
            )
    with pytest.raises(Refused, match="corrected this unit in the meantime"):
        add_space(order(yard.pk, boss.pk), unit=UUID(now.unit), based_on=UUID(int=1), space={"name": "x"}, place="US")


# ------------------------------------------------------------------ taken off


def test_a_part_is_a_unit_of_its_own_with_the_past_of_its_unit(yard: Yard, boss: Person) -> None:
    now = unit_with(yard, boss, {**WITH, "decided_waste": "2026-02-01", "last_energised": "2025-12"})
    part = off(yard, boss, now)
    assert (part.parent, part.was, part.arrival, part.held) == (now.unit, "bushing", now.arrival, True)
    assert (part.line["kind"], part.line["built"]) == ("bushing", "1990")
    assert (part.line["decided_waste"], part.line["last_energised"]) == ("2026-02-01", "2025-12")
    assert now.tag in part.note
    rest = the(now.unit)
    assert [(one.space, one.tag) for one in rest.parts_off] == [("bushing", part.tag)]
    assert [one["name"] for one in rest.line["spaces"]] == ["tap changer"]
    assert [one.name for one in spaces_of(rest, "US")] == ["tank", "tap changer"]
    assert UNITS.fold([UUID(now.unit)])[UUID(now.unit)] == rest
    assert UNITS.fold([UUID(part.unit)])[UUID(part.unit)] == part
    assert prove().faults == []


def test_what_was_tried_on_its_oil_goes_with_it_and_decides_no_longer(yard: Yard, boss: Person) -> None:
    now = entered(yard, boss, unit_with(yard, boss), test=lab("bushing", "620"))
    now = entered(yard, boss, now, test=lab("tank", "12"))
    now = entered(yard, boss, now, test=lab("tap changer", "8"))
    assert now.answer["class"] == "pcb_transformer" or "500" in str(now.answer["because"][0]["says"])
    part = off(yard, boss, now)
    assert [test["value"] for test in part.line["tests"]] == ["620"]
    assert part.answer["care"] == "ge500"
    rest = the(now.unit)
    assert rest.answer["class"] == "below_50"
    assert len(rest.results) == 3
    assert len(rest.counting) == 2
    assert rest.held


def test_a_screen_of_its_oil_goes_with_it_and_raises_what_stays_no_longer(yard: Yard, boss: Person) -> None:
    now = unit_with(yard, boss)
    told = ScreenIn(way="colour", space="bushing", set_point="500", colours=("yellow",))
    record_screen(order(yard.pk, boss.pk), unit=UUID(now.unit), told=told, place="US")
    assert "screen_above" in keys(the(now.unit))
    part = off(yard, boss, the(now.unit))
    assert [test["colour"] for test in part.line["tests"]] == ["yellow"]
    assert "screen_above" in keys(part)
    assert "screen_above" not in keys(the(now.unit))


def test_what_has_left_is_not_taken_apart(yard: Yard, boss: Person) -> None:
    now = unit_with(yard, boss)
    for what in ("gone", "destroyed"):
        left = replace(now, fates=(FateNow(what=what, at=now.logged_at),))  # type: ignore[arg-type]
        with pytest.raises(Refused, match="has left"):
            _refuse_removal(left, "bushing", now.happened_at)


def test_names_beside_a_look_stay_when_a_space_is_added(yard: Yard, boss: Person) -> None:
    look = look_in(line=LINE, aside={"owner": "Mere Example"})
    now = the(log_unit(order(yard.pk, boss.pk), look=look, place="NZ").the("hazmat.unit"))
    add_space(order(yard.pk, boss.pk), unit=UUID(now.unit), based_on=UUID(now.look), space={"name": "x"}, place="NZ")
    assert words_of([the(now.unit).look])["owner"] == "Mere Example"


def test_a_low_result_that_came_along_releases_no_part(yard: Yard, boss: Person) -> None:
    part = off(yard, boss, entered(yard, boss, unit_with(yard, boss), test=lab("bushing", "3")))
    assert part.answer["basis"] == "established"
    with pytest.raises(Refused, match="none that counts is in this book"):
        signed(yard, boss, part)


def test_a_release_that_rests_on_the_part_ends(yard: Yard, boss: Person) -> None:
    now = unit_with(yard, boss)
    for space in ("tank", "bushing", "tap changer"):
        now = entered(yard, boss, now, test=lab(space, "12"))
    now = signed(yard, boss, now)
    assert now.stands == "released"
    off(yard, boss, now)
    assert (the(now.unit).stands, the(now.unit).waits) == ("hold", "verdict")


def test_what_cannot_be_taken_off_is_refused(yard: Yard, boss: Person) -> None:
    now = unit_with(yard, boss)
    with pytest.raises(Refused, match="The tank is the unit itself"):
        off(yard, boss, now, "tank")
    with pytest.raises(Refused, match="no oil space “horn”"):
        off(yard, boss, now, "horn")
    with pytest.raises(Refused, match="before the unit was logged"):
        off(yard, boss, now, happened_at=timezone.now() - timedelta(days=400))
    part = off(yard, boss, now)
    with pytest.raises(Refused, match=f"is unit {part.tag[:3]} {part.tag[3:]} now"):
        off(yard, boss, the(now.unit))
    with pytest.raises(Refused, match="proved dead"):
        off(yard, boss, unit_with(yard, boss, dead=False))
    half = unit_with(yard, boss, dead=False)
    prove_dead(order(yard.pk, boss.pk), unit=UUID(half.unit), proved={**DEAD, "earthed": False})
    with pytest.raises(Refused, match="proved dead"):
        off(yard, boss, the(half.unit))
    with pytest.raises(Refused, match="a lot of like units"):
        off(yard, boss, unit_with(yard, boss, {**WITH, "count": 3}))


def test_nothing_more_is_written_of_a_space_that_is_off(yard: Yard, boss: Person) -> None:
    now = entered(yard, boss, unit_with(yard, boss), test=lab("bushing", "12"))
    part = off(yard, boss, now)
    with pytest.raises(Refused, match=f"is unit {part.tag[:3]} {part.tag[3:]} now; write it down there"):
        entered(yard, boss, now, test=lab("bushing", "700"), replaces=UUID(now.results[0].id), why="amended")
    code = filled(yard, boss, now, timezone.now(), "tap changer")
    off(yard, boss, the(now.unit), "tap changer")
    with pytest.raises(Refused, match="“tap changer” was taken off"):
        entered(yard, boss, now, bottle=code, reported_on=timezone.localdate())
    told = ScreenIn(way="colour", space="bushing", set_point="50", colours=("yellow",))
    with pytest.raises(Refused, match="write it down there"):
        record_screen(order(yard.pk, boss.pk), unit=UUID(now.unit), told=told, place="US")
    asked, based_on = order(yard.pk, boss.pk), UUID(the(now.unit).look)
    with pytest.raises(Refused, match="give the other one another name"):
        correct_unit(asked, unit=UUID(now.unit), based_on=based_on, look=look_in(line=WITH), place="US")
    assert entered(yard, boss, part, test=lab("tank", "700")).answer["care"] == "ge500"


def test_oil_that_was_poured_out_of_it_before_is_not_known_in_its_drum(yard: Yard, boss: Person) -> None:
    now = unit_with(yard, boss)
    drum = label_drum(order(yard.pk, boss.pk), kind="drum", capacity_l="200").the("disposal.drum")
    asked = order(yard.pk, boss.pk)
    pour(asked, into=drum, place="US", unit=UUID(now.unit), space="tap changer", litres="10", tool="pump 1")
    off(yard, boss, now, "tap changer")
    for value in ("tank", "bushing"):
        now = entered(yard, boss, now, test=lab(value, "3"))
    assert signed(yard, boss, the(now.unit)).stands == "released"
    row = DrumStanding.objects.get(drum=drum)
    assert '"care":"ge500"' in row.body
    assert '"known":"untested"' in row.body
    assert prove().faults == []


def test_gear_that_was_in_its_oil_stays_in_doubt_when_the_rest_is_released(yard: Yard, boss: Person) -> None:
    now = unit_with(yard, boss)
    thief = add_tool(order(yard.pk, boss.pk), told=ToolIn(kind="thief")).the("hazmat.tool")
    asked = order(yard.pk, boss.pk)
    bottle = label_bottle(asked, unit=UUID(now.unit), space="tap changer").the("hazmat.bottle")
    told: dict[str, Any] = {"what": "filled", "place": "US", "names": {"gave": "Mere Example"}, "gear": [thief]}
    hand_bottle(order(yard.pk, boss.pk), bottle=bottle, **told)
    off(yard, boss, the(now.unit), "tap changer")
    for space in ("tank", "bushing"):
        now = entered(yard, boss, now, test=lab(space, "3"))
    assert signed(yard, boss, the(now.unit)).oil.known == "low"
    (trace,) = traces(tools(yard.pk))
    assert [one.use.space for one in trace.clings] == ["tap changer"]


def test_a_screen_that_waits_goes_with_its_part(yard: Yard, boss: Person) -> None:
    now, other = unit_with(yard, boss), person("reader")
    add_member(order(yard.pk, boss.pk), person=other.pk, roles=("technician",))
    told = ScreenIn(way="colour", space="bushing", set_point="50", colours=("blue_violet",), apart=True)
    asked = order(yard.pk, boss.pk)
    screen = record_screen(asked, unit=UUID(now.unit), told=told, place="US").the("hazmat.screen")
    assert waiting(yard) == [str(screen)]
    off(yard, boss, the(now.unit))
    assert waiting(yard) == []
    with pytest.raises(Refused, match="write it down there"):
        read_screen(order(yard.pk, other.pk), screen=screen, colour="yellow", place="US")


def waiting(yard: Yard) -> list[str]:
    found = lines(yard.pk, yard.code, timezone.localdate())
    return [line.words["screen"] for line in found if line.link == "read_screen"]


# ------------------------------------------------------------------ pages


def test_the_pages_lead_from_the_unit_to_its_part_and_back(cast: Cast) -> None:
    yard, boss = Yard.objects.get(pk=cast.yard_id), cast.people["boss"]
    now, mine = unit_with(yard, boss), cast.client("technician")
    where = at(cast, "add_space", tag=now.tag)
    wrong = mine.post(where, {"act": token(mine.get(where).content.decode()), "name": "", "based_on": now.look})
    assert wrong.status_code == 422
    page = mine.get(where).content.decode()
    told = {"act": token(page), "name": "conservator", "kind": "unknown", "sealed": "no", "based_on": now.look}
    assert mine.post(where, told).status_code == 302
    page = unescape(mine.get(at(cast, "unit", tag=now.tag)).content.decode())
    assert "<b>Conservator</b>" in page
    where = at(cast, "remove_part", tag=now.tag)
    page = mine.get(where, {"space": "bushing"}).content.decode()
    assert '<option value="bushing" selected>' in page
    assert mine.post(where, {"act": token(page), "space": ""}).status_code == 422
    assert mine.post(where, {"act": token(page), "space": "bushing", "tag": "12"}).status_code == 422
    done = mine.post(where, {"act": token(mine.get(where).content.decode()), "space": "bushing"})
    part = Unit.objects.get(parent=now.unit)
    assert done.headers["Location"] == at(cast, "unit", tag=part.tag)
    page = " ".join(unescape(mine.get(at(cast, "unit", tag=part.tag)).content.decode()).split())
    assert f'Taken off <a class="code" href="{at(cast, "unit", tag=now.tag)}"' in page
    page = " ".join(unescape(mine.get(at(cast, "unit", tag=now.tag)).content.decode()).split())
    assert "<b>Bushing</b>: taken off" in page
    assert at(cast, "unit", tag=part.tag) in page
    assert "was taken off and has a tag of its own" in page
