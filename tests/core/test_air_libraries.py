"""Sums on air held against libraries that others wrote: scipy's solver and constants, periodictable's atomic weights.

The libraries know none of our figures: each is asked for the bare mathematics or chemistry, and each check must catch a
planted error. Mixtures of PCB are looked up in none of them by name: a library of chemicals takes such a name for one
single congener and says nothing.
"""

import ast
from decimal import Decimal
from itertools import pairwise
from math import exp, log
from pathlib import Path

import numpy as np
import periodictable
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import constants
from scipy.integrate import solve_ivp

from hazmat.core.sums import vapour
from hazmat.core.sums.frame import Fixed
from tests.conftest import ROOT
from tests.core.summing import SUMS, TODAY, number, worked

FIXED = Fixed(SUMS["vapour"].figures, TODAY)


def near(ours: Decimal, theirs: float, within: float = 1e-9) -> bool:
    """Whether two figures agree to within this share of theirs."""
    return abs(float(ours) - theirs) <= within * abs(theirs)


# ------------------------------------------------------------------ constants


def test_constants_are_those_of_codata() -> None:
    assert near(vapour.GAS, constants.R, 1e-10)
    assert near(vapour.ICE, constants.zero_Celsius)
    assert near(vapour.ATMOSPHERE, constants.atm)
    assert near(vapour.PA_IN_MMHG, constants.mmHg, 1e-5)
    assert not near(Decimal("8.31451"), constants.R, 1e-10), "the value of 1986"


@given(st.decimals("0", "80", places=1), st.sampled_from(["1242", "1254", "1260"]))
def test_the_saturated_air_of_a_mixture(celsius: Decimal, mixture: str) -> None:
    """P·M/(R·T), the pressure carried by the heat of vaporisation, in binary floats with the library's constants."""
    kelvin = constants.convert_temperature(float(celsius), "C", "K")
    pa = float(FIXED.number(f"pressure_{mixture}")) * constants.mmHg
    pa *= exp(80e3 / constants.R * (1 / 298.15 - 1 / kelvin))
    theirs = pa * float(FIXED.number(f"molar_{mixture}")) * 1000 / (constants.R * kelvin)
    ours = number(worked("vapour", mixture=mixture, celsius=celsius, neat=True), "mg_m3")
    assert near(ours, theirs, 1e-5)
    assert not near(ours, theirs * 298.15 / kelvin, 1e-5) or celsius == 25, "the temperature of 25 °C left in"


@pytest.mark.parametrize(
    ("congener", "molar", "pa", "told"),
    [
        (18, "257.54", "0.0352", 3.657),
        (28, "257.54", "0.0270", 2.805),
        (31, "257.54", "0.0258", 2.68),
        (52, "291.99", "0.0120", 1.413),
        (44, "291.99", "0.0064", 0.754),
        (101, "326.43", "0.00246", 0.3239),
        (149, "360.88", "0.000496", 0.07221),
    ],
)
def test_saturated_air_of_single_congeners(congener: int, molar: str, pa: str, told: float) -> None:
    """Pressures at 25 °C and molar masses of a public table of congeners (table S4); mg/m3 worked by hand."""
    ours = vapour.saturated(Decimal(pa), Decimal(molar), Decimal(25))
    assert near(ours, told, 1e-3), congener
    assert near(ours, float(pa) * float(molar) * 1000 / (constants.R * 298.15), 1e-9)


def test_a_mixture_gives_off_more_than_its_own_congeners() -> None:
    """42 % is mostly tri- and tetrachlorobiphenyl, 54 % penta-: what is used for mixtures lies on the careful side."""
    of = {name: number(worked("vapour", mixture=name, celsius="25", neat=True), "mg_m3") for name in ("1242", "1254")}
    assert of["1242"] > Decimal("3.66")
    assert of["1254"] > Decimal("0.324")


# ------------------------------------------------------------------ molar masses


def mass(formula: str) -> float:
    return float(periodictable.formula(formula).mass)


def test_trichlorobenzene_by_atomic_weights() -> None:
    assert abs(float(FIXED.number("molar_tcb")) - mass("C6H3Cl3")) < 0.03
    assert abs(float(FIXED.number("molar_tcb")) - mass("C6H4Cl2")) > 30


@pytest.mark.parametrize(
    ("mixture", "share"),
    [("1221", 21), ("1232", 32), ("1016", 41), ("1242", 42), ("1248", 48), ("1254", 54), ("1260", 60)],
)
def test_molar_masses_agree_with_their_chlorine_within_ten_per_cent(mixture: str, share: int) -> None:
    """The biphenyl whose chlorine is that share, between two homologues."""
    bare, step = mass("C12H10"), mass("C12H9Cl") - mass("C12H10")
    chlorine = mass("Cl")
    n = bare * share / (100 * chlorine - share * step)
    assert abs(float(FIXED.number(f"molar_{mixture}")) / (bare + n * step) - 1) < 0.1


def test_molar_masses_grow_with_chlorine() -> None:
    masses = [FIXED.number(f"molar_{one}") for one in ("1221", "1232", "1016", "1242", "1248", "1254", "1260")]
    assert all(one < other for one, other in pairwise(masses))


# ------------------------------------------------------------------ trichlorobenzene


def test_the_pressures_of_trichlorobenzene_lie_around_those_of_a_library() -> None:
    """thermo 0.6.1, 120-82-1 at 25 °C: two tabulated fits carried down, 53.8 and 55.8 Pa; estimators 0.24 to 0.74."""
    low, high = (float(FIXED.number(f"tcb_{end}")) for end in ("low", "high"))
    for pa in (53.8, 55.8):
        assert low < pa / constants.mmHg < high
    assert 0.24 < low < 0.74 < high


