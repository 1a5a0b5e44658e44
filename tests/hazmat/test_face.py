"""What the pages show of a unit in two places says the same in both."""

import re
from html import unescape
from typing import Any
from uuid import UUID

import pytest
from django.urls import reverse

from hazmat.actions.units import log_unit, prove_dead
from hazmat.models import Unit
from hazmat.templatetags.oilward import edition, kind_word, plain, without
from tests.cast import LINE, Cast, look_in, order

pytestmark = pytest.mark.django_db

LAB = {"how": "laboratory", "on": "2026-01-09", "value": "1.2", "unit": "mg/kg", "reporting_limit": "0.5"}
LINES: list[dict[str, Any]] = [
    {"kind": "other"}, {"kind": "transformer", "built": "1998"}, {"kind": "capacitor", "built": "1970"},
    {**LINE, "tests": [LAB]}, {**LINE, "tests": [{**LAB, "value": "620"}]},
]  # fmt: skip


def shown(page: str) -> tuple[str, str, str]:
    """The ring in words, the strength of what is known, and how hands take it where the strength does not say so."""
    ring = re.search(r'aria-label="(Safety band: [^"]+)"', page)
    strength = re.search(r'class="strength">([^<]+)<', page)
    assert ring
    assert strength
    hands = re.search(r'class="strength">[^<]+</p><p>(Handle as [^<]+)\.<', page)
    return unescape(ring[1]), unescape(strength[1]), unescape(hands[1]) if hands else ""


def test_a_line_of_the_list_says_what_the_page_of_the_unit_says(cast: Cast) -> None:
    boss, client = cast.people["boss"], cast.client("boss")
    assert isinstance(cast.yard_id, UUID)
    rings = set()
    for line in LINES:
        seen = log_unit(order(cast.yard_id, boss.pk), look=look_in(line=line), place="NZ", pictures=[])
        tag = Unit.objects.values_list("tag", flat=True).get(pk=seen.the("hazmat.unit"))
        ring, strength, hands = shown(
            client.get(reverse("unit", kwargs={"yard": cast.yard, "tag": tag})).content.decode()
        )
        listed = client.get(reverse("units", kwargs={"yard": cast.yard})).content.decode()
        own = unescape(next(one for one in listed.split("</li>") if f"/{tag}/" in one))
        assert ring in own
        assert strength in own
        assert hands in own
        assert bool(hands) == ("Care of hands" not in strength)
        rings.add(ring)
    assert len(rings) >= 3


def test_what_holds_a_charge_is_shorted_before_it_counts_as_dead(cast: Cast) -> None:
    """Looking at what nobody knows yet, and writing down who proved a capacitor dead, both say live and charged."""
    boss, client = cast.people["boss"], cast.client("boss")
    assert isinstance(cast.yard_id, UUID)
    seen = log_unit(order(cast.yard_id, boss.pk), look=look_in(line={"kind": "capacitor"}), place="NZ", pictures=[])
    tag = Unit.objects.values_list("tag", flat=True).get(pk=seen.the("hazmat.unit"))
    asked: tuple[tuple[str, dict[str, str]], ...] = (("look", {}), ("prove_dead", {"tag": tag}))
    for name, words in asked:
        page = client.get(reverse(name, kwargs={"yard": cast.yard, **words})).content.decode()
        caution = re.search(r'class="caution"[^>]*>(.+?)</p>', page)
        assert caution
        assert "Treat it as live and charged until" in caution[1]
        assert "left it shorted" in caution[1]


@pytest.mark.parametrize(("kind", "asked"), [("drum", False), ("capacitor", True), ("transformer", True)])
def test_nobody_is_asked_who_proved_a_drum_dead(kind: str, asked: bool, cast: Cast) -> None:
    boss, client = cast.people["boss"], cast.client("boss")
    assert isinstance(cast.yard_id, UUID)
    seen = log_unit(order(cast.yard_id, boss.pk), look=look_in(line={"kind": kind}), place="NZ", pictures=[])
    tag = Unit.objects.values_list("tag", flat=True).get(pk=seen.the("hazmat.unit"))
    page = client.get(reverse("unit", kwargs={"yard": cast.yard, "tag": tag})).content.decode()
    assert ("Write down who proved it dead" in page) == asked
    assert ("Proved dead?" in page) == asked
    assert page.count("Print the site sheet") == (1 if asked else 2)


def test_every_line_of_the_day_book_names_its_unit(cast: Cast) -> None:
    """What was corrected, proved, photographed or printed is told with the unit that it was done to."""
    boss, client = cast.people["boss"], cast.client("boss")
    assert isinstance(cast.yard_id, UUID)
    seen = log_unit(order(cast.yard_id, boss.pk), look=look_in(), place="NZ", pictures=[])
    unit = Unit.objects.get(pk=seen.the("hazmat.unit"))
    prove_dead(order(cast.yard_id, boss.pk), unit=unit.pk, proved={"dead": "no"})
    page = client.get(reverse("day_book", kwargs={"yard": cast.yard})).content.decode()
    line = next(one for one in page.split("</li>") if "Written down as not proved dead" in one)
    assert f"/units/{unit.tag}/" in line


def test_the_first_thing_to_do_is_said_once(cast: Cast) -> None:
    page = cast.client("boss").get(reverse("unit", kwargs={"yard": cast.yard, "tag": cast.words["tag"]}))
    first = re.search(r'class="first">([^<]+)<', page.content.decode())
    assert first
    assert page.content.decode().count(first[1]) == 1


def test_words_of_ours_are_words() -> None:
    assert plain("unknown") == "not known"
    assert plain("yard_hand") == "yard hand"
    assert kind_word("other") == kind_word(None) == "unit"
    assert kind_word("instrument_transformer") == "instrument transformer"
    assert edition("2026-11-25.51a414568e") == "25 Nov 2026 (51a414568e)"
    assert edition("2026-11-25") == "25 Nov 2026"
    tasks = [{"act": "a", "says": "One."}, {"act": "b", "says": "Two."}]
    assert without(tasks, "One.") == tasks[1:]


def test_cautions_of_the_place_and_of_guesses_stand_on_the_page(cast: Cast) -> None:
    """A pole unit found in place, whose whole mass was guessed, with a puddle: the four sentences of the rule book."""
    boss, client = cast.people["boss"], cast.client("visitor")
    assert isinstance(cast.yard_id, UUID)
    guessed = look_in(line={**LINE, "gross_mass_kg": "400"}, sources={"gross_mass_kg": "guessed"}, leak="pool")
    seen = log_unit(order(cast.yard_id, boss.pk), look=guessed, place="NZ", pictures=[])
    tag = Unit.objects.values_list("tag", flat=True).get(pk=seen.the("hazmat.unit"))
    page = unescape(client.get(reverse("unit", kwargs={"yard": cast.yard, "tag": tag})).content.decode())
    for words in ("where it was found", "old stain", "live side", "never a mass to lift by"):
        assert page.count(words) == 1, words


def test_only_members_who_may_read_where_a_picture_was_taken(cast: Cast) -> None:
    where = reverse("unit", kwargs={"yard": cast.yard, "tag": cast.words["tag"]})
    assert "Taken at -41.1°, 174.8°" in unescape(cast.client("technician").get(where).content.decode())
    assert "174.8" not in cast.client("visitor").get(where).content.decode()
