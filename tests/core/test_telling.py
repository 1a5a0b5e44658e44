"""What is on record, in words: each expected text is written by hand from the meaning of its facts.

Keys and values are those of a register's line; what is null or missing there means not known, and is never told as if
somebody had said it.
"""

from typing import Any

import pytest

from hazmat.core import telling
from hazmat.core.telling import TELL, claims, event, facts, kind_word, place_words, plain, private, proof, said
from hazmat.core.unitnow import ProvedDead, ResultNow, UnitNow

USUALLY_ASKED = {"State", "Year built", "Words on the plate", "Fluid", "Litres of fluid", "Service records"}
"""What everybody asks first of a unit: where it is not known, that is told."""


def unit(line: dict[str, Any] | None = None, **more: Any) -> UnitNow:
    given: dict[str, Any] = {
        "unit": "u", "yard": "y", "tag": "K7M4PX", "arrival": "gate", "logged_at": "2026-11-25T00:00:00Z", "look": "l",
        "line": line or {}, "sources": {}, "leak": "none", "note": "", "proved": None, "answer": {}, "assessed_at": "",
        "seq": "1", "happened_at": "2026-11-25T00:00:00Z",
    }  # fmt: skip
    return UnitNow(**{**given, **more})


def told(line: dict[str, Any], **more: Any) -> dict[str, str]:
    """Name to value of every fact that is told."""
    return {one["name"]: one["value"] for one in facts(unit(line, **more))}


# ------------------------------------------------------------------ facts


def test_what_was_seen_beside_the_line_is_told() -> None:
    found = told({}, leak="dripping", seen={"plate": "partly", "leak_at": "under_the left stud"})
    assert list(found)[:3] == ["Leak", "Where oil shows", "The plate"]
    assert (found["Where oil shows"], found["The plate"]) == ("under_the left stud", "readable in parts")
    assert told({}, seen={"plate": "missing"})["The plate"] == "missing"
    assert "The plate" not in told({})


def test_every_fact_with_its_unit_of_measure_and_its_source_in_the_order_of_reading() -> None:
    line = {
        "fluid_mass_kg": "66", "built": "1968", "kind": "instrument_transformer", "count": "3", "fluid_volume_l": "1",
        "density_kg_l": "0.88", "gross_mass_kg": "400", "voltage_v": "11000", "body_cm3": "500", "state": "in_use",
        "plate_words": ["OIL 75 L", "No. 7"], "fluid": "mineral", "service_records": "some", "made_in": "NZ",
    }  # fmt: skip
    sources = {"built": "seen", "fluid": "said", "gross_mass_kg": "guessed"}
    found = facts(unit(line, sources=sources, leak="sweating", note="Stands in a tray."))
    assert [(one["name"], one["value"], one["source"]) for one in found] == [
        ("Leak", "sweating", ""),
        ("Kind", "instrument transformer", ""),
        ("How many alike", "3", ""),
        ("State", "in use", ""),
        ("Year built", "1968", "seen"),
        ("Made in", "NZ", ""),
        ("Words on the plate", "OIL 75 L; No. 7", ""),
        ("Fluid", "mineral", "said"),
        ("Litres of fluid", "1 L", ""),
        ("Mass of fluid", "66 kg", ""),
        ("Density of the fluid", "0.88 kg/L", ""),
        ("Whole mass", "400 kg", "guessed"),
        ("Voltage", "11000 V", ""),
        ("Outside volume of the can", "500 cm³", ""),
        ("Service records", "some", ""),
        ("Note", "Stands in a tray.", ""),
    ]


@pytest.mark.parametrize("nothing", [None, "", []])
def test_what_is_usually_asked_and_not_known_is_told_and_the_rest_is_left_out(nothing: Any) -> None:
    keys = (
        "state",
        "built",
        "plate_words",
        "fluid",
        "fluid_volume_l",
        "service_records",
        "marks",
        "voltage_v",
        "tests",
    )
    expected = {"Leak": "none", "Kind": "capacitor", **dict.fromkeys(USUALLY_ASKED, "not known")}
    assert told({"kind": "capacitor", **dict.fromkeys(keys, nothing)}) == expected
    assert told({"kind": "capacitor"}) == expected


@pytest.mark.parametrize("count", ["1", 1])
def test_one_alone_is_no_lot_but_a_figure_of_one_is_a_figure(count: Any) -> None:
    found = told({"count": count, "voltage_v": "1"})
    assert "How many alike" not in found
    assert found["Voltage"] == "1 V"
    assert told({"count": "2"})["How many alike"] == "2"


def test_a_leak_that_nobody_looked_at_is_not_known() -> None:
    assert told({}, leak="unknown")["Leak"] == "not known"


