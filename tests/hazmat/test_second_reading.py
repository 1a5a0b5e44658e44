"""A screen read apart by a second person: what counts, who may, and that nobody is shown what the first one saw.

Common practice, no source: two readers, each blind to the other, since not all see a colour near the line alike.
"""

import re
from datetime import timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone
from django.utils.timezone import localdate

from hazmat.actions.people import add_member
from hazmat.actions.screens import read_screen
from hazmat.book.act import Refused
from hazmat.book.prove import prove
from hazmat.forms.screens import APART, ScreenForm
from hazmat.models import Person, Unit, Yard
from hazmat.queries.next import lines
from hazmat.queries.units import UNITS
from tests.browsing import at, token
from tests.cast import ZONE, Cast, order, person
from tests.hazmat.screening import COLOURS, a_unit, keys, now_of, screened

pytestmark = [pytest.mark.both, pytest.mark.django_db]


@pytest.fixture
def other(yard: Yard, boss: Person) -> Person:
    found = person("second reader")
    add_member(order(yard.pk, boss.pk), person=found.pk, roles=("technician",))
    return found


def apart(yard: Yard, boss: Person, unit: UUID, colour: str = "blue_violet", **more: Any) -> UUID:
    return screened(yard, boss, unit, colour, apart=True, **more)


def read(yard: Yard, by: Person, screen: UUID, colour: str, **more: Any) -> None:
    when = {"happened_at": more.pop("happened_at")} if "happened_at" in more else {}
    read_screen(order(yard.pk, by.pk, **when), screen=screen, colour=colour, place="NZ", **more)


def test_a_second_person_reads_apart_and_an_above_counts_at_once(yard: Yard, boss: Person, other: Person) -> None:
    unit = a_unit(yard, boss)
    screen = apart(yard, boss, unit)
    (one,) = now_of(unit).screens
    assert one.waits
    assert "screen_below" in keys(now_of(unit))
    read(yard, other, screen, "yellow")
    (one,) = now_of(unit).screens
    assert (one.colours, one.differ, one.waits) == (("blue_violet", "yellow"), True, False)
    assert "screen_above" in keys(now_of(unit))
    assert now_of(unit).oil.klass == "over_50"
    assert UNITS.fold([unit])[unit] == now_of(unit)
    assert prove().faults == []


def test_two_who_both_saw_below_still_lower_nothing(yard: Yard, boss: Person, other: Person) -> None:
    unit = a_unit(yard, boss)
    before = now_of(unit).answer
    read(yard, other, apart(yard, boss, unit), "blue_violet", pictured=True)
    after = now_of(unit)
    assert after.screens[0].test["colour"] == "blue_violet"
    assert (after.answer["class"], after.answer["care"]) == (before["class"], before["care"])


def test_a_second_unclear_voids_what_one_saw_below(yard: Yard, boss: Person, other: Person) -> None:
    unit = a_unit(yard, boss)
    read(yard, other, apart(yard, boss, unit), "unclear")
    assert now_of(unit).screens[0].test["colour"] == "unclear"
    assert "screen_void" in keys(now_of(unit))


def test_nobody_reads_a_screen_twice(yard: Yard, boss: Person, other: Person) -> None:
    unit = a_unit(yard, boss)
    screen = apart(yard, boss, unit)
    with pytest.raises(Refused, match="has to be somebody else"):
        read(yard, boss, screen, "yellow")
    with pytest.raises(Refused, match="before the screen was made"):
        read(yard, other, screen, "yellow", happened_at=timezone.now() - timedelta(days=1))
    with pytest.raises(Refused, match="Pick the colour"):
        read(yard, other, screen, "green")
    read(yard, other, screen, "yellow")
    with pytest.raises(Refused, match="waits for nobody"):
        read(yard, other, screen, "blue_violet")
    with pytest.raises(Refused, match="waits for nobody"):
        read(yard, other, screened(yard, boss, unit, "yellow"), "yellow")
    with pytest.raises(Refused, match="no such screen"):
        read(yard, other, UUID(int=1), "yellow")


def test_whoever_read_it_first_is_told_so(cast: Cast) -> None:
    yard, boss = Yard.objects.get(pk=cast.yard_id), cast.people["boss"]
    screen = apart(yard, boss, a_unit(yard, boss))
    page = cast.client("boss").get(at(cast, "read_screen", screen=screen)).content.decode()
    assert "You read this screen first" in page
    assert "Which colour do you see?" not in page


def test_a_corrected_screen_waits_for_nobody(yard: Yard, boss: Person, other: Person) -> None:
    unit = a_unit(yard, boss)
    screen = apart(yard, boss, unit)
    screened(yard, boss, unit, "yellow", replaces=screen, why="wrong tube")
    with pytest.raises(Refused, match="waits for nobody"):
        read(yard, other, screen, "blue_violet")


def test_the_second_person_is_not_shown_what_the_first_one_saw(cast: Cast) -> None:
    """The page of the second reading is the same whatever the first one saw, but for keys and the unit."""
    yard, boss = Yard.objects.get(pk=cast.yard_id), cast.people["boss"]
    pages = []
    for colour in COLOURS:
        unit = a_unit(yard, boss)
        screen = apart(yard, boss, unit, colour)
        tag = Unit.objects.get(pk=unit).tag
        page = cast.client("technician").get(at(cast, "read_screen", screen=screen)).content.decode()
        assert "Which colour do you see?" in page
        for known in (str(screen), str(unit), tag, f"{tag[:3]} {tag[3:]}", token(page)):
            page = page.replace(known, "…")
        pages.append(re.sub(r'(nonce|csrfmiddlewaretoken" value)="[^"]*"', "", page))
    assert pages[0] == pages[1] == pages[2]


def test_the_page_of_the_unit_folds_the_first_colour_away_until_then(cast: Cast) -> None:
    yard, boss = Yard.objects.get(pk=cast.yard_id), cast.people["boss"]
    unit = a_unit(yard, boss)
    screen = apart(yard, boss, unit)
    tag, mine = Unit.objects.get(pk=unit).tag, cast.client("technician")
    page = mine.get(at(cast, "unit", tag=tag)).content.decode()
    assert "Waits for a second person" in page
    assert "<summary>What the first one saw</summary>" in page
    assert any(line.link == "read_screen" and line.words["screen"] == str(screen) for line in next_lines(cast))
    where = at(cast, "read_screen", screen=screen)
    wrong = mine.post(where, {"act": token(mine.get(where).content.decode()), "colour": ""})
    assert wrong.status_code == 422
    done = mine.post(where, {"act": token(mine.get(where).content.decode()), "colour": "yellow", "seen_on": "tube"})
    assert done.status_code == 302
    page = mine.get(at(cast, "unit", tag=tag)).content.decode()
    assert "Waits for a second person" not in page
    assert "The two saw different colours" in page
    assert not any(line.words.get("screen") == str(screen) for line in next_lines(cast))


def next_lines(cast: Cast) -> list[Any]:
    return lines(UUID(str(cast.yard_id)), cast.yard, localdate(timezone=ZoneInfo(ZONE)))


def test_whoever_is_alone_is_not_offered_a_second_person(yard: Yard, boss: Person) -> None:
    unit = now_of(a_unit(yard, boss))
    told = {"unit": unit, "spaces": ["tank"], "zone": ZoneInfo(ZONE)}
    offered = [dict(ScreenForm(**told, alone=alone).fields["second"].choices) for alone in (True, False)]  # type: ignore[attr-defined]
    assert [APART in one for one in offered] == [False, True]
