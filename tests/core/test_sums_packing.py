"""How many drums: never fewer than can hold it, never two classes in one, held against an exact search of a library."""

from collections import Counter
from decimal import Decimal
from math import ceil

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from hazmat.core.sums.packing import first_fit, least_drums
from hazmat.edge.shapes import Slip
from tests.core.summing import keys, number, worked

NINE = "210 150 150 60 55 160 60 210 95"
pieces = st.lists(st.integers(1, 100), min_size=1, max_size=8)
names = st.sampled_from(["over 50", "up to 50", "untested", "Untested at the gate", "askarel"])


def fits(weights: list[int], drums: int, most: int = 100) -> bool:
    """Whether they go into so many drums: asked of the solver of a library, each piece in exactly one drum."""
    count = len(weights)
    once = np.kron(np.eye(count), np.ones(drums))
    full = np.kron(np.array(weights, float), np.eye(drums))
    found = milp(
        np.zeros(count * drums), integrality=np.ones(count * drums), bounds=Bounds(0, 1),
        constraints=[LinearConstraint(once, 1, 1), LinearConstraint(full, 0, most)],
    )  # fmt: skip
    return bool(found.success)


def fewest(weights: list[int], most: int = 100) -> int:
    return next(drums for drums in range(1, len(weights) + 1) if fits(weights, drums, most))


def plan(weights: list[int], most: int = 100) -> list[list[Decimal]]:
    return first_fit([Decimal(one) for one in weights], Decimal(most))


@settings(deadline=None, max_examples=40)
@given(pieces)
def test_the_bound_the_exact_search_and_ours_stand_in_order(weights: list[int]) -> None:
    """11/9 of the fewest and 6/9 besides is what first-fit decreasing never passes (Dósa 2007)."""
    best, ours = fewest(weights), len(plan(weights))
    assert least_drums([Decimal(one) for one in weights], Decimal(100)) <= best <= ours
    assert 9 * ours <= 11 * best + 6


def test_nine_pieces_by_an_exact_search() -> None:
    weights = [int(one) for one in NINE.split()]
    assert (fits(weights, 2, 400), fits(weights, 3, 400), len(plan(weights, 400))) == (False, True, 4)
    assert "fewer_might_do" in keys(worked("packing", pieces=f"capacitors: {NINE}", drum_kg="400"))
    assert "fewer_might_do" not in keys(worked("packing", pieces="capacitors: 210 150", drum_kg="400"))


@given(pieces)
def test_each_piece_is_in_one_drum_and_no_drum_is_too_heavy(weights: list[int]) -> None:
    found = plan(weights)
    assert Counter(piece for drum in found for piece in drum) == Counter(map(Decimal, weights))
    assert all(sum(drum) <= 100 for drum in found)


@pytest.mark.parametrize(("weights", "least"), [
    ("50 50", 1), ("51 51", 2), ("50.001 49.999", 1), ("50.001 50", 2), ("60 60 60", 3), ("100", 1), ("34 34 34", 2),
])  # fmt: skip
def test_both_sides_of_the_bound(weights: str, least: int) -> None:
    assert least_drums([Decimal(one) for one in weights.split()], Decimal(100)) == least


lots = st.dictionaries(names, st.lists(st.integers(1, 90), min_size=1, max_size=5), min_size=1)


def written(told: dict[str, list[int]]) -> str:
    return "; ".join(f"{name}: {' '.join(map(str, amounts))}" for name, amounts in told.items())


@given(lots)
def test_classes_never_meet_and_what_is_untested_stands_alone(told: dict[str, list[int]]) -> None:
    found = worked("packing", pieces=written(told), drum_kg="100", litres=written(told), drum_l="40")
    drums = found.values["pieces_plan"]
    assert isinstance(drums, tuple)
    assert len(drums) == number(found, "drums_pieces")
    assert all("+" not in str(drum) for drum in drums if str(drum).startswith("untested"))
    alone = sum(len(amounts) for name, amounts in told.items() if name.lower().startswith("untested"))
    rest = [amounts for name, amounts in told.items() if not name.lower().startswith("untested")]
    assert number(found, "drums_pieces") >= number(found, "least_pieces") >= alone + len(rest)
    single = [one for name, amounts in told.items() if name.lower().startswith("untested") for one in amounts]
    assert number(found, "drums_l") == sum(ceil(sum(one) / 40) for one in rest) + sum(ceil(one / 40) for one in single)
    assert number(found, "drums") == number(found, "drums_l") + number(found, "drums_pieces")


@pytest.mark.parametrize(("litres", "drums"), [("190", 1), ("190.001", 2), ("380", 2), ("358.4", 2), ("537.6", 3)])
def test_both_sides_of_a_full_drum(litres: str, drums: int) -> None:
    assert number(worked("packing", litres=f"over 50: {litres}", drum_l="190"), "drums_l") == drums


def test_the_same_class_written_twice_is_one() -> None:
    assert number(worked("packing", litres="over 50: 95; Over  50: 95", drum_l="190"), "drums") == 1


@pytest.mark.parametrize(
    ("given", "box", "says"),
    [
        ({}, "litres", "write litres, pieces, or both"),
        ({"litres": "over 50: 1"}, "drum_l", "how many litres go into one drum"),
        ({"pieces": "over 50: 1"}, "drum_kg", "how many kilograms one drum takes"),
        ({"litres": "3150", "drum_l": "190"}, "litres", "“3150” cannot be read"),
        ({"litres": "over 50: 1,5", "drum_l": "190"}, "litres", "“over 50: 1,5” cannot be read"),
        ({"litres": "over 50: 0", "drum_l": "190"}, "litres", "cannot be read"),
        ({"litres": ": 5", "drum_l": "190"}, "litres", "cannot be read"),
        ({"litres": ";", "drum_l": "190"}, "litres", "“;” cannot be read"),
        ({"pieces": "over 50: 400.1", "drum_kg": "400"}, "pieces", "a piece of 400.1 kg"),
        ({"pieces": "a:" + " 1" * 201, "drum_kg": "400"}, "pieces", "no more than 200"),
    ],
)
def test_what_cannot_be_packed_is_said_once(given: dict[str, str], box: str, says: str) -> None:
    with pytest.raises(Slip) as caught:
        worked("packing", **given)
    assert (caught.value.path, says in caught.value.says) == (box, True)


def test_a_piece_just_light_enough_goes_in() -> None:
    assert number(worked("packing", pieces="a: 400; b:" + " 1" * 199, drum_kg="400"), "drums_pieces") == 2
