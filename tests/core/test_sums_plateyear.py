"""Between which years a unit was built: how plates write standards, what is no standard, bounds that hold."""

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.sums.frame import Fixed, Worked
from hazmat.core.sums.plateyear import named, standards
from hazmat.edge.shapes import Slip
from hazmat.edge.sums import held, work
from hazmat.rulebooks import sumbook

TODAY = date(2026, 11, 26)
SUM = sumbook.sums()["build_year"]
FIXED = Fixed(SUM.figures, TODAY)
TOML = (sumbook.SHELF / "identity.toml").read_text("utf-8")


def worked(plate: str | None = None, **raw: Any) -> Worked:
    return work(SUM, {**({"plate": plate} if plate else {}), **raw}, TODAY)


def since(plate: str) -> Any:
    return worked(plate).values.get("not_before")


def said(plate: str | None = None, **raw: Any) -> set[str]:
    return {note.key for note in worked(plate, **raw).notes}


@pytest.mark.parametrize(
    ("plate", "year"),
    [
        ("BS EN 50464-1", 2007),
        ("BSEN50464", 2007),
        ("bs en 50464-1:2007", 2007),
        ("B.S. EN 50464 - 1 : 2007", 2007),
        ("I.E.C. 296", 1969),
        ("IEC296", 1969),
        ("IEC-296", 1969),
        ("iec 296 (1982)", 1982),
        ("OIL: BS.148", 1923),
        ("B.S.S. No. 148", 1923),
        ("B S 148", 1923),
        ("BS 148-1984", 1984),
        ("BS148/1951", 1951),
        ("BS 148 – 1951", 1951),
        ("British Standard 171 of 1936", 1936),
        ("BS 171", 1927),
        ("BS 171 Part 1: 1978", 1978),
        ("BS 171-1:1978", 1978),
        ("BS 171, PT. 1, 1978", 1927),
        ("BS 171.", 1927),
        ("(BS 171)", 1927),
        ("IS:335", 1953),
        ("IS 335-1993.", 1993),
        ("ASTM D3487", 1976),
        ("ASTM D 3487-88", 1988),
        ("D3487-09", 2009),
        ("D3487-16e1", 2016),
        ("D3487-2008", 2008),
        ("IEC 60296", 1997),
        ("IEC 60296:2020", 2020),
        ("IEC 60076-1", 1997),
        ("IEC 60156", 1997),
        ("IEC 61558:1992", 1997),
        ("BS EN 60076-11", 1997),
        ("BS 7821", 1995),
        ("ＢＳ １７１:１９７０", 1970),
    ],
)
def test_a_standard_is_found_as_plates_write_it(plate: str, year: int) -> None:
    assert since(plate) == year


@pytest.mark.parametrize(
    "plate",
    [
        "BS 1710", "BS 17", "XBS 171", "BS 171A", "ABS 148", "BS 1480", "BS 171.5", "IEC 2960", "IEC 29", "IEC 76",
        "THIS 335", "OIL MASS IS 335 kg", "oil is 335 litres", "is 335kg", "D34870", "IEC 600761", "IEC 6007",
        "1936", "KVA 171", "SERIAL 60296", "50 Hz", "BICYCLES", "NO PCBS",
    ],
)  # fmt: skip
def test_what_is_no_standard_says_nothing(plate: str) -> None:
    got = worked(plate)
    assert set(got.values) == {"conflict"}
    assert "nothing_dates" in {note.key for note in got.notes}


