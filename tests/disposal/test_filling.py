"""How full a drum may be, by its page and by its pours; its UN mark read, and flagged where it does not suit."""

from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from disposal.core.drumnow import DrumNow
from disposal.core.filling import boxes, held, last_warmth, liquid_of, weighed_density
from disposal.models import Drum, Move
from disposal.papers.plots import drum_svg
from hazmat.actions.units import log_unit
from hazmat.book.act import Refused
from hazmat.book.canonical import parsed
from hazmat.models import Entry, Unit
from tests.cast import Cast, look_in
from tests.disposal.pours import LAB, Place, drum_now, same_from_records
from tests.disposal.test_drum_pages import at, ours, sent, shown

OIL = {"fluid": "mineral", "density_kg_l": "0.88"}
"""Oil whose limits were worked out by hand: 205 L take 195.85 at 15 °C, 198.70 at 35 °C, 192.39 at -10 °C."""


def told(page: str) -> str:
    return " ".join(page.split())


# ------------------------------------------------------------------ which liquid


@pytest.mark.parametrize(
    ("lines", "name", "densities"),
    [
        ([], "unknown", (None, None)),
        ([{}], "unknown", (None, None)),
        ([{"fluid": "mineral"}], "mineral", (None, None)),
        ([{"fluid": "mineral"}, {"fluid": "mineral"}], "mineral", (None, None)),
        ([{"fluid": "mineral"}, {}], "unknown", (None, None)),
        ([{"fluid": "mineral"}, {"fluid": "askarel"}], "unknown", (None, None)),
        ([{"fluid": "ester"}], "unknown", (None, None)),
        ([{"fluid": "silicone", "density_kg_l": "0.96"}], "silicone", ("0.96", "0.96")),
        ([OIL, {**OIL, "density_kg_l": "0.87"}], "mineral", ("0.87", "0.88")),
        ([OIL, {"fluid": "mineral"}], "mineral", (None, None)),
    ],
)
def test_the_liquid_is_what_every_source_says(lines: list[Any], name: str, densities: tuple[Any, Any]) -> None:
    found = liquid_of(lines)
    assert found.name == name
    assert (found.lightest, found.heaviest) == tuple(Decimal(one) if one else None for one in densities)


def drum(**more: Any) -> DrumNow:
    told = {"drum": "1", "yard": "1", "code": "K7M4PX", "kind": "drum", "capacity_l": "205", "made_at": "2026-01-01"}
    return DrumNow(**{**told, "seq": "1", "happened_at": "2026-01-01", **more})


def test_what_is_in_it_is_the_most_that_it_can_be() -> None:
    oil, askarel = liquid_of([OIL]), liquid_of([{"fluid": "askarel"}])
    some: Any = (object(),)
    assert held(drum(), oil) == {"held_l": "0"}
    assert held(drum(), askarel) == {"held_kg": "0"}
    assert held(drum(moves=some, between_l=("100", "120"), between_kg=("88", "106")), oil) == {"held_l": "120"}
    assert held(drum(moves=some, between_l=("100", "300")), oil) == {"held_l": "205"}
    assert held(drum(moves=some, between_l=("100", "120"), between_kg=("150", "180")), askarel) == {"held_kg": "180"}
    assert held(drum(moves=some, between_l=("0", ""), between_kg=("88", "88")), oil) == {"held_kg": "88"}
    assert held(drum(moves=some, between_l=("0", ""), between_kg=("0", "")), oil) == {}
    assert held(drum(moves=some, between_l=("100", "120"), between_kg=("0", "")), askarel) == {}


def test_boxes_hold_what_is_known() -> None:
    assert boxes("205", liquid_of([OIL]), "15") == {
        "capacity_l": "205", "liquid": "mineral", "density_15": "0.88", "filled_at": "15",
    }  # fmt: skip
    assert boxes("205", liquid_of([]), "") == {"capacity_l": "205", "liquid": "unknown"}
    assert last_warmth(drum()) == ""
    assert weighed_density(drum(litres="100", kg="156")) == Decimal("1.56")
    assert weighed_density(drum(litres="100", kg="")) is None
    assert weighed_density(drum()) is None


# ------------------------------------------------------------------ pouring


@pytest.mark.django_db
@pytest.mark.parametrize(("celsius", "most"), [("15", "195.8"), ("35", "198.7"), ("-10", "192.3"), ("50", "200.9")])
def test_no_more_is_poured_than_may_be_at_that_temperature(place: Place, celsius: str, most: str) -> None:
    unit, into = place.unit("80", **OIL), place.drum("205")
    over = str(Decimal(most) + Decimal("0.2"))
    with pytest.raises(Refused) as refusal:
        place.pour(unit, into, over, celsius=celsius)
    assert f"At {celsius} °C at most {most} L may be in drum" in str(refusal.value)
    assert "ADR 2013, 4.1.1.4" in str(refusal.value)
    assert not Move.objects.exists()
    place.pour(unit, into, most, celsius=celsius)
    assert drum_now(into).moves[0].celsius == celsius
    same_from_records(into)


