"""What an old unit probably is: properties, both sides of every boundary, and slips that have to be seen."""

import math
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.sums.frame import Fixed, Worked
from hazmat.core.sums.identity import full_load_amps, oil_volume
from hazmat.edge.shapes import Slip
from hazmat.edge.sums import held, work
from hazmat.rulebooks import sumbook

TODAY = date(2026, 11, 26)
SUMS = sumbook.sums()
FIXED = Fixed(SUMS["rating"].figures, TODAY)
METRIC = FIXED.series("ratings_metric")


def worked(name: str, **raw: Any) -> Worked:
    return work(SUMS[name], raw, TODAY)


def said(name: str, **raw: Any) -> set[str]:
    """The keys of what is said beside an answer."""
    return {note.key for note in worked(name, **raw).notes}


def number(value: Any) -> float:
    return float(value)


def some(least: float, most: float) -> st.SearchStrategy[str]:
    spread = st.decimals(Decimal(str(least)), Decimal(str(most)), places=2, allow_nan=False, allow_infinity=False)
    return spread.map(lambda one: format(one, "f"))


# full load


@given(some(1, 5000), some(0.4, 132), st.sampled_from([1, 3]))
def test_full_load_by_binary_floats_and_back(kva: str, kv: str, phases: int) -> None:
    """The oracle is the definition in the floats of the machine; the way back ends where it began."""
    amps = worked("full_load", kva=kva, kv=kv, phases=phases).values["amps"]
    over = math.sqrt(3) if phases == 3 else 1
    assert number(amps) == pytest.approx(float(kva) / (over * float(kv)), rel=1e-12)
    assert full_load_amps(Decimal(kva), Decimal(kv), phases) == amps
    back = work(SUMS["full_load"], {"amps": format(amps, ".10f"), "kv": kv, "phases": phases}, TODAY)
    assert number(back.values["kva"]) == pytest.approx(float(kva), rel=1e-6)


def test_one_phase_carries_root_three_times_as_much() -> None:
    one, three = (worked("full_load", kva="50", kv="11", phases=n).values["amps"] for n in (1, 3))
    assert number(one) / number(three) == pytest.approx(math.sqrt(3))


@pytest.mark.parametrize("phases", [0, 2, 4])
def test_other_phases_are_refused(phases: int) -> None:
    with pytest.raises(Slip) as caught:
        worked("full_load", kva="50", kv="11", phases=phases)
    assert caught.value.path == "phases"


@pytest.mark.parametrize(("raw", "box"), [({}, "kva"), ({"kva": "50", "amps": "5"}, "amps")])
def test_too_little_or_too_much_is_refused_in_its_box(raw: dict[str, str], box: str) -> None:
    with pytest.raises(Slip) as caught:
        worked("full_load", kv="11", phases=3, **raw)
    assert caught.value.path == box


# rating


@given(some(0.5, 400), some(0.4, 66), st.sampled_from([1, 3]), st.sampled_from(["metric", "old_british", "unknown"]))
def test_what_fits_is_in_the_window_and_nothing_else(amps: str, kv: str, phases: int, origin: str) -> None:
    got = worked("rating", fuse_a=amps, kv=kv, phases=phases, origin=origin).values
    names = {"metric": ["metric"], "old_british": ["old_british"]}.get(
        origin, ["metric", "old_british", "us_single" if phases == 1 else "us_three"]
    )
    series = {one for name in names for one in FIXED.series(f"ratings_{name}")}
    over = math.sqrt(3) if phases == 3 else 1
    ratios = {one: float(amps) * over * float(kv) / float(one) for one in series}
    if any(abs(ratio - edge) < 1e-9 for ratio in ratios.values() for edge in (1.1, 3.0)):
        return
    fit = sorted(one for one, ratio in ratios.items() if 1.1 <= ratio <= 3)
    assert got.get("plausible", ()) == tuple(fit)
    if fit:
        assert sorted(got["ranked"]) == fit  # type: ignore[type-var, arg-type]
        off = [abs(math.log(ratios[one] / 1.5)) for one in got["ranked"]]  # type: ignore[union-attr, index, arg-type]
        assert off == sorted(off) or max(b - a for a, b in zip(off[1:], off, strict=False)) < 1e-9
        assert got["likely"] == got["ranked"][0]  # type: ignore[index]
        assert 1.1 <= number(got["ratio"]) <= 3