def test_facts_that_have_words_of_their_own() -> None:
    line = {
        "built": "~1975", "last_energised": "/1990-06", "decided_waste": "2026-03-01", "arrived": "2026-03-07",
        "history": [{"what": "drained"}, {"what": "refilled", "on": "2001-03", "fluid_mg_kg": "1.5"}],
        "spaces": [{"name": "tank"}, {"name": "selector", "sealed": True}],
        "tests": [{"how": "screen", "set_point": "50", "colour": "yellow"}, {"how": "density", "sinks": False}],
    }  # fmt: skip
    found = told(line)
    assert found["Year built"] == "about 1975"
    assert found["Last under voltage"] == "Jun 1990 or earlier"
    assert (found["Decided to be waste"], found["Arrived"]) == ("1 Mar 2026", "7 Mar 2026")
    assert found["What was done to the fluid"] == (
        "drained, when is not known; refilled Mar 2001, with oil of 1.5 mg/kg"
    )
    assert found["Oil spaces"] == "tank; selector (sealed for good)"
    assert found["Tests"] == ("screen, day not known, tank: set point 50, yellow; density, day not known, tank: floats")


# ------------------------------------------------------------------ spans and words


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("1968", "1968"),
        ("1968-05", "May 1968"),
        ("1968-05-01", "1 May 1968"),
        ("2026-12-31", "31 Dec 2026"),
        ("2026-01-09", "9 Jan 2026"),
        ("1970/1985", "between 1970 and 1985"),
        ("1970-02/1985-11-30", "between Feb 1970 and 30 Nov 1985"),
        ("/1985", "1985 or earlier"),
        ("1970/", "1970 or later"),
        ("~1975", "about 1975"),
    ],
)
def test_a_span_as_it_is_written_in_a_register(written: str, says: str) -> None:
    assert TELL["built"](written) == says


def test_a_year_given_as_a_number() -> None:
    assert TELL["built"](1968) == "1968"


@pytest.mark.parametrize(
    ("word", "says"), [("unknown", "not known"), ("blue_violet", "blue violet"), ("in_use", "in use"), ("none", "none")]
)
def test_words_of_ours_as_people_read_them(word: str, says: str) -> None:
    assert plain(word) == says


@pytest.mark.parametrize(
    ("kind", "says"),
    [
        ("other", "unit"),
        (None, "unit"),
        ("", "unit"),
        ("drum", "drum"),
        ("instrument_transformer", "instrument transformer"),
    ],
)
def test_a_kind_without_a_name_is_just_a_unit(kind: str | None, says: str) -> None:
    assert kind_word(kind) == says


def test_truth_lists_and_parts_in_words() -> None:
    assert (said(True), said(False)) == ("yes", "no")
    assert said({"on_hold": [True, "two_way"]}) == "on hold yes; two way"


# ------------------------------------------------------------------ tests, events, oil spaces

LAB = {"how": "laboratory", "on": "2026-03-07", "value": "2", "unit": "mg/kg"}


@pytest.mark.parametrize(
    ("given", "says"),
    [
        (LAB, "laboratory, 7 Mar 2026, tank: 2 mg/kg"),
        ({**LAB, "sign": "="}, "laboratory, 7 Mar 2026, tank: 2 mg/kg"),
        ({**LAB, "sign": "<"}, "laboratory, 7 Mar 2026, tank: less than 2 mg/kg"),
        ({**LAB, "sign": ">", "space": "tap changer"}, "laboratory, 7 Mar 2026, tap changer: more than 2 mg/kg"),
        ({**LAB, "unit": "ppm", "basis": "volume"}, "laboratory, 7 Mar 2026, tank: 2 ppm volume"),
        ({**LAB, "unit": None}, "laboratory, 7 Mar 2026, tank: 2"),
        ({**LAB, "value": "0"}, "laboratory, 7 Mar 2026, tank: 0 mg/kg"),
        ({**LAB, "reporting_limit": "0.5"}, "laboratory, 7 Mar 2026, tank: 2 mg/kg"),
        (
            {**LAB, "value": None, "reporting_limit": "0.5"},
            "laboratory, 7 Mar 2026, tank: not detected, reporting limit 0.5 mg/kg",
        ),
        ({"how": "maker_label", "value": "1", "unit": "ppm"}, "maker label, day not known, tank: 1 ppm"),
        (
            {"how": "screen", "set_point": "50", "colour": "blue_violet"},
            "screen, day not known, tank: set point 50, blue violet",
        ),
        ({"how": "density", "on": "2026", "sinks": True}, "density, 2026, tank: sinks"),
        ({"how": "density", "on": "2026", "sinks": False}, "density, 2026, tank: floats"),
        ({"how": "wipe"}, "wipe, day not known, tank: no result"),
    ],
)
def test_a_test_in_words(given: dict[str, Any], says: str) -> None:
    assert telling.test(given) == says


