"""Oil of several units in one container: the worst of all counts, by cited cases and a rule written twice."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from disposal.core.drumnow import Source
from disposal.core.mixture import worst
from hazmat import rulebooks
from hazmat.core.bulk import CARE
from hazmat.core.law import LawDay

DAY = date(2026, 11, 26)
LAWS = {name: LawDay(rulebooks.rulebook(name), DAY) for name in rulebooks.laws()}


def source(unit: str, known: str, klass: str, care: str, kind: str = "transformer", rulebook: str = "us") -> Source:
    told: dict[str, Any] = {"known": known, "klass": klass, "care": care, "unit_kind": kind, "rulebook": rulebook}
    return Source(unit=unit, tag=unit, first_in="", drained_at="", **told)


def klass(*sources: Source) -> str:
    return worst(sources, LAWS.get).klass


LOW_8 = source("low8", "low", "below_50", "2_49")
LOW_20 = source("low20", "low", "below_50", "2_49")
LOW_2 = source("low2", "low", "below_50", "2_49")
HIGH_80 = source("high80", "high", "50_to_499", "50_499")
HIGH_600 = source("high600", "high", "from_500", "ge500")
T_1983 = source("t1983", "untested", "below_50", "2_49")
BREAKER = source("breaker", "untested", "below_50", "2_49", "breaker")
RECLOSER = source("recloser", "untested", "below_50", "2_49", "recloser")
CABLE = source("cable", "untested", "below_50", "2_49", "cable")
RECTIFIER = source("rectifier", "untested", "below_50", "2_49", "rectifier")


@pytest.mark.parametrize(
    ("sources", "expected", "where"),
    [
        # 200 kg at 20 ppm and 5 kg at 600 ppm: the mean, 34.1 ppm, is irrelevant
        ((LOW_20, HIGH_600), "from_500", "40 CFR 761.60(g)(1)(ii)"),
        # 100 kg at 80 ppm and 400 kg at 2 ppm: the mean, 17.6 ppm, is irrelevant
        ((HIGH_80, LOW_2), "50_to_499", "40 CFR 761.1(b)(5), 761.60(g)(1)(i)"),
        # neither part would be 50 ppm on its own presumption
        ((BREAKER, T_1983), "50_to_499", "40 CFR 761.60(g)(1)(i)"),
        ((RECLOSER, LOW_8), "below_50", "40 CFR 761.60(g)(1)(i): all the other fluid was tested below 50"),
        ((RECTIFIER, T_1983), "below_50", "40 CFR 761.60(g)(1)(i) names breakers, reclosers and cable only"),
        ((RECLOSER, BREAKER, CABLE), "below_50", "40 CFR 761.60(g)(1)(i): no other equipment"),
        ((CABLE, LOW_8, RECTIFIER), "50_to_499", "40 CFR 761.60(g)(1)(i): not all the other fluid was tested"),
        ((T_1983,), "below_50", "40 CFR 761.2(a)"),
    ],
)
def test_a_mixture_has_the_class_of_its_case(sources: tuple[Source, ...], expected: str, where: str) -> None:
    for turned in (sources, sources[::-1]):
        assert klass(*turned) == expected, where


def test_what_the_law_says_of_all_of_it_is_told_and_raises_the_care() -> None:
    found = worst((BREAKER, T_1983), LAWS.get)
    assert "untested breaker, recloser or cable" in found.common
    assert (found.care, found.known) == ("50_499", "untested")
    assert worst((RECLOSER, LOW_8), LAWS.get).common == ""


def test_nothing_in_it_is_not_known() -> None:
    found = worst((), LAWS.get)
    assert (found.klass, found.care, found.known, found.rulebook) == ("undetermined", "ge500", "untested", "")


def test_under_different_laws_no_class_is_given_and_the_worst_care_stands() -> None:
    found = worst((HIGH_80, source("nz", "high", "over_50", "ge500", rulebook="nz")), LAWS.get)
    assert (found.klass, found.rulebook, found.care, found.known) == ("undetermined", "", "ge500", "high")
    none = worst((source("x", "untested", "undetermined", "2_49", rulebook=""),), LAWS.get)
    assert (none.klass, none.rulebook, none.care) == ("undetermined", "", "2_49")


def test_what_is_not_known_gives_way_to_the_worst_class_alone() -> None:
    unknown = source("x", "untested", "undetermined", "ge500", rulebook="nz")
    high = source("h", "high", "over_50", "50_499", rulebook="nz")
    low = source("l", "low", "up_to_50", "2_49", rulebook="nz")
    assert worst((unknown, high), LAWS.get).klass == "over_50"
    assert worst((unknown, low), LAWS.get).klass == "undetermined"
    assert worst((low,), LAWS.get).klass == "up_to_50"


def test_the_least_known_counts() -> None:
    assert worst((LOW_8, HIGH_80), LAWS.get).known == "high"
    assert worst((LOW_8, T_1983), LAWS.get).known == "untested"
    assert worst((HIGH_600, T_1983), LAWS.get).known == "untested"
    assert worst((LOW_8, LOW_2), LAWS.get).known == "low"


ORDER = ("below_50", "50_to_499", "from_500")
some_source = st.builds(
    source, st.uuids().map(str), st.sampled_from(("untested", "low", "high")), st.sampled_from(ORDER),
    st.sampled_from(CARE), st.sampled_from(("breaker", "recloser", "cable", "transformer", "motor")),
)  # fmt: skip


@given(st.lists(some_source, min_size=1, max_size=6))
def test_one_more_source_never_lowers_anything(sources: list[Source]) -> None:
    """And the class is that of a rule that is written here a second time, from the document."""
    found = worst(sources, LAWS.get)
    named = ("breaker", "recloser", "cable")
    others = [one for one in sources if one.unit_kind not in named]
    deemed = any(one.known == "untested" and one.unit_kind in named for one in sources) and any(
        one.known != "low" for one in others
    )
    assert ORDER.index(found.klass) == max(*(ORDER.index(one.klass) for one in sources), int(deemed))
    assert CARE.index(found.care) >= max(CARE.index(one.care) for one in sources)
    fewer = worst(sources[:-1], LAWS.get)
    if sources[:-1]:
        assert ORDER.index(found.klass) >= ORDER.index(fewer.klass)
        assert CARE.index(found.care) >= CARE.index(fewer.care)
