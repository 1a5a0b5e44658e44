"""An extension of use that an authority gave: whose day counts, what is refused, what the page says."""

from datetime import date
from typing import Any

import pytest
from django.urls import reverse

from hazmat.actions.extensions import extend_use
from hazmat.actions.units import log_unit
from hazmat.book.act import Refused
from hazmat.core.extended import UNTIL, ExtensionIn, ExtensionNow, put_off
from hazmat.core.unitnow import UnitNow
from hazmat.queries.units import UNITS
from tests.cast import Cast, look_in, order
from tests.hazmat.test_tool_pages import plain

POLE = {
    "kind": "transformer", "built": "1970", "fluid": "mineral", "role": "holder", "state": "in_use", "mounting": "pole",
    "found_in": "CA",
    "tests": [{"how": "laboratory", "method": "GC", "value": "120", "unit": "mg/kg", "on": "2025-03-01"}],
}  # fmt: skip
"""In use on a pole in Canada, over 50 mg/kg: its last day is the end of 2026 (SOR/2008-273, s.16(2))."""
LETTER = ExtensionIn(until=date(2029, 12, 31), given_on=date(2025, 11, 3), by="The Minister", number="E 7")


def logged(cast: Cast, **more: Any) -> UnitNow:
    seen = log_unit(asked(cast), look=look_in(line={**POLE, **more}), place="CA")
    return kept(seen.the("hazmat.unit"))


def asked(cast: Cast) -> Any:
    return order(cast.yard_id, cast.people["boss"].pk)


def kept(unit: Any) -> UnitNow:
    now = UNITS.kept(unit)
    assert now is not None
    return now


def due(now: UnitNow) -> str:
    (duty,) = [one for one in now.answer["duties"] if one["name"] == "end_use_pole"]
    return str(duty["due"])


def extended(cast: Cast, now: UnitNow, told: ExtensionIn = LETTER, **more: Any) -> UnitNow:
    extend_use(asked(cast), unit=now.unit, told=told, place="CA", **more)
    return kept(now.unit)


def test_a_letter_puts_off_the_last_day_of_use(cast: Cast) -> None:
    now = logged(cast)
    assert due(now) == "2026-12-31"
    now = extended(cast, now)
    assert due(now) == "2029-12-31"
    assert now.stands == "hold"


def test_an_earlier_day_shortens_nothing(cast: Cast) -> None:
    early = ExtensionIn(until=date(2026, 12, 30), given_on=date(2025, 11, 3), by="The Minister")
    assert due(extended(cast, logged(cast), early)) == "2026-12-31"


def test_of_a_day_that_was_said_and_one_of_a_letter_the_later_counts(cast: Cast) -> None:
    assert due(extended(cast, logged(cast, use_extended_until="2028-12-31"))) == "2029-12-31"
    assert due(extended(cast, logged(cast, use_extended_until="2030-12-31"))) == "2030-12-31"


def test_a_corrected_one_no_longer_counts(cast: Cast) -> None:
    now = extended(cast, logged(cast))
    right = ExtensionIn(until=date(2028, 12, 31), given_on=date(2025, 11, 3), by="The Minister")
    now = extended(cast, now, right, replaces=now.extensions[0].id, why="read the wrong line")
    assert due(now) == "2028-12-31"
    assert [bool(one.amended_by) for one in now.extensions] == [True, False]


def test_a_later_screen_or_correction_keeps_the_day(cast: Cast) -> None:
    from hazmat.actions.screens import record_screen
    from hazmat.actions.units import correct_unit
    from hazmat.core.screened import ScreenIn

    now = extended(cast, logged(cast))
    tube = ScreenIn(way="colour", space="tank", set_point="50", colours=("yellow",))
    record_screen(asked(cast), unit=now.unit, told=tube, place="CA")
    now = kept(now.unit)
    assert due(now) == "2029-12-31"
    look = look_in(line={**POLE, "fluid_volume_l": "60"})
    correct_unit(asked(cast), unit=now.unit, based_on=now.look, look=look, place="CA")
    now = kept(now.unit)
    assert (due(now), now.line["fluid_volume_l"]) == ("2029-12-31", "60")


@pytest.mark.parametrize(
    ("told", "says"),
    [
        (ExtensionIn(until=date(2200, 1, 1), given_on=date(2199, 1, 1), by="M"), "after today"),
        (ExtensionIn(until=date(2025, 11, 2), given_on=date(2025, 11, 3), by="M"), "end before it was given"),
    ],
)
def test_days_that_cannot_be_are_refused(cast: Cast, told: ExtensionIn, says: str) -> None:
    now = logged(cast)
    with pytest.raises(Refused, match=says):
        extended(cast, now, told)
    assert kept(now.unit).extensions == ()


def test_an_extension_that_ends_on_its_own_day_may_be(cast: Cast) -> None:
    told = ExtensionIn(until=date(2025, 11, 3), given_on=date(2025, 11, 3), by="M")
    assert len(extended(cast, logged(cast), told).extensions) == 1


def test_the_page_offers_it_where_the_law_knows_it(cast: Cast) -> None:
    client = cast.client("technician")
    canadian, other = logged(cast), kept(log_unit(asked(cast), look=look_in(), place="NZ").the("hazmat.unit"))
    pages = {one.tag: plain(client.get(reverse("unit", args=(cast.yard, one.tag)))) for one in (canadian, other)}
    assert "Write down an extension of its use" in pages[canadian.tag]
    assert "Write down an extension of its use" not in pages[other.tag]


def test_it_is_typed_and_told(cast: Cast) -> None:
    client, now = cast.client("technician"), logged(cast)
    where = reverse("extend_use", args=(cast.yard, now.tag))
    page = client.get(where).content.decode()
    act = page.split('name="act" value="', 1)[1].split('"', 1)[0]
    typed = {"act": act, "by": "The Minister", "given_on": "2025-11-03", "until": "2029-12-31", "number": "E 7"}
    bad = client.post(where, {**typed, "until": "2025-11-02"})
    assert bad.status_code == 422
    assert "end before it was given" in plain(bad)
    assert 'value="E 7"' in bad.content.decode()
    said = plain(client.post(where, typed, follow=True))
    assert "Use was extended until 31 Dec 2029 by The Minister, letter of 3 Nov 2025, number E 7." in said
    assert "Until 31 Dec 2029 , given by The Minister on 3 Nov 2025, number E 7." in said.replace("2029,", "2029 ,")
    assert due(kept(now.unit)) == "2029-12-31"


def test_nothing_is_put_off_without_one() -> None:
    line = {"kind": "transformer"}
    assert put_off(line, ()) is line
    gone = ExtensionNow(id="1", until="2029-12-31", given_on="2025-11-03", by="M", at="", amended_by="2")
    assert UNTIL not in put_off(line, (gone,))