@given(some(1, 200), some(1, 199))
def test_a_bigger_fuse_never_means_a_smaller_unit(amps: str, more: str) -> None:
    small, big = float(amps), float(amps) + float(more)
    found = [worked("rating", fuse_a=f"{one:.2f}", kv="11", phases=3, origin="metric").values for one in (small, big)]
    if all("likely" in one for one in found):
        assert found[0]["likely"] <= found[1]["likely"]  # type: ignore[operator]
    assert found[0]["implied"] < found[1]["implied"]  # type: ignore[operator]


@given(some(1, 2000), some(1, 200))
def test_a_terminal_only_takes_away(lv: str, fuse: str) -> None:
    free = worked("rating", fuse_a=fuse, kv="11", phases=3).values
    bound = worked("rating", fuse_a=fuse, kv="11", phases=3, lv_a=lv).values
    assert bound.get("by_fuse") == free.get("plausible")
    left = tuple(one for one in free.get("plausible", ()) if one <= bound["bound"])  # type: ignore[operator, union-attr]
    assert bound.get("plausible", ()) == left
    assert bound.get("agree") is (bool(left) if "plausible" in free else None)
    if "plausible" in free and not left:
        assert "likely" not in bound
        assert "clues_contradict" in said("rating", fuse_a=fuse, kv="11", phases=3, lv_a=lv)


@pytest.mark.parametrize(
    ("amps", "fits"), [("10.99", False), ("11", True), ("11.01", True), ("29.99", True), ("30", True), ("30.01", False)]
)
def test_both_ends_of_the_window_belong_to_it(amps: str, fits: bool) -> None:
    """100 kVA at 10 kV, one phase, takes 10 A: 11 A is 1.1 times, 30 A is 3 times that."""
    got = worked("rating", fuse_a=amps, kv="10", phases=1, own_ratings=["100"])
    assert ("likely" in got.values) is fits
    assert ("no_candidate" in {note.key for note in got.notes}) is not fits


@pytest.mark.parametrize(("lv", "fits"), [("399.99", False), ("400", True), ("400.01", True)])
def test_the_bound_itself_is_allowed(lv: str, fits: bool) -> None:
    """400 A at 250 V, one phase, are 100 kVA."""
    got = worked("rating", fuse_a="15", kv="10", phases=1, own_ratings=["100"], lv_a=lv, lv_v="250").values
    assert got["agree"] is fits
    assert ("likely" in got) is fits


def test_of_two_as_likely_the_one_with_more_oil_is_named() -> None:
    """15 A at 10 kV, one phase: 1.875 times full load of 80 kVA, 1.2 times that of 125: 1.5 times and over 1.25."""
    got = worked("rating", fuse_a="15", kv="10", phases=1, own_ratings=["80", "125"]).values
    assert got["ranked"] == (Decimal(125), Decimal(80))


@pytest.mark.parametrize(
    ("seen", "lv", "weight"),
    [
        ("told", None, "low"),
        ("from_ground", None, "low"),
        ("proven_dead", None, "low"),
        ("told", "400", "low"),
        ("from_ground", "400", "some"),
        ("proven_dead", "400", "some"),
        ("from_ground", "50", "low"),
    ],
)
def test_only_two_clues_that_agree_and_were_seen_weigh_some(seen: str, lv: str | None, weight: str) -> None:
    raw = {"fuse_a": "15", "kv": "11", "phases": 3, "fuse_seen": seen, **({"lv_a": lv} if lv else {})}
    assert worked("rating", **raw).values["weight"] == weight


def test_a_fuse_of_which_nobody_says_how_it_was_read_counts_as_told() -> None:
    assert "seen_told" in said("rating", fuse_a="15", kv="11", phases=3)
    assert "seen_from_ground" in said("rating", fuse_a="15", kv="11", phases=3, fuse_seen="from_ground")