def test_what_is_null_in_a_test_is_told_as_if_it_were_missing() -> None:
    """Every key of a line may be null, which means not known: no such word ever reaches a page."""
    nulls = dict.fromkeys(
        ("space", "on", "sign", "value", "unit", "basis", "reporting_limit", "set_point", "colour", "sinks")
    )
    assert (
        telling.test({"how": "screen", **nulls})
        == telling.test({"how": "screen"})
        == "screen, day not known, tank: no result"
    )


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"what": "retrofilled", "on": "2001-03"}, "retrofilled Mar 2001"),
        ({"what": "topped_up", "on": None, "fluid_mg_kg": None}, "topped up, when is not known"),
        ({"what": "refilled", "fluid_mg_kg": "0"}, "refilled, when is not known, with oil of 0 mg/kg"),
    ],
)
def test_something_done_to_the_fluid_in_words(given: dict[str, Any], says: str) -> None:
    assert event(given) == says


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"name": "tank"}, "tank"),
        ({"name": "tank", "kind": None, "built": None, "sealed": None}, "tank"),
        ({"name": "tap changer", "sealed": False}, "tap changer (can be opened)"),
        (
            {"name": "red phase bushing", "kind": "instrument_transformer", "built": "1974", "sealed": True},
            "red phase bushing (instrument transformer, built 1974, sealed for good)",
        ),
    ],
)
def test_an_oil_space_in_words(given: dict[str, Any], says: str) -> None:
    assert TELL["spaces"]([given]) == says


# ------------------------------------------------------------------ claims, names, places, the proof


def test_what_the_seller_said() -> None:
    given = {"seller": "knows_nothing", "drained": "no", "label": "", "words": "It was fine."}
    assert claims(unit(claims=given)) == [("Seller", "knows nothing"), ("Drained", "no"), ("Words", "It was fine.")]


def test_names_and_places_first_those_with_words_of_their_own_each_once() -> None:
    given = {"gate_code": "12", "seller": "Ben", "owner": "Ana", "access": "", "key_at": "", "proved_by": "Mere"}
    assert private(given) == [("Owner", "Ana"), ("Seller", "Ben"), ("Proved dead by", "Mere"), ("Gate code", "12")]


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"latitude": "-41.100", "longitude": "174.8"}, "-41.1°, 174.8°"),
        ({"latitude": "0", "longitude": "100"}, "0°, 100°"),
        ({"latitude": "-41.1", "longitude": ""}, ""),
        ({"longitude": "174.8"}, ""),
        ({}, ""),
    ],
)
def test_where_a_picture_was_taken_needs_both_figures(given: dict[str, str], says: str) -> None:
    assert place_words(given) == says


def test_what_was_looked_at_when_it_was_proved_dead() -> None:
    """An answer that nobody gave is not known: it is neither yes nor no."""
    proved = ProvedDead(
        record="r", dead="yes", how="detector", happened_at="2026-11-25T00:00:00Z", detector_before=True,
        detector_after=False, earthed=True, permit="CP-0317",
    )  # fmt: skip
    assert proof(unit(proved=proved)) == [
        ("Detector tried before", "yes"),
        ("Detector tried after", "no"),
        ("Feeding back shut out", "not known"),
        ("Earths on", "yes"),
        ("Permit", "CP-0317"),
    ]


def test_without_an_isolation_record_there_is_no_proof_to_tell() -> None:
    assert proof(unit()) == []


# ------------------------------------------------------------------ what else a report says


@pytest.mark.parametrize(
    ("test", "words"),
    [
        ({}, ""),
        ({"unit": "mg/kg", "value": "62", "uncertainty": {"value": "6", "kind": "absolute", "k": "2"}},
         "± 6 mg/kg (k = 2)"),
        ({"unit": "mg/L", "value": "62", "uncertainty": {"value": "10", "kind": "percent"}}, "± 10 %"),
        ({"unit": "mg/kg", "value": "62", "reporting_limit": "2"}, "reporting limit 2 mg/kg"),
        ({"unit": "mg/kg", "reporting_limit": "2"}, ""),
        ({"unit": "mg/L", "value": "40", "density_kg_l": "0.88"}, "density 0.88 kg/L"),
        ({"unit": "mg/kg", "value": "48", "raw": "49.6"}, "raw 49.6 mg/kg"),
        ({"congener_sum": "total"}, "in total"),
        ({"congener_sum": "seven"}, "the sum of seven single PCB"),
        ({"method": "IEC 61619", "accredited": True}, "by IEC 61619, accredited"),
        ({"accredited": False}, "not accredited"),
    ],
)  # fmt: skip
def test_the_rest_of_a_report_is_told_after_its_figure(test: dict[str, Any], words: str) -> None:
    assert telling.test_rest(test) == words


def test_a_result_is_told_among_the_tests_of_the_unit() -> None:
    tests = [{"how": "laboratory", "on": "2026-03-07", "value": "1.2", "unit": "mg/kg"}]
    result = ResultNow(id="r", test=tests[0], reported_on="2026-03-09", laboratory="L", entered_at="2026-03-10")
    assert told({}, results=(result,))["Tests"] == "laboratory, 7 Mar 2026, tank: 1.2 mg/kg"
    assert "Tests" not in told({})
