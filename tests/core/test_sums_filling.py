"""How full a drum may be: colder never allows more, 55 °C never finds it full, and what was assumed errs to care."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from hazmat.core.sums import filling
from hazmat.edge.shapes import Slip
from hazmat.edge.sums import held
from tests.core.summing import SUMS, TODAY, keys, number, worked

temperatures = st.decimals("-50", "100", places=1)
liquids = st.one_of(
    st.fixed_dictionaries({"liquid": st.sampled_from(["mineral", "askarel", "silicone", "unknown"])}),
    st.fixed_dictionaries({"liquid": st.just("mineral"), "density_15": st.decimals("0.802", "1.163", places=3)}),
    st.fixed_dictionaries({"liquid": st.just("other"), "expansion": st.decimals("0.0001", "0.002", places=5)}),
    st.fixed_dictionaries({
        "liquid": st.just("other"), "density_15": st.decimals("0.8", "2", places=3),
        "density_50": st.decimals("0.7", "0.79", places=3),
    }),
)  # fmt: skip


def filled(at: Any = "15", **given: Any) -> Any:
    asked = {"capacity_l": "213", "liquid": "mineral", **given}
    return worked("drum_filling", **asked, **({} if at is None else {"filled_at": str(at)}))


@given(temperatures, temperatures, liquids)
def test_colder_never_allows_more(one: Decimal, other: Decimal, liquid: dict[str, Any]) -> None:
    cold, warm = (number(filled(at, **liquid), "most_l") for at in sorted((one, other)))
    assert cold <= warm


@given(temperatures, liquids)
def test_it_is_never_full_at_55(at: Decimal, liquid: dict[str, Any]) -> None:
    """And never over 98 % of what it takes to the brim when it is filled."""
    found = filled(at, **liquid)
    assert number(found, "at_hot") <= Decimal("99.0000001")
    assert number(found, "degree") <= 98
    assert number(found, "most_l") < number(found, "full_l")


@given(temperatures)
@example(Decimal(15))
def test_oil_filled_by_the_rule_is_at_98_4_at_55(at: Decimal) -> None:
    """98.36 to 98.38 % by four oils of an unrelated library of properties, filled at 15 °C; by hand 98.4 %."""
    hot = number(filled(min(at, Decimal(50)), density_15="0.880"), "at_hot")
    assert Decimal("98.2") <= hot <= Decimal("98.41")
    if at == 15:
        assert Decimal("98.36") <= hot.quantize(Decimal("0.01")) <= Decimal("98.38")


@pytest.mark.parametrize(("d15", "alpha"), [("0.880", "0.00073704"), ("0.8759", None)])
def test_expansion_of_oil(d15: str, alpha: str | None) -> None:
    """(0.8800 − 0.85787) / (35 × 0.85787) by hand; oils of that library lie between 7.36 and 7.69 E-4."""
    found = number(filled(density_15=d15), "expansion")
    assert Decimal("0.000735") <= found <= Decimal("0.00077")
    if alpha:
        assert abs(found - Decimal(alpha)) < Decimal("0.0000001")


@given(temperatures, st.decimals("0.859", "1.16", places=3))
def test_what_nobody_said_never_allows_more(at: Decimal, density: Decimal) -> None:
    """Oil of no known density, and a liquid that nobody knows, go in no fuller than oil that was weighed."""
    known, light, unknown = filled(at, density_15=density), filled(at), filled(at, liquid="unknown")
    assert number(light, "most_l") <= number(known, "most_l")
    assert number(unknown, "most_l") <= number(light, "most_l")
    assert number(filled(None), "most_l") <= number(filled(max(at, Decimal(-10))), "most_l")


@given(st.decimals("1", "180", places=1), temperatures, st.sampled_from(["mineral", "unknown", "silicone"]))
def test_weighed_and_measured_say_the_same_of_room(kg: Decimal, at: Decimal, liquid: str) -> None:
    """What kilograms become in litres, told again in litres, leaves the same room."""
    by_kg = filled(at, liquid=liquid, held_kg=kg)
    if (litres := number(by_kg, "held_l")) > 213:
        assert by_kg.values["stands"] == "full"  # no density was measured, so nothing is proved of it
        return
    by_l = filled(at, liquid=liquid, held_l=litres.quantize(Decimal("0.000001")))
    assert abs(number(by_l, "room_l") - number(by_kg, "room_l")) < Decimal("0.00001")
    assert by_l.values["stands"] == by_kg.values["stands"]


def test_a_weighed_liquid_of_no_known_density_takes_up_the_most_room() -> None:
    for density in ("0.859", "0.88", "0.97", "1.56"):
        denser = filled(liquid="unknown", density_15=density, held_kg="120")
        assert number(filled(liquid="unknown", held_kg="120"), "held_l") >= number(denser, "held_l")
    assert "lightest_assumed" in keys(filled(liquid="unknown", held_kg="120"))
    assert "lightest_assumed" not in keys(filled(liquid="unknown", density_15="0.88", held_kg="120"))


@pytest.mark.parametrize(("litres", "stands"), [
    ("203.48", "within"), ("203.50", "over"), ("206.8", "over"), ("206.9", "full"), ("213", "full"),
])  # fmt: skip
def test_both_sides_of_each_limit(litres: str, stands: str) -> None:
    """203.49 L is 95.536 % of 213; 206.87 L are worked by hand below."""
    found = filled(density_15="0.880", held_l=litres)
    assert found.values["stands"] == stands
    assert f"stands_{stands}" in keys(found)
    room = number(found, "room_l")
    assert (room > 0) == (stands == "within")
    assert room == max(0, number(found, "most_l") - Decimal(litres))


def test_full_at_55_is_where_the_table_of_volumes_says() -> None:
    """exp(−a·40·(1 + 0.8·a·40)) with a = 0.627804/880, by hand: 0.971234; 213 × 0.971234 = 206.873."""
    assert abs(number(filled(density_15="0.880"), "full_l") - Decimal("206.873")) < Decimal("0.001")


@pytest.mark.parametrize(("point", "percent"), [
    ("59.9", 90), ("60", 92), ("99.9", 92), ("100", 94), ("199.9", 94), ("200", 96), ("299.9", 96), ("300", 98),
])  # fmt: skip
def test_both_sides_of_each_boiling_point(point: str, percent: int) -> None:
    """ADR 4.1.1.4 (a), as printed."""
    assert number(filled(boiling_point=point), "boiling") == percent


def test_the_table_by_boiling_point_is_disbelieved_where_it_overflows() -> None:
    assert "boiling_full" in keys(filled(density_15="0.880", boiling_point="300"))
    assert "boiling_beside" in keys(filled(density_15="0.880", boiling_point="299"))
    assert not {"boiling_full", "boiling_beside"} & set(keys(filled()))


def test_hot_liquid_counts_as_50_and_says_so() -> None:
    hot, warm = filled("50.1"), filled("50")
    assert hot.values["most_l"] == warm.values["most_l"]
    assert "filled_hot" in keys(hot)
    assert "filled_hot" not in keys(warm)


def test_no_temperature_is_minus_ten_and_says_so() -> None:
    assert filled(None).values["most_l"] == filled("-10").values["most_l"]
    assert "temperature_unsaid" in keys(filled(None))
    assert "temperature_unsaid" not in keys(filled("-10"))


@pytest.mark.parametrize(
    ("given", "box", "says"),
    [
        ({"held_l": "213.1"}, "held_l", "213.1 L do not go into a drum that takes 213 L"),
        ({"held_kg": "190", "density_15": "0.88"}, "held_kg", "do not go into a drum"),
        ({"liquid": "askarel", "held_l": "10"}, "held_l", "weigh the drum"),
        ({"liquid": "other"}, "expansion", "write both densities"),
        ({"density_50": "0.86"}, "density_15", "write the density at 15 °C as well"),
        ({"density_15": "0.86", "density_50": "0.86"}, "density_50", "below that at 15 °C"),
        ({"density_15": "1.165"}, "density_15", "pick askarel for a heavier liquid"),
        ({"density_15": "0.8"}, "density_15", "from 801 to 1164"),
        ({"capacity_l": "0.9"}, "capacity_l", "from 1 to 3000"),
    ],
)
def test_what_cannot_be_is_said_once(given: dict[str, str], box: str, says: str) -> None:
    with pytest.raises(Slip) as caught:
        filled(**given)
    assert (caught.value.path, says in caught.value.says) == (box, True)


def test_ends_of_the_table_for_oil_are_let_through() -> None:
    assert number(filled(density_15="0.801"), "degree") < number(filled(density_15="1.164"), "degree")


def missed() -> list[str]:
    return [check.name for check in SUMS["drum_filling"].checks if not held(SUMS["drum_filling"], check, TODAY).met]


def test_forgetting_that_cold_liquid_grows_would_be_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(filling, "degree_of", lambda liquid, at, fixed: Decimal(98))
    assert "mineral oil of 880 kg/m3 in a drum of 213 L, filled at 15 °C" in missed()


def test_an_expansion_over_the_wrong_density_would_be_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Over the density at 15 °C: 95.61 % instead of 95.55 %."""
    right = filling._by_densities

    def wrong(at_15: Decimal, at_50: Decimal, fixed: Any) -> Any:
        found = right(at_15, at_50, fixed)
        return filling.Liquid(found.expansion * at_50 / at_15, found.swells, at_15)

    monkeypatch.setattr(filling, "_by_densities", wrong)
    assert "density 0.880 at 15 °C and 0.858 at 50 °C, filled at 15 °C" in missed()