def test_that_a_fuse_is_never_climbed_to_and_decides_nothing_of_pcb_stands_always() -> None:
    for raw in ({"fuse_a": "15", "kv": "11"}, {"lv_a": "630"}, {"fuse_a": "2000", "kv": "0.1"}):
        told = " ".join(says for says, _ in SUMS["rating"].said(worked("rating", phases=3, **raw)))
        assert "never climb" in told
        assert "nothing of PCB" in told
    assert "fuse_not_its_own" in said("rating", fuse_a="15", kv="11", phases=3)


@pytest.mark.parametrize(("amps", "odd"), [("10", False), ("15", True), ("16", False), ("31.5", False), ("12", True)])
def test_sizes_that_no_cartridge_has_point_to_a_link(amps: str, odd: bool) -> None:
    assert ("no_cartridge_size" in said("rating", fuse_a=amps, kv="11", phases=3)) is odd


def test_what_was_looked_through_is_told_in_full() -> None:
    notes = worked("rating", fuse_a="15", kv="11", phases=3, origin="metric").notes
    (series,) = [note.slots["ratings"] for note in notes if note.key == "ratings_metric"]
    assert series.split() == [format(one, "f") for one in METRIC]


def test_an_origin_of_the_other_number_of_phases_is_refused_both_ways() -> None:
    for phases, origin in ((3, "us_single"), (1, "us_three")):
        with pytest.raises(Slip) as caught:
            worked("rating", fuse_a="15", kv="7.2", phases=phases, origin=origin)
        assert caught.value.path == "origin"
    for phases, origin in ((1, "us_single"), (3, "us_three")):
        assert "likely" in worked("rating", fuse_a="15", kv="7.2", phases=phases, origin=origin).values


def test_a_terminal_alone_gives_no_size() -> None:
    got = worked("rating", lv_a="630", phases=3)
    assert set(got.values) == {"bound", "weight"}
    assert "bound_alone" in {note.key for note in got.notes}


def test_clues_are_held_against_each_other_only_where_both_speak() -> None:
    """A fuse of 0.1 A at 0.1 kV, three phases, means some 0.01 kVA: it fits nothing."""
    assert "agree" not in worked("rating", fuse_a="15", kv="11", phases=3).values
    nothing = worked("rating", fuse_a="0.1", kv="0.1", phases=3, lv_a="630")
    assert "agree" not in nothing.values
    assert {"bound", "implied"} <= set(nothing.values)
    assert "no_candidate" in {note.key for note in nothing.notes}


def test_across_which_points_the_voltage_is_meant_is_said_for_one_phase() -> None:
    assert "one_phase_voltage" in said("rating", fuse_a="15", kv="7.2", phases=1)
    assert "one_phase_voltage" not in said("rating", fuse_a="15", kv="7.2", phases=3)


# litres and mass

TABLE = {25: 95, 50: 148, 63: 171, 100: 230, 160: 311, 200: 358, 250: 413, 315: 479, 500: 644, 750: 835, 1000: 1004}
DRUMS = {25: (1, 1), 50: (1, 2), 100: (2, 2), 160: (2, 3), 250: (3, 4), 500: (4, 6), 750: (5, 7), 1000: (6, 8)}


@pytest.mark.parametrize(("kva", "litres"), TABLE.items())
def test_the_curve_by_a_table_worked_by_hand(kva: int, litres: int) -> None:
    assert number(worked("oil_litres", kva=str(kva)).values["litres"]) == pytest.approx(litres, abs=0.75)


@pytest.mark.parametrize(("kva", "drums"), DRUMS.items())
def test_drums_by_hand(kva: int, drums: tuple[int, int]) -> None:
    got = worked("oil_litres", kva=str(kva)).values
    assert (got["drums"], got["drums_high"]) == drums


def test_the_deck_that_plans_a_litre_a_kva_lies_in_the_band() -> None:
    got = worked("oil_litres", kva="400").values
    assert got["litres_low"] < 400 < got["litres"]  # type: ignore[operator]


