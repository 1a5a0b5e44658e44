"""The demo: every unit is accepted and judged, every word that there is occurs, and its drawings are pictures.

Expected values are the published contract of a line and of an answer: which words each may hold.
"""

import re
from dataclasses import replace
from datetime import date
from typing import get_args
from zoneinfo import ZoneInfo

import pytest

from hazmat import rulebooks
from hazmat.core import facts, unitnow
from hazmat.core.assess import Assessment
from hazmat.core.bulk import CARE
from hazmat.core.codes import is_good
from hazmat.core.lookin import LookIn
from hazmat.demo import sketches, units
from hazmat.demo.scene import YARDS
from hazmat.demo.units import DemoUnit, demo_units
from hazmat.edge.one import judged, read_unit
from hazmat.edge.pictures import read_picture
from tests.conftest import ROOT

TODAY = date(2026, 11, 25)
UNITS = demo_units()
LEAKS = ("sweating", "dripping", "pool")


def places(unit: DemoUnit) -> str:
    return YARDS[unit.yard].state or YARDS[unit.yard].country


def latest(unit: DemoUnit) -> LookIn:
    return unit.results or unit.look


def day(look: LookIn) -> date:
    assert look.happened_at is not None
    return look.happened_at.date()


def answer(unit: DemoUnit, look: LookIn) -> Assessment:
    """As the book judges it: under the law of its day, no date after that day."""
    return judged(look.line, look.tag, places(unit), day(look), day(look))


ANSWERS = [answer(unit, latest(unit)) for unit in UNITS]


def names(unit: DemoUnit) -> str:
    return unit.look.tag


@pytest.mark.parametrize("unit", UNITS, ids=names)
def test_every_unit_is_accepted_on_the_day_on_which_it_was_met(unit: DemoUnit) -> None:
    for look in (unit.look, *([unit.results] if unit.results else [])):
        assert read_unit(look.line, look.tag, day(look)).kind == look.line["kind"]
        assert answer(unit, look).because
        assert day(look) <= TODAY


def test_about_forty_units_in_both_yards_under_tags_of_their_own() -> None:
    assert 40 <= len(UNITS) <= 60
    assert {unit.yard for unit in UNITS} == set(YARDS) == {"nz", "us"}
    tags = [unit.look.tag for unit in UNITS]
    assert all(is_good(tag) and len(tag) == 6 for tag in tags)
    assert len(set(tags)) == len(tags)
    assert [unit.look.happened_at for unit in UNITS] == sorted(unit.look.happened_at for unit in UNITS)


def test_every_line_of_the_register_is_in_the_yard() -> None:
    ids = re.findall(r'"id": "(\w{5})', (ROOT / "fixtures" / "demo" / "register.jsonl").read_text())
    assert len(ids) == 40
    assert set(ids) <= {unit.look.tag[:5] for unit in UNITS}


@pytest.mark.parametrize(
    ("field", "words"),
    [("kind", get_args(facts.Kind)), ("state", get_args(facts.State)), ("mounting", get_args(facts.Mounting))],
)
def test_every_word_of_a_line_occurs(field: str, words: tuple[str, ...]) -> None:
    assert {unit.look.line.get(field) for unit in UNITS} >= set(words)


def test_every_word_of_a_look_occurs() -> None:
    assert {unit.look.arrival for unit in UNITS} == set(get_args(unitnow.Arrival))
    assert {unit.look.leak for unit in UNITS} == set(get_args(unitnow.Leak))
    assert {s for unit in UNITS for s in unit.look.sources.values()} == set(get_args(unitnow.Source))
    assert {picture.shows for unit in UNITS for picture in unit.pictures} == set(get_args(unitnow.Shows))
    assert {p["dead"] for unit in UNITS if (p := unit.look.proved)} == set(get_args(unitnow.Dead))
    assert {unit.look.seen.get("plate") for unit in UNITS} >= {"readable", "partly", "missing"}
    assert {unit.look.claims.get("seller") for unit in UNITS} == {"told", "knows_nothing", None}
    assert any(unit.look.line.get("count", 1) > 1 for unit in UNITS)


def test_every_band_care_and_class_occurs() -> None:
    assert {one.band for one in ANSWERS} == {*CARE, "unknown"}
    assert {one.care for one in ANSWERS} == set(CARE)
    for law in ("us", "nz"):
        met = {one.klass for one in ANSWERS if one.rulebook == law}
        assert met == {*rulebooks.rulebook(law).classes, "undetermined"}


def test_every_basis_that_can_occur_does() -> None:
    """`screened` cannot: no rulebook that is held lets a screen establish anything. One that did would fail this."""
    assert {one.basis for one in ANSWERS} == {"presumed", "plate", "established", "undetermined"}
    rows = [row for law in ("us", "nz") for row in rulebooks.rulebook(law).tables["establishing"].rows]
    by_screen = [row for row in rows if "screen" in dict(row.when).get("route", ("screen",))]
    assert by_screen
    assert {row.then for row in by_screen} == {"does_not"}


