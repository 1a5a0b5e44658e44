"""Both sides of every boundary, and evidence that must not be believed too easily.

Sources: 40 CFR 761.2, 761.3 and 761.40(g) for the United States (https://www.ecfr.gov/current/title-40/part-761); the
notice of 2004 as amended in 2016 for New Zealand (https://gazette.govt.nz/notice/id/2016-au7215); IEC 61619:1997,
clause 14, for the spread of two laboratories; ISO 5725-6 for the factor 2.77. The safety band is a house judgement.
"""

from typing import Any

import pytest

from hazmat.core.law import UNDETERMINED
from tests.core.strategies_core import Line, ask

NEW: Line = {"kind": "transformer", "built": 2005, "fluid": "mineral", "found_in": "FR"}
OLD: Line = {"kind": "transformer", "built": 1965, "fluid": "mineral", "found_in": "FR"}
CAN: Line = {"kind": "capacitor", "found_in": "FR"}


def lab(value: Any = None, unit: str = "mg/kg", **more: Any) -> Line:
    return {"how": "laboratory", "unit": unit, **({} if value is None else {"value": value}), **more}


def yellow(set_point: int = 500, **more: Any) -> Line:
    return {"how": "screen", "set_point": set_point, "colour": "yellow", **more}


def within(value: Any, kind: str = "absolute", **k: Any) -> Line:
    return {"uncertainty": {"value": value, "kind": kind, **k}}


# ---------------------------------------------------------------------------------------------- class lines


@pytest.mark.parametrize(
    ("test", "klass"),
    [
        (lab("49.9"), "below_50"),
        (lab("49.999999"), "below_50"),
        (lab(50), "50_to_499"),
        (lab("499.9"), "50_to_499"),
        (lab(500), "from_500"),
        (lab("0.00499", "%"), "below_50"),
        (lab("0.005", "%"), "50_to_499"),
        (lab("43.99", "mg/L", density_kg_l="0.88"), "below_50"),
        (lab(44, "mg/L", density_kg_l="0.88"), "50_to_499"),
        (lab("49.9", "ppm", basis="weight"), "below_50"),
        (lab(50, sign="<"), "below_50"),
        (lab(reporting_limit=50), "below_50"),
        (lab(50, sign=">"), "from_500"),
    ],
)
def test_us_class_of_a_laboratory_figure(test: Line, klass: str) -> None:
    """40 CFR 761.3: contaminated from 50 ppm and below 500; a PCB transformer from 500; 761.1(b)(2) for the unit."""
    answer = ask({**NEW, "tests": [test]}, "us")
    assert (answer.klass, answer.basis) == (klass, "established")


@pytest.mark.parametrize(
    ("test", "klass"),
    [(lab(50), "up_to_50"), (lab("50.0001"), "over_50"), (lab("50.1"), "over_50"), (lab("0.005", "%"), "up_to_50")],
)
def test_nz_class_of_a_laboratory_figure(test: Line, klass: str) -> None:
    """Clause 3(2)(e): PCB is what holds more than 50 ppm."""
    answer = ask({**NEW, "tests": [test]}, "nz")
    assert (answer.klass, answer.basis) == (klass, "established")


@pytest.mark.parametrize(
    ("law", "test", "klass"),
    [
        ("us", lab("39.99", "mg/L"), "below_50"),
        ("us", lab(40, "mg/L"), "50_to_499"),
        ("us", lab(400, "ppm"), "from_500"),
        ("nz", lab(40, "mg/L"), UNDETERMINED),
        ("nz", lab("40.01", "mg/L"), "over_50"),
        ("us", lab(51, sign="<"), "below_50"),
        ("us", yellow(20), "below_50"),
        ("us", yellow(50), "50_to_499"),
        ("us", yellow(500), "from_500"),
        ("nz", yellow(20), UNDETERMINED),
        ("nz", yellow(50), "over_50"),
    ],
)
def test_what_lifts_a_presumption_and_what_does_not(law: str, test: Line, klass: str) -> None:
    """House rule: a figure by volume is read at 0.80 kg/L; a screen above N means more than N."""
    answer = ask({**NEW, "tests": [test]}, law)
    assert answer.klass == klass
    assert answer.basis != "established"


# ---------------------------------------------------------------------------------------------- dates, weights, volts


