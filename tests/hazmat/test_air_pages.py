"""The page of limits in air, sums against them, and the line of vapour where a unit's page says what to wear.

Limits: NIOSH Pocket Guide and IDLH document; Safe Work Australia; the workplace exposure standards of New Zealand from
memory. Australia's list was to be replaced about 1 December 2026.
"""

import re
from datetime import UTC, datetime
from html import unescape
from typing import Any

import pytest
import time_machine
from django.urls import reverse

from hazmat.edge.air import line_beside
from hazmat.edge.results import results_of
from hazmat.models import Person, Yard
from tests.browsing import at
from tests.cast import LINE, Cast
from tests.hazmat.signing import entered, logged, signed, with_result

pytestmark = pytest.mark.django_db


def page(cast: Cast, name: str = "air_limits", **asked: Any) -> str:
    words = {"sum": asked.pop("sum")} if "sum" in asked else {}
    sent = cast.client("visitor").get(at(cast, name, **words), asked)
    assert sent.status_code == 200
    return re.sub(r"\s+", " ", unescape(sent.content.decode()))


def rows(shown: str, name: str) -> list[str]:
    """The words of each row of a table whose head begins so."""
    found = re.findall(r'<tr role="row"><th scope="row".*?</tr>', shown)
    told = (re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", row)).strip() for row in found)
    return [row for row in told if row.startswith(name)]


def test_a_yard_sees_the_limits_of_its_own_country(cast: Cast) -> None:
    shown = page(cast)
    assert "New Zealand (NZ), as at" in shown
    assert len(rows(shown, "Workplace exposure standard")) == 2
    assert all("from memory, not read" in row for row in rows(shown, "Workplace exposure standard"))
    assert "NIOSH" not in "".join(rows(shown, ""))
    assert "No figure in this law, as far as it is held here" in shown  # of trichlorobenzene
    assert "Air below a limit clears nobody" in shown


@pytest.mark.parametrize("country", ["CA", "FR"])
def test_a_country_without_a_limit_says_so(cast: Cast, country: str) -> None:
    shown = page(cast, country=country)
    assert "No figure in this law, as far as it is held here" in shown
    assert "0.001" not in shown


def test_a_country_that_nobody_knows_is_said_under_its_box(cast: Cast) -> None:
    shown = page(cast, country="XX")
    assert "XX is not one of the available choices" in shown or "Select a valid choice" in shown


def test_another_country_and_day(cast: Cast) -> None:
    assert "0.0008 mg/m3" in page(cast, country="DE", on="2025-03-31")
    assert "0.0008 mg/m3" not in page(cast, country="DE", on="2025-03-30")
    shown = page(cast, country="US")
    assert "0.001 mg/m3" in rows(shown, "NIOSH recommended exposure limit")[0]
    assert "protection factor 10,000" in shown
    assert "OSHA has no limit for it" in shown
    assert "Write a day such as 2026-11-27" in page(cast, on="31/12")


def test_australia_asks_to_be_looked_up_again(cast: Cast) -> None:
    assert "Look it up again:" not in page(cast, country="AU", on="2026-11-30")
    assert "Look it up again:" in page(cast, country="AU", on="2026-12-01")


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        ({"country": "US", "of": "pcb", "level": "0.6", "minutes": "480"}, {
            "OSHA permissible exposure limit PCB with 54 %": "Over it, 1.2 times it",
            "OSHA permissible exposure limit PCB with 42 %": "Not over it: 60 % of it",
            "NIOSH level immediately": "Not judged",
        }),
        ({"country": "AU", "of": "pcb", "level": "2.1", "minutes": "15"}, {
            "Workplace exposure standard, short term PCB with 42 %": "Over it",
            "Workplace exposure standard PCB with 42 %": "Not judged",
        }),
        ({"country": "US", "of": "tcb", "level": "6", "unit": "ppm", "minutes": "15"}, {
            "NIOSH recommended ceiling": "Over it, 1.2 times it",
        }),
        ({"country": "US", "of": "tcb", "level": "5", "unit": "ppm", "minutes": "0"}, {
            "NIOSH recommended ceiling": "Not over it: 100 % of it",
        }),
    ],
)  # fmt: skip
def test_a_level_that_was_measured(cast: Cast, asked: dict[str, str], told: dict[str, str]) -> None:
    shown = page(cast, **asked)
    for name, says in told.items():
        (row,) = rows(shown, name)
        assert says in row


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"level": "0.6"}, "Write over how many minutes it is a mean"),
        ({"level": "0.6", "minutes": "1441"}, "Write whole minutes of one day"),
        ({"level": "0.6", "minutes": "1.5"}, "Write whole minutes of one day"),
        ({"level": "0.6", "minutes": "15", "unit": "ppm"}, "PCB is a mixture and has no ppm"),
        ({"level": "much", "minutes": "15"}, "This is no plain number"),
    ],
)
def test_what_cannot_be_read_is_said_and_stays(cast: Cast, asked: dict[str, str], says: str) -> None:
    shown = page(cast, **asked)
    assert says in shown
    assert f'value="{asked["level"]}"' in shown
    assert "times it" not in shown


# ------------------------------------------------------------------ a sum against them


