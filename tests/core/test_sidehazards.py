"""What is dangerous besides the oil: what nobody looked for counts as there; paint at its lines; the gate of hot work.

Lines of paint: 1.0 mg/cm2 (40 CFR 745.103, as read on a university's page) and 0.1 % by weight (Australia, as read on
a painter's page), each met at the line. The gate is the house rule that stands in the handling book.
"""

from dataclasses import replace
from datetime import date
from itertools import product
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat import rulebooks
from hazmat.core.facts import Kind
from hazmat.core.law import LawDay
from hazmat.core.sidehazards import GATE, Gate, gate_of, hazards_of, paint_seen
from hazmat.core.unitnow import UnitNow, VerdictNow
from hazmat.core.walked import WORDS, Walk

HOUSE = LawDay(rulebooks.rulebook(rulebooks.HANDLING), date(2026, 11, 27))
ASKED = {
    "transformer": {"mercury", "cobalt_gel", "asbestos", "lead_paint", "nitrogen", "gas", "creosote", "lifting"},
    "capacitor": {"asbestos", "lead_paint", "charge", "gas", "creosote", "lifting"},
    "breaker": {"mercury", "asbestos", "lead_paint", "gas", "sf6", "creosote", "lifting"},
    "cable": {"asbestos", "creosote", "lifting", "lead_sheath"},
    "drum": {"lead_paint", "gas", "lifting"},
    "other": set(WORDS),
}
"""What is looked for, written by hand for some kinds."""


def stands(kind: str, walk: Walk | None) -> dict[str, str]:
    return {one.key: one.stands for one in hazards_of([kind], walk, HOUSE)}


@pytest.mark.parametrize("kind", ASKED)
def test_each_kind_is_asked_what_it_may_have(kind: str) -> None:
    assert set(stands(kind, None)) == ASKED[kind]


@pytest.mark.parametrize("kind", get_args(Kind))
def test_what_nobody_looked_for_counts_as_there(kind: str) -> None:
    assert set(stands(kind, None).values()) == {"treat_as_there"}
    assert set(stands(kind, Walk(seen={})).values()) == {"treat_as_there"}


def test_a_walk_says_what_is_there_and_what_is_not() -> None:
    found = stands("transformer", Walk(seen={"asbestos": "yes", "mercury": "no", "gas": "unknown"}))
    assert (found["asbestos"], found["mercury"], found["gas"]) == ("there", "none_seen", "treat_as_there")


def test_a_unit_is_asked_for_the_hazards_of_its_oil_spaces_too() -> None:
    both = {one.key for one in hazards_of(["transformer", "capacitor"], None, HOUSE)}
    assert both == ASKED["transformer"] | ASKED["capacitor"]


def test_every_hazard_says_what_to_do_with_a_source() -> None:
    for key in WORDS:
        for seen in ("yes", "no", "unknown"):
            (one,) = [h for h in hazards_of(["other"], Walk(seen={key: seen}), HOUSE) if h.key == key]
            assert one.finding.says.endswith(".")
            assert one.finding.cite


@pytest.mark.parametrize(
    ("lead", "unit", "is_lead"),
    [
        ("1.0", "mg/cm2", "yes"), ("0.99", "mg/cm2", "no"), ("0", "mg/cm2", "no"),
        ("0.1", "%", "yes"), ("0.099", "%", "no"), ("0.5", "%", "yes"),
        ("1000", "mg/kg", "yes"), ("999", "mg/kg", "no"), ("5000", "mg/kg", "yes"),
    ],
)  # fmt: skip
def test_paint_at_its_lines(lead: str, unit: Any, is_lead: str) -> None:
    assert paint_seen(Walk(seen={}, lead=lead, unit=unit), HOUSE) == is_lead


def test_a_no_without_a_test_of_the_paint_is_no_answer() -> None:
    assert paint_seen(Walk(seen={"lead_paint": "no"}), HOUSE) == "unknown"
    assert paint_seen(Walk(seen={"lead_paint": "yes"}), HOUSE) == "yes"
    assert paint_seen(Walk(seen={"lead_paint": "yes"}, lead="0.2"), HOUSE) == "no"