@pytest.mark.parametrize(
    ("plate", "year", "note"),
    [
        ("BS 148:1922", 1923, "odd_read"),
        ("BS 148:1923", 1923, "edition_read"),
        ("BS 148:1924", 1924, "unlisted_plate"),
        ("BS 148:1984", 1984, "edition_read"),
        ("BS 148:2026", 2026, "unlisted_plate"),
        ("BS 148:2027", 1923, "odd_read"),
        ("BS 171:1935", 1935, "unlisted_plate"),
        ("BS 171:1936", 1936, "edition_memory"),
        ("BS 171:1970", 1970, "edition_read"),
        ("BS EN 60076", 1997, "first_memory"),
        ("BS EN 60076:1996", 1997, "odd_memory"),
        ("BS EN 60076:1997", 1997, "edition_memory"),
        ("IEC 60296:1982", 1997, "odd_read"),
        ("IEC 60296:1969", 1997, "odd_read"),
        ("D3487-75", 1976, "odd_read"),
        ("D3487-76", 1976, "edition_read"),
        ("D3487-26", 2026, "unlisted_plate"),
        ("D3487-27", 1976, "odd_read"),
        ("BS 171 - 2000 kVA", 1927, "first_read"),
        ("BS 171/50 cycles", 1927, "first_read"),
        ("BS 148:19840", 1923, "first_read"),
    ],
)
def test_a_year_behind_a_standard_counts_where_it_can_be_an_edition(plate: str, year: int, note: str) -> None:
    got = worked(plate)
    assert got.values["not_before"] == year
    assert note in {one.key for one in got.notes}


@pytest.mark.parametrize(
    ("plate", "year", "known", "surely"),
    [
        ("BS 171", 1927, "read", 1927),
        ("BS 171:1936", 1936, "memory", 1927),
        ("BS 171:1970", 1970, "read", 1970),
        ("IEC 60296:2004", 2004, "plate", 1997),
        ("BS EN 60076", 1997, "memory", None),
        ("BS EN 60076 IEC 60076", 1997, "read", 1997),
    ],
)
def test_memory_and_plates_are_told_apart_from_documents(plate: str, year: int, known: str, surely: int | None) -> None:
    got = worked(plate).values
    assert (got["not_before"], got["lower_known"], got.get("not_before_read")) == (year, known, surely)


def test_a_name_for_many_standards_is_not_told_beside_the_one_that_is_named() -> None:
    assert worked("IEC 60296:2003").values["because"] == ("IEC 60296:2003",)
    assert worked("IEC 60296 IEC 60156").values["because"] == ("IEC 60296", "IEC 60###")


def test_what_a_plate_names_twice_is_told_once() -> None:
    assert worked("BS 171:1970 AND B.S. 171-1970").values["because"] == ("BS 171:1970",)
    assert worked("BS 171:1970 AND BS 171:1936").values["because"] == ("BS 171:1970", "BS 171:1936")


def test_a_standard_of_oil_may_date_the_oil_alone() -> None:
    assert "of_oil" in said("IEC 60296")
    assert "of_oil" in said("BS 148:1984")
    assert "of_oil" not in said("BS 171:1970")


@pytest.mark.parametrize("plate", ["50 cycles", "CYCLES 50", "50~ c/s", "60 c.p.s.", "60 CPS", "1 cycle"])
def test_cycles_end_about_1970(plate: str) -> None:
    got = worked(plate).values
    assert (got["not_after"], got["upper_known"], got["because"]) == (1970, "memory", ("cycles",))


@pytest.mark.parametrize(
    ("tank", "lower", "upper"),
    [
        ("riveted", None, 1935),
        ("round_tubes", 1930, 1965),
        ("elliptical_tubes", 1955, None),
        ("corrugated", 1970, None),
    ],
)
def test_shapes_of_tanks_are_bounds_from_memory(tank: str, lower: int | None, upper: int | None) -> None:
    got = worked(tank=tank)
    assert (got.values.get("not_before"), got.values.get("not_after")) == (lower, upper)
    assert "not_before_read" not in got.values
    assert all("memory" in says for says, _ in SUM.said(got)[1:])


