"""What is said of results: against the line, against each other, against screens; and the room that a yard asks for.

Allowed differences of two laboratories: IEC 61619:1997, clause 14 (2 + 0.25 x). Guard bands: ILAC-G8:09/2019. The line
of New Zealand lies above 50 mg/kg, as its storage notice says.
"""

import re
from typing import Any

import pytest
from django.test import Client

from hazmat.actions.results import enter_result
from hazmat.actions.yards import set_yard
from hazmat.book.act import Refused
from hazmat.core.unitnow import UnitNow
from hazmat.edge.results import WIDE, results_of, short_of
from hazmat.models import Particulars, Person, Yard
from hazmat.papers.plots import results_svg
from hazmat.queries.yards import particulars, yard_facts
from tests.browsing import at
from tests.cast import LINE, Cast, order, reported
from tests.hazmat.signing import entered, logged, signed

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def lab(value: str, u: str = "10", **more: Any) -> dict[str, Any]:
    uncertainty = {"uncertainty": {"value": u, "kind": "percent", "k": "2"}} if u else {}
    return {"how": "laboratory", "on": "2026-01-05", "value": value, "unit": "mg/kg", **uncertainty, **more}


def told(now: UnitNow) -> list[str]:
    found = results_of(now, "NZ")
    return [says for one in now.counting for says in found.says[one.id]]


def of(yard: Yard, boss: Person, *tests: dict[str, Any], line: dict[str, Any] = LINE, **more: Any) -> UnitNow:
    now = logged(yard, boss, line)
    for test in tests:
        now = entered(yard, boss, now, test=test, **more)
    return now


def wide(yard: Yard, boss: Person, guard: str = WIDE) -> None:
    set_yard(order(yard.pk, boss.pk), based_on=particulars(yard.pk).pk, name="Test Yard", guard=guard)


@pytest.mark.parametrize(
    ("test", "says"),
    [
        (lab("12"), "between 10.8 and 13.2 mg/kg, clear of the line at 50 mg/kg"),
        (lab("46", "15"), "Borderline: it lies below the line at 50 mg/kg, but with its uncertainty it reaches 52.9"),
        (lab("52", "15"), "counts as over the line at 50 mg/kg. With its uncertainty it lies between 44.2 and 59.8"),
        (lab("62", "10"), "lies over the line at 50 mg/kg, with its uncertainty between 55.8 and 68.2"),
        (lab("46", ""), "the spread between two laboratories stands for it"),
        (lab("2", "", sign="<"), "None was found down to 2 mg/kg, which is below the line at 50 mg/kg"),
        (lab("60", "", sign="<"), "None was found down to 60 mg/kg, which leaves the line at 50 mg/kg open"),
        (lab("500", "", sign=">"), "lies above 500 mg/kg, how far above was not measured"),
    ],
)  # fmt: skip
def test_a_result_is_told_against_the_line(yard: Yard, boss: Person, test: dict[str, Any], says: str) -> None:
    assert any(says in one for one in told(of(yard, boss, test)))


def test_borderline_holds_and_is_not_released(yard: Yard, boss: Person) -> None:
    now = of(yard, boss, lab("46", "15"))
    with pytest.raises(Refused, match="stays low with its uncertainty"):
        signed(yard, boss, now)


# ------------------------------------------------------------------ the room that a yard asks for


def test_a_yard_can_ask_for_more_room_and_never_for_less(yard: Yard, boss: Person) -> None:
    """40 with 20 % reaches 48, and 52 with one and a half times that."""
    now = of(yard, boss, lab("40", "20"))
    assert short_of(now, "NZ", "") == []
    wide(yard, boss)
    assert yard_facts(particulars(yard.pk))["guard"] == WIDE
    asked = "asks for 1.5 times the uncertainty of a result between it and a line: 40 mg/kg ± 20 % reaches 52 mg/kg"
    with pytest.raises(Refused, match="cannot be released yet") as wrong:
        signed(yard, boss, now)
    assert asked in str(wrong.value)
    wide(yard, boss, "")
    assert signed(yard, boss, now).stands == "released"


def test_the_room_is_asked_at_the_line_and_not_beside_it(yard: Yard, boss: Person) -> None:
    """40 with 16 % reaches 49.6 with one and a half times that; with 16.7 % it reaches 50.02, above this line."""
    wide(yard, boss)
    assert signed(yard, boss, of(yard, boss, lab("40", "16"))).stands == "released"
    with pytest.raises(Refused, match=r"reaches 50\.02 mg/kg"):
        signed(yard, boss, of(yard, boss, lab("40", "16.7")))


