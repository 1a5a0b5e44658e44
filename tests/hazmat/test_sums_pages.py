"""The pages of named calculations: each is worked out from its own published values, and a slip is one sentence."""

import re
from datetime import date
from html import unescape
from typing import Any

import pytest
from django.urls import reverse

from hazmat.core.sums.frame import Check, Sum
from hazmat.edge.shapes import Slip
from hazmat.edge.sums import value_words, work
from hazmat.forms.fields import shown_number
from hazmat.forms.look import tell
from hazmat.rulebooks.sumbook import sums
from tests.cast import Cast

pytestmark = pytest.mark.django_db

SUMS = sums()


def page(cast: Cast, name: str, **asked: Any) -> str:
    sent = cast.client("visitor").get(reverse("sum", kwargs={"yard": cast.yard, "sum": name}), asked)
    assert sent.status_code == 200
    return re.sub(r"\s+", " ", unescape(sent.content.decode()))


def written(check: Check) -> dict[str, str]:
    """What a published case gives, as somebody types it: what could be read in two ways gets an idle nought."""
    return {key: typed(value) for key, value in check.give.items()}


def typed(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return " ".join(map(str, value)) if isinstance(value, list) else shown_number(str(value), False)


def test_all_are_listed_and_linked(cast: Cast) -> None:
    sent = cast.client("visitor").get(reverse("sums", kwargs={"yard": cast.yard})).content.decode()
    for name, one in SUMS.items():
        assert f'href="/{cast.yard}/sums/{name}/"' in sent
        assert one.says in unescape(sent)


@pytest.mark.parametrize("name", SUMS)
def test_a_page_says_how_by_whom_and_what_others_got(cast: Cast, name: str) -> None:
    asked, shown = SUMS[name], page(cast, name)
    assert all(cite.document in shown for cite in asked.cites)
    assert all(check.name in shown for check in asked.checks)
    assert "apart</b>" not in shown
    assert "Answer</h2>" not in shown


@pytest.mark.parametrize(
    ("asked", "check"),
    [(one, check) for one in SUMS.values() for check in one.checks],
    ids=lambda one: one.name,
)
def test_what_somebody_types_is_worked_out_as_it_was_published(cast: Cast, asked: Sum, check: Check) -> None:
    shown = page(cast, asked.name, **written(check))
    if check.refuses:
        with pytest.raises(Slip) as caught:
            work(asked, check.give, date(2026, 11, 26))
        assert "Answer</h2>" not in shown
        assert tell(caught.value.says) in shown
        return
    assert "Answer</h2>" in shown
    worked = work(asked, check.give, date(2026, 11, 26))
    for line in asked.lines:
        if line.key in worked.values:
            assert f'<dd class="value">{value_words(line, worked.values[line.key])}</dd>' in shown


def test_a_decimal_comma_is_read_and_echoed_and_what_is_unclear_is_asked(cast: Cast) -> None:
    shown = page(cast, "density", density_15="0,88", to="40", litres="205")
    assert "Density at 15 °C: 0.88 kg/L" in shown
    assert "201.3 L" in shown
    shown = page(cast, "density", density_15="0.88", to="40", litres="1,205")
    assert "This can be read in two ways" in shown
    assert "Answer</h2>" not in shown


def test_degrees_below_nought_are_read(cast: Cast) -> None:
    for minus in ("-10", "−10"):
        assert "1.01774" in page(cast, "density", density_15="0.88", to=minus)


def test_what_cannot_be_is_said_under_its_box(cast: Cast) -> None:
    shown = page(cast, "density", density_15="1.5", to="40")
    assert "The formula holds from 801 to 1164 kg/m3 at 15 °C only" in shown
    assert "from -50 to 150 °C" in page(cast, "density", density_15="0.88", to="500")
    assert "may stand there" in page(cast, "density", density_15="0.88")


def test_a_sum_that_nobody_knows_is_not_there(cast: Cast) -> None:
    path = reverse("sum", kwargs={"yard": cast.yard, "sum": "no-such"})
    assert cast.client("visitor").get(path).status_code == 404


def test_a_tube_is_drawn_side_by_side_for_every_mixture(cast: Cast) -> None:
    """50 × 0.42 over the share of chlorine that the number of a mixture tells: 1254 trips at 38.9, 1221 at 100."""
    shown = page(cast, "trips_at", set_point="50", mixture="unknown")
    drawn = re.search(r"<svg.*?</svg>", shown)
    assert drawn
    assert "<title>PCB at which the tube just trips, side by side</title>" in drawn[0]
    assert drawn[0].count("<rect") == 9
    assert "1254 (54 %): 38.9 mg/kg" in drawn[0]
    assert "1221 (21 % chlorine): 100" in drawn[0]
    assert "not known" not in drawn[0]


def test_chlorine_is_drawn_the_way_that_was_asked(cast: Cast) -> None:
    """30 mg/kg of chlorine is 50 of a mixture of 60 %; 50 mg/kg of PCB of that mixture is 30 of chlorine."""
    there, back = page(cast, "chlorine", chlorine="30"), page(cast, "chlorine", pcb="50")
    assert "<title>PCB, side by side</title>" in there
    assert "1260 (60 %): 50" in there
    assert "<title>Chlorine, side by side</title>" in back
    assert "1260 (60 %): 30" in back
    assert "<svg" not in page(cast, "density", density_15="0.88", to="40", litres="200")
