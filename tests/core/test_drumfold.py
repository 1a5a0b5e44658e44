"""What is in a drum, whose oil it is and where it stands: by hand, and against a replay written again."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from disposal.core.drumfold import (
    Carried,
    Level,
    Pour,
    amount_words,
    away_at,
    contents,
    level_after,
    overfull,
    short,
    steps,
    whereabouts,
)  # fmt: skip

A, B, C = "drum a", "drum b", "drum c"


def at(minute: int) -> str:
    return f"2026-11-25T{minute // 60:02d}:{minute % 60:02d}:00.000000Z"


def into(drum: str, unit: str, minute: int, litres: str = "", kg: str = "", density: str = "", **more: object) -> Pour:
    told = {"unit": unit, "space": "tank", "into_drum": drum, "litres": litres, "kg": kg, "density": density}
    return Pour(id=f"{drum}{unit}{minute}", at=at(minute), seq=minute, **{**told, **more})  # type: ignore[arg-type]


def over(source: str, drum: str, minute: int, litres: str = "", kg: str = "", all_out: bool = False) -> Pour:
    return Pour(
        id=f"{source}{drum}{minute}", at=at(minute), seq=minute, from_drum=source, into_drum=drum, litres=litres,
        kg=kg, all_out=all_out,
    )  # fmt: skip


def holds(pours: list[Pour], drum: str) -> tuple[str, str]:
    litres, kg = level_after(pours, drum)
    return amount_words(litres.exact), amount_words(kg.exact)


def test_litres_and_kg_are_kept_apart() -> None:
    pours = [into(A, "u", 1, "30"), into(A, "v", 2, kg="10")]
    litres, kg = level_after(pours, A)
    assert (litres, kg) == (Level(Fraction(30), None), Level(Fraction(10), None))
    assert holds(pours, A) == ("", "")
    assert holds([into(A, "u", 1, "30", "26.4"), into(A, "u", 2, "1.5", "1.3")], A) == ("31.5", "27.7")


def test_a_density_is_used_where_the_unit_has_one_and_never_invented() -> None:
    assert holds([into(A, "u", 1, "30", density="0.88")], A) == ("30", "26.4")
    assert holds([into(A, "u", 1, kg="44", density="0.88")], A) == ("50", "44")
    assert holds([into(A, "u", 1, kg="10", density="0.87")], A) == ("11.494", "10")
    assert holds([into(A, "u", 1, "30", density="0.88"), into(A, "v", 2, "10")], A) == ("40", "")


def test_more_than_there_is_is_seen_at_its_boundary() -> None:
    for litres, wrong in (("30", ""), ("30.001", "litres"), ("50", "litres")):
        pours = [into(A, "u", 1, "30"), over(A, B, 2, litres)]
        assert [short(step, A) for step in steps(pours, A)] == ["", wrong]
    assert [short(step, A) for step in steps([over(A, B, 1, kg="1"), into(A, "u", 2, "30")], A)] == ["litres", ""]
    assert [short(step, A) for step in steps([into(A, "u", 1, kg="30"), over(A, B, 2, kg="31")], A)] == ["", "kg"]


def test_what_was_not_measured_so_is_not_held_to_be_too_much() -> None:
    pours = [into(A, "u", 1, "30"), into(A, "v", 2, kg="30"), over(A, B, 3, "40")]
    assert [short(step, A) for step in steps(pours, A)] == ["", "", ""]
    out = [into(A, "u", 1, "30"), over(A, B, 2, kg="5"), over(A, B, 3, "30.1")]
    assert [short(step, A) for step in steps(out, A)] == ["", "", "litres"]


def test_all_out_leaves_nothing() -> None:
    pours = [into(A, "u", 1, "30"), over(A, B, 2, "29", all_out=True)]
    assert holds(pours, A) == ("0", "0")
    assert [short(step, A) for step in steps([*pours, over(A, B, 3, "1")], A)] == ["", "", "litres"]


def test_a_drum_is_overfull_beyond_its_brim() -> None:
    for litres, wrong in (("170", False), ("170.1", True)):
        pours = [into(A, "u", 1, "30"), into(A, "u", 2, litres)]
        assert [overfull(step, A, "200") for step in steps(pours, A)] == [False, wrong]


def test_oil_is_known_through_other_drums_as_it_was_then() -> None:
    """B got oil out of A before v came into A, so no oil of v is in B; C got it after."""
    pours = [into(A, "u", 1, "10"), over(A, B, 2, "5"), into(A, "v", 3, "10"), over(A, C, 4, "5")]
    found = contents(pours)
    assert {drum: sorted(units) for drum, units in found.items()} == {A: ["u", "v"], B: ["u"], C: ["u", "v"]}
    assert (found[C]["u"].first_in, found[C]["u"].drained_at, found[C]["u"].straight) == (at(4), at(1), None)
    assert found[A]["u"].straight == 10
    assert found[C]["v"].spaces == ("tank",)


def test_an_emptied_drum_keeps_its_sources() -> None:
    found = contents([into(A, "u", 1, "10"), over(A, B, 2, "10", all_out=True)])
    assert sorted(found[A]) == ["u"]


def test_what_came_straight_from_a_unit_is_summed_only_while_it_was_measured() -> None:
    two = contents([into(A, "u", 1, "10"), into(A, "u", 2, "2.5", space="tap changer")])[A]["u"]
    assert (two.straight, two.spaces, two.first_in) == (Fraction("12.5"), ("tank", "tap changer"), at(1))
    assert contents([into(A, "u", 1, "10"), into(A, "u", 2, kg="2")])[A]["u"].straight is None
    both = contents([into(A, "u", 1, "10"), into(B, "u", 2, "1"), over(B, A, 3, "1")])[A]["u"]
    assert (both.straight, both.drained_at) == (None, at(1))
    older = contents([into(B, "u", 1, "1"), into(A, "u", 2, "10"), over(B, A, 3, "1")])[A]["u"]
    assert (older.first_in, older.drained_at) == (at(2), at(1))


# ------------------------------------------------------------------ loads


def carried(*told: str) -> list[Carried]:
    return [
        Carried(at=at(n), seq=n, what=what, load="7", certificate="C1" if what == "proven" else "")  # type: ignore[arg-type]
        for n, what in enumerate(told)
    ]


@pytest.mark.parametrize(
    ("told", "place", "load", "away"),
    [
        ((), "here", "", ()),
        (("on",), "on_load", "7", ()),
        (("on", "off"), "here", "", ()),
        (("on", "signed"), "on_load", "7", ((at(1), ""),)),
        (("on", "signed", "off"), "here", "", ((at(1), at(2)),)),
        (("on", "signed", "taken"), "gone", "7", ((at(1), ""),)),
        (("on", "signed", "taken", "yes"), "gone", "7", ((at(1), ""),)),
        (("on", "signed", "taken", "missing"), "gone", "7", ((at(1), ""),)),
        (("on", "signed", "taken", "refused"), "here", "", ((at(1), at(3)),)),
        (("on", "signed", "taken", "yes", "proven"), "destroyed", "7", ((at(1), ""),)),
    ],
)
def test_where_a_drum_is(told: tuple[str, ...], place: str, load: str, away: tuple[tuple[str, str], ...]) -> None:
    found = whereabouts(reversed(carried(*told)))
    assert (found.place, found.load, found.away) == (place, load, away)
    assert found.certificate == ("C1" if "proven" in told else "")


def test_away_begins_with_the_first_signature_and_ends_with_the_return() -> None:
    away = ((at(1), at(3)),)
    assert [away_at(away, at(minute)) for minute in (0, 1, 2, 3, 4)] == [False, True, True, False, False]
    assert away_at(((at(1), ""),), at(900))


# ------------------------------------------------------------------ against a replay written again

DRUMS = (A, B, C)
amounts = st.one_of(
    st.tuples(st.integers(1, 50), st.none()), st.tuples(st.none(), st.integers(1, 50)),
    st.tuples(st.integers(1, 50), st.integers(1, 50)),
)  # fmt: skip
moves = st.lists(
    st.tuples(
        st.sampled_from(("u", "v", "w", *DRUMS)), st.sampled_from(DRUMS), amounts, st.integers(0, 30), st.booleans()
    ),
    max_size=12,
)  # fmt: skip


@given(moves)
def test_the_fold_is_the_replay(told: list[tuple[str, str, tuple[int | None, int | None], int, bool]]) -> None:
    """One list of barrels, one pass in order of time: who was in it, least and most of litres and of kg."""
    pours, replay = [], []
    for n, (source, drum, (litres, kg), minute, all_out) in enumerate(told):
        if source == drum:
            continue
        words = {"litres": str(litres or ""), "kg": str(kg or "")}
        ends = {"from_drum": source} if source in DRUMS else {"unit": source, "space": "tank"}
        pours.append(Pour(id=str(n), at=at(minute), seq=n, into_drum=drum, all_out=all_out, **words, **ends))
        replay.append((minute, n, source, drum, (litres, kg), all_out))
    who: dict[str, set[str]] = {drum: set() for drum in DRUMS}
    least = {(drum, measure): Decimal(0) for drum in DRUMS for measure in (0, 1)}
    most: dict[tuple[str, int], Decimal | None] = {key: Decimal(0) for key in least}
    for _, _, source, drum, measured, all_out in sorted(replay, key=lambda one: one[:2]):
        who[drum] |= who[source] if source in DRUMS else {source}
        for measure, amount in enumerate(measured):
            key = drum, measure
            known = most[key]
            least[key] += amount or 0
            most[key] = None if amount is None or known is None else known + amount
            if source not in DRUMS:
                continue
            key = source, measure
            known = most[key]
            if all_out:
                least[key], most[key] = Decimal(0), Decimal(0)
            elif amount is None:
                least[key] = Decimal(0)
            else:
                least[key] = max(Decimal(0), least[key] - amount)
                most[key] = None if known is None else max(Decimal(0), known - amount)
    found = contents(reversed(pours))
    for drum in DRUMS:
        assert set(found.get(drum, {})) == who[drum]
        for measure, level in enumerate(level_after(pours, drum)):
            assert (level.low, level.high) == (least[drum, measure], most[drum, measure])