@pytest.mark.parametrize(
    ("built", "klass", "force"),
    [
        ("1979-07-01", "50_to_499", "must"),
        ("1979-07-02", "50_to_499", "care"),
        ("1979-07-03", "below_50", "may"),
        ("1979-06", "50_to_499", "must"),
        ("1979-07", "50_to_499", "care"),
        ("1979-08", "below_50", "may"),
        (1978, "50_to_499", "must"),
        (1979, "50_to_499", "care"),
        (1980, "below_50", "may"),
        ("~1984", "50_to_499", "care"),
        ("~1985", "below_50", "may"),
        ("1979-07-03/", "below_50", "may"),
        ("/1985", "50_to_499", "care"),
        (None, "50_to_499", "must"),
    ],
)
def test_us_mineral_oil_about_the_cut_off(built: Any, klass: str, force: str) -> None:
    """40 CFR 761.2(a)(2) speaks of before and after 2 July 1979; the day itself is our cautious reading."""
    answer = ask({**OLD, "built": built}, "us")
    assert (answer.klass, answer.force) == (klass, force)


@pytest.mark.parametrize(
    ("mass", "litres", "klass"),
    [
        ("1.359", None, "below_50"),
        ("1.36", None, "from_500"),
        ("1.3605", None, "from_500"),
        (0, None, "from_500"),
        (None, "0.849", "below_50"),
        (None, "0.85", "from_500"),
        ("1.2", "0.9", "from_500"),
    ],
)
def test_us_small_transformer(mass: Any, litres: Any, klass: str) -> None:
    """40 CFR 761.2(a)(1): less than 1.36 kg of fluid; litres read at 1.6 kg/L by house rule."""
    line = {**OLD, "fluid": "other", "mounting": "indoor", "fluid_mass_kg": mass, "fluid_volume_l": litres}
    assert ask(line, "us").klass == klass


@pytest.mark.parametrize(
    "gone", [{"state": "drained"}, {"history": [{"what": "drained", "on": 2020}]}], ids=["state", "history"]
)
def test_what_is_left_in_a_drained_unit_is_not_its_filling(gone: Line) -> None:
    """A kilogram left after draining does not make a small transformer (house rule: masses mean the filled unit)."""
    line = {**OLD, "fluid": "other", "mounting": "indoor", "fluid_mass_kg": "0.9", **gone}
    assert ask(line, "us").klass == "from_500"


@pytest.mark.parametrize(
    ("built", "band"),
    [
        ("1995-12-31", "50_499"),
        ("1996-01-01", "2_49"),
        (1995, "50_499"),
        (1996, "2_49"),
        ("1995/1996", "50_499"),
        ("1996/", "2_49"),
        ("~2000", "50_499"),
        ("~2001", "2_49"),
        (None, "50_499"),
    ],
)
def test_the_band_about_the_last_marker_year(built: Any, band: str) -> None:
    assert ask({**NEW, "built": built}, "nz").band == band


@pytest.mark.parametrize(
    ("facts", "band"),
    [
        ({"built": "1978-06-30"}, "ge500"),
        ({"built": "1978-07-01"}, "2_49"),
        ({"built": 1978}, "ge500"),
        ({"built": "1978-07"}, "2_49"),
        ({"built": "/1985"}, "ge500"),
        ({}, "2_49"),
        ({"voltage_v": 1999}, "2_49"),
        ({"voltage_v": 2000}, "ge500"),
        ({"voltage_v": 2000, "fluid_mass_kg": "1.359"}, "2_49"),
        ({"voltage_v": 2000, "fluid_mass_kg": "1.36"}, "ge500"),
        ({"voltage_v": 1999, "fluid_mass_kg": "1.36"}, "2_49"),
    ],
)
def test_where_a_makers_mark_counts(facts: Line, band: str) -> None:
    """40 CFR 761.40(g): from 1 July 1978, and no large capacitor of 2,000 volts or more."""
    answer = ask({**CAN, "marks": ["maker_no_pcbs"], **facts}, "us")
    assert answer.band == band
    assert (answer.klass == "below_50") == (band == "2_49")


