"""The page of what a unit, a drum, gear or a bottle touched: what it lists, leaves out and says."""

import re
from typing import Any
from uuid import UUID

import pytest
from django.test import Client
from django.urls import reverse

from disposal.actions.loads import put_on_load
from disposal.core.loadin import PutOn
from disposal.models import Drum
from disposal.papers.ways import Dot, drawn, ways_svg
from disposal.queries.touched import touched
from hazmat.actions.results import enter_result
from hazmat.models import Space, Tool, Unit, Yard
from tests.cast import reported
from tests.disposal.pours import Place
from tests.disposal.sending import Sender
from tests.hazmat.gear import Gear

pytestmark = pytest.mark.django_db


def at(place: Place, name: str, **words: Any) -> str:
    return reverse(name, kwargs={"yard": place.yard.code, **words})


def shown(place: Place, name: str, asked: str = "", **words: Any) -> str:
    client = Client()
    client.force_login(place.boss)
    answer = client.get(at(place, name, **words) + asked)
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def tag(unit: UUID) -> str:
    return Unit.objects.get(pk=unit).tag


def code(drum: UUID) -> str:
    return Drum.objects.get(pk=drum).code


def tank(unit: UUID) -> UUID:
    return Space.objects.get(unit=unit, name="tank").holder_id


