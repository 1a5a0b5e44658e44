"""The published schemas: what the reader takes validates, and what it refuses for shape does not."""

import json
from functools import cache
from typing import Any

import jsonschema
import pytest
from hypothesis import given

from hazmat.edge import schemas
from hazmat.edge.reader import Reader, Refused
from tests.edge.strategies import CHOICES, KINDS, MEASURES, TODAY, encoded, units


@cache
def validator(side: str) -> jsonschema.Draft202012Validator:
    return jsonschema.Draft202012Validator(json.loads(schemas.text(side)))


def validates(line: Any) -> bool:
    return bool(validator("in").is_valid(line))


@pytest.mark.parametrize("side", ["in", "out"])
def test_a_schema_is_one_by_its_own_dialect(side: str) -> None:
    """JSON Schema 2020-12, https://json-schema.org/draft/2020-12."""
    schema = json.loads(schemas.text(side))
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)


@given(units())
def test_every_valid_line_validates(unit: dict[str, Any]) -> None:
    assert [fault.message for fault in validator("in").iter_errors(unit)] == []


BARE: dict[str, Any] = {"id": "A1", "kind": "transformer"}


def changed(**keys: Any) -> dict[str, Any]:
    return BARE | keys


def probed(**keys: Any) -> dict[str, Any]:
    return BARE | {"tests": [{"how": "laboratory", **keys}]}


WRONG_SHAPES: list[Any] = [
    [], "A1", 5, None, {}, {"id": "A1"}, {"kind": "drum"}, {"id": None, "kind": "drum"}, {"id": "A1", "kind": None},
    {"id": "", "kind": "drum"}, {"id": " ", "kind": "drum"}, {"id": 5, "kind": "drum"},
    changed(colour="grey"), changed(colour=None), changed(Built=1968), changed(kind="drumm"), changed(kind="Drum"),
    *[changed(**{key: "nonsense"}) for key in CHOICES],
    *[changed(**{key: wrong}) for key in MEASURES for wrong in (-1, -0.5, "-1", "+1", "1_000", " 5", "1e3")],
    *[changed(**{key: wrong}) for key in MEASURES for wrong in ("", "x", True, [])],
    changed(fluid_mass_kg="١٢"),
    *[changed(count=wrong) for wrong in (0, -1, 1.5, "2", True)],
    *[changed(**{key: wrong}) for key in ("made_in", "found_in") for wrong in ("nz", "NZL", "US-", "ÅÅ", "", 64)],
    *[changed(built=wrong) for wrong in ("68", "1968-5", "/", "", "~", "~~1975", "1975~", "1968/1970/1972")],
    *[changed(built=wrong) for wrong in ("about 1975", "1970-1975", "١٩٦٨", 1968.5, True, -5, 5, [])],
    *[changed(decided_waste=wrong) for wrong in ("1968", "1968-05", 1968, "20260101", "2026-01-01T00:00", True)],
    changed(marks="pcb_mark"), changed(marks=["pcb"]), changed(marks=[None]), changed(plate_words="OIL"),
    changed(plate_words=[5]), changed(plate_words=[""]), changed(spaces=[{"name": ""}]), probed(report=""),
    changed(history={}), changed(history=[{"what": "painted"}]), changed(history=[{"on": 1970}]),
    changed(history=[{"what": "drained", "when": 1970}]), changed(spaces=[{}]),
    changed(spaces=[{"name": "a", "size": 2}]),
    changed(spaces=[{"name": "a", "sealed": "yes"}]), changed(tests=[{}]), changed(tests=[{"how": "smell"}]),
    changed(tests=[None]), probed(result=5), probed(value=-1), probed(unit="mgkg"), probed(sign="<="), probed(wet=1),
    probed(accredited="true"), probed(uncertainty=5), probed(uncertainty={"value": 1}),
    probed(uncertainty={"value": 1, "kind": "%"}), probed(uncertainty={"value": 1, "kind": "percent", "q": 1}),
]  # fmt: skip


@pytest.mark.parametrize("line", WRONG_SHAPES, ids=lambda line: json.dumps(line, ensure_ascii=True)[:90])
def test_what_is_refused_for_its_shape_does_not_validate(line: Any) -> None:
    ((_, one),) = Reader(TODAY).lines([json.dumps(line).encode()])
    assert isinstance(one, Refused)
    assert not validates(line)


def test_the_schema_names_every_word_of_the_contract() -> None:
    for kind in KINDS:
        assert validates(changed(kind=kind))
    for key, words in CHOICES.items():
        for word in words.split():
            assert validates(changed(**{key: word}))


def test_null_validates_at_every_key_but_id_and_kind() -> None:
    ((_, one),) = Reader(TODAY).lines([encoded(changed(built=None, tests=None, marks=None))])
    assert not isinstance(one, Refused)
    for key in [
        *CHOICES,
        *MEASURES,
        "count",
        "built",
        "arrived",
        "made_in",
        "marks",
        "plate_words",
        "history",
        "tests",
    ]:
        assert validates(changed(**{key: None}))


def test_an_answer_with_a_slip_does_not_validate() -> None:
    """The published shape of an answer refuses what the contract does not know, and asks for what it does."""
    answer = {
        "id": "A1", "rulebook": "us", "edition": "e", "on": "2026-11-25", "class": "below_50", "basis": "presumed",
        "force": "must", "band": "unknown", "care": "ge500", "size": None, "instrument": None,
        "because": [{"key": "k", "says": "S.", "cite": "c", "basis": "read"}], "next": [{"act": "a", "says": "S."}],
        "duties": [{"name": "n", "says": "S.", "due": None, "cite": "c"}], "problems": [{"field": "f", "says": "S."}],
        "good_until": None,
    }  # fmt: skip
    out = validator("out")
    assert out.is_valid(answer)
    slips: list[dict[str, Any]] = [
        {"basis": "guessed"}, {"band": "high"}, {"care": "unknown"}, {"force": "should"}, {"extra": 1}, {"id": 5},
        {"because": [{"says": "S."}]}, {"because": [{"key": "k", "says": "S.", "cite": None, "basis": "read"}]},
        {"next": [{"act": "a", "says": "S.", "more": 1}]}, {"class": None}, {"because": "S."},
        {"because": [{"key": "k", "says": "S.", "cite": "c", "basis": "hearsay"}]}, {"because": []}, {"next": []},
    ]  # fmt: skip
    assert [slip for slip in slips if out.is_valid(answer | slip)] == []
    for key in answer:
        assert not out.is_valid({name: value for name, value in answer.items() if name != key}), key
