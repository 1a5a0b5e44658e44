"""A walk round a unit on its pages: what nobody looked for counts as there, bad words are refused."""

from typing import Any

import pytest
from django.urls import reverse

from hazmat.actions.sidehazards import walk_hazards
from hazmat.book.act import Refused
from hazmat.core.walked import Walk
from hazmat.models import Unit
from hazmat.queries.units import UNITS
from tests.cast import Cast, order
from tests.hazmat.test_tool_pages import plain


def at(cast: Cast, name: str) -> str:
    return reverse(name, args=(cast.yard, cast.words["tag"]))


def shown(cast: Cast, name: str = "walk_hazards") -> str:
    return plain(cast.client("yard_hand").get(at(cast, name)))


def sent(cast: Cast, **told: Any) -> Any:
    client, path = cast.client("yard_hand"), at(cast, "walk_hazards")
    page = client.get(path).content.decode()
    act = page.split('name="act" value="', 1)[1].split('"', 1)[0]
    return client.post(path, {"act": act, "gas_free": "unknown", **told}, follow=True)


def unit_of(cast: Cast) -> Any:
    return Unit.objects.get(tag=cast.words["tag"]).pk


def test_before_any_walk_everything_counts_as_there(cast: Cast) -> None:
    page = shown(cast, "unit")
    assert "Nobody has walked round it for what else may hurt: mercury, drying gel, asbestos" in page
    assert "No hot work: no torch, plasma, weld, grinder or abrasive disc." in page
    walk = shown(cast)
    assert "treat them as asbestos" in walk
    assert "Local law and licensed people come first" in walk


def test_a_walk_is_saved_and_told(cast: Cast) -> None:
    page = plain(sent(cast, asbestos="yes", mercury="no", gas="no", note="grey gasket at the lid"))
    assert "Walked round it; found: asbestos. grey gasket at the lid" in page
    assert "have licensed people sample and remove it" in page
    assert "Looked for and not seen" in page
    unit = shown(cast, "unit")
    assert "Found. Something that looks like asbestos is on it" in unit
    assert "Not looked for: drying gel" in unit


def test_the_last_walk_counts(cast: Cast) -> None:
    sent(cast, asbestos="yes")
    sent(cast, asbestos="no")
    now = UNITS.kept(unit_of(cast))
    assert now is not None
    assert [walk.walk.seen["asbestos"] for walk in now.walks] == ["yes", "no"]
    assert "Found." not in shown(cast, "unit")


def test_a_test_of_the_paint_decides(cast: Cast) -> None:
    assert "Its paint holds lead" in plain(sent(cast, lead="0.1", unit="%"))
    page = plain(sent(cast, lead="0.09", unit="%"))
    assert "Its paint holds lead" not in page
    assert "lead in its paint" in page.partition("Looked for and not seen")[2].partition("Walk round it again")[0]


@pytest.mark.parametrize(
    ("lead", "says"), [("-1", "no plain number"), ("1,234", "two ways"), ("much", "no plain number")]
)
def test_bad_amounts_are_refused_and_nothing_is_lost(cast: Cast, lead: str, says: str) -> None:
    entries = cast.entries()
    answer = sent(cast, lead=lead, note="by the gate")
    assert answer.status_code == 422
    assert says in plain(answer)
    assert "by the gate" in answer.content.decode()
    assert cast.entries() == entries


def test_an_act_refuses_what_no_form_sends(cast: Cast) -> None:
    for lead in ("NaN", "-1", "x"):
        with pytest.raises(Refused, match="no amount of lead"):
            walk_hazards(order(cast.yard_id, cast.people["boss"].pk), unit=unit_of(cast), walk=Walk(seen={}, lead=lead))
