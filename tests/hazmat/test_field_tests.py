"""Screens and breakdown tests of a unit: what counts, what does not, and what a page says of them.

A screen above counts at once and one below lowers nothing (40 CFR 761.3: field screens err towards above);
breakdown voltage says nothing about PCB (common practice, no source).
"""

import re
from html import unescape
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from django.utils.timezone import localdate
from hypothesis import given
from hypothesis import strategies as st

from hazmat.actions.bottles import hand_bottle, label_bottle
from hazmat.actions.breakdowns import record_breakdown
from hazmat.actions.reassess import again, answers_otherwise, reassess_units
from hazmat.actions.results import enter_result
from hazmat.actions.screens import record_screen
from hazmat.actions.units import correct_unit, log_unit, prove_dead
from hazmat.actions.verdicts import reading, sign_verdict
from hazmat.book.act import Refused
from hazmat.book.prove import prove
from hazmat.core.screened import ScreenIn, combined
from hazmat.core.shots import ShotsIn
from hazmat.edge.story import sampling_refused, screens_of
from hazmat.forms.screens import ScreenForm
from hazmat.models import Person, Photograph, Unit, Yard
from hazmat.queries.units import UNITS
from tests.browsing import at, jpeg, token
from tests.cast import LINE, ZONE, Cast, look_in, order, reported
from tests.hazmat.screening import COLOURS, a_unit, keys, now_of, screened

pytestmark = pytest.mark.django_db

SHOTS = {"method": "iec_60156", "shots": "48 55 60 52 58 63"}


@given(st.lists(st.sampled_from(COLOURS), max_size=3))
def test_above_counts_where_anybody_saw_it_and_below_where_everybody_did(colours: list[str]) -> None:
    found = combined(colours)
    assert (found == "yellow") == ("yellow" in colours)
    assert (found == "blue_violet") == (bool(colours) and set(colours) == {"blue_violet"})


def test_an_above_counts_at_once_and_is_said(yard: Yard, boss: Person) -> None:
    """New Zealand presumes nothing: the unit is undetermined until a screen reads above its 50 mg/kg."""
    unit = a_unit(yard, boss)
    assert now_of(unit).answer["class"] == "undetermined"
    screened(yard, boss, unit, "yellow")
    after = now_of(unit)
    assert "screen_above" in keys(after)
    assert (after.answer["class"], after.oil.klass) == ("over_50", "over_50")
    assert after.oil.known == "untested"


def test_an_above_still_counts_after_whatever_is_written_next(yard: Yard, boss: Person) -> None:
    """A correction, a low result and a judging again each write a new answer: none may forget the screen."""
    unit = a_unit(yard, boss)
    screened(yard, boss, unit, "yellow")
    look, line = UUID(now_of(unit).look), {**LINE, "built": "1971"}
    correct_unit(order(yard.pk, boss.pk), unit=unit, based_on=look, look=look_in(line=line), place="NZ")
    assert now_of(unit).line["built"] == "1971"
    assert "screen_above" in keys(now_of(unit))
    enter_result(order(yard.pk, boss.pk), unit=unit, told=reported("12"), place="NZ")
    assert keys(now_of(unit)) & {"screen_above", "screen_after"}
    assert now_of(unit).oil.klass == "over_50"


def test_judging_again_keeps_the_screen(yard: Yard, boss: Person, monkeypatch: pytest.MonkeyPatch) -> None:
    unit = a_unit(yard, boss)
    screened(yard, boss, unit, "yellow")
    assert not answers_otherwise(now_of(unit).answer, again(now_of(unit), "NZ", localdate(timezone=ZoneInfo(ZONE))))
    monkeypatch.setattr("hazmat.actions.reassess.answers_otherwise", lambda before, after: True)
    reassess_units(order(yard.pk, boss.pk), units=[unit], place="NZ")
    assert "screen_above" in keys(now_of(unit))


def test_a_below_lowers_nothing(yard: Yard, boss: Person) -> None:
    unit = a_unit(yard, boss)
    before = now_of(unit)
    screened(yard, boss, unit, "blue_violet", "blue_violet")
    after = now_of(unit)
    assert "screen_below" in {one["key"] for one in after.answer["because"]}
    assert (after.answer["class"], after.answer["care"]) == (before.answer["class"], before.answer["care"])
    assert after.held
    assert after.oil == before.oil


