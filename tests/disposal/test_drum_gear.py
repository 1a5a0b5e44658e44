"""Gear cards of a drum: by the worst oil in it, answers only raise, and an empty one counts as not known."""

import re

import pytest

from disposal.models import Drum
from tests.cast import Cast
from tests.hazmat.test_pages import at

pytestmark = pytest.mark.django_db


def words(cast: Cast, name: str, **asked: str) -> str:
    answer = cast.client("visitor").get(at(cast, name, drum=cast.words["drum"]), asked)
    assert answer.status_code == 200
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


@pytest.mark.parametrize(
    ("name", "title", "hands"),
    [
        ("drum_gear", "Handle drums", "Laminate or fluoroelastomer"),
        ("drum_gear_over", "Hand it over", "Nitrile gauntlets"),
    ],
)
def test_a_drum_of_which_nothing_is_known_is_taken_as_the_worst(name: str, title: str, hands: str, cast: Cast) -> None:
    """The matrix, highest care: two layers to handle a drum, gauntlets to hand one over sealed; goggles for both."""
    page = words(cast, name)
    for wanted in (title, hands, "Sealed goggles", "Overboots", "No mask", "Wash", "Stop and leave", "174 kg"):
        assert wanted in page, wanted
    assert "More than task and care ask for" not in page
    assert "Mask for organic vapour" in words(cast, name, hot="yes")
    assert "Mask for organic vapour" in words(cast, name, hot="unknown")
    assert "Change it now" in words(cast, name, glove="layered", wet="4")


def test_the_page_of_a_drum_leads_to_its_cards(cast: Cast) -> None:
    page = cast.client("visitor").get(at(cast, "drum", drum=cast.words["drum"])).content.decode()
    for name in ("drum_gear", "drum_gear_over"):
        assert at(cast, name, drum=cast.words["drum"]) in page
    assert Drum.objects.count() == 1