def test_vapour_is_held_against_every_limit_and_drawn(cast: Cast) -> None:
    """500 mg/kg of 54 % at 25 °C: 58 % of what NIOSH recommends; at 60 °C 15 times it."""
    cool = page(cast, "sum", sum="vapour", pcb="500", mixture="1254", celsius="25")
    assert "0.581 µg/m3" in cool
    (rel,) = rows(cool, "NIOSH recommended exposure limit")
    assert "58 % of it" in rel
    assert len(rows(cool, "Workplace exposure")) == 7
    drawn = re.search(r"<svg.*?</svg>", cool)
    assert drawn
    assert "<title>Level in air against the limits</title>" in drawn[0]
    assert drawn[0].count("<circle") == 15
    (rel,) = rows(page(cast, "sum", sum="vapour", pcb="500", mixture="1254", celsius="60"), "NIOSH recommended")
    assert "15 times it" in rel


def test_full_dots_are_the_limits_that_are_passed(cast: Cast) -> None:
    shown = page(cast, "sum", sum="vapour", neat="true", mixture="1242", celsius="25")
    drawn = re.search(r"<svg.*?</svg>", shown)
    assert drawn
    assert len(re.findall(r'<circle [^>]*fill="currentColor"', drawn[0])) == 15


def test_no_pcb_at_all_is_drawn_without_a_level(cast: Cast) -> None:
    shown = page(cast, "sum", sum="vapour", pcb="0", mixture="1242", celsius="25")
    assert "0 % of it" in shown
    assert re.search(r"<svg.*?</svg>", shown)


def test_a_sum_without_air_has_no_limits(cast: Cast) -> None:
    assert "Against the limits in air" not in page(cast, "sum", sum="density", density_15="0.88", to="40")
    other = page(cast, "sum", sum="room_air", mg_min="1", room="9", flow="1", mixing="1", substance="other")
    assert "Against the limits in air" not in other


# ------------------------------------------------------------------ the line beside the gear


def beside(now: Any) -> str:
    found = line_beside(now, results_of(now, "NZ").near.values())
    return found.finished({}) if found else ""


def test_a_unit_that_nobody_tested_is_reckoned_as_the_most_its_care_allows(yard: Yard, boss: Person) -> None:
    presumed = beside(logged(yard, boss))
    assert presumed.startswith("Vapour in a closed tank at 60 °C could pass a published limit in air: up to 0.25 mg/m3")
    unknown = beside(logged(yard, boss, {"kind": "transformer", "fluid": "askarel", "found_in": "NZ"}))
    assert unknown.startswith("Vapour in a closed tank at 60 °C could pass the level of immediate danger")


def test_only_a_signed_figure_that_speaks_for_all_its_oil_counts(yard: Yard, boss: Person) -> None:
    """90 ± 10 mg/kg is reckoned as 100; unsigned, as the 500 that its care allows; a bushing as itself."""
    spread = {"value": "10", "kind": "absolute", "k": "2"}
    test = {
        "how": "laboratory", "on": "2026-01-05", "value": "90", "unit": "mg/kg", "reporting_limit": "0.5",
        "uncertainty": spread, "accredited": True,
    }  # fmt: skip
    unsigned = with_result(yard, boss, test=test)
    assert "up to 0.25 mg/m3" in beside(unsigned)
    route = signed(yard, boss, unsigned, "pcb_route")
    assert route.oil.known == "high"
    assert "up to 0.049 mg/m3" in beside(route)
    two = {**LINE, "spaces": [{"name": "tank"}, {"name": "bushing", "kind": "bushing"}]}
    beside_bushing = beside(signed(yard, boss, with_result(yard, boss, line=two, test=test), "pcb_route"))
    assert "level of immediate danger" in beside_bushing


def test_a_low_result_lowers_nothing_until_it_is_signed(yard: Yard, boss: Person) -> None:
    now = entered(yard, boss, logged(yard, boss), "1.2")
    assert "up to 0.25 mg/m3" in beside(now)
    assert beside(signed(yard, boss, now, "release")) == ""


def test_the_line_stands_under_what_to_wear(cast: Cast) -> None:
    sent = cast.client("technician").get(at(cast, "unit", tag=cast.words["tag"])).content.decode()
    shown = re.sub(r"\s+", " ", unescape(sent))
    wear = shown[shown.index("<h2>What to wear</h2>") : shown.index("<h2>What not to do</h2>")]
    assert "Vapour in a closed tank at 60 °C could pass a published limit in air" in wear
    assert "an upper bound for vapour alone (our judgement)" in wear
    assert f"/sums/vapour/?of={cast.words['tag']}" in wear


def test_limits_are_reached_from_the_sums_and_the_rule_book(cast: Cast) -> None:
    for name in ("sums", "rule_book"):
        assert f'href="{at(cast, "air_limits")}"' in page(cast, name)


def test_a_later_day_is_the_day_of_the_yard(cast: Cast) -> None:
    """In Auckland it is already 1 December while Greenwich has 30 November."""
    with time_machine.travel(datetime(2026, 11, 30, 12, 30, tzinfo=UTC), tick=False):
        assert "as at 1 Dec 2026" in page(cast)


def test_it_is_for_members(cast: Cast) -> None:
    path = reverse("air_limits", kwargs={"yard": cast.yard})
    assert cast.client("outsider").get(path).status_code in (403, 404)
