"""What is in it: from a plate, by screens and shots, to a result, by the forms of the pages alone.

Class lines and presumption: 40 CFR 761.2 and 761.3. A field screen establishes nothing: 40 CFR 761.3. Breakdown voltage
says nothing about PCB: common practice, no source.
"""

import json
import re
from typing import Any

import pytest

from hazmat.actions.people import add_member
from hazmat.book.prove import prove
from hazmat.models import Person
from tests.cast import order, person
from tests.journeys.walking import Walk

pytestmark = [pytest.mark.both, pytest.mark.django_db(transaction=True)]

NEVER = re.compile(r"PCB[- ]free|\bclean\b|free of PCB", re.IGNORECASE)
"""Words that would promise what no test shows."""
DEAD = {
    "dead": "yes", "proved_by": "Mere Example", "how": "detector, then earths", "detector_before": "yes",
    "detector_after": "yes", "back_feed": "yes", "earthed": "yes",
}  # fmt: skip
TUBE = {"way": "colour", "set_point": "50", "wet": "no", "expired": "no", "control_ok": "yes", "lot": "L 12"}


def looked(walk: Walk, **more: Any) -> str:
    told = {"kind": "transformer", "arrival": "gate", "mounting": "ground", "leak": "none", **more}
    return walk.send("look/", **told).rstrip("/").rsplit("/", 1)[1]


def colleague(walk: Walk) -> Person:
    """Somebody else in this yard, with a browser of their own."""
    found = person("caro")
    add_member(order(walk.yard.pk, walk.boss.pk), person=found.pk, roles=("safety_officer",))
    return found


def reasons(page: str) -> str:
    return page[page.index("What we think, and why") : page.index("Rule book us, edition")]


# ------------------------------------------------------------------ a plate


def test_mineral_oil_of_the_years_of_pcb_is_not_below_anything(walk: Walk) -> None:
    made = {"fluid": "mineral", "plate": "readable", "plate_words": "MINERAL OIL\n150 KVA", "built_how": "in"}
    tag = looked(walk, **made, built_1="1972", src_built="seen")
    page = walk.read(f"units/{tag}/")
    assert "HOLD: not proven" in page
    assert "Treat as PCB-contaminated, 50 to below 500 ppm, not proven" in page
    why = reasons(page)
    assert "it holds mineral oil and was built before 2 Jul 1979" in why
    assert "hoses, filters and refills carried PCB from one unit to the next" in why
    assert "No laboratory result of this very unit is in the book" in why
    assert "nobody here saw" not in why
    assert re.search(r"Rule book us, edition \d+ \w+ \d{4}", page)
    assert "What would lift it: a laboratory result in mg/kg" in page
    assert not NEVER.search(page)
    guessed = reasons(walk.read(f"units/{looked(walk, **made, built_1='1972', src_built='guessed')}/"))
    assert "It rests on what nobody here saw: Year built (guessed)" in guessed


def test_a_name_of_a_pcb_fluid_decides_without_a_test(walk: Walk) -> None:
    """Capitals and a blank behind it make no other name; one wrong letter asks."""
    tag = looked(walk, plate="readable", plate_words="aSKaRel \n150 KVA", **DEAD)
    page = walk.read(f"units/{tag}/")
    assert "Plate says so: treat as PCB, 500 ppm or more" in page
    assert "treating it as PCB without a sample is a whole answer" in page
    assert "Draw from the top: in a liquid heavier than water, water floats" in page
    assert "through the fill plug" in page
    printed = walk.send(f"units/{tag}/", at=f"units/{tag}/papers/", kind="unit_tag")
    assert frozen(walk, printed)["mark"] == "Hang the PCB mark of your law beside it."

    mineral = looked(walk, fluid="mineral", built_how="in", built_1="1972")
    assert "mark" not in frozen(walk, walk.send(f"units/{mineral}/", at=f"units/{mineral}/papers/", kind="unit_tag"))

    slip = walk.read(f"units/{looked(walk, plate='readable', plate_words='askarek')}/")
    assert "Plate says “askarek”, one slip away from Askarel, a listed name" in slip
    assert "until somebody has read it again it may be that fluid" in slip
    assert "Handle as 500 mg/kg or more" in slip