# ------------------------------------------------------------------ a room


def solved(source: float, air: float, m3: float, minutes: float, start: float = 0.0, back: float = 0.0) -> float:
    """The mass balance of a well-mixed room, by a solver of differential equations."""
    found = solve_ivp(
        lambda _, level: [(source - (air + back) * level[0]) / m3], (0, minutes), [start], rtol=1e-10, atol=1e-13
    )
    return float(found.y[0, -1])


SIZES = st.decimals("1", "500", places=1)


@settings(max_examples=40)
@given(source=SIZES, m3=SIZES, changes=st.decimals("0.1", "20", places=1), minutes=st.decimals("1", "240", places=0))
def test_the_level_of_a_room(source: Decimal, m3: Decimal, changes: Decimal, minutes: Decimal) -> None:
    found = worked("room_air", mg_min=source, room=m3, changes=changes, mixing="0.3", minutes=minutes, start="2")
    air = float(changes * m3) / 60 * 0.3
    theirs = solved(float(source), air, float(m3), float(minutes), start=2.0)
    assert near(number(found, "level"), theirs, 1e-5)
    unmixed = solved(float(source), air / 0.3, float(m3), float(minutes), start=2.0)
    assert not near(number(found, "level"), unmixed, 1e-5) or near(Decimal(str(unmixed)), theirs, 1e-3)


@settings(max_examples=40)
@given(area=st.decimals("0.1", "20", places=1), transfer=st.decimals("0.5", "10", places=1), m3=SIZES)
def test_a_pool_that_takes_back_what_the_air_holds(area: Decimal, transfer: Decimal, m3: Decimal) -> None:
    found = worked(
        "room_air", pool=area, transfer=transfer, saturated="14.11", room=m3, flow="2", mixing="1", minutes="45"
    )
    back = float(transfer * area) / 60
    theirs = solved(back * 14.11, 2.0, float(m3), 45, back=back)
    assert near(number(found, "level"), theirs, 1e-6)
    assert not near(number(found, "level"), solved(back * 14.11, 2.0, float(m3), 45), 1e-6), "without taking back"


def test_the_exercise_on_benzene() -> None:
    """1 g/min into 108 m3 with 10 m3/min: 95 % of 100 mg/m3 after 32.35 minutes."""
    assert abs(solved(1000, 10, 108, 32.354) - 95) < 0.001
    assert abs(solved(1000, 10, 108, 30) - 95) > 1


def test_the_time_to_clear() -> None:
    """From 16.9 µg/m3 at five changes an hour to 1: 0.57 hours; from the 9.6 that stand after filling 0.45."""
    given_now = {"litres": "200", "minutes": "10", "saturated": "14.11", "room": "200", "changes": "5", "mixing": "1"}
    found = worked("room_air", **given_now, clear_to="0.001")
    for line, level in (("clear_steady", "steady"), ("clear_level", "level")):
        start, minutes = float(number(found, level)), float(number(found, line))
        assert abs(solved(0, 200 * 5 / 60, 200, minutes, start=start) - 0.001) < 1e-8
    assert near(number(found, "clear_steady") / 60, log(16.932) / 5, 1e-4)
    assert round(float(number(found, "clear_steady")) / 60, 2) == 0.57
    assert round(float(number(found, "clear_level")) / 60, 2) == 0.45


def test_a_whole_shift_of_a_filling_is_no_more_than_is_told() -> None:
    """The mean over eight hours by the solver lies under ours, which takes the end level for all of the half hour."""
    times = np.linspace(0, 30, 3001)
    levels = [0.28220 / (1000 / 60) * (1 - exp(-5 / 60 * one)) for one in times]
    mean = float(np.trapezoid(levels, times)) / 480 * 1000
    found = worked(
        "room_air", litres="200", minutes="10", saturated="14.11", room="200", changes="5", mixing="1", exposed="30"
    )
    assert mean < float(number(found, "shift_ug"))


# ------------------------------------------------------------------ what is never done

STRANGERS = ("chemicals", "thermo", "rdkit", "pubchempy", "cirpy", "molmass", "periodictable", "scipy", "CoolProp")


def imported(file: Path) -> set[str]:
    """The packages that a module imports, by their first names."""
    found = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {one.name.partition(".")[0] for one in node.names}
        if isinstance(node, ast.ImportFrom) and not node.level:
            found.add((node.module or "").partition(".")[0])
    return found


def test_no_mixture_is_looked_up_in_a_library_of_chemicals() -> None:
    """Not by the product, and not by these tests: such a library gives one congener for the name of a mixture."""
    product = [file for name in ("hazmat", "disposal") for file in (ROOT / name).rglob("*.py")]
    assert {str(file) for file in product if imported(file) & set(STRANGERS)} == set()
    by_name = {"chemicals", "thermo", "rdkit", "pubchempy", "cirpy"}
    assert {str(file) for file in (ROOT / "tests").rglob("*.py") if imported(file) & by_name} == set()


def test_a_planted_look_up_is_caught(tmp_path: Path) -> None:
    file = tmp_path / "planted.py"
    for line in (
        "from chemicals.identifiers import CAS_from_any",
        "import thermo.vapor_pressure",
        "import numpy, rdkit",
    ):
        file.write_text(line + "\n", encoding="utf-8")
        assert imported(file) & set(STRANGERS), line