def test_an_above_after_a_release_ends_it(yard: Yard, boss: Person) -> None:
    """A screen of oil that was released shows 500 or more: the release no longer has under it what it was signed on."""
    unit = a_unit(yard, boss)
    result = enter_result(order(yard.pk, boss.pk), unit=unit, told=reported("12"), place="NZ").the("hazmat.result")
    told: dict[str, Any] = {"decision": "release", "reason": "read", "evidence": [str(result)]}
    sign_verdict(order(yard.pk, boss.pk), unit=unit, read=reading(now_of(unit)), **told)
    assert now_of(unit).stands == "released"
    screened(yard, boss, unit, "yellow", set_point="500")
    assert now_of(unit).stands == "hold"


@pytest.mark.parametrize("wrong", [{"wet": True}, {"expired": True}, {"control_ok": False}])
def test_a_void_screen_raises_and_lowers_nothing(yard: Yard, boss: Person, wrong: dict[str, bool]) -> None:
    unit = a_unit(yard, boss)
    before = now_of(unit).answer
    screened(yard, boss, unit, "blue_violet", **wrong)
    after = now_of(unit).answer
    assert "screen_void" in {one["key"] for one in after["because"]}
    assert (after["class"], after["care"]) == (before["class"], before["care"])


def test_two_readers_who_differ_are_kept_and_the_above_counts(yard: Yard, boss: Person) -> None:
    unit = a_unit(yard, boss)
    screened(yard, boss, unit, "blue_violet", "yellow")
    (one,) = now_of(unit).screens
    assert one.colours == ("blue_violet", "yellow")
    assert one.differ
    assert one.test["colour"] == "yellow"


def test_a_drop_that_sinks_counts_and_one_that_floats_says_nothing(yard: Yard, boss: Person) -> None:
    floats, sinks = a_unit(yard, boss), a_unit(yard, boss)
    before = now_of(floats).answer["care"]
    screened(yard, boss, floats, way="drop", set_point="", sinks=False)
    screened(yard, boss, sinks, way="drop", set_point="", sinks=True)
    assert now_of(floats).answer["care"] == before
    assert now_of(sinks).answer["care"] == "ge500"


def test_a_corrected_screen_stays_and_no_longer_counts(yard: Yard, boss: Person) -> None:
    unit = a_unit(yard, boss)
    first = screened(yard, boss, unit, "yellow")
    second = screened(yard, boss, unit, "blue_violet", replaces=first, why="read upside down")
    old, new = now_of(unit).screens
    assert (old.amended_by, new.amends) == (str(second), str(first))
    assert "screen_above" not in {one["key"] for one in now_of(unit).answer["because"]}
    with pytest.raises(Refused, match="amended already"):
        screened(yard, boss, unit, "yellow", replaces=first, why="again")
    with pytest.raises(Refused, match="Say why the screen is amended"):
        screened(yard, boss, unit, "yellow", replaces=second, why=" ")
    assert prove().faults == []


@pytest.mark.parametrize(
    ("more", "says"),
    [({"space": "bushing X1"}, "no oil space “bushing X1”"), ({"bottle": "AAAAAA"}, "This bottle is not of this unit")],
)
def test_oil_that_is_not_of_this_unit_is_refused(yard: Yard, boss: Person, more: dict[str, str], says: str) -> None:
    unit = a_unit(yard, boss)
    with pytest.raises(Refused, match=says):
        screened(yard, boss, unit, "yellow", **more)
    with pytest.raises(Refused, match=says):
        record_breakdown(order(yard.pk, boss.pk), unit=unit, told=ShotsIn(**{"asked": SHOTS, "space": "tank", **more}))


@pytest.mark.parametrize("shots", ["48,5 55", "fifty", ">60 70"])
def test_shots_that_nothing_can_be_worked_out_from_are_not_kept(yard: Yard, boss: Person, shots: str) -> None:
    """Whoever writes it, by a form or not: else its page could never be read."""
    unit = a_unit(yard, boss)
    with pytest.raises(Refused, match="shots: "):
        record_breakdown(
            order(yard.pk, boss.pk), unit=unit, told=ShotsIn(asked={**SHOTS, "shots": shots}, space="tank")
        )
    assert now_of(unit).breakdowns == ()


def test_a_breakdown_test_changes_no_judgement_and_is_kept_shot_by_shot(yard: Yard, boss: Person) -> None:
    unit = a_unit(yard, boss)
    before = now_of(unit)
    record_breakdown(order(yard.pk, boss.pk), unit=unit, told=ShotsIn(asked=SHOTS, space="tank", cell="kept"))
    after = now_of(unit)
    assert (after.answer, after.oil, after.stands) == (before.answer, before.oil, before.stands)
    assert after.breakdowns[0].asked["shots"] == "48 55 60 52 58 63"
    assert prove().faults == []


