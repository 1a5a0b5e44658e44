"""Condition tests of a unit: what is refused, what its pages say, and that nothing is lowered by them.

Chlorine of PCB: 10 mg/kg with 68 % chlorine bring 6.8 mg/kg; a colour tube set to 50 mg/kg as 42 % trips at 21 mg/kg of
chlorine (SW-846 9079). Used oil: 40 CFR 279.11 asks for a flash point of 100 °F (37.8 °C) and 4000 mg/kg of halogens at
most; 279.63(c) presumes from 1000 mg/kg on.
"""

from datetime import date
from typing import Any
from uuid import UUID

import pytest

from hazmat.actions.bottles import hand_bottle, label_bottle
from hazmat.actions.conditions import record_condition
from hazmat.actions.papers import issue_paper
from hazmat.actions.results import enter_result
from hazmat.actions.screens import record_screen
from hazmat.actions.units import log_unit
from hazmat.actions.verdicts import reading, sign_verdict
from hazmat.book.act import Refused
from hazmat.book.canonical import parsed
from hazmat.book.prove import prove
from hazmat.core.condition import ConditionIn
from hazmat.core.screened import ScreenIn
from hazmat.edge.conditions import Told, cautions_of, line_of, told
from hazmat.models import Paper, Person, Yard
from hazmat.queries.papers import next_lines, outdated
from hazmat.queries.yards import particulars, yard_facts
from tests.cast import LINE, look_in, order, reported
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


def parsed_paper(key: UUID) -> Any:
    return parsed(Paper.objects.values_list("payload", flat=True).get(pk=key))["cautions"]


def test_a_site_sheet_carries_the_warning_and_one_printed_before_no_longer_holds(yard: Yard, boss: Person) -> None:
    unit = a_unit(yard, boss)
    first = issue_paper(order(yard.pk, boss.pk), unit=unit, kind="site_sheet").the("hazmat.paper")
    slip_of(yard, boss, unit, SLIP)
    facts = yard_facts(particulars(yard.pk))
    (anew,) = outdated(the(unit), facts)
    assert anew.id == str(first)
    assert any("print a new one" in line.says for line in next_lines(yard.pk, yard.code, date(2026, 11, 27)))
    later = issue_paper(order(yard.pk, boss.pk), unit=unit, kind="site_sheet").the("hazmat.paper")
    light = {str(key): "something light is in the oil" in str(parsed_paper(key)) for key in (first, later)}
    assert light == {str(first): False, str(later): True}
    assert outdated(the(unit), facts) == []
