"""Condition tests of a unit: what is refused, what its pages say, and that nothing is lowered by them.

Chlorine of PCB: 10 mg/kg with 68 % chlorine bring 6.8 mg/kg; a tube set to 50 mg/kg as 42 % trips at 21 mg/kg of it
(SW-846 9079). Used oil: 40 CFR 279.11, flash 100 °F (37.8 °C), at most 4000 mg/kg halogens; 279.63(c), from 1000 on.
"""

import re
from datetime import date
from html import unescape
from typing import Any
from uuid import UUID

import pytest

from hazmat.actions.bottles import hand_bottle, label_bottle
from hazmat.actions.conditions import record_condition
from hazmat.actions.papers import issue_paper
from hazmat.actions.results import enter_result
from hazmat.actions.screens import record_screen
from hazmat.actions.units import log_unit, prove_dead
from hazmat.actions.verdicts import reading, sign_verdict
from hazmat.book.act import Refused
from hazmat.book.canonical import parsed
from hazmat.book.prove import prove
from hazmat.core.condition import ConditionIn
from hazmat.core.screened import ScreenIn
from hazmat.core.unitnow import UnitNow
from hazmat.edge.conditions import Told, cautions_of, line_of, told
from hazmat.edge.story import sampling_refused
from hazmat.models import Paper, Person, Photograph, Unit, Yard
from hazmat.queries.papers import next_lines, outdated
from hazmat.queries.units import UNITS
from hazmat.queries.yards import particulars, yard_facts
from tests.browsing import at, jpeg, token
from tests.cast import LINE, Cast, look_in, order, reported
from tests.hazmat.signing import DEAD, the

pytestmark = pytest.mark.django_db

SLIP = {"flash": "61", "cup": "closed"}


def a_unit(yard: Yard, boss: Person, line: dict[str, Any] = LINE, **more: Any) -> UUID:
    return log_unit(order(yard.pk, boss.pk), look=look_in(line=line, **more), place="NZ").the("hazmat.unit")


def slip_of(yard: Yard, boss: Person, unit: UUID, asked: dict[str, Any], **more: Any) -> UUID:
    slip = {name: more.pop(name) for name in ("space", "bottle", "methods") if name in more}
    given = ConditionIn(**{"asked": asked, "space": "tank", "methods": {}, **slip})
    return record_condition(order(yard.pk, boss.pk), unit=unit, told=given, **more).the("hazmat.condition")


def of_test(yard: Yard, boss: Person, asked: dict[str, Any], *results: Any, line: dict[str, Any] = LINE) -> Told:
    """What the page says of such a slip, of a unit with these laboratory results."""
    unit = a_unit(yard, boss, line)
    for one in results:
        enter_result(order(yard.pk, boss.pk), unit=unit, told=one, place="NZ")
    slip_of(yard, boss, unit, asked)
    return told(the(unit), the(unit).conditions[0])


def keys(found: Any) -> list[str]:
    return [one.key for one in found]


# --------------------------------------------------------------------------------------------- the record


def test_it_judges_nothing_and_proves(yard: Yard, boss: Person) -> None:
    unit = a_unit(yard, boss)
    before = the(unit)
    slip_of(yard, boss, unit, {"flash": "20", "cup": "closed", "halogens": "9000", "density": "1.5"})
    after = the(unit)
    assert (after.answer, after.oil, after.stands) == (before.answer, before.oil, before.stands)
    assert len(after.conditions) == 1
    assert prove().faults == []


def test_a_caution_names_its_figure_and_its_oil(yard: Yard, boss: Person) -> None:
    unit = a_unit(yard, boss)
    enter_result(order(yard.pk, boss.pk), unit=unit, told=reported("10"), place="NZ")
    slip_of(yard, boss, unit, {"flash": ">60", "cup": "open", "halogens": "1200", "density": "1.2", "density_c": "20"})
    starts = [one.partition(": ")[0] for one in cautions_of(the(unit))]
    assert starts == [
        "By a condition test of the tank, total halogens 1200 mg/kg",
        "By a condition test of the tank, flash point more than 60 °C (open cup)",
        "By a condition test of the tank, density 1.2 kg/L (at 20 °C)",
        "By a condition test of the tank, total halogens 1200 mg/kg",
    ]


