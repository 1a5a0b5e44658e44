"""What is null is not known; what is blank is skipped; every kind is read."""

import json
from typing import Any

import pytest

from hazmat.core.facts import Unit
from hazmat.edge.reader import Reader, Refused
from tests.edge.sentences import ALSO_GOOD, GOOD, read
from tests.edge.strategies import CHOICES, KINDS, MEASURES, TODAY

REST = (
    "density_kg_l count built last_energised decided_waste arrived in_use_before made_in found_in marks plate_words "
    "history spaces tests"
)
IN_A_TEST = (
    "space on sign value raw unit basis density_kg_l reporting_limit uncertainty matrix method accredited congener_sum "
    "factor set_point colour wet expired control_ok sinks composite sample report"
)
EVERY_KEY: dict[str, dict[str, Any]] = {
    "unit": dict.fromkeys([*CHOICES, *MEASURES, *REST.split()]),
    "test": dict.fromkeys(IN_A_TEST.split()),
    "event": {"on": None, "fluid_mg_kg": None},
    "space": {"kind": None, "built": None, "sealed": None},
    "uncertainty": {"k": None},
}


def test_null_everywhere_means_not_known() -> None:
    bare = {"id": "A1", "kind": "drum"}
    assert read(json.dumps(bare | EVERY_KEY["unit"]).encode()) == read(json.dumps(bare).encode())


def test_null_everywhere_inside_means_not_known() -> None:
    uncertainty = {"value": 1, "kind": "percent"}
    inside: dict[str, Any] = {
        "tests": [{"how": "screen"}, {"how": "screen", "uncertainty": uncertainty}],
        "history": [{"what": "drained"}],
        "spaces": [{"name": "a"}],
    }
    nulls = {
        "tests": [
            {"how": "screen"} | EVERY_KEY["test"],
            {"how": "screen"} | EVERY_KEY["test"] | {"uncertainty": uncertainty | EVERY_KEY["uncertainty"]},
        ],
        "history": [{"what": "drained"} | EVERY_KEY["event"]],
        "spaces": [{"name": "a"} | EVERY_KEY["space"]],
    }
    bare = {"id": "A1", "kind": "drum"}
    assert read(json.dumps(bare | nulls).encode()) == read(json.dumps(bare | inside).encode())


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_the_contract_is_read(kind: str) -> None:
    assert read(f'{{"id":"A1","kind":"{kind}"}}'.encode()).kind == kind


def test_a_byte_order_mark_and_blank_lines_are_skipped_and_counted() -> None:
    stream = [b"\xef\xbb\xbf" + GOOD + b"\r\n", b"\r\n", b" \t \n", b"", b"nonsense\n", ALSO_GOOD]
    found = list(Reader(TODAY).lines(stream))
    assert [number for number, _ in found] == [1, 5, 6]
    assert [type(one) for _, one in found] == [Unit, Refused, Unit]
    assert str(found[1][1]).startswith("line 5: ")


def test_an_empty_file_holds_nothing() -> None:
    assert list(Reader(TODAY).lines([])) == []
    assert list(Reader(TODAY).lines([b"\xef\xbb\xbf"])) == []