@pytest.mark.django_db
def test_two_pours_count_together_and_a_late_one_is_held_against_what_came_after(place: Place) -> None:
    unit, into = place.unit("80", **OIL), place.drum("205")
    place.pour(unit, into, "150", minute=20, celsius="15")
    with pytest.raises(Refused, match=r"195\.8 L may be in drum .*, so that .* 196 L at least"):
        place.pour(unit, into, "46", minute=30, celsius="15")
    with pytest.raises(Refused, match=r"^On .*: At 15 °C at most 195\.8 L"):
        place.pour(unit, into, "46", minute=10)
    place.pour(unit, into, "45", minute=30, celsius="15")


@pytest.mark.django_db
def test_without_a_temperature_nothing_but_the_brim_refuses(place: Place) -> None:
    unit, into = place.unit("80", **OIL), place.drum("205")
    place.pour(unit, into, "205")
    assert drum_now(into).moves[0].celsius == ""


@pytest.mark.django_db
def test_a_liquid_that_nobody_knows_goes_in_less_full(place: Place) -> None:
    """98 / (1 + 0.00104 × 35) = 94.558 % of 205 L is 193.84 L, by hand."""
    unit, into = place.unit("80"), place.drum("205")
    with pytest.raises(Refused, match=r"at most 193\.8 L"):
        place.pour(unit, into, "193.9", celsius="15")
    place.pour(unit, into, "193.8", celsius="15")


@pytest.mark.django_db
@pytest.mark.parametrize("celsius", ["-50.1", "100.1", "warm", "1e2", "--5", "١٥"])
def test_a_temperature_that_cannot_be_is_refused(place: Place, celsius: str) -> None:
    with pytest.raises(Refused, match="from -50 to 100, or leave it empty"):
        place.pour(place.unit("80"), place.drum("205"), "10", celsius=celsius)


@pytest.mark.django_db
def test_a_pour_without_a_temperature_leaves_its_image_as_it_ever_was(place: Place) -> None:
    place.pour(place.unit("80"), place.drum("205"), "10")
    body = parsed(Entry.objects.order_by("-seq").values_list("body", flat=True)[0])
    (image,) = [one["image"] for one in body["records"] if one["table"] == "disposal.move"]
    assert "celsius" not in image


# ------------------------------------------------------------------ the page


def labelled(cast: Cast, **more: str) -> str:
    done = sent(cast.client("yard_hand"), at(cast, "label_drum"), **{"capacity_l": "205", **more})
    return str(done["Location"]).rstrip("/").rsplit("/", 1)[-1]


def filled(cast: Cast, code: str, litres: str = "", line: Any = None, **more: str) -> Any:
    line = {"kind": "drum", "tests": [{**LAB, "value": "80"}], **(line or OIL)}
    unit = log_unit(ours(cast), look=look_in(line=line), place="NZ").the("hazmat.unit")
    key = str(Drum.objects.get(code=code).pk)
    where = at(cast, "drain", tag=Unit.objects.get(pk=unit).tag)
    return sent(cast.client("yard_hand"), where, space="tank", into=key, litres=litres, **more)


def page_of(cast: Cast, code: str, **asked: str) -> str:
    answer = cast.client("visitor").get(at(cast, "drum", drum=code), asked)
    assert answer.status_code == 200
    return told(answer.content.decode())


@pytest.mark.django_db
def test_the_page_draws_what_is_in_it_and_what_may_be(cast: Cast) -> None:
    code = labelled(cast)
    filled(cast, code, "120", celsius="15")
    page = page_of(cast, code)
    assert "to the brim 205 L; at most 195.8 L at 15 °C; in it 120 L" in page
    assert '<dt>At most in it</dt><dd class="value">195.8 L</dd>' in page
    assert '<dt>Room left</dt><dd class="value">75.8 L</dd>' in page
    assert '<dt>Room left, by mass</dt><dd class="value">66.7 kg</dd>' in page
    first = page.split('id="filling"', 1)[1].split("<svg", 1)[0]
    assert "What is in it has room to grow: at this temperature up to 195.8 L may be in it." in first
    assert page.count("What is in it has room to grow") == 1
    assert "at 15 °C" in page.split("What was poured", 1)[1]
    cold = page_of(cast, code, at="-10")
    assert "at most 192.3 L at -10 °C" in cold
    assert 'value="-10"' in cold


@pytest.mark.django_db
def test_nobody_said_how_warm_it_counts_as_cold_and_is_warned(cast: Cast) -> None:
    code = labelled(cast)
    done = filled(cast, code, "198")
    page = told(cast.client("yard_hand").get(done["Location"]).content.decode())
    assert "at most 192.3 L at -10 °C; in it 198 L" in page
    assert "Much too full: it would be full to the brim before 55 °C" in page
    assert "Nobody says how warm the liquid was: it counts as -10 °C cold." in page
    assert "At this temperature at most 192.3 L may be in it." in page
    assert "What is in it has room to grow" in page_of(cast, code, at="35")


