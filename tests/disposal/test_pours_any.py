"""Any pours in any order of writing: what is taken and what is refused, and what then stands, against a naive replay.

The replay knows no fold of ours: a list of what was taken, and barrels that are filled from the beginning each time.
"""

from decimal import Decimal
from typing import Any
from uuid import UUID

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from disposal.queries.drums import DRUMS
from hazmat.book.act import Refused
from hazmat.book.prove import prove
from tests.disposal.pours import Place, drum_now, unit_now

pytestmark = [pytest.mark.both, pytest.mark.django_db]
SIZES = (40, 40, 25)
FIGURES = ("80", "120", "620", "")
"""Laboratory figures of the units; the last one has none."""
LOTS = (1, 1, 2, 3)
"""Which units may meet by the rules: two shown from 50 to below 500; one shown from 500; the untested one alone."""
CLASSES = {1: "50_to_499", 2: "from_500", 3: "undetermined"}
sources = st.one_of(st.tuples(st.just("unit"), st.integers(0, 3)), st.tuples(st.just("drum"), st.integers(0, 2)))
moves = st.lists(
    st.tuples(sources, st.integers(0, 2), st.integers(1, 30), st.integers(1, 12), st.booleans()),
    min_size=1, max_size=10,
)  # fmt: skip
Told = tuple[int, int, tuple[str, int], int, int, bool]


def replayed(taken: list[Told]) -> tuple[list[int], list[set[int]]] | None:
    """Litres and units of each barrel after all of it; None where more came out than was in, or it ran over."""
    litres, units = [0, 0, 0], [set[int](), set[int](), set[int]()]
    for _, _, (kind, which), into, amount, all_out in sorted(taken, key=lambda one: one[:2]):
        if kind == "drum":
            if which == into or litres[which] < amount:
                return None
            litres[which] = 0 if all_out else litres[which] - amount
            units[into] |= units[which]
        else:
            units[into].add(which)
        litres[into] += amount
        if litres[into] > SIZES[into]:
            return None
    return litres, units


def allowed(units: list[set[int]]) -> bool:
    """No barrel ever held two lots that must not meet."""
    return all(len({LOTS[unit] for unit in within}) <= 1 for within in units)


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(moves)
def test_any_pours_stand_as_a_replay_has_them(place: Place, told: list[Any]) -> None:
    units = [place.unit(figure) for figure in FIGURES]
    drums = [place.drum(str(size)) for size in SIZES]
    taken: list[Told] = []
    for n, (source, into, litres, minute, all_out) in enumerate(told):
        one: Told = (minute, n, source, into, litres, all_out)
        after = replayed([*taken, one])
        key = units[source[1]] if source[0] == "unit" else drums[source[1]]
        more = {"all_out": all_out, "note": "The rest of it is sludge." if all_out else ""}
        if after and allowed(after[1]):
            place.pour(key, drums[into], str(litres), minute=minute, **more)
            taken.append(one)
        else:
            with pytest.raises(Refused):
                place.pour(key, drums[into], str(litres), minute=minute, **more)
        _stands(units, drums, taken)
    assert DRUMS.fold(drums) == {drum: drum_now(drum) for drum in drums}
    assert prove().faults == []


def _stands(units: list[UUID], drums: list[UUID], taken: list[Told]) -> None:
    after = replayed(taken)
    assert after
    for drum, litres, within in zip(drums, *after, strict=True):
        now = drum_now(drum)
        assert Decimal(now.litres) == litres
        assert {one.tag for one in now.sources} == {unit_now(units[unit]).tag for unit in within}
        lots = {LOTS[unit] for unit in within}
        if lots == {3}:
            assert now.known == "untested"
        elif lots:
            assert (now.klass, now.known) == (CLASSES[lots.pop()], "high")
