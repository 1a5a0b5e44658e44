"""A UN mark is read part by part or refused in one sentence, and suits only while nothing speaks against it."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.edge.shapes import Slip
from tests.core.summing import keys, number, worked

STEEL = "UN 1A1/Y1.4/150/22/NZ/H114"
PLASTICS = "UN 1H1/Y1.9/200/19/NL/XY77"
BULK = "UN 31HA1/Y/0525/NL/AB1/3600/1770"
YEARS = st.integers(0, 99).map(lambda one: f"{one:02d}")


def read(mark: str, **given: str) -> Any:
    return worked("un_mark", mark=mark, **given)


def suits(mark: str, **given: str) -> Any:
    return read(mark, **given).values["suits"]


@given(
    st.sampled_from(["1A1", "1A2", "1B1", "1N2", "3A1", "1H1", "6HA1"]), st.sampled_from("XYZ"),
    st.decimals("0.8", "3", places=1), st.integers(10, 50), YEARS, st.sampled_from(["GB", "D", "NZ", "USA", "CDN"]),
    st.from_regex(r"[A-Z]{2}[0-9]{2,4}", fullmatch=True), st.sampled_from(["/", " ", " / "]),
    st.sampled_from(["UN", "UN ", "un/", "U N ", "u/n ", ""]),
)  # fmt: skip
def test_what_was_written_is_what_is_read(
    code: str, letter: str, density: Decimal, tens: int, year: str, state: str, maker: str, between: str, leading: str
) -> None:
    mark = leading + between.join((code, f"{letter}{density}", str(tens * 10), year, state, maker))
    found = read(mark).values
    assert (found["letter"], found["year"], found["state"], found["maker"]) == (letter, year, state, maker)
    assert (found["marked_density"], found["kpa"], found["made_for"]) == (density, tens * 10, "liquids")
    assert found["kind"] == code[0]


@given(st.text(max_size=40))
def test_whatever_is_typed_is_read_or_refused_in_one_sentence(text: str) -> None:
    if not text.strip():
        return
    refused: Slip | None = None
    try:
        found = read(text)
    except Slip as slip:
        refused = slip
    if refused is None:
        assert found.values["suits"] != "yes"
    else:
        assert refused.path == "mark"
        assert refused.says.count("; ") <= 1 or ";" in text


@pytest.mark.parametrize(("letter", "group", "suit"), [
    ("X", "I", True), ("X", "II", True), ("X", "III", True), ("Y", "I", False), ("Y", "II", True), ("Y", "III", True),
    ("Z", "I", False), ("Z", "II", False), ("Z", "III", True),
])  # fmt: skip
def test_letters_and_groups(letter: str, group: str, suit: bool) -> None:
    """ADR 6.1.3.1 (c)."""
    found = read(f"UN 1A1/{letter}1.4/250/22/NZ/H114", group=group, density="0.88")
    assert (found.values["suits"] == "yes") == suit
    assert ("letter_too_weak" in keys(found)) == (not suit)
    assert ("allowed_density" in found.values) == suit


@pytest.mark.parametrize(("mark", "group", "allowed"), [
    ("X1.2", "I", "1.2"), ("X1.2", "II", "1.8"), ("X1.2", "III", "2.7"), ("Y1.2", "II", "1.2"), ("Y1.2", "III", "1.8"),
    ("Z1.2", "III", "1.2"), ("X", "II", "1.8"), ("Y", "II", "1.2"), ("Y1,4", "II", "1.4"),
])  # fmt: skip
def test_the_density_that_it_carries(mark: str, group: str, allowed: str) -> None:
    text = f"UN 1A1/{mark}/250/22/NZ/H114"
    assert number(read(text, group=group), "allowed_density") == Decimal(allowed)
    assert suits(text, group=group, density=allowed) == "yes"
    assert suits(text, group=group, density=str(Decimal(allowed) + Decimal("0.001"))) == "no"


@pytest.mark.parametrize(("kpa", "group", "suit"), [
    ("99", "II", "no"), ("100", "II", "yes"), ("249", "I", "no"), ("250", "I", "yes"), ("99", "III", "no"),
])  # fmt: skip
def test_both_sides_of_the_test_pressure(kpa: str, group: str, suit: str) -> None:
    assert suits(f"UN 1A1/X1.4/{kpa}/22/NZ/H114", group=group, density="0.88") == suit


@pytest.mark.parametrize(("made", "on", "suit"), [
    ("2019-03", "2024-03-01", "yes"), ("2019-03", "2024-03-02", "unknown"), ("2019-03", "2024-03-31", "unknown"),
    ("2019-03", "2024-04-01", "no"), ("2019-03-17", "2024-03-17", "yes"), ("2019-03-17", "2024-03-18", "no"),
    ("", "2024-01-01", "yes"), ("", "2024-01-02", "unknown"), ("", "2024-12-31", "unknown"), ("", "2025-01-01", "no"),
    ("2019-03", "", "unknown"),
])  # fmt: skip
def test_plastics_serve_five_years(made: str, on: str, suit: str) -> None:
    """ADR 4.1.1.15: five years from the day of making, which lies somewhere in the month or year that is known."""
    given = {"density": "0.88", **({"made": made} if made else {}), **({"on": on} if on else {})}
    assert suits(PLASTICS, **given) == suit


def test_a_month_in_the_mark_counts_and_steel_does_not_age() -> None:
    month = "UN 1H1/Y1.9/200/03/19/NL/XY77"
    assert suits(month, density="0.88", on="2024-03-31") == "unknown"
    assert suits(month, density="0.88", on="2024-04-01") == "no"
    assert read("UN 1H1/Y1.9/200/0319/NL/XY77").values["month"] == "03"
    assert suits("UN 1A1/Y1.4/150/79/NZ/H114", density="0.88", on="2026-11-27") == "yes"
    assert suits("UN 6HA1/Y1.4/150/79/NZ/H114", density="0.88", on="2026-11-27") == "yes"


@pytest.mark.parametrize(("inspected", "on", "suit"), [
    ("2025-05-20", "2027-11-20", "yes"), ("2025-05-20", "2027-11-21", "no"), ("", "2026-11-27", "unknown"),
])  # fmt: skip
def test_bulk_containers_are_inspected(inspected: str, on: str, suit: str) -> None:
    """Two and a half years: 20 May 2025 and thirty months."""
    assert suits(BULK, on=on, **({"inspected": inspected} if inspected else {})) == suit


@pytest.mark.parametrize(("mark", "why"), [
    ("UN 1A2/Y425/S/22/D/AB1234", "solids_only"), ("UN 4G/Y30/S/22/D/AB1234", "solids_only"),
    ("UN 11A/Y/0525/NL/AB1/3600/1770", "solids_only"), ("UN 1A1/Y1.4/150/22/NZ/H1/NZ/RB/24 R", "not_tried"),
    ("UN 4HU/Y30/S/22/D/AB1234", "infectious_only"),
])  # fmt: skip
def test_why_it_does_not_suit(mark: str, why: str) -> None:
    found = read(mark, density="0.88")
    assert found.values["suits"] == "no"
    assert why in keys(found)


@pytest.mark.parametrize(("gross", "suit"), [("425", "yes"), ("425.1", "no")])
def test_kilograms_on_a_mark_for_solids(gross: str, suit: str) -> None:
    assert suits("UN 1A2/Y425/S/22/D/AB1234", contents="solid", gross_kg=gross) == suit


@pytest.mark.parametrize(("mark", "missing"), [
    ("UN 1A1", "letter"), ("UN 1A1/Y1.4", "pressure"), ("UN 1A1/Y1.4/150", "year"), ("UN 1A1/Y1.4/150/22", "state"),
    ("UN 1A1/Y1.4/150/22/NZ", "maker"), ("UN 31A/Y/0525/NL", "maker"),
])  # fmt: skip
def test_a_mark_that_ends_early_never_suits(mark: str, missing: str) -> None:
    found = read(mark, density="0.88", on="2026-01-01", inspected="2025-12-01")
    assert found.values["suits"] == "unknown"
    assert f"ends_before_{missing}" in keys(found)


def test_what_nobody_said_of_the_liquid_leaves_it_open() -> None:
    assert suits(STEEL) == "unknown"
    assert suits(STEEL, density="1.4") == "yes"
    assert suits(STEEL, density="0.88", contents="solid") == "unknown"


def test_who_reconditioned_it_and_when() -> None:
    found = read("UN 1A1/Y1.4/150/12/NZ/H1/NZ/YARD/23RL").values
    assert (found["maker"], found["rebuilt_by"], found["rebuilt"], found["tried"]) == ("H1", "NZ YARD", "23", True)
    assert read("UN 1A1/Y1.4/150/12/NZ/H1/YARD/23 R L").values["rebuilt_by"] == "YARD"
    assert "rebuilt" not in read("UN 1A1/Y1.4/150/12/NZ/H123R").values


@pytest.mark.parametrize(
    ("given", "box", "says"),
    [
        ({"mark": "blue drum"}, "mark", "“BLUE” does not begin a UN mark"),
        ({"mark": "UN"}, "mark", "does not begin a UN mark"),
        ({"mark": "UN 1E1/Y1.4/150/22/NZ/H1"}, "mark", "“1E1” does not begin"),
        ({"mark": "UN 1A1/Q1.4/150/22/NZ/H1"}, "mark", "“Q1.4” stands where X, Y or Z"),
        ({"mark": "UN 1A1/Y14/150/22/NZ/H1"}, "mark", "“Y14” names no density"),
        ({"mark": "UN 1A1/Y1.4/NZ/22"}, "mark", "“NZ” stands where S or a test pressure"),
        ({"mark": "UN 1A1/Y1.4/150/NZ"}, "mark", "“NZ” stands where the last two digits"),
        ({"mark": "UN 1A1/Y1.4/150/22/3021"}, "mark", "“3021” stands where the letters of a State"),
        ({"mark": STEEL, "on": "27.11.2026"}, "on", "“27.11.2026” is not a day"),
        ({"mark": STEEL, "on": "2026-02-30"}, "on", "“2026-02-30” is not a day"),
        ({"mark": PLASTICS, "made": "March 2019"}, "made", "“March 2019” is not a day"),
        ({"mark": BULK, "inspected": "spring"}, "inspected", "“spring” is not a day"),
    ],
)
def test_what_cannot_be_read_is_said_once(given: dict[str, str], box: str, says: str) -> None:
    with pytest.raises(Slip) as caught:
        worked("un_mark", **given)
    assert (caught.value.path, says in caught.value.says) == (box, True)


def test_open_heads_and_salvage_are_named() -> None:
    assert "open_head" in keys(read("UN 1A2/Y1.4/150/22/NZ/H114", density="0.88"))
    assert "open_head" not in keys(read(STEEL, density="0.88"))
    assert "salvage" in keys(read("UN 1A2T/Y300/S/22/NZ/H114"))