def frozen(walk: Walk, where: str) -> dict[str, Any]:
    """The words of a paper, as they were frozen when it was issued."""
    from hazmat.models import Paper  # the only look behind the pages here: a PDF says it in glyphs

    found: dict[str, Any] = json.loads(str(Paper.objects.get(pk=where.rstrip("/").rsplit("/", 1)[1]).payload))
    return found


# ------------------------------------------------------------------ screens


def test_a_screen_below_the_line_does_not_open_the_gate(walk: Walk) -> None:
    tag = looked(walk, fluid="mineral", built_how="in", built_1="1972", **DEAD)
    walk.send(f"units/{tag}/screens/", **TUBE, colour="blue_violet", second="blue_violet")
    page = walk.read(f"units/{tag}/")
    assert "Screen says below 50 mg/kg" in page
    assert "Screen, 2 Mar 2026" in page or "Screen, 3 Mar 2026" in page
    assert "HOLD: not proven" in page
    assert "lot L 12" in page
    verdict = walk.read(f"units/{tag}/verdict/")
    assert "Release it" in verdict
    assert "What a release lacks" in verdict
    assert "A screen, a plate, a float test or somebody's word lifts nothing" in verdict
    refused = walk.send(f"units/{tag}/verdict/", 422, decision="release", reason="the tube was blue")
    assert "This unit cannot be released yet" in refused
    assert "the tube was blue" in refused
    for told in (page, verdict):
        assert not NEVER.search(told)


def test_two_people_read_a_colour_apart_and_the_tool_says_what_it_means(walk: Walk) -> None:
    other = colleague(walk)
    tag = looked(walk, fluid="mineral", built_how="in", built_1="1990", **DEAD)
    form = walk.client.get(f"/{walk.yard.code}/units/{tag}/screens/").content.decode()
    asked = re.search(r"Which colour do you see\?</legend>.*?</fieldset>", form, re.DOTALL)
    assert asked
    for name, patch in (("Yellow", "yellow"), ("Blue to violet", "blue_violet"), ("Neither of them", "unclear")):
        assert f'swatch-{patch}" aria-hidden="true"></i><span>{name}' in asked[0]
    assert not re.search("positive|negative|above|below", asked[0], re.IGNORECASE)
    walk.send(f"units/{tag}/screens/", **TUBE, colour="blue_violet", second="apart")

    walk.client.force_login(other)
    assert f"Screen of {tag[:3]} {tag[3:]} waits for a second person, who reads it apart" in walk.read("")
    screen = re.search(r"/screens/([0-9a-f-]{36})/second/", walk.client.get(f"/{walk.yard.code}/").content.decode())
    assert screen
    where = f"screens/{screen[1]}/second/"
    blind = walk.read(where)
    assert blind.count("Blue to violet") == 1  # the choice, and no word of what was seen
    walk.send(where, colour="yellow", seen_on="tube")
    page = walk.read(f"units/{tag}/")
    assert "Screen says above 50 mg/kg" in page
    assert "The two saw different colours: the above counts until it is tried again or a laboratory has told" in page
    assert prove().faults == []


@pytest.mark.parametrize(
    ("wrong", "why"),
    [({"expired": "yes"}, "past its date"), ({"control_ok": "no"}, "control"), ({"wet": "yes"}, "wet")],
)
def test_a_void_screen_is_kept_and_does_not_count(walk: Walk, wrong: dict[str, str], why: str) -> None:
    tag = looked(walk, fluid="mineral", built_how="in", built_1="1972", **DEAD)
    before = walk.read(f"units/{tag}/")
    walk.send(f"units/{tag}/screens/", **{**TUBE, **wrong}, colour="blue_violet")
    page = walk.read(f"units/{tag}/")
    assert "Screen says below" not in page
    told = page[page.index("Screens in the yard") :]
    assert "does not count" in told
    assert why in told
    assert before[before.index("Treat as") :][:40] == page[page.index("Treat as") :][:40]