@pytest.mark.parametrize(
    ("facts", "size"),
    [
        ({"fluid_mass_kg": "1.359"}, "small"),
        ({"fluid_mass_kg": "1.36", "voltage_v": 1999}, "large_low_voltage"),
        ({"fluid_mass_kg": "1.36", "voltage_v": 2000}, "large_high_voltage"),
        ({"body_cm3": "1638.9"}, "small"),
        ({"body_cm3": 1639, "gross_mass_kg": "4.07"}, "small"),
        ({"body_cm3": 1639, "gross_mass_kg": "4.08", "voltage_v": 400}, "large_low_voltage"),
        ({"body_cm3": 3278, "gross_mass_kg": "4.07"}, "small"),
        ({"body_cm3": "3278.1", "gross_mass_kg": "4.07", "voltage_v": 400}, "large_low_voltage"),
        ({"fluid_mass_kg": 5, "body_cm3": 1000, "voltage_v": 400}, "large_low_voltage"),
    ],
)
def test_us_capacitor_size(facts: Line, size: str) -> None:
    """40 CFR 761.3, Capacitor."""
    assert ask({**CAN, **facts}, "us").size == size


# ---------------------------------------------------------------------------------------------- uncertainty


@pytest.mark.parametrize(
    ("test", "band"),
    [
        (lab(46, **within("3.9", k=2)), "2_49"),
        (lab(46, **within(4, k=2)), "50_499"),
        (lab(46, **within("1.99", k=1)), "2_49"),
        (lab(46, **within(2, k=1)), "50_499"),
        (lab(46, **within(4)), "50_499"),
        (lab(46, **within("3.9")), "2_49"),
        (lab(46, **within(4, k=3)), "50_499"),
        (lab(40, **within("24.9", "percent", k=2)), "2_49"),
        (lab(40, **within(25, "percent", k=2)), "50_499"),
        (lab(40, **within("12.5", "percent", k=1)), "50_499"),
        (lab(36, "mg/L", density_kg_l="0.8", **within("3.9", k=2)), "2_49"),
        (lab(36, "mg/L", density_kg_l="0.8", **within(4, k=2)), "50_499"),
        (lab(40, "mg/L", density_kg_l="0.88", **within("3.99", k=2)), "2_49"),
        (lab(40, "mg/L", density_kg_l="0.88", **within(4, k=2)), "50_499"),
        (lab(40, "mg/L", density_kg_l="0.88", **within(10, "percent", k=2)), "50_499"),
        (lab("0.0045", "%", **within("0.0005", k=2)), "50_499"),
    ],
)
def test_the_band_takes_the_figure_with_its_uncertainty_at_k_2(test: Line, band: str) -> None:
    """40 mg/L +- 4 mg/L at 0.88 kg/L is 44 / 0.88 = 50 mg/kg exactly, so it reaches the third band."""
    assert ask({**OLD, "tests": [test]}, "nz").band == band


@pytest.mark.parametrize(
    ("figure", "band"),
    [
        ("0.470", "lt2"), ("0.471", "2_49"), ("41.131", "2_49"), ("41.132", "50_499"), ("422.3", "50_499"),
        ("422.4", "ge500"),
    ],
)  # fmt: skip
def test_the_band_without_an_uncertainty_takes_the_spread_of_two_laboratories(figure: str, band: str) -> None:
    """x + 2 (2 + 0.25 x) / 2.77 reaches 2 at 0.47095, 50 at 41.13150 and 500 at 422.32402 (worked by hand)."""
    assert ask({**OLD, "tests": [lab(figure)]}, "us").band == band


# ---------------------------------------------------------------------------------------------- must not be believed


@pytest.mark.parametrize(
    "test",
    [
        lab(sign=">", reporting_limit=50),
        lab(sign=">", reporting_limit=500),
        lab(0, sign=">", reporting_limit=2),
    ],
    ids=["more than a limit", "more than the upper limit", "more than nought"],
)
def test_more_than_is_never_read_as_less_than(test: Line) -> None:
    """`>` takes the worst class that it allows (house rule); a limit beside it does not turn it round."""
    answer = ask({**NEW, "tests": [test]}, "us")
    assert answer.klass == "from_500"
    assert answer.care == "ge500"


def test_a_void_screen_does_not_disarm_a_valid_one_of_the_same_sample() -> None:
    """Only two usable screens can contradict each other."""
    void = {"how": "screen", "set_point": 50, "colour": "blue_violet", "expired": True, "sample": "s"}
    answer = ask({**NEW, "tests": [yellow(500, sample="s"), void]}, "us")
    assert (answer.klass, answer.force) == ("from_500", "care")