def test_there_is_a_unit_without_a_law_and_one_with_problems() -> None:
    assert any(one.rulebook is None for one in ANSWERS)
    assert any(one.problems for one in ANSWERS)


def test_results_come_in_after_the_look() -> None:
    late = [unit for unit in UNITS if unit.results]
    assert len(late) >= 10
    for unit in late:
        assert unit.results is not None
        assert day(unit.results) > day(unit.look)
        assert len(unit.results.line["tests"]) > len(unit.look.line.get("tests", ()))
    assert any(answer(u, u.look).basis != answer(u, latest(u)).basis for u in late)


@pytest.mark.parametrize("unit", UNITS, ids=names)
def test_what_stands_beside_the_line_agrees_with_it(unit: DemoUnit) -> None:
    look = unit.look
    assert (look.line.get("state") == "leaking") == (look.leak in LEAKS)
    assert set(look.sources) == {key for key in look.line if key not in units.UNSOURCED}
    assert unit.by in {person.handle for person in YARDS[unit.yard].people if "visitor" not in person.roles}
    assert unit.pictures
    assert unit.pictures[0].shows == "whole"
    assert ("leak" in {picture.shows for picture in unit.pictures}) <= (look.leak in LEAKS)
    if (arrived := look.line.get("arrived")) is not None:
        assert date.fromisoformat(arrived) <= day(look)
    for number in re.findall(r"\+?[\d()][\d ()-]{6,}", f"{look.aside}"):
        assert re.fullmatch(r"555-01\d\d|\+64 0 000 0\d{3}|\+000 000 0\d{3}", number.strip()), number


def test_the_five_roles_stand_in_each_yard() -> None:
    for yard in YARDS.values():
        roles = {role for person in yard.people for role in person.roles}
        assert roles == {"technician", "yard_hand", "safety_officer", "manager", "visitor"}
        assert yard.manager.roles == ("manager",)
        assert is_good(yard.code)
        assert ZoneInfo(yard.zone)
        assert yard.keeps
        assert yard.who("visitor").called
    handles = [person.handle for yard in YARDS.values() for person in yard.people]
    assert len(set(handles)) == len(handles)


# ---------------------------------------------------------------------- drawings


@pytest.mark.parametrize("unit", [UNITS[0], UNITS[-1]], ids=names)
def test_drawings_carry_time_and_place_and_lose_them(unit: DemoUnit) -> None:
    picture = unit.pictures[0]
    data = unit.jpeg(picture)
    assert b"Exif" in data
    assert data == unit.jpeg(picture)
    got = read_picture(data)
    assert got.taken_at == picture.taken_at
    assert (got.latitude, got.longitude) == (picture.latitude, picture.longitude)
    assert (got.width, got.height) == (sketches.WIDTH, sketches.HEIGHT)
    assert b"Exif" not in got.full + got.thumb


@pytest.mark.parametrize("kind", get_args(facts.Kind))
def test_every_kind_has_a_drawing_of_its_own(kind: str) -> None:
    one = sketches.draw(kind, None, "leaking", (), "whole", "seed", leak="pool")
    assert one != sketches.draw(
        "other" if kind != "other" else "drum", None, "leaking", (), "whole", "seed", leak="pool"
    )
    assert one != sketches.draw(kind, None, "intact", (), "whole", "seed", leak="none")
    assert read_picture(one).taken_at is None


def test_plates_hold_their_words_and_seeds_make_each_picture_another() -> None:
    blank = sketches.draw("drum", None, None, (), "plate", "a")
    told = sketches.draw("drum", None, None, ("400 KVA", "ASKAREL 165 GAL"), "plate", "a")
    plain = sketches.draw("capacitor", None, None, (), "whole", "a")
    assert plain != sketches.draw("capacitor", None, None, (), "whole", "a", plated=False)
    assert len({blank, told, sketches.draw("drum", None, None, (), "plate", "b")}) == 3


def test_a_key_that_nobody_knows_is_refused() -> None:
    with pytest.raises(ValueError, match="nobody knows colour"):
        units._unit({"of": "2NWH4T", "colour": "grey"}, {})
    with pytest.raises(ValueError, match="voltage_v is said"):
        units._sources({"kind": "drum"}, {"of": "2NWH4T", "said": ["voltage_v"]})


def test_a_tag_belongs_to_its_line() -> None:
    """The check above would see a wrong word: one letter changed is no tag."""
    tag = UNITS[0].look.tag
    other = replace(UNITS[0].look, tag=("3" if tag[0] != "3" else "4") + tag[1:])
    assert not is_good(other.tag)