def test_a_corrected_test_stays_and_its_caution_goes(yard: Yard, boss: Person) -> None:
    unit = a_unit(yard, boss)
    first = slip_of(yard, boss, unit, SLIP)
    assert any("something light is in the oil" in one for one in cautions_of(the(unit)))
    second = slip_of(yard, boss, unit, {"flash": "161", "cup": "closed"}, replaces=first, why="a 1 was missed")
    old, new = the(unit).conditions
    assert (old.amended_by, new.amends, new.why) == (str(second), str(first), "a 1 was missed")
    assert cautions_of(the(unit)) == ()
    with pytest.raises(Refused, match="amended already"):
        slip_of(yard, boss, unit, SLIP, replaces=first, why="again")
    with pytest.raises(Refused, match="Say why the test is amended"):
        slip_of(yard, boss, unit, SLIP, replaces=second, why=" ")
    assert prove().faults == []


def test_a_later_and_better_test_takes_no_caution_back(yard: Yard, boss: Person) -> None:
    unit = a_unit(yard, boss)
    slip_of(yard, boss, unit, SLIP)
    before = cautions_of(the(unit))
    slip_of(yard, boss, unit, {"flash": "161", "cup": "closed"})
    assert cautions_of(the(unit)) == before != ()


@pytest.mark.parametrize(
    ("asked", "more", "says"),
    [
        ({}, {}, "write down at least one figure"), ({"flash": "61"}, {}, "cup: "),
        ({"acidity": "a bit"}, {}, "acidity: "),
        (SLIP, {"space": "bushing X1"}, "no oil space “bushing X1”"),
        (SLIP, {"bottle": "AAAAAA"}, "This bottle is not of this unit"),
        (SLIP, {"methods": {"water": "coulometer"}}, "A method is named and no figure: water"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_again_is_never_kept(
    yard: Yard, boss: Person, asked: dict[str, Any], more: dict[str, Any], says: str
) -> None:
    unit = a_unit(yard, boss)
    with pytest.raises(Refused, match=says):
        slip_of(yard, boss, unit, asked, **more)
    assert the(unit).conditions == ()


def test_a_bottle_of_another_oil_space_is_refused(yard: Yard, boss: Person) -> None:
    line = {**LINE, "spaces": [{"name": "conservator", "kind": "transformer"}]}
    unit = a_unit(yard, boss, line, proved=DEAD)
    bottle = label_bottle(order(yard.pk, boss.pk), unit=unit, space="conservator").the("hazmat.bottle")
    hand_bottle(order(yard.pk, boss.pk), bottle=bottle, what="filled", place="NZ", names={"gave": "M"}, point="bottom")
    code = the(unit).bottles[0].code
    with pytest.raises(Refused, match="This bottle is of “conservator” and not of “tank”"):
        slip_of(yard, boss, unit, SLIP, bottle=code)
    tube = ScreenIn(way="colour", space="tank", bottle=code, set_point="50", colours=("yellow",))
    with pytest.raises(Refused, match="pick that space"):
        record_screen(order(yard.pk, boss.pk), unit=unit, told=tube, place="NZ")
    slip_of(yard, boss, unit, SLIP, bottle=code, space="conservator")
    assert the(unit).conditions[0].told["bottle"] == code


# ------------------------------------------------------------------------------------- what the sums make of it


def test_pcb_first_until_a_laboratory_told_of_this_very_oil(yard: Yard, boss: Person) -> None:
    line = {**LINE, "spaces": [{"name": "conservator", "kind": "transformer"}]}
    found = of_test(yard, boss, {"acidity": "0.1"}, line=line)
    assert found.untested
    assert keys(found.next)[0] == "next_pcb"
    other = reported("1.2")
    elsewhere = reported(test={**other.test, "space": "conservator"})
    assert of_test(yard, boss, {"acidity": "0.1"}, elsewhere, line=line).untested
    here = of_test(yard, boss, {"acidity": "0.1"}, other, line=line)
    assert not here.untested
    assert "next_pcb" not in keys(here.next)


@pytest.mark.parametrize(
    ("fluid", "kind", "held"),
    [
        ("mineral", None, True), (None, None, False), ("ester", None, False), ("askarel", None, False),
        ("mineral", "bushing", False),
    ],
)  # fmt: skip
def test_limits_are_for_the_liquid_that_is_on_record(
    yard: Yard, boss: Person, fluid: str | None, kind: str | None, held: bool
) -> None:
    """Of a space of another kind than its unit nothing is said of its liquid."""
    line = {**LINE, "fluid": fluid, "spaces": [{"name": "X1", "kind": kind or "transformer"}]}
    unit = a_unit(yard, boss, {key: value for key, value in line.items() if value})
    slip_of(yard, boss, unit, {"acidity": "0.41", "cold": "no"}, space="X1")
    found = dict(told(the(unit), the(unit).conditions[0]).rows)
    assert (found.get("Acidity, US service manual") == "not met") == held


def test_cold_is_what_nobody_denied(yard: Yard, boss: Person) -> None:
    line = {**LINE, "fluid": "mineral"}
    for cold, banded in (({}, False), ({"cold": "yes"}, False), ({"cold": "no"}, True)):
        found = of_test(yard, boss, {"acidity": "0.41", **cold}, line=line)
        assert ("Class after the IEEE guide" in dict(found.rows)) == banded
        assert ("cold_unknown" in keys(found.said)) == (cold == {})


@pytest.mark.parametrize(
    ("halogens", "value", "disagrees"),
    [
        ("27.7", "10", False), ("27.8", "10", True), (">27.8", "10", True), ("<5000", "10", False), ("60", "60", False),
        ("61.8", "60", True),
    ],
)  # fmt: skip
def test_halogens_that_no_pcb_explains_disagree(
    yard: Yard, boss: Person, halogens: str, value: str, disagrees: bool
) -> None:
    """6.8 mg/kg come with 10 of PCB, 40.8 with 60, at 68 % of chlorine; 21 more would trip a tube by themselves."""
    found = of_test(yard, boss, {"halogens": halogens}, reported(value))
    assert ("halogens_disagree" in keys(found.cautions)) == disagrees


def test_a_disagreement_tells_all_three_figures_and_needs_a_plain_result(yard: Yard, boss: Person) -> None:
    (one,) = of_test(yard, boss, {"halogens": "400"}, reported("10")).cautions
    assert "Halogens of 400 mg/kg and PCB of 10 mg/kg disagree: so much PCB brings 6.8 mg/kg" in one.says
    test = {key: value for key, value in reported("1").test.items() if key != "value"}
    (nothing,) = of_test(yard, boss, {"halogens": "400"}, reported(test={**test, "reporting_limit": "2"})).cautions
    assert "PCB of less than 2 mg/kg" in nothing.says
    plain = reported("10").test
    for odd in ({"unit": "mg/L", "density_kg_l": "0.88"}, {"sign": ">"}, {"congener_sum": "six"}):
        assert of_test(yard, boss, {"halogens": "400"}, reported(test={**plain, **odd})).cautions == []
    assert of_test(yard, boss, {"halogens": "400"}).cautions == []


def fates(found: Told) -> dict[str, str]:
    return {fate.wanted: dict(fate.rows)["What comes of it"] for fate in found.fates}


def test_the_fate_of_oil_is_told_no_pcb_that_nobody_signed(yard: Yard, boss: Person) -> None:
    """A low result by itself releases nothing, so the sum on fate does not hear of it."""
    found = of_test(yard, boss, {"halogens": "300", "flash": "140", "cup": "closed"}, reported("1.2"))
    assert set(fates(found).values()) == {"PCB first: laboratory before anything is bulked"}


@pytest.mark.parametrize(
    ("asked", "burnt"),
    [
        ({"halogens": "300", **SLIP}, "not decided: tests are missing"),
        ({"halogens": "1000", **SLIP}, "presumed hazardous waste"),
        ({"halogens": ">1000", **SLIP}, "presumed hazardous waste"),
        ({"halogens": "<1000", **SLIP}, "not decided: tests are missing"),
        ({"halogens": "300", "flash": "37.7", "cup": "closed"}, "outside the specification"),
        ({"halogens": "300", "flash": "37.8", "cup": "closed"}, "not decided: tests are missing"),
        ({"flash": ">37.8", "cup": "closed"}, "not decided: tests are missing"),
    ],
)  # fmt: skip
def test_used_oil_after_a_release(yard: Yard, boss: Person, asked: dict[str, Any], burnt: str) -> None:
    unit = a_unit(yard, boss)
    result = enter_result(order(yard.pk, boss.pk), unit=unit, told=reported("1.2"), place="NZ").the("hazmat.result")
    signed: dict[str, Any] = {"decision": "release", "reason": "read", "evidence": [str(result)]}
    sign_verdict(order(yard.pk, boss.pk), unit=unit, read=reading(the(unit)), **signed)
    assert the(unit).stands == "released"
    slip_of(yard, boss, unit, asked)
    assert fates(told(the(unit), the(unit).conditions[0]))["To be burned as fuel"].startswith(burnt)
    assert the(unit).stands == "released"


def test_a_slip_on_one_line() -> None:
    slip = {"water": "<5", "water_c": "18", "dissipation": "0.005", "dissipation_c": "25", **SLIP}
    assert line_of(slip) == (
        "water less than 5 mg/kg (at 18 °C), dissipation factor (tan delta) 0.005 (0.5 %) (at 25 °C), "
        "flash point 61 °C (closed cup)"
    )


# ------------------------------------------------------------------------------------------------------- pages


def now_of(cast: Cast) -> UnitNow:
    found = UNITS.kept(Unit.objects.get(tag=cast.words["tag"]).pk)
    assert found
    return found


def sent(cast: Cast, name: str = "record_condition", follow: bool = True, **given: Any) -> str:
    client = cast.client("boss")
    path = at(cast, name, **{key: cast.words[key] for key in (("tag", "condition") if "correct" in name else ("tag",))})
    act = token(client.get(path).content.decode())
    return plain(client.post(path, {"act": act, "space": "tank", **given}, follow=follow).content)


def plain(content: bytes) -> str:
    return re.sub(r"\s+", " ", unescape(content.decode()))


def test_it_is_written_down_with_its_picture_and_its_methods(cast: Cast) -> None:
    pictures = Photograph.objects.count()
    shown = sent(
        cast, water="< 5", water_c="-2", water_method="IEC 60814", acidity="0,03", **SLIP, cold="no",
        tester="Example Laboratory", paper="J-7", pictures_other=jpeg("yellow"),
    )  # fmt: skip
    assert "A condition test was written down: water less than 5 mg/kg (at -2 °C)" in shown
    assert "It says nothing about PCB." in shown
    assert re.search(r"Water</th><td[^>]*><b>less than 5 mg/kg</b>, at -2 °C</td><td[^>]*>IEC 60814", shown)
    assert re.search(r"Acidity</th><td[^>]*><b>0.03 mg KOH/g</b></td><td[^>]*>not said", shown)
    assert "Example Laboratory, paper J-7" in shown
    assert Photograph.objects.count() == pictures + 1
    assert now_of(cast).conditions[-1].asked == {
        "water": "<5", "water_c": "-2", "acidity": "0.03", "flash": "61", "cup": "closed", "cold": "no",
    }  # fmt: skip


def test_a_warning_stands_on_the_page_of_the_test_and_of_the_unit(cast: Cast) -> None:
    shown = sent(cast, **SLIP)
    assert re.search(r'<p class="caution">The flash point is so low that something light is in the oil', shown)
    unit = plain(cast.client("visitor").get(at(cast, "unit", tag=cast.words["tag"])).content)
    assert (
        '<p class="caution">By a condition test of the tank, flash point 61 °C (closed cup): the flash point is so low'
        in unit
    )
    assert "Flash point 61 °C (closed cup); tank" in unit


def test_before_any_laboratory_pcb_comes_first_and_strongest(cast: Cast) -> None:
    yard, boss = Yard.objects.get(code=cast.yard).pk, cast.people["boss"].pk
    unit = log_unit(order(yard, boss), look=look_in(), place="NZ").the("hazmat.unit")
    slip = ConditionIn(asked=SLIP, space="tank", methods={})
    key = record_condition(order(yard, boss), unit=unit, told=slip).the("hazmat.condition")
    shown = plain(cast.client("visitor").get(at(cast, "condition", tag=the(unit).tag, condition=key)).content)
    first = re.search(r'<p class="caution"><b>([^<]+)</b>', shown)
    assert first
    assert first[1].startswith("No laboratory has told the PCB of this oil yet: that test comes first.")
    assert shown.index(first[0]) < shown.index("so low that something light")
    assert first[1] in plain(cast.client("boss").get(at(cast, "record_condition", tag=the(unit).tag)).content)
    tested_one = plain(cast.client("visitor").get(at(cast, "condition", **pick(cast, "tag", "condition"))).content)
    assert "None of these figures says anything about PCB." in tested_one
    assert "No laboratory has told" not in tested_one


def pick(cast: Cast, *names: str) -> dict[str, Any]:
    return {name: cast.words[name] for name in names}


def test_without_proof_of_death_the_page_says_that_nothing_is_drawn(cast: Cast) -> None:
    why = sampling_refused(now_of(cast), "NZ").rstrip(".")
    page = at(cast, "record_condition", tag=cast.words["tag"])
    assert why
    assert why in plain(cast.client("boss").get(page).content)
    prove_dead(order(UUID(now_of(cast).yard), cast.people["boss"].pk), unit=UUID(now_of(cast).unit), proved=DEAD)
    assert why not in plain(cast.client("boss").get(page).content)


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({}, "Nothing was tested; write down at least one figure."),
        ({"flash": "61"}, "Say in which cup the flash point was read, closed or open"),
        ({"dissipation": "0.01"}, "Say at which temperature the dissipation factor was measured"),
        ({"dissipation": "1.5", "dissipation_c": "90"}, "not in per cent (0.5 % is 0.005)"),
        ({"water": "1,234"}, "This can be read in two ways"), ({"halogens": "1.000"}, "This can be read in two ways"),
        ({"water": "0.002"}, "(0.002 % is 20 mg/kg)"), ({"density": "880"}, "(880 kg/m³ is 0.88 kg/L)"),
        ({"water": "-5"}, "-5 mg/kg of water cannot be"), ({"acidity": "≤0.1"}, "Write one sign before the number"),
        ({"acidity": "<="}, "Write one sign before the number"),
        ({"acidity": "<"}, "A sign stands here without its number"),
        ({"acidity": "low"}, "This is no plain number"), ({"water_c": "20", "acidity": "0.1"}, "write the figure too"),
        ({"acidity": "0.1", "water_method": "x"}, "A method is named and no figure; write the water, or no method."),
        ({"acidity": "0.1", "when": "2099-01-01T10:00"}, "This lies in the future"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_asked_about_and_nothing_typed_is_lost(cast: Cast, given: dict[str, str], says: str) -> None:
    entries = cast.entries()
    shown = sent(cast, note="typed before", **given)
    assert says in shown, re.findall(r"invalid-feedback[^<]*<[^<]*<[^<]*", shown)
    assert "typed before" in shown
    assert all(f'value="{value}"' in shown for key, value in given.items() if key not in ("when",))
    assert cast.entries() == entries


@pytest.mark.parametrize("given", [{"water": "1234"}, {"water": "1234.0"}, {"density": "0,885"}, {"acidity": "=0.1"}])
def test_what_can_be_read_in_one_way_is_taken(cast: Cast, given: dict[str, str]) -> None:
    assert "A condition test was written down" in sent(cast, **given)


def test_a_test_is_corrected_from_what_stood_there(cast: Cast) -> None:
    first = sent(cast, halogens="<12.3450", **SLIP, halogens_method="by hand")
    assert "less than 12.345 mg/kg" in first
    test = now_of(cast).conditions[-1]
    client = cast.client("boss")
    path = at(cast, "correct_condition", tag=cast.words["tag"], condition=test.id)
    page = plain(client.get(path).content)
    assert 'value="<12.3450"' in page
    boxes = dict(re.findall(r'name="([a-z_]+)" value="([^"]*)"', page))
    given = {key: value for key, value in boxes.items() if key not in ("csrfmiddlewaretoken",)}
    given |= {"space": "tank", "cup": "closed", "cold": "yes"}
    assert given["halogens_method"] == "by hand"
    assert "Say why it is corrected" in plain(client.post(path, given).content)
    shown = plain(client.post(path, {**given, "why": "a slip of the pen"}, follow=True).content)
    assert re.search(r"A condition test was corrected: flash point 61 °C \(closed cup\), (total )?halogens", shown)
    assert "a slip of the pen" in shown
    old = plain(client.get(at(cast, "condition", tag=cast.words["tag"], condition=test.id)).content)
    assert "Amended, no longer counts." in old
    assert now_of(cast).conditions[-1].asked["halogens"] == "<12.345"


def test_a_site_sheet_carries_the_warning_and_one_printed_before_no_longer_holds(yard: Yard, boss: Person) -> None:
    unit = a_unit(yard, boss)
    first = issue_paper(order(yard.pk, boss.pk), unit=unit, kind="site_sheet").the("hazmat.paper")
    slip_of(yard, boss, unit, SLIP)
    facts = yard_facts(particulars(yard.pk))
    (anew,) = outdated(the(unit), facts)
    assert anew.id == str(first)
    assert any("print a new one" in line.says for line in next_lines(yard.pk, yard.code, date(2026, 11, 27)))
    later = issue_paper(order(yard.pk, boss.pk), unit=unit, kind="site_sheet").the("hazmat.paper")
    papers = {str(key): str(parsed(Paper.objects.get(pk=key).payload)["cautions"]) for key in (first, later)}
    light = {key: "something light is in the oil" in words for key, words in papers.items()}
    assert light == {str(first): False, str(later): True}
    assert outdated(the(unit), facts) == []