def test_two_usable_screens_of_one_sample_that_contradict_leave_the_class_to_a_laboratory() -> None:
    """“Above” still counts for the band and for care."""
    blue = {"how": "screen", "set_point": 50, "colour": "blue_violet", "sample": "s"}
    answer = ask({**NEW, "tests": [yellow(500, sample="s"), blue]}, "us")
    assert (answer.band, answer.care) == ("ge500", "ge500")
    assert "laboratory" in [task.act for task in answer.next]


def test_a_screen_counts_on_a_hydrocarbon_put_in_later() -> None:
    """Method 9079 is for hydrocarbon oils; R-Temp is one, so that yellow on it is evidence of harm."""
    answer = ask({**NEW, "plate_words": ["R-TEMP"], "tests": [yellow(500)]}, "us")
    assert (answer.klass, answer.care) == ("from_500", "ge500")


def test_a_reading_in_per_cent_is_not_taken_for_ppm() -> None:
    """1 % is 10,000 mg/kg."""
    answer = ask({**NEW, "tests": [{"how": "screen", "value": 1, "unit": "%"}]}, "us")
    assert answer.care == "ge500"


def test_a_liquid_that_sinks_does_not_take_a_yellow_screen_away() -> None:
    answer = ask({**NEW, "tests": [yellow(500), {"how": "density", "sinks": True}]}, "us")
    assert answer.klass == "from_500"


@pytest.mark.parametrize(("limit", "care"), [(600, "ge500"), (501, "ge500"), (500, "50_499")])
def test_less_than_a_high_limit_still_raises_care_after_a_top_up(limit: int, care: str) -> None:
    """`<600` allows 599: fresh it takes hands to the top, so a later top-up must not bring them down."""
    test = lab(limit, sign="<", on="2010-01-01")
    assert ask({**NEW, "tests": [test]}, "us").care == care
    assert ask({**NEW, "tests": [test], "history": [{"what": "topped_up", "on": 2015}]}, "us").care == care


@pytest.mark.parametrize("figure", [3, 12, 45, 60])
def test_a_result_older_than_a_top_up_no_longer_establishes(figure: int) -> None:
    """House rule: whatever went in later, so that a higher old figure never brings a class or hands down."""
    history = [{"what": "topped_up", "on": 2020, "fluid_mg_kg": 12}]
    answer = ask({**OLD, "fluid": "other", "tests": [lab(figure, on="2011-05-20")], "history": history}, "us")
    assert answer.basis != "established"
    assert (answer.klass, answer.care) == ("from_500", "ge500")


def test_one_result_does_not_speak_for_a_whole_lot() -> None:
    """Twelve like units, one bottle: the others stand on what is presumed (safety band: the worst of the lot)."""
    answer = ask({**OLD, "count": 12, "tests": [lab(3)]}, "us")
    assert answer.basis != "established"
    assert answer.klass == "50_to_499"


def test_a_mark_on_the_unit_says_nothing_about_a_capacitor_inside_it() -> None:
    """40 CFR 761.40(g) is about the mark on the capacitor itself."""
    line = {**NEW, "built": 1985, "marks": ["maker_no_pcbs"], "spaces": [{"name": "surge can", "kind": "capacitor"}]}
    line["spaces"][0]["built"] = "1978-08/1979-06"
    assert ask(line, "us").klass == "from_500"


def test_a_makers_document_does_not_outweigh_a_listed_name_on_the_plate() -> None:
    """House rule: on a plate that names a PCB fluid only a laboratory figure may establish another class."""
    label = {"how": "maker_label", "sign": "<", "value": 50, "unit": "ppm"}
    answer = ask({**NEW, "plate_words": ["PYRANOL"], "tests": [label], "service_records": "all"}, "us")
    assert (answer.klass, answer.basis) == ("from_500", "plate")


def test_a_density_above_water_is_a_liquid_that_sinks() -> None:
    """The unit's liquid weighs 1.5 kg a litre: that is no mineral oil, whatever was said."""
    assert ask({**NEW, "density_kg_l": "1.5"}, "nz").band == "ge500"


@pytest.mark.parametrize(
    "words",
    [
        "CONTAINS PCB. MOISTURE < 30 PPM",
        "WATER MAX 30 PPM, PCB 800 PPM",
        "PCB < 500 PPM, SULPHUR < 1 PPM",
        "MAX 2 PPM WATER. CAUTION CONTAINS PCBs",
        "FILLED WITH P.C.B.",
        "NOT PCB FREE",
    ],
)
def test_a_plate_that_says_pcb_is_not_talked_away(words: str) -> None:
    answer = ask({**NEW, "plate_words": [words]}, "us")
    assert (answer.klass, answer.basis, answer.care) == ("from_500", "plate", "ge500")


