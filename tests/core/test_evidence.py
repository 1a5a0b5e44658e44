"""Both sides of every boundary, and evidence that must not be believed too easily.

Sources: 40 CFR 761.2, 761.3 and 761.40(g) for the United States (https://www.ecfr.gov/current/title-40/part-761); the
notice of 2004 as amended in 2016 for New Zealand (https://gazette.govt.nz/notice/id/2016-au7215); IEC 61619:1997,
clause 14, for the spread of two laboratories; ISO 5725-6 for the factor 2.77. The safety band is a house judgement.
"""

from typing import Any

import pytest

from hazmat.core.law import UNDETERMINED
from tests.core.strategies_core import CAN, NEW, OLD, Line, ask, lab, within, yellow

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