@pytest.mark.parametrize(
    ("plate", "tank", "conflict"),
    [
        ("BS 148:1934", "riveted", False),
        ("BS 148:1935", "riveted", False),
        ("BS 148:1936", "riveted", True),
        ("50 cycles", "corrugated", False),
        ("50 cycles", "elliptical_tubes", False),
        ("BS 148:1965", "round_tubes", False),
        ("BS 148:1966", "round_tubes", True),
        ("BS 148:1966", "corrugated", False),
    ],
)
def test_one_year_too_many_is_a_contradiction(plate: str, tank: str, conflict: bool) -> None:
    """Nothing is hidden: both bounds stay."""
    got = worked(plate, tank=tank)
    assert got.values["conflict"] is conflict
    assert ("years_contradict" in {note.key for note in got.notes}) is conflict
    if conflict:
        assert got.values["not_before"] > got.values["not_after"]  # type: ignore[operator]


def test_a_repairers_plate_dates_the_repair_and_warns_of_the_oil() -> None:
    got = worked("BS EN 50464-1", tank="riveted", repairer_plate=True)
    assert got.values["repaired_not_before"] == 2007
    assert got.values["not_after"] == 1935
    assert "not_before" not in got.values
    assert got.values["conflict"] is False
    notes = {note.key for note in got.notes}
    assert "repairer" in notes
    assert "years_contradict" not in notes
    assert "oil is often changed" in " ".join(says for says, _ in SUM.said(got))


def test_the_tank_still_speaks_where_the_plate_is_a_repairers() -> None:
    got = worked("BS EN 50464-1 50 cycles", tank="elliptical_tubes", repairer_plate=True).values
    assert (got["not_before"], got["not_after"], got["repaired_not_before"]) == (1955, 1970, 2007)
    assert "repaired_not_before" not in worked(tank="riveted", repairer_plate=True).values
    assert "repaired_not_before" not in worked("BS 171").values


def test_a_no_pcbs_mark_dates_no_unit() -> None:
    got = worked("NO PCBs", tank="riveted").values
    assert "no_pcbs_mark" in said("NO PCBs", tank="riveted")
    assert "not_before" not in got
    assert "no_pcbs_mark" not in said("CONTAINS PCBs", tank="riveted")


def test_nothing_said_is_refused_and_nothing_found_is_told() -> None:
    for raw in ({}, {"tank": "unknown"}, {"repairer_plate": True}):
        with pytest.raises(Slip) as caught:
            work(SUM, raw, TODAY)
        assert caught.value.path == "plate"
    assert "nothing_dates" in said("made in a works")
    assert "nothing_dates" in said("made in a works", repairer_plate=True)
    assert "nothing_dates" not in said("BS 171")


def test_a_late_year_is_never_told_without_its_caution() -> None:
    assert "says nothing of PCB" in SUM.said(worked("BS EN 50464-1"))[0][0]


NAMES = [one.name for one in standards(FIXED) if not one.several]
plates = st.lists(st.sampled_from([*NAMES, "BS 171:1936", "IEC 296:1982", "D3487-88", "xyz", "500 kVA"]), max_size=4)


@given(plates, plates, st.sampled_from([", ", " ; ", "\n"]))
def test_more_words_never_make_a_unit_older(some: list[str], more: list[str], between: str) -> None:
    few, many = "plate " + between.join(some), "plate " + between.join([*some, *more])
    if since(few):
        assert since(many) >= since(few)
    assert set(worked(few).values.get("because") or ()) <= set(worked(many).values.get("because") or ())  # type: ignore[arg-type]


@given(st.sampled_from(NAMES), st.sampled_from(["", " ", "-", ".", ". ", " No. "]), st.booleans())
def test_spaces_dots_and_case_change_nothing(name: str, gap: str, small: bool) -> None:
    written = gap.join(name.split())
    assert since(written.lower() if small else written) == since(name)


@given(st.sampled_from(NAMES), st.sampled_from("0123456789ABCXYZ"), st.sampled_from("0123456789ABCXYZ"))
def test_a_letter_or_digit_at_either_end_makes_it_another_word(name: str, before: str, behind: str) -> None:
    """A shorter name may still stand inside: EN 50464 behind a letter is none, D3487 behind ASTM is one."""
    assert list(named(name + behind, FIXED)) == []
    glued = {one.name for one in named(before + name.replace(" ", ""), FIXED)}
    assert glued == set()