def test_the_room_is_asked_at_the_lowest_line_from_which_hands_need_care(yard: Yard, boss: Person) -> None:
    """40 CFR 761.3 has lines at 50 and at 500; 40 with 20 % comes near the first alone."""
    now = of(yard, boss, lab("40", "20"), line={**LINE, "found_in": "US-OR", "fluid": "mineral"})
    (says,) = short_of(now, "US", WIDE)
    assert "the line is at 50 mg/kg" in says


def test_the_raw_figure_of_a_report_is_what_a_release_goes_by(yard: Yard, boss: Person) -> None:
    """40 with 16 % leaves room, as above; a raw 40.4 with 16 % reaches 50.096 with one and a half times that."""
    now = of(yard, boss, lab("40", "16", raw="40.4", method="IEC 61619"))
    assert "The report also gives 40.4 mg/kg, before it was rounded or corrected" in told(now)[-1]
    assert "reaches 46.86 mg/kg with its uncertainty" in told(now)[-1]
    assert signed(yard, boss, now).stands == "released"
    wide(yard, boss)
    with pytest.raises(Refused, match=r"reaches 50\.09 mg/kg"):
        signed(yard, boss, of(yard, boss, lab("40", "16", raw="40.4", method="IEC 61619")))


def test_a_raw_figure_over_the_line_keeps_the_class_and_ends_the_release(yard: Yard, boss: Person) -> None:
    now = of(yard, boss, lab("50", "2", raw="50.4"))
    assert (now.answer["class"], now.answer["care"]) == ("up_to_50", "50_499")
    with pytest.raises(Refused, match="stays low with its uncertainty"):
        signed(yard, boss, now)


def test_a_figure_that_proves_nothing_lacks_no_room(yard: Yard, boss: Person) -> None:
    now = of(yard, boss, lab("40", "20", unit="ppm"))
    assert short_of(now, "NZ", WIDE) == []


def test_a_release_that_was_signed_stays_when_the_yard_asks_for_more(yard: Yard, boss: Person) -> None:
    now = signed(yard, boss, of(yard, boss, lab("40", "20")))
    wide(yard, boss)
    assert now.stands == "released"


def test_no_other_answer_is_taken(yard: Yard, boss: Person) -> None:
    with pytest.raises(Refused, match="two answers"):
        wide(yard, boss, "none")
    assert Particulars.objects.filter(yard=yard.pk).count() == 1


# ------------------------------------------------------------------ against each other


def test_a_release_names_every_result_that_differs(yard: Yard, boss: Person) -> None:
    """12 and 36 differ by 24; at a mean of 24 two laboratories may differ by 8."""
    now = of(yard, boss, lab("12"), lab("36"))
    (says,) = results_of(now, "NZ").together
    assert says.startswith("36 and 12 mg/kg (tank) differ by 24; two laboratories may differ by 8.")
    with pytest.raises(Refused, match="names every one of them"):
        signed(yard, boss, now, evidence=[now.counting[0].id])
    assert signed(yard, boss, now).stands == "released"


def test_results_that_agree_need_not_all_be_named(yard: Yard, boss: Person) -> None:
    """12 and 17 differ by 5; 5.625 is allowed."""
    now = of(yard, boss, lab("12"), lab("17"))
    assert results_of(now, "NZ").together == ()
    assert signed(yard, boss, now, evidence=[now.counting[0].id]).stands == "released"


def test_a_figure_that_was_typed_with_the_look_takes_part(yard: Yard, boss: Person) -> None:
    now = of(yard, boss, lab("12"), line={**LINE, "tests": [lab("36")]})
    assert results_of(now, "NZ").together[0].startswith("36 and 12 mg/kg")
    assert signed(yard, boss, now).stands == "released"  # only what is in this book can be named


def test_a_mixed_sample_is_held_against_nothing(yard: Yard, boss: Person) -> None:
    now = of(yard, boss, lab("12"), line={**LINE, "tests": [lab("36", composite=True)]})
    assert results_of(now, "NZ").together == ()