@given(some(5, 2500), st.sampled_from(["oil", "askarel", "unknown"]))
def test_bands_hold_the_middle_and_askarel_is_never_lighter(kva: str, fluid: str) -> None:
    got = worked("oil_litres", kva=kva, fluid=fluid).values
    for what in ("litres", "gross"):
        middle = got["litres" if what == "litres" else "gross_kg"]
        assert got[f"{what}_low"] < middle < got[f"{what}_high"]  # type: ignore[operator]
    assert got["drums"] <= got["drums_high"]  # type: ignore[operator]
    assert got["drum_fluid_kg"] < got["drum_fluid_high"]  # type: ignore[operator]
    oil = worked("oil_litres", kva=kva, fluid="oil").values
    assert got["gross_high"] >= oil["gross_high"]  # type: ignore[operator]
    assert got["litres"] == oil["litres"]


@given(some(5, 2499), some(0.01, 1))
def test_more_rating_never_holds_less(kva: str, more: str) -> None:
    small, big = Decimal(kva), Decimal(kva) + Decimal(more)
    assert oil_volume(small, FIXED) < oil_volume(big, FIXED)
    less, most = (worked("oil_litres", kva=format(one, "f")).values for one in (small, big))
    assert less["drums_high"] <= most["drums_high"]  # type: ignore[operator]


def test_fluid_that_nobody_knows_is_told_as_the_heavier_one_at_the_top() -> None:
    unknown, oil, askarel = (worked("oil_litres", kva="200", fluid=one).values for one in ("unknown", "oil", "askarel"))
    assert unknown["gross_kg"] == oil["gross_kg"]
    assert unknown["gross_high"] == askarel["gross_high"]
    assert unknown["drum_fluid_high"] == askarel["drum_fluid_high"]
    assert worked("oil_litres", kva="200").values == unknown


def test_a_last_drum_counts_from_the_first_drop() -> None:
    """230 L at 100 kVA."""
    for usable, drums in (("230", 1), ("229.9", 2), ("115", 2), ("114.9", 3)):
        assert worked("oil_litres", kva="100", usable_l=usable).values["drums"] == drums


def test_a_drum_is_held_against_its_mark_only_where_that_can_be_said() -> None:
    base = {"kva": "100", "fluid": "askarel"}
    assert "drum_within" not in worked("oil_litres", **base).values
    assert "drum_within" not in worked("oil_litres", **base, drum_marked_kg="400").values
    assert "drum_empty_missing" in said("oil_litres", **base, drum_marked_kg="400")
    assert worked("oil_litres", **base, drum_marked_kg="296.3").values["drum_within"] is False
    assert worked("oil_litres", **base, drum_marked_kg="400", drum_empty_kg="20").values["drum_within"] is True
    assert "drum_too_heavy" in said("oil_litres", **base, drum_marked_kg="316.3", drum_empty_kg="20")


@pytest.mark.parametrize(("kva", "out"), [("24.9", True), ("25", False), ("1000", False), ("1000.1", True)])
def test_outside_of_what_was_looked_at_it_is_said(kva: str, out: bool) -> None:
    assert ("outside_fit" in said("oil_litres", kva=kva)) is out


def test_never_for_lifting() -> None:
    assert "Not for lifting" in SUMS["oil_litres"].said(worked("oil_litres", kva="100"))[0][0]


def test_a_density_on_the_mark_is_asked_for_wherever_it_may_be_askarel() -> None:
    assert "drum_density_mark" in said("oil_litres", kva="100")
    assert "drum_density_mark" in said("oil_litres", kva="100", fluid="askarel")
    assert "drum_density_mark" not in said("oil_litres", kva="100", fluid="oil")


# shares


@given(some(0.1, 1000), some(0.1, 5000))
def test_shares_there_and_back(net: str, dry: str) -> None:
    """The same tank with the other fluid: volume stays, mass of the dry part stays."""
    gross = format(Decimal(net) + Decimal(dry), "f")
    got = worked("fluid_share", holds="askarel", net_kg=net, gross_kg=gross).values
    litres = float(net) / 1.5
    assert number(got["mineral_share"]) == pytest.approx(litres * 0.88 / (litres * 0.88 + float(dry)), rel=1e-9)
    assert 0 < got["mineral_share"] < got["askarel_share"] < 1  # type: ignore[operator]
    oil = format(Decimal(net) * Decimal("0.88") / Decimal("1.5"), ".12f")
    full = format(Decimal(oil) + Decimal(dry), "f")
    back = worked("fluid_share", holds="mineral", net_kg=oil, gross_kg=full) if Decimal(oil) >= Decimal("0.1") else None
    if back:
        assert number(back.values["askarel_share"]) == pytest.approx(number(got["askarel_share"]), rel=1e-6)