@given(st.text(max_size=60))
def test_any_text_is_read_and_bounds_follow_from_what_is_told(text: str) -> None:
    clues = list(named(text, FIXED))
    got = worked("plate " + text).values
    if clues:
        assert got["not_before"] == max(one.since or 0 for one in clues)
    assert got["conflict"] is (got.get("not_before", 0) > got.get("not_after", 9999))  # type: ignore[operator]
    assert got.get("not_before_read", 0) <= got.get("not_before", 0)  # type: ignore[operator]


def test_every_standard_has_a_first_year_and_every_edition_a_name() -> None:
    keys = {name.removeprefix("words_") for name in SUM.figures if name.startswith("words_")}
    editions = [name.removeprefix("edition_").rpartition("_") for name in SUM.figures if name.startswith("edition_")]
    assert {key for key, _, _ in editions} == keys
    for key, _, year in editions:
        assert FIXED.number(f"edition_{key}_{year}") == int(year)
    assert set(FIXED.text("oil_standards").split()) <= keys
    assert set(FIXED.text("two_digit_years").split()) <= keys


def test_each_standard_is_found_by_each_of_its_names() -> None:
    for name in SUM.figures:
        if name.startswith("words_"):
            for one in FIXED.text(name).replace("#", "0").split("|"):
                assert list(named(one.strip(), FIXED)), one


def test_a_standard_is_added_by_data_alone(tmp_path: Path) -> None:
    more = """
[figure.words_test_9]
says   = "A standard made up"
unit   = "text"
values = [{ since = "unknown", is = "QQ 9999", cite = "standards" }]

[figure.edition_test_9_1940]
says   = "Its first year"
unit   = "year"
values = [{ since = "unknown", is = "1940", cite = "BS 171 memory" }]
"""
    file = tmp_path / "identity.toml"
    file.write_text(TOML + more, "utf-8")
    got = work(sumbook.load_sums(file)["build_year"], {"plate": "q.q. 9999-2"}, TODAY).values
    assert (got["not_before"], got["lower_known"], got["because"]) == (1940, "memory", ("QQ 9999",))
    assert since("QQ 9999") is None


PLANTED = (
    ('is = "2007", cite', 'is = "2017", cite'),
    ('is = "1923", cite', 'is = "1924", cite'),
    ('is = "BS 148 | BSS 148', 'is = "BS 149 | BSS 148'),
    ('is = "cycles | cycle |', 'is = "cycle |'),
    ('is = "1935", cite = "shape', 'is = "2035", cite = "shape'),
    ('is = "1936", cite = "BS 171 memory"', 'is = "1936", cite = "British history"'),
)  # fmt: skip


@pytest.mark.parametrize(("old", "new"), PLANTED, ids=[new[:24] for _, new in PLANTED])
def test_a_planted_slip_is_caught_by_a_check(tmp_path: Path, old: str, new: str) -> None:
    assert TOML.count(old) == 1
    file = tmp_path / "identity.toml"
    file.write_text(TOML.replace(old, new), "utf-8")
    asked = sumbook.load_sums(file)["build_year"]
    assert not all(held(asked, check, TODAY).met for check in asked.checks)


def test_of_two_centuries_the_one_of_an_edition_is_taken_else_the_earlier(tmp_path: Path) -> None:
    """With a standard of 1923 and two digits: 23 is 1923, 24 may be 1924 or 2024, 09 and 22 are 20.. alone."""
    file = tmp_path / "identity.toml"
    file.write_text(TOML.replace('is = "astm_d3487"', 'is = "astm_d3487 bs_148"'), "utf-8")
    asked = sumbook.load_sums(file)["build_year"]
    for digits, year in (("23", 1923), ("24", 1924), ("09", 2009), ("22", 2022)):
        assert work(asked, {"plate": f"BS 148-{digits}"}, TODAY).values["not_before"] == year