def words(page: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", page).split()).replace(" ,", ",").replace(" .", ".").replace(" :", ":")


@pytest.fixture
def gear(place: Place) -> Gear:
    return Gear(place.yard.pk, place.boss.pk)


def test_a_drum_tells_where_its_oil_came_from_and_what_it_went_into(place: Place) -> None:
    unit, one, two, three = place.unit("80"), place.drum(), place.drum(), place.drum()
    place.pour(unit, one, "30", minute=10, tool="hose 2")
    place.pour(one, two, "12", minute=20)
    place.pour(two, three, "5", minute=30)
    page = shown(place, "touched_drum", drum=code(two))
    came, went = page.split('id="went"')
    assert "Came from" in came
    assert "2 by oil" in came
    assert f"Drum {spaced(one)}: 12 L into drum {spaced(two)}" in words(came)
    assert "through hose 2" in words(came)
    assert "2 steps away" in came
    assert "Lab says: PCB-contaminated, 50 to below 500 ppm" in came
    assert f"Drum {spaced(three)}: 5 L from drum {spaced(two)}" in words(went)
    assert 'aria-label="Safety band: 50 to below 500 mg/kg, by laboratory"' in went
    assert at(place, "drum", drum=code(three)) in went
    way = words(came).split("The way, step by step")[1]
    assert way.index("30 L from") < way.index("12 L from")


def spaced(drum: UUID) -> str:
    found = code(drum)
    return f"{found[:3]} {found[3:]}"


def test_what_touched_nothing_says_so(place: Place) -> None:
    unit, drum = place.unit("80"), place.drum()
    for page in (shown(place, "touched_unit", tag=tag(unit)), shown(place, "touched_drum", drum=code(drum))):
        assert "No other oil is on record that came into it, as of" in page
        assert "Nothing is on record that its oil went into, as of" in page
        assert "<svg" not in page.split("<main")[1]


def test_traces_on_gear_stand_apart_and_name_the_results_in_doubt(place: Place, gear: Gear) -> None:
    bad, other = gear.unit(), gear.unit()
    thief, cell = gear.tool(words="brass"), gear.tool("cell")
    gear.filled(bad, 10, thief)
    second = gear.filled(other, 20, thief)
    gear.shot(bad, 30, cell)
    gear.shot(other, 40, cell)
    page = shown(place, "touched_unit", tag=tag(bad))
    assert "1 by oil, 4 more by traces on gear" in page
    assert "Only by traces on gear" in page
    told = words(page.split('id="doubt"')[1])
    assert f"Bottle {second[:3]} {second[3:]} of unit {tag(other)[:3]} {tag(other)[3:]}, tank" in told
    assert "The breakdown test of unit" in told
    assert told.count("with no cleaning between") == 2
    own = touched([tank(bad)])
    assert [one.use.tag for one in own.doubts] == [tag(other)] * 2
    assert touched([tank(other)]).doubts == ()
    gear.cleaned(thief, 15)
    gear.cleaned(cell, 35)
    after = touched([tank(bad)])
    assert after.doubts == ()
    assert after.went.gear_many == 2
    assert "Results in doubt</dt><dd>none" in shown(place, "touched_unit", tag=tag(bad))


def test_gear_and_bottles_have_a_page_too(place: Place, gear: Gear) -> None:
    bad, other, thief = gear.unit(), gear.unit(), gear.tool()
    gear.filled(bad, 10, thief)
    second = gear.filled(other, 20, thief)
    tool = Tool.objects.get(pk=thief).code
    page = shown(place, "touched_tool", tool=tool)
    assert at(place, "unit", tag=tag(bad)) in page
    assert at(place, "bottle", bottle=second) in page
    page = shown(place, "touched_bottle", bottle=second)
    came = page.split('id="went"')[0]
    assert at(place, "unit", tag=tag(bad)) in came
    told = f"bottle {second[:3]} {second[3:]} of unit {tag(other)[:3]} {tag(other)[3:]} was filled out of it"
    assert told in words(came)


def test_gear_that_had_no_other_oil_on_it_is_no_source(place: Place, gear: Gear) -> None:
    first, second, thief = gear.unit(), gear.unit(), gear.tool()
    gear.filled(first, 10, thief)
    gear.filled(second, 20, thief)
    assert touched([tank(first)]).came.gear_many == 0
    came = touched([tank(second)]).came
    assert [one.thing.what for one in came.gear] == ["gear", "unit"]
    gear.cleaned(thief, 15)
    assert touched([tank(second)]).came.gear_many == 0


def test_one_oil_space_can_be_asked_alone(place: Place, gear: Gear) -> None:
    unit = gear.unit(("tap changer",))
    bottle = gear.filled(unit, 10, space="tap changer")
    page = shown(place, "touched_unit", tag=tag(unit))
    assert "All its oil spaces together" in page
    assert at(place, "bottle", bottle=bottle) in page
    assert at(place, "bottle", bottle=bottle) not in shown(place, "touched_unit", "?space=tank", tag=tag(unit))
    assert at(place, "bottle", bottle=bottle) in shown(place, "touched_unit", "?space=tap+changer", tag=tag(unit))
    client = Client()
    client.force_login(place.boss)
    assert client.get(at(place, "touched_unit", tag=tag(unit)) + "?space=moon").status_code == 404


def test_an_amended_result_stands_first(place: Place, gear: Gear) -> None:
    unit = gear.unit()
    first = enter_result(gear.order(10), unit=unit, told=reported("38"), place="NZ").the("hazmat.result")
    assert "A result was amended" not in shown(place, "touched_unit", tag=tag(unit))
    more = {"replaces": first, "why": "the chart of another bottle"}
    enter_result(gear.order(20), unit=unit, told=reported("83"), place="NZ", **more)
    page = words(shown(place, "touched_unit", tag=tag(unit)))
    assert re.search(r"A result was amended\. Before: [^.]*38 mg/kg[^.]*\. Since [^.]*83 mg/kg", page), page
    assert at(place, "touched_unit", tag=tag(unit)) in shown(place, "unit", tag=tag(unit)).split("Everything that")[0]


def test_links_lead_to_it(place: Place, gear: Gear) -> None:
    unit, drum, thief = gear.unit(), place.drum(), gear.tool()
    bottle, tool = gear.filled(unit, 10, thief), Tool.objects.get(pk=thief).code
    for name, key, value in (
        ("unit", "tag", tag(unit)), ("drum", "drum", code(drum)), ("tool", "tool", tool), ("bottle", "bottle", bottle),
    ):  # fmt: skip
        assert at(place, f"touched_{name}", **{key: value}) in shown(place, name, **{key: value})


def test_what_has_left_stands_with_its_load(sender: Sender, boss: Any) -> None:
    place = Place(Yard.objects.get(pk=sender.yard), boss)
    unit, part = place.unit("80", proved=None), place.drum()
    place.pour(unit, part, "30")
    load = sender.load()
    put_on_load(sender.order(), load=load, items=[PutOn(thing="drum", of=part, kg="26")])
    before = touched([tank(unit)])
    assert (before.drums, before.left) == (1, ())
    sender.signed(load, "yard", "carrier")
    found = touched([tank(unit)])
    assert found.drums == 0
    (left,) = found.left
    assert (left.thing.code, left.facility, left.certificate) == (code(part), "Furnace Point", "")
    page = shown(place, "touched_unit", tag=tag(unit))
    assert "to Furnace Point; no certificate proves its end" in words(page)
    assert at(place, "load", load=left.load) in page


def test_each_facility_gets_a_draft_of_its_own(sender: Sender, boss: Any) -> None:
    place = Place(Yard.objects.get(pk=sender.yard), boss)
    unit, one, two, here = place.unit(), *(place.drum() for _ in range(3))
    first = enter_result(place.order(5), unit=unit, told=reported("38"), place="NZ").the("hazmat.result")
    for drum in (one, two, here):
        place.pour(unit, drum, "30")
    assert "No facility has anything" in shown(place, "reached_letters", tag=tag(unit))
    other = sender.firm("Kiln Bay", "take_in")
    for drum, more in ((one, {}), (two, {"facility": other})):
        load = sender.load(**more)
        put_on_load(sender.order(), load=load, items=[PutOn(thing="drum", of=drum, kg="26")])
        sender.signed(load, "yard", "carrier")
    more = {"replaces": first, "why": "another chart"}
    enter_result(sender.order(), unit=unit, told=reported("83"), place="NZ", **more)
    page = shown(place, "reached_letters", tag=tag(unit))
    drafts = re.findall(r"<article.*?</article>", page)
    assert [("Furnace Point" in draft, "Kiln Bay" in draft) for draft in drafts] == [(True, False), (False, True)]
    for draft, drum in zip(drafts, (one, two), strict=True):
        assert spaced(drum) in draft
        assert spaced(here) not in draft
        assert "38 mg/kg" in draft
        assert "83 mg/kg" in draft
        assert "Please keep it apart from other oil" in draft
    assert "This is a draft, and nothing is sent" in page
    assert at(place, "reached_letters", tag=tag(unit)) in shown(place, "touched_unit", tag=tag(unit))


def test_sixty_ancestors_are_counted_and_fifty_shown(place: Place) -> None:
    drum = place.drum("5000")
    for minute in range(60):
        place.pour(place.unit("80"), drum, "1", minute=10 + minute)
    page = shown(place, "touched_drum", drum=code(drum))
    assert "60 by oil" in page
    assert "The nearest 50 of 60 stand here." in page
    assert page.count('<th scope="row">') == 50
    found = touched([Drum.objects.get(pk=drum).holder_id])
    assert (found.came.oil_many, len(found.came.oil)) == (60, 50)


# ------------------------------------------------------------------ the drawing

START = Dot(key="", what="drum", code="AAA AAA", hops=0, to="")


def dot(n: int, hops: int = 1, to: str = "", **more: Any) -> Dot:
    return Dot(key=str(n), what="unit", code=f"U{n}", hops=hops, to=to, **more)


def test_the_drawing_holds_the_nearest_and_joins_each_to_where_its_oil_came_from() -> None:
    dots = [dot(0), dot(1, 2, "0", broken=True), dot(2, 7, "1")]
    assert [one.key for one in drawn(dots)] == ["0", "1"]
    assert len(drawn([dot(n) for n in range(60)])) == 50
    svg = ways_svg(START, dots, title="What its oil went into", backwards=False)
    assert svg.count("<path") == 3 + 2
    assert svg.count("stroke-dasharray") == 1
    assert "<title>What its oil went into</title><desc>" in svg
    assert ways_svg(START, [], title="x", backwards=False) == ""


@pytest.mark.parametrize("backwards", [False, True])
def test_oil_flows_from_left_to_right(backwards: bool) -> None:
    svg = ways_svg(START, [dot(0), dot(1, 2, "0")], title="x", backwards=backwards)
    across = {said: int(x) for x, said in re.findall(r'<text x="(\d+)"[^>]*>([^<]*)</text>', svg)}
    order = sorted(("AAA AAA", "U0", "U1"), key=lambda one: across[one])
    assert order == (["U1", "U0", "AAA AAA"] if backwards else ["AAA AAA", "U0", "U1"])


def test_fifty_results_in_doubt_are_shown_and_all_are_counted(place: Place, gear: Gear) -> None:
    bad, other, thief = gear.unit(), gear.unit(), gear.tool()
    gear.filled(bad, 2, thief)
    for minute in range(51):
        gear.filled(other, 10 + minute, thief)
    page = shown(place, "touched_unit", tag=tag(bad))
    assert "The first 50 of 51 stand here." in page
    assert page.split('id="doubt"')[1].count("with no cleaning between") == 50