def test_an_amended_result_differs_from_nothing(yard: Yard, boss: Person) -> None:
    now = of(yard, boss, lab("36"))
    asked = order(yard.pk, boss.pk)
    kept = reported(test=lab("12"))
    first = now.results[0].id
    enter_result(asked, unit=now.unit, told=kept, place="NZ", replaces=first, why="a digit was wrong")  # type: ignore[arg-type]
    assert results_of(entered(yard, boss, now, test=lab("13")), "NZ").together == ()


# ------------------------------------------------------------------ against screens


def screened(colour: str) -> dict[str, Any]:
    made = {"how": "screen", "on": "2026-01-04", "set_point": "50", "colour": colour, "control_ok": True}
    return {**LINE, "fluid": "mineral", "tests": [made]}


def test_a_screen_that_missed_is_named(yard: Yard, boss: Person) -> None:
    (says,) = results_of(of(yard, boss, lab("480"), line=screened("blue_violet")), "NZ").together
    assert says.startswith("A screen said below 50 mg/kg and a laboratory 480 mg/kg ± 10 %: the laboratory counts.")
    assert results_of(of(yard, boss, lab("49"), line=screened("blue_violet")), "NZ").together == ()


def test_a_screen_above_what_the_laboratory_found_is_named(yard: Yard, boss: Person) -> None:
    (says,) = results_of(of(yard, boss, lab("6"), line=screened("yellow")), "NZ").together
    assert "A screen said above 50 mg/kg and a laboratory 6 mg/kg" in says
    assert results_of(of(yard, boss, lab("62"), line=screened("yellow")), "NZ").together == ()


# ------------------------------------------------------------------ drawn


def test_the_drawing_says_what_it_shows(yard: Yard, boss: Person) -> None:
    now = of(yard, boss, lab("46", "15"), lab("2", "", sign="<"), lab("900", "", sign=">"))
    drawn = results_svg(now.counting, results_of(now, "NZ"))
    assert "<title>Laboratory results against the lines of the law</title>" in drawn
    assert "46 mg/kg, from 39.1 to 52.9; less than 2 mg/kg; more than 900 mg/kg. Broken lines" in drawn
    assert drawn.count("<circle") == 1
    bar, dot = re.search(r'd="M([\d.]+) \d+H([\d.]+)M', drawn), re.search(r'cx="([\d.]+)"', drawn)
    assert bar
    assert dot
    assert float(bar[1]) < float(dot[1]) < float(bar[2])
    assert drawn.count("<path") == 3  # the bar of the first, and two arrows


def test_nothing_is_drawn_of_nothing(yard: Yard, boss: Person) -> None:
    now = logged(yard, boss)
    assert results_svg(now.counting, results_of(now, "NZ")) == ""
    bare = of(yard, boss, {"how": "laboratory", "on": "2026-01-05", "value": "0", "unit": "mg/kg"})
    assert results_svg(bare.counting, results_of(bare, "NZ")) == ""


def test_pages_say_it(cast: Cast, client: Client) -> None:
    yard, boss = Yard.objects.get(pk=cast.yard_id), cast.people["boss"]
    now = of(yard, boss, lab("12"), lab("46", "15"))
    mine = cast.client("safety_officer")
    for name in ("unit", "sign_verdict"):
        page = mine.get(at(cast, name, tag=now.tag)).content.decode()
        assert "Borderline: it lies below the line at 50 mg/kg" in page
        assert "46 and 12 mg/kg (tank) differ by 34" in page
        assert 'role="img" aria-label="Laboratory results against the lines of the law' in page
    wide(yard, boss)
    assert "by one and a half times its uncertainty" in cast.client("manager").get(at(cast, "keeping")).content.decode()


@pytest.mark.parametrize(
    ("method", "says"),
    [
        ("EN 12766-1", "not for insulating liquids"), ("in house", "not known here"), ("", "names no method"),
        ("IEC 61619", ""), ("ASTM D4059", ""),
    ],
)  # fmt: skip
def test_a_method_that_is_not_for_the_liquid_is_said(yard: Yard, boss: Person, method: str, says: str) -> None:
    """Scopes of EN 12766-1:2000, IEC 61619:1997, ASTM D4059; whatever it is, the result is kept and counts."""
    more = {"method": method} if method else {}
    now = of(yard, boss, lab("12", **more), line={**LINE, "fluid": "mineral"})
    found = told(now)
    assert len(found) == (2 if says else 1)
    assert says in found[-1]
    assert now.answer["basis"] == "established"