@pytest.mark.parametrize(("until", "late"), [("2026-11-24", True), ("2026-11-25", False), ("", False)])
def test_the_last_day_of_a_calibration_counts(yard: Yard, boss: Person, until: str, late: bool) -> None:
    unit = a_unit(yard, boss)
    told = ShotsIn(asked=SHOTS, space="tank", calibrated_until=until)
    record_breakdown(order(yard.pk, boss.pk), unit=unit, told=told)
    assert now_of(unit).breakdowns[0].out_of_calibration("2026-11-25") is late


# ------------------------------------------------------------------ pages


def sent(cast: Cast, name: str, follow: bool = True, **told: Any) -> str:
    client = cast.client("boss")
    words = {key: cast.words[key] for key in ("tag", "screen", "breakdown") if key in told.pop("of", ("tag",))}
    path = at(cast, name, **words)
    act = token(client.get(path).content.decode())
    answer = client.post(path, {"act": act, **told}, follow=follow)
    return re.sub(r"\s+", " ", unescape(answer.content.decode()))


TUBE = {"way": "colour", "set_point": "50", "colour": "yellow", "space": "tank"}


def test_a_screen_is_written_down_with_its_picture(cast: Cast) -> None:
    pictures = Photograph.objects.count()
    shown = sent(cast, "record_screen", **TUBE, pictures_other=jpeg("yellow"))
    assert "A screen was written down" in shown
    assert "The unit is judged by it; nobody released it." in shown
    assert "Read by one" in shown
    assert Photograph.objects.count() == pictures + 1


def test_a_test_typed_with_the_look_does_not_speak_for_a_screen(cast: Cast) -> None:
    """The line holds tests of its own before the screens: each screen is told by its own place."""
    yard, boss = Yard.objects.get(code=cast.yard).pk, cast.people["boss"]
    typed = {"how": "screen", "on": "2025-01-05", "space": "tank", "set_point": "500", "colour": "yellow"}
    look = look_in(line={**LINE, "tests": [typed]})
    unit = log_unit(order(yard, boss.pk), look=look, place="NZ").the("hazmat.unit")
    told = ScreenIn(way="colour", space="tank", set_point="20", colours=("blue_violet",))
    record_screen(order(yard, boss.pk), unit=unit, told=told, place="NZ")
    (one,) = screens_of(now_of(unit), "NZ")
    assert one["says"].startswith("Screen says below 20 mg/kg")


def test_a_bottle_knows_its_own_oil_space(cast: Cast) -> None:
    """Whoever picks the bottle need not pick its space: another one in the box beside it does not count."""
    yard, boss = Yard.objects.get(code=cast.yard).pk, cast.people["boss"]
    line = {**LINE, "spaces": [{"name": "conservator", "kind": "transformer"}]}
    whole = dict.fromkeys(("detector_before", "detector_after", "back_feed", "earthed"), True)
    dead = {"dead": "yes", "how": "detector", "proved_by": "Mere Example", **whole}
    unit = log_unit(order(yard, boss.pk), look=look_in(line=line, proved=dead), place="NZ").the("hazmat.unit")
    bottle = label_bottle(order(yard, boss.pk), unit=unit, space="conservator").the("hazmat.bottle")
    hand_bottle(order(yard, boss.pk), bottle=bottle, what="filled", place="NZ", names={"gave": "M"}, point="bottom")
    code = now_of(unit).bottles[0].code
    now = now_of(unit)
    form = ScreenForm({**TUBE, "sample": code}, unit=now, spaces=["tank", "conservator"], zone=ZoneInfo(ZONE))
    assert form.is_valid(), form.errors
    assert (form.told().space, form.told().bottle) == ("conservator", code)


def test_the_page_states_what_each_screen_says(cast: Cast) -> None:
    """Nobody has to know that blue to violet means below: the page says it, of each one that counts."""
    below = page_of(cast)
    assert "<b>Screen says below 50 mg/kg (read as 42 % chlorine) for the tank: " in below
    assert "The screen of the tank does not count: the kit was past its date." in sent(
        cast, "record_screen", **{**TUBE, "expired": "yes"}
    )
    above = sent(cast, "record_screen", **{**TUBE, "set_point": "500"})
    assert "<b>Screen says above 500 mg/kg (read as 42 % chlorine) for the tank" in above
    assert above.index("<b>Screen says above 500") < above.index("<b>Screen says below")
    assert "The two saw different colours" not in above
    assert "The two saw different colours" in sent(cast, "record_screen", **{**TUBE, "second": "blue_violet"})