@pytest.mark.django_db
def test_the_warning_stands_on_the_page_that_follows(cast: Cast) -> None:
    client, code = cast.client("yard_hand"), labelled(cast)
    for litres, warned in (("100", False), ("98", True)):
        line = {"kind": "drum", "tests": [{**LAB, "value": "80"}], **OIL}
        unit = Unit.objects.get(pk=log_unit(ours(cast), look=look_in(line=line), place="NZ").the("hazmat.unit"))
        key = str(Drum.objects.get(code=code).pk)
        done = sent(client, at(cast, "drain", tag=unit.tag), space="tank", into=key, litres=litres)
        assert ("Nobody wrote how warm it was. Filled at -10 °C" in told(shown(client, done["Location"]))) == warned


@pytest.mark.django_db
@pytest.mark.parametrize(("asked", "says"), [("warm", "This is no plain number"), ("101", "from -50 to 100")])
def test_a_temperature_that_cannot_be_read_is_said_under_its_box(cast: Cast, asked: str, says: str) -> None:
    page = page_of(cast, cast.words["drum"], at=asked)
    assert says in page
    assert f'value="{asked}"' in page


@pytest.mark.django_db
def test_an_overfull_pour_by_page_loses_nothing(cast: Cast) -> None:
    code = labelled(cast)
    page = filled(cast, code, "196", celsius="15", note="by the creek")
    assert page.status_code == 422
    assert "At 15 °C at most 195.8 L may be in drum" in page.content.decode()
    assert "by the creek" in page.content.decode()
    assert filled(cast, code, "10", celsius="101").status_code == 422


@pytest.mark.django_db
def test_askarel_goes_by_kilograms(cast: Cast) -> None:
    """213 L at 15 °C take 318.5 kg; 100 kg in it leave 218.5 kg, by hand."""
    code = labelled(cast, capacity_l="213", un_mark="UN 1A1/Y1.4/150/22/NZ/H114")
    filled(cast, code, line={"fluid": "askarel"}, kg="100", celsius="15")
    page = page_of(cast, code)
    assert "318.5 kg" in page
    assert "218.5 kg" in page
    assert "By its mark it does not suit." in page
    assert "A liquid of 1.563 kg/L is heavier than the 1.4 kg/L that its mark carries." in page
    litres = labelled(cast, capacity_l="213")
    filled(cast, litres, "60", line={"fluid": "askarel"}, celsius="15")
    assert "how many litres are in it is not known" in page_of(cast, litres)


# ------------------------------------------------------------------ the mark


@pytest.mark.django_db
@pytest.mark.parametrize(("mark", "says"), [
    ("", "None is on record."),
    ("UN 1A1/Y1.4/150/22/NZ/H114", "As far as its mark tells, it suits."),
    ("UN 1A1/Z1.4/150/22/NZ/H114", "Z stands for packing group III, and this is of packing group II."),
    ("UN 1A2/Y425/S/22/NZ/H114", "It is made for solids or inner packagings"),
    ("UN 1H1/Y1.4/150/12/NZ/H114", "It is of plastics, and more than five years old."),
    ("UN 1A1/Y1.4", "The mark ends before S or the test pressure"),
    ("rusted away", "“RUSTED” does not begin a UN mark"),
])  # fmt: skip
def test_the_mark_is_explained_and_flagged_and_never_blocks(cast: Cast, mark: str, says: str) -> None:
    code = labelled(cast, un_mark=mark)
    assert filled(cast, code, "10", celsius="15").status_code == 302
    page = page_of(cast, code)
    assert says in page
    assert ("<dt>Test pressure</dt>" in page) == ("150" in mark)


# ------------------------------------------------------------------ the drawing


@given(
    st.decimals("1", "3000", places=1), st.none() | st.decimals("0", "3000", places=1),
    st.none() | st.decimals("0", "3000", places=1),
)  # fmt: skip
def test_the_drawing_says_what_it_shows(capacity: Decimal, most: Decimal | None, held_l: Decimal | None) -> None:
    drawn = drum_svg(capacity, most, held_l, Decimal(15))
    assert f"to the brim {capacity.normalize():f} L" in drawn or "E" in str(capacity.normalize())
    assert ("at most" in drawn) == (most is not None)
    assert ("not known" in drawn) == (held_l is None)
    assert "NaN" not in drawn


def test_lines_of_words_never_lie_upon_each_other() -> None:
    drawn = drum_svg(Decimal(205), Decimal("203"), Decimal("204"), Decimal(15))
    places = sorted({float(part.split('"')[0]) for part in drawn.split(' y="')[1:] if "font-size" in part[:60]})
    assert all(later - earlier >= 14 for earlier, later in pairwise(places))
