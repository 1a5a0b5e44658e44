"""Pages of condition tests: what is typed, asked about, shown, corrected, and what stands first."""

import re
from html import unescape
from typing import Any
from uuid import UUID

import pytest

from hazmat.actions.conditions import record_condition
from hazmat.actions.units import log_unit, prove_dead
from hazmat.core.condition import ConditionIn
from hazmat.core.unitnow import UnitNow
from hazmat.edge.story import sampling_refused
from hazmat.models import Photograph, Unit, Yard
from hazmat.queries.units import UNITS
from tests.browsing import at, jpeg, token
from tests.cast import Cast, look_in, order
from tests.hazmat.signing import DEAD, the

pytestmark = pytest.mark.django_db

SLIP = {"flash": "61", "cup": "closed"}


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
    assert "A condition test was corrected: flash point 61 °C (closed cup), halogens" in shown.replace(
        "total halogens", "halogens"
    )
    assert "a slip of the pen" in shown
    old = plain(client.get(at(cast, "condition", tag=cast.words["tag"], condition=test.id)).content)
    assert "Amended, no longer counts." in old
    assert now_of(cast).conditions[-1].asked["halogens"] == "<12.345"