def page_of(cast: Cast) -> str:
    answer = cast.client("boss").get(at(cast, "unit", tag=cast.words["tag"]))
    return re.sub(r"\s+", " ", unescape(answer.content.decode()))


@pytest.mark.parametrize("name", ["record_screen", "record_breakdown"])
def test_without_proof_of_death_the_page_says_that_nothing_is_drawn(cast: Cast, name: str) -> None:
    now = UNITS.kept(Unit.objects.get(tag=cast.words["tag"]).pk)
    assert now
    assert not now.proved
    why = sampling_refused(now, "NZ")
    assert why
    client = cast.client("boss")
    assert why.rstrip(".") in unescape(client.get(at(cast, name, tag=cast.words["tag"])).content.decode())
    whole = dict.fromkeys(("detector_before", "detector_after", "back_feed", "earthed"), True)
    proved = {"dead": "yes", "how": "detector", "proved_by": "Mere Example", **whole}
    prove_dead(order(UUID(now.yard), cast.people["boss"].pk), unit=UUID(now.unit), proved=proved)
    assert why.rstrip(".") not in unescape(client.get(at(cast, name, tag=cast.words["tag"])).content.decode())


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"colour": ""}, "Pick the colour that you see"),
        ({"set_point": ""}, "Pick to what the tube is set"),
        ({"set_point": "other"}, "Write to what the tube is set"),
        ({"set_point": "other", "other_point": "0"}, "Write to what the tube is set"),
        ({"way": "drop"}, "Say what the drop did"),
        ({"way": ""}, "Pick what was tried"),
        ({"colour": "green"}, "none of the answers"),
        ({"when": "2099-01-01T10:00"}, "lies in the future"),
    ],
)
def test_a_screen_that_says_nothing_is_asked_about(cast: Cast, told: dict[str, str], says: str) -> None:
    entries = cast.entries()
    assert says in sent(cast, "record_screen", **{**TUBE, **told})
    assert cast.entries() == entries


def test_a_screen_is_corrected_from_what_stood_there(cast: Cast) -> None:
    client = cast.client("boss")
    path = at(cast, "correct_screen", tag=cast.words["tag"], screen=cast.words["screen"])
    page = client.get(path).content.decode()
    assert re.search(r'value="blue_violet"[^>]*checked', page)
    told = {**TUBE, "act": token(page)}
    assert "Say why it is corrected" in unescape(client.post(path, told).content.decode())
    shown = unescape(client.post(path, {**told, "why": "bad light"}, follow=True).content.decode())
    assert "Amended, no longer counts." in shown


def test_a_breakdown_test_is_shown_shot_by_shot(cast: Cast) -> None:
    """Mean of 48 55 60 52 58 63 is 56.0 (IEC 60156: all six count)."""
    shown = sent(cast, "record_breakdown", method="iec_60156", shots="48 55 60 52 58 63", space="tank", ramp_kv_s="3")
    assert '<dd class="value">56 kV</dd>' in shown
    assert shown.count("<circle") == 6
    assert "It says nothing about PCB." in shown
    assert "3 kV/s" in shown


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"shots": "48,5 55"}, "comma"),
        ({"shots": ""}, "may stand there"),
        ({"method": ""}, "may stand there"),
        ({"shots": "48 fifty"}, "Shot 2 cannot be read"),
    ],
)
def test_shots_that_cannot_be_read_are_asked_about(cast: Cast, told: dict[str, str], says: str) -> None:
    entries = cast.entries()
    shown = sent(cast, "record_breakdown", **{**SHOTS, "space": "tank", **told})
    assert says in shown, re.findall(r"invalid-feedback[^<]*<[^<]*<[^<]*", shown)
    assert cast.entries() == entries


def test_a_calibration_that_ran_out_is_flagged_and_an_arrow_stands_for_a_shot_above(cast: Cast) -> None:
    shown = sent(
        cast, "record_breakdown", method="own", shots="40 >60", space="tank", tester="bench tester",
        calibrated_until="2020-01-31", cell="shared",
    )  # fmt: skip
    assert "ran out on 31 Jan 2020" in shown
    assert shown.count("<circle") == 1
    assert '<path d="M' in shown
    assert "other oil goes through it too" in shown