# ------------------------------------------------------------------ a whole evening with one unit


def test_a_unit_without_a_plate_from_the_trailer_to_the_laboratory(walk: Walk) -> None:
    """Two names of standards under the paint, a fuse link and a voltage known; shots of two methods, a tube above."""
    tag = looked(
        walk, mounting="pole", plate="partly", plate_words="BS 148:1951\nIEC 76", built_how="unknown",
        note="The plate lies under paint, two names can be felt. A link of 16 A at 11 kV, as the owner says.",
        voltage_v="11000", src_voltage_v="said", src_plate_words="seen",
    )  # fmt: skip
    size = walk.read(f"sums/rating/?of={tag}&kv=11&fuse_a=16&phases=3&fuse_seen=told")
    assert "Likely rating 200 kVA" in size
    assert "kVA; " in size
    year = walk.read(f"sums/build_year/?of={tag}&plate=BS+148:1951%3B+IEC+76")
    assert "1951" in year
    walk.send(
        f"units/{tag}/clues/",
        kv="11",
        fuse_a="16",
        phases="3",
        plate="BS 148:1951; IEC 76",
        src_fuse_a="said",
        src_plate="seen",
    )
    page = walk.read(f"units/{tag}/")
    assert "Likely 200 kVA" in page
    assert "Built in 1951 or later" in page
    assert "Likely rating of a unit without a plate" in page
    assert "Treat it as live until a competent person has isolated it" in first_of(page)
    assert "No sampling steps are given" in page

    walk.send(f"units/{tag}/dead/", **DEAD)
    page = walk.read(f"units/{tag}/")
    assert "sample" in first_of(page)
    assert "Treat it as live until" not in page
    bottle = walk.send(f"units/{tag}/bottles/", space="tank").rstrip("/").rsplit("/", 1)[1]
    assert "A bottle is labelled for it" in first_of(walk.read(f"units/{tag}/"))
    walk.send(f"bottles/{bottle}/hand/", what="filled", gave="Mere Example", point="bottom")
    assert "send it to a laboratory for PCB" in first_of(walk.read(f"units/{tag}/"))

    walk.send(f"units/{tag}/screens/", **TUBE, sample=bottle, colour="yellow")
    assert "Screen says above 50 mg/kg" in walk.read(f"units/{tag}/")
    five = {"method": "d1816_2mm", "gap_mm": "2", "shots": "30 35 40 28 45"}
    six = {"method": "iec_60156", "gap_mm": "2.5", "shots": "42 47 44 50 39 >60"}
    where = walk.send(f"units/{tag}/breakdowns/", sample=bottle, cell="kept", **five)
    assert "says nothing about PCB" in walk.read(where.removeprefix(f"/{walk.yard.code}/"))
    where = walk.send(f"units/{tag}/breakdowns/", sample=bottle, cell="shared", **six)
    told = walk.read(where.removeprefix(f"/{walk.yard.code}/"))
    assert "test for PCB first, or use a cell that is kept for untested oil" in told
    page = walk.read(f"units/{tag}/")
    assert "30 35 40 28 45 kV, ASTM D1816" in page
    assert "42 47 44 50 39 >60 kV, IEC 60156" in page

    walk.send(f"bottles/{bottle}/hand/", what="at_laboratory", took="Test Bench")
    page = walk.read(f"units/{tag}/")
    assert "Its bottle is at the laboratory: enter the report when it comes" in first_of(page)
    assert "HOLD: not proven" in page
    assert not NEVER.search(page)
    assert prove().faults == []


def first_of(page: str) -> str:
    """What the page of a unit says is to be done first."""
    return page[page.index("What to do next") :][:330]