@pytest.mark.parametrize("law", ["us", "nz", "none"])
def test_a_makers_document_above_a_laboratory_figure_is_answered(law: str) -> None:
    label = {"how": "maker_label", "value": 60, "unit": "ppm"}
    answer = ask({**NEW, "tests": [lab(3, **within(1)), label]}, law)
    assert answer.care == "50_499"


# ---------------------------------------------------------------------------------------------- acts that could hurt

LOW = {**NEW, "role": "carrier", "found_in": "FR"}
DOUBTS: dict[str, Line] = {
    "a wipe not read yet": {"how": "wipe", "value": 900, "unit": "ug/100cm2"},
    "a higher figure without basis": lab(600, "mg/L"),
    "a higher figure of a mixed sample": lab(900, composite=True),
}


@pytest.mark.parametrize("doubt", sorted(DOUBTS))
@pytest.mark.parametrize("law", ["us", "nz"])
def test_nobody_is_told_to_take_it_while_higher_evidence_is_open(law: str, doubt: str) -> None:
    """The class is established low, but hands go by the highest care: then it stays on hold."""
    answer = ask({**LOW, "tests": [lab(3, **within(1)), DOUBTS[doubt]]}, law)
    assert answer.care == "ge500"
    assert not any(task.says.startswith("You may take it") for task in answer.next)
    assert "hold" in [task.act for task in answer.next]


@pytest.mark.parametrize("law", ["us", "nz"])
def test_a_leaking_unit_is_not_taken_away(law: str) -> None:
    """One act says never on the road; another may not say that it may be taken."""
    answer = ask({**LOW, "state": "leaking", "tests": [lab("1.2", **within("0.5", k=2))]}, law)
    assert "contain" in [task.act for task in answer.next]
    assert not any(task.says.startswith("You may take it") for task in answer.next)


@pytest.mark.parametrize("law", ["us", "nz"])
def test_a_plate_and_a_low_result_that_disagree_are_settled_first(law: str) -> None:
    """30 mg/kg under a plate that names a PCB fluid: somebody drained it, or sampled another unit."""
    answer = ask({**OLD, "plate_words": ["PYRANOL"], "tests": [lab(30, **within(2, k=2))]}, law)
    assert "settle_figures" in [task.act for task in answer.next]


def test_a_drum_is_not_proved_dead() -> None:
    says = " ".join(task.says for task in ask({"kind": "drum", "found_in": "FR"}, "us").next)
    assert "proved dead" not in says
    assert "live" not in says


def test_a_sealed_space_that_decides_is_left_sealed() -> None:
    """The tank is known; what is open is a bushing that cannot be sampled without breaking it."""
    bushing = {"name": "bushing H1", "kind": "bushing", "built": 1961, "sealed": True}
    answer = ask({**OLD, "tests": [lab(3, **within(1))], "spaces": [bushing]}, "us")
    assert "leave_sealed" in [task.act for task in answer.next]


def test_a_drained_unit_gets_an_act_of_its_own() -> None:
    """“Drained” is a claim: what clings to core and walls is still there (common practice, no source)."""
    drained = ask({**OLD, "state": "drained"}, "us")
    assert [t.says for t in drained.next] != [t.says for t in ask({**OLD, "state": "removed"}, "us").next]


def test_a_leaking_unit_is_live_before_it_is_leaking() -> None:
    """Electricity kills before PCB does (common practice, no source): that act, or that warning, stands first."""
    first = ask({**OLD, "state": "leaking"}, "us").next[0].says
    assert "live" in first


def test_the_order_of_spaces_does_not_choose_the_basis() -> None:
    spaces = [{"name": "a", "kind": "switch", "built": 1961}, {"name": "b"}]
    tests = [lab(3, **within(1)), lab(700, space="b")]
    one = ask({**OLD, "tests": tests, "spaces": spaces}, "us")
    other = ask({**OLD, "tests": tests, "spaces": spaces[::-1]}, "us")
    assert (one.klass, one.basis, one.force) == (other.klass, other.basis, other.force)