@given(some(0.1, 10000), some(0, 1), some(0, 1))
def test_pcb_lies_between_nought_and_the_fill(net: str, one: str, other: str) -> None:
    low, high = sorted((Decimal(one), Decimal(other)))
    raw = {"holds": "askarel", "net_kg": net, "pcb_share_low": f"{low:f}", "pcb_share_high": f"{high:f}"}
    got = worked("fluid_share", **raw).values
    assert 0 <= got["pcb_low_kg"] <= got["pcb_high_kg"] <= Decimal(net)  # type: ignore[operator]


def test_no_kilograms_of_pcb_are_told_of_mineral_oil() -> None:
    got = worked("fluid_share", holds="mineral", net_kg="230", gross_kg="1000")
    assert set(got.values) == {"askarel_share", "mineral_share"}
    assert "mineral_by_test" in {note.key for note in got.notes}


@pytest.mark.parametrize(
    ("net", "odd"), [("199.9", True), ("200", False), ("230", False), ("350", False), ("350.1", True)]
)
def test_an_unusual_share_is_said(net: str, odd: bool) -> None:
    assert ("share_unusual" in said("fluid_share", holds="mineral", net_kg=net, gross_kg="1000")) is odd


# slips that have to be seen

TARGET, WINDOW = 'is = "1.5", cite = "fuse page"', 'is = "1.1", cite = "fuse window"'
PLANTED = (
    ("rating", TARGET, TARGET.replace("1.5", "2")),
    ("rating", WINDOW, WINDOW.replace("1.1", "1.2")),
    ("rating", 'is = "3.0", cite = "fuse page"', 'is = "2.5", cite = "fuse page"'),
    ("rating", 'is = "433"', 'is = "415"'),
    ("rating", "125 160 200 250 315 400 500 630", "125 160 250 315 400 500 630"),
    ("oil_litres", 'is = "0.64"', 'is = "0.46"'),
    ("oil_litres", 'is = "0.88"', 'is = "0.89"'),
    ("oil_litres", 'is = "190"', 'is = "205"'),
    ("fluid_share", 'is = "1.5", cite = "askarel density"', 'is = "1.6", cite = "askarel density"'),
    ("fluid_share", 'is = "0.4", cite = "inventory note"', 'is = "0.3", cite = "inventory note"'),
)


@pytest.mark.parametrize(("name", "old", "new"), PLANTED, ids=[f"{name}: {new[:24]}" for name, _, new in PLANTED])
def test_a_planted_slip_in_a_figure_is_caught_by_a_check(tmp_path: Path, name: str, old: str, new: str) -> None:
    text = (sumbook.SHELF / "identity.toml").read_text("utf-8")
    assert text.count(old) == 1
    file = tmp_path / "identity.toml"
    file.write_text(text.replace(old, new), "utf-8")
    asked = sumbook.load_sums(file)[name]
    assert not all(held(asked, check, TODAY).met for check in asked.checks)


def test_planted_slips_in_the_formula_are_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    from hazmat.core.sums import identity

    slips: list[tuple[str, str, Callable[..., Any]]] = [
        ("full_load", "full_load_amps", lambda kva, kv, phases: kva / kv),
        ("rating", "_factor", lambda phases: Decimal(1)),
        ("oil_litres", "drums_for", lambda litres, usable: int(litres / usable)),
        ("fluid_share", "_other_fill", lambda share, lighter: share * lighter),
    ]
    for name, part, wrong in slips:
        with monkeypatch.context() as patched:
            patched.setattr(identity, part, wrong)
            assert not all(held(SUMS[name], check, TODAY).met for check in SUMS[name].checks), name