# ------------------------------------------------------------------------------------------------ hot work

ANSWER = {"class": "below_50", "basis": "established", "care": "lt2", "next": [], "because": []}
SIGNED = VerdictNow(
    id="v", decision="release", reason="r", evidence=(), klass="below_50", basis="established", care="lt2", signer="p",
    signed_at="2026-01-01T00:00:00Z",
)  # fmt: skip
EMPTY = UnitNow(
    unit="u", yard="y", tag="K7M4PX", arrival="gate", logged_at="", look="", line={"state": "drained"}, sources={},
    leak="none", note="", proved=None, answer=ANSWER, assessed_at="", seq="1", happened_at="", verdicts=(SIGNED,),
)  # fmt: skip
BARE = Walk(seen={"gas": "no", "nitrogen": "no"}, lead="0.2", gas_free="yes")


def gate(now: UnitNow = EMPTY, walk: Walk | None = BARE, **answer: Any) -> Gate:
    return gate_of(replace(now, answer={**ANSWER, **answer}) if answer else now, walk, HOUSE)


def test_an_empty_steel_tank_below_2_may_be_cut_under_permit() -> None:
    assert gate().answer == "permit"
    assert gate(walk=replace(BARE, lead="1.0")).answer == "permit_stripped"


def test_with_lead_in_its_paint_the_strip_is_told() -> None:
    assert "100 mm" in gate(walk=replace(BARE, lead="3")).finding.says


@pytest.mark.parametrize(
    ("now", "walk", "says"),
    [
        (EMPTY, None, "vent it"), (EMPTY, replace(BARE, gas_free="unknown"), "vent it"),
        (EMPTY, replace(BARE, gas_free="no"), "vent it"),
        (EMPTY, replace(BARE, seen={"nitrogen": "yes"}), "vent it"),
        (EMPTY, replace(BARE, seen={"gas": "yes"}), "vent it"),
        (replace(EMPTY, line={}), BARE, "oil is still in it"),
        (replace(EMPTY, verdicts=()), BARE, "far worse poisons"),
        (replace(EMPTY, verdicts=(), presumed=("below_50", "2_49")), BARE, "waits for a laboratory"),
    ],
)  # fmt: skip
def test_whatever_is_missing_shuts_the_gate(now: UnitNow, walk: Walk | None, says: str) -> None:
    found = gate(now, walk)
    assert found.answer == "forbidden"
    assert says in found.finding.says


def test_cold_shears_alone_where_paint_or_film_is_not_known() -> None:
    assert gate(walk=replace(BARE, lead="")).answer == "shear_only"
    assert gate(care="2_49", now=replace(EMPTY, verdicts=(replace(SIGNED, care="2_49"),))).answer == "shear_only"


@pytest.mark.parametrize("key", ["plate_pcb", "plate_stays", "askarel_said", "pcb_mark", "sinks"])
def test_a_name_of_a_pcb_fluid_shuts_it_whatever_the_oil_says(key: str) -> None:
    found = gate(because=[{"key": key}])
    assert (found.answer, found.asked["named"]) == ("forbidden", "yes")


TABLE = HOUSE.tables[GATE]
CARES = TABLE.table.columns["care"]


@given(st.tuples(*(st.sampled_from(values) for values in TABLE.table.columns.values())))
def test_more_care_never_opens_the_gate(asked: tuple[str, ...]) -> None:
    order = TABLE.table.answers
    here = TABLE.decide(asked)
    assert here
    for care in CARES[CARES.index(asked[0]) :]:
        worse = TABLE.decide((care, *asked[1:]))
        assert worse
        assert order.index(worse.then) >= order.index(here.then)


def test_hot_work_is_never_allowed_from_2_mg_kg_up_or_before_a_release() -> None:
    columns = list(TABLE.table.columns.values())
    for asked in product(*columns):
        decision = TABLE.decide(asked)
        assert decision
        if asked[0] != "lt2" or asked[1] == "yes" or asked[2] == "not_low":
            assert decision.then in ("forbidden", "shear_only"), asked
