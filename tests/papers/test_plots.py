"""Drawings of breakdown shots: a higher shot stands higher, all lies inside the picture, and words say the same."""

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.papers.plots import FOOT, HEIGHT, LEFT, WIDTH, shots_svg

DOT = re.compile(r'<circle cx="([0-9.]+)" cy="([0-9.]+)"')


@given(st.lists(st.decimals(1, 99, places=1), min_size=2, max_size=12))
def test_shots_stand_in_their_order_and_by_their_height(kv: list[Decimal]) -> None:
    mean = sum(kv, Decimal(0)) / len(kv)
    drawn = shots_svg(" ".join(map(str, kv)), {"mean": mean, "sd": Decimal(1)})
    dots = [(float(x), float(y)) for x, y in DOT.findall(drawn)]
    assert len(dots) == len(kv)
    assert [x for x, _ in dots] == sorted(x for x, _ in dots)
    for (_, one), a in zip(dots, kv, strict=True):
        for (_, other), b in zip(dots, kv, strict=True):
            assert one <= other or a <= b
    assert all(LEFT <= x <= WIDTH and 0 < y <= HEIGHT - FOOT for x, y in dots)
    assert f"{len(kv)} breakdown shots" in drawn


@pytest.mark.parametrize("written", ["40 >60", ">60 >60 >60"])
def test_a_shot_that_held_is_an_arrow_and_is_said(written: str) -> None:
    drawn = shots_svg(written, {})
    assert drawn.count("<path") == written.count(">")
    assert "above 60" in drawn
    assert "<rect" not in drawn
