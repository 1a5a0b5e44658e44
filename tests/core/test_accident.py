"""After an accident: who is told, how soon, and what first aid says, held against the texts of the laws.

29 CFR 1904.39(a): death 8 h; in-patient hospitalisation, amputation, loss of an eye 24 h. Health and Safety at Work
Act 2015 (NZ) ss 23, 24, 55, 56. Work Health and Safety Act 2011 (NSW) ss 35 to 39. RIDDOR 2013. SOR/86-304 s 15.5.
"""

from datetime import date

import pytest

from hazmat import rulebooks
from hazmat.core.accident import EVENTS, HARMS, TABLE, first_aid, listed, notify, rows_of
from hazmat.core.law import LawDay

BOOK = rulebooks.rulebook(rulebooks.HANDLING)
HOUSE = LawDay(BOOK, date(2026, 11, 27))
MUST, ASK = "must", "care"


def force(country: str, event: str) -> str | None:
    table = HOUSE.tables[TABLE]
    decision = table.decide(tuple({"country": country, "event": event}[one] for one in table.columns))
    assert decision is not None
    return decision.force


@pytest.mark.parametrize(
    ("country", "event", "forced", "says"),
    [
        ("us", "death", MUST, "within 8 hours"),
        ("us", "hospital", MUST, "within 24 hours"),
        ("us", "amputation", MUST, "within 24 hours"),
        ("us", "eye_loss", MUST, "within 24 hours"),
        ("us", "serious", ASK, "Ask your state"),
        ("us", "unknown", ASK, "Ask your state"),
        ("nz", "death", MUST, "as soon as possible, by the fastest means. Leave the scene as it is"),
        ("nz", "exposure", MUST, "Leave the scene as it is"),
        ("nz", "shock", MUST, "notifiable incident: tell WorkSafe as soon as possible"),
        ("nz", "escape", MUST, "leave the scene as it is"),
        ("nz", "other", ASK, "In doubt ring WorkSafe"),
        ("au", "hospital", MUST, "at once, by the fastest means. Leave the site as it is until an inspector"),
        ("au", "exposure", MUST, "at once"),
        ("au", "shock", MUST, "dangerous incident"),
        ("au", "off_work", ASK, "In doubt ring the regulator"),
        ("gb", "death", MUST, "without delay, and send the report within 10 days"),
        ("gb", "serious", MUST, "without delay"),
        ("gb", "off_work", MUST, "more than seven days within 15 days"),
        ("gb", "hospital", ASK, "ask the Health and Safety Executive"),
        ("ca", "death", ASK, "within 24 hours"),
        ("ca", "hospital", ASK, "province: ask it now"),
        ("eu", "death", ASK, "ask its labour inspectorate now"),
        ("none", "death", ASK, "ask its authority for safety at work now"),
        ("treaty", "unknown", ASK, "ask its authority for safety at work now"),
    ],
)
def test_who_is_told(country: str, event: str, forced: str, says: str) -> None:
    assert says in notify(country, event, HOUSE).says
    assert force(country, event) == forced


def test_a_country_that_is_not_held_is_asked_of_its_authority() -> None:
    assert notify(None, "death", HOUSE) == notify("none", "death", HOUSE) == notify("fr", "death", HOUSE)


@pytest.mark.parametrize("country", ["us", "nz", "au", "gb", "ca", "eu", "treaty", "none"])
def test_every_row_of_a_country_is_told_once_and_in_whole_sentences(country: str) -> None:
    told = rows_of(country, HOUSE)
    assert len({one.key for one in told}) == len(told)
    assert {notify(country, event, HOUSE) for event in EVENTS} == set(told)
    for one in told:
        assert one.says.endswith(".")
        assert "{" not in one.says
        assert one.cite
        assert one.basis in ("read", "memory", "judgement")


def test_first_aid_for_each_harm_in_order() -> None:
    told = first_aid(reversed(list(HARMS)), HOUSE)
    assert [one.key for one in told] == [f"first_aid_{harm}" for harm in HARMS]
    by_harm = dict(zip(HARMS, (one.says for one in told), strict=True))
    assert "at least 10 minutes" in by_harm["eyes"]
    assert "No kerosene" in by_harm["skin"]
    assert by_harm["shock"].index("do not touch") < by_harm["shock"].index("Switch off first")
    assert first_aid([], HOUSE) == ()


def test_the_emergency_sheet_says_the_distances_of_the_guide_and_each_step_has_its_source() -> None:
    """Emergency Response Guidebook, guide 171: 50 m around liquid, 800 m around a tank in a fire."""
    fire = " ".join(one.says for one in listed("emergency_fire_", HOUSE))
    assert "50 m (150 feet)" in fire
    assert "800 m (half a mile)" in fire
    for key in ("shock", "fire", "spill", "splash", "missing"):
        steps = listed(f"emergency_{key}_", HOUSE)
        assert [one.key[-1] for one in steps] == [str(place) for place in range(1, len(steps) + 1)]
        assert len(steps) >= 3
        assert all(one.cite and one.says.endswith(".") for one in steps)
