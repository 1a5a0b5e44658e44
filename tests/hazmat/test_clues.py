"""Clues to the size and year of a unit without a plate: what they come to, and that nothing is decided by them.

Worked by hand: 15 A at 11 kV in three phases. A fuse of 1.1 to 3 times the full load leaves 95.3 to 259.8 kVA; nearest
to 1.5 times is 200 kVA (10.5 A). Litres go by 230 x (kVA / 100) to the power of 0.64, x 0.6 to x 1.5 (our own curve):
138 L at the least for 100 kVA, 620 L at the most for 250 kVA. BS 148 first came out in 1923 (published).
"""

import re
from html import unescape
from typing import Any
from uuid import UUID

import pytest
from django.utils.timezone import localdate

from hazmat.actions.clues import record_clues
from hazmat.book.act import Refused
from hazmat.book.prove import prove
from hazmat.core.clues import CluesIn
from hazmat.edge.likely import likely
from hazmat.edge.shapes import Slip
from hazmat.models import Person, Yard
from hazmat.queries.units import UNITS
from tests.browsing import at, token
from tests.cast import Cast, order
from tests.hazmat.signing import logged, the

pytestmark = [pytest.mark.both, pytest.mark.django_db]
FUSE = {"phases": "3", "kv": "11", "fuse_a": "15"}


def come_to(fluid: str | None = "mineral", **asked: Any) -> Any:
    return likely(asked, {"fuse_a": "said", "kv": "guessed"}, fluid, localdate())


def test_a_fuse_and_a_voltage_come_to_a_likely_size_and_a_band() -> None:
    found = come_to(**FUSE)
    assert found.size.startswith("Likely 200 kVA, plausible 100 to 250: some 138 to 620 litres,")
    assert "never a mass to lift by" in found.size
    assert "4 drums to have ready" in found.size
    assert found.year == ""


def test_each_clue_says_who_says_so_and_what_it_tells() -> None:
    clues = {clue.says: clue for clue in come_to(**FUSE).clues}
    assert clues["Fuse or link, as marked on it"].source == "said"
    assert clues["High voltage"].source == "guessed"
    assert "weighs little" in clues["Fuse or link, as marked on it"].tells
    assert clues["Fuse or link, as marked on it"].cite


def test_a_terminal_alone_bounds_the_size_from_above() -> None:
    """1.732 x 433 V x 250 A is 187 kVA."""
    assert come_to(phases="3", lv_a="250").size.startswith("No more than 187 kVA by its terminal")


def test_words_of_a_plate_bound_the_year_from_below() -> None:
    found = come_to(plate="OIL TO BS 148")
    assert found.size == ""
    assert found.year.startswith("Built in 1923 or later")


def test_a_size_that_the_curve_does_not_reach_tells_no_litres() -> None:
    assert "no litres are told for such a size" in come_to(phases="3", lv_a="9000").size


@pytest.mark.parametrize("asked", [{}, {"tank": "unknown"}, {"phases": "3"}, {"origin": "metric", "phases": "3"}])
def test_nothing_comes_to_nothing(asked: dict[str, str]) -> None:
    with pytest.raises(Slip, match="nothing was told"):
        come_to(**asked)


def test_askarel_weighs_more_than_oil_in_a_unit_of_the_same_size() -> None:
    """1.5 kg/L in the place of 0.88, common practice."""
    heaviest = [int(re.findall(r"to (\d+) kg", come_to(fluid, **FUSE).size)[0]) for fluid in ("mineral", "askarel")]
    assert heaviest[0] < heaviest[1]


def test_a_page_is_read_though_no_sum_takes_its_clues_any_more(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    yard, boss = Yard.objects.get(pk=cast.yard_id), cast.people["boss"]
    now = logged(yard, boss)
    told = CluesIn(asked=FUSE, sources={})
    record_clues(order(yard.pk, boss.pk), unit=UUID(now.unit), told=told)

    def refused(*_: Any) -> Any:
        raise Slip("kv", "out of bounds by now")

    monkeypatch.setattr("hazmat.views.units.likely", refused)
    page = cast.client("visitor").get(at(cast, "unit", tag=now.tag))
    assert page.status_code == 200
    assert "Likely size and year</h3>" not in page.content.decode()


def test_clues_decide_nothing_and_the_latest_count(yard: Yard, boss: Person) -> None:
    now = logged(yard, boss)
    for fuse in ("15", "40"):
        told = CluesIn(asked={**FUSE, "fuse_a": fuse}, sources={"fuse_a": "seen"})
        record_clues(order(yard.pk, boss.pk), unit=UUID(now.unit), told=told, note="link in the drop-out")
    after = the(now.unit)
    assert (after.answer, after.line, after.oil) == (now.answer, now.line, now.oil)
    assert [one.asked["fuse_a"] for one in after.clues] == ["15", "40"]
    assert after.clues[-1].sources == {"fuse_a": "seen"}
    assert UNITS.fold([UUID(now.unit)])[UUID(now.unit)] == after
    assert prove().faults == []
    with pytest.raises(Refused, match="nothing was told"):
        record_clues(order(yard.pk, boss.pk), unit=UUID(now.unit), told=CluesIn(asked={}, sources={}))


def test_the_page_asks_refuses_and_tells(cast: Cast) -> None:
    yard, boss = Yard.objects.get(pk=cast.yard_id), cast.people["boss"]
    now, mine = logged(yard, boss), cast.client("yard_hand")
    where = at(cast, "record_clues", tag=now.tag)
    page = mine.get(where).content.decode()
    assert 'value="25 KVA; OIL 75 L"' in page
    wrong = mine.post(where, {"act": token(page), "kv": "11,5,0", "fuse_a": "15", "phases": "3"})
    assert wrong.status_code == 422
    nothing = mine.post(where, {"act": token(mine.get(where).content.decode()), "phases": "3"})
    assert nothing.status_code == 422
    assert "Nothing was told that bounds a size or a year" in unescape(nothing.content.decode())
    told = {**FUSE, "act": token(mine.get(where).content.decode()), "src_fuse_a": "seen", "plate": "BS 148"}
    assert mine.post(where, told).status_code == 302
    for name in ("record_clues", "unit"):
        page = unescape(mine.get(at(cast, name, tag=now.tag)).content.decode())
        assert "Likely 200 kVA, plausible 100 to 250" in page
        assert "Built in 1923 or later" in page
    page = unescape(mine.get(where).content.decode())
    assert "Fuse or link, as marked on it: 15 A</b> (seen)" in page
    assert 'name="fuse_a" value="15"' in page
