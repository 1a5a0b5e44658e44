"""A named calculation filled in from what is on record of a unit."""

import re
from decimal import Decimal

import pytest

from hazmat.edge.ready import ASKS, ready
from hazmat.models import Person, Yard
from hazmat.rulebooks.sumbook import sums
from tests.browsing import at
from tests.cast import LINE, Cast
from tests.hazmat.signing import entered, logged

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def test_every_box_that_is_filled_is_asked_for() -> None:
    assert not any(box.key == "of" for one in sums().values() for box in one.boxes)  # the word of its address
    for name, boxes in ASKS.items():
        assert set(boxes) <= {box.key for box in sums()[name].boxes}


def test_figures_of_a_unit_stand_in_the_boxes_in_their_unit(yard: Yard, boss: Person) -> None:
    now = logged(yard, boss, {**LINE, "voltage_v": "11500", "gross_mass_kg": "260"})
    found = ready(now)
    assert found["rating"] == found["full_load"] == {"kv": "11.5"}
    assert found["build_year"] == {"plate": "25 KVA; OIL 75 L"}
    assert found["oil_expansion"] == found["density"] == {"litres": "75"}
    assert found["fluid_share"] == {"gross_kg": "260"}
    assert "decide" not in found


def test_the_highest_result_that_counts_is_held_against_a_limit(yard: Yard, boss: Person) -> None:
    now = entered(yard, boss, entered(yard, boss, logged(yard, boss), "46"), "12")
    assert ready(now)["decide"] == ready(now)["borderline"] == {"result": "46"}
    by_volume = {"how": "laboratory", "on": "2026-01-05", "value": "90", "unit": "mg/L"}
    assert Decimal(ready(entered(yard, boss, now, test=by_volume))["decide"]["result"]) == 46


def test_nothing_on_record_fills_nothing(yard: Yard, boss: Person) -> None:
    assert ready(logged(yard, boss, {"kind": "other"})) == {}


def test_the_page_is_reached_from_the_unit_and_keeps_whose_figures_stand_there(cast: Cast) -> None:
    mine = cast.client("technician")
    page = mine.get(at(cast, "unit", tag=cast.words["tag"])).content.decode()
    where = at(cast, "sum", sum="density")
    assert f'href="{where}?of={cast.words["tag"]}"' in page
    shown = mine.get(where, {"of": cast.words["tag"]}).content.decode()
    assert re.search(r'name="litres" value="75"', shown)
    assert "Filled in from what is on record" in shown
    assert "Answer</h2>" not in shown
    worked = mine.get(where, {"of": cast.words["tag"], "density_15": "0.88", "to": "40", "litres": "75"})
    assert "Answer</h2>" in worked.content.decode()
    assert mine.get(where, {"of": "NOSUCH"}).status_code == 200
