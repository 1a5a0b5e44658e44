"""The demo register: forty invented units that together meet every kind, state, mark, band and row."""

from datetime import date
from typing import get_args

import pytest

from hazmat import rulebooks
from hazmat.core import facts
from hazmat.core.assess import Assessment
from hazmat.core.bulk import CARE
from hazmat.core.facts import Unit
from hazmat.edge.cases import rows_of
from hazmat.edge.lines import Assessor
from hazmat.edge.reader import Reader, Refused
from tests.conftest import ROOT

REGISTER = ROOT / "fixtures" / "demo" / "register.jsonl"
DAY = date(2026, 11, 25)


def units() -> list[Unit]:
    found = []
    for _, one in Reader(DAY).lines(REGISTER.read_bytes().splitlines(keepends=True)):
        assert isinstance(one, Unit), one
        found.append(one)
    return found


def answers(law: str | None) -> list[Assessment]:
    found = []
    for one in Assessor(law, DAY, DAY).answers(REGISTER.read_bytes().splitlines(keepends=True)):
        assert not isinstance(one, Refused), one
        found.append(one)
    return found


def test_forty_units_of_both_countries() -> None:
    places = [unit.found_in.country for unit in units() if unit.found_in]
    assert len(places) == 40
    assert set(places) == {"US", "NZ"}


@pytest.mark.parametrize(
    ("field", "words"),
    [
        ("kind", get_args(facts.Kind)),
        ("mounting", get_args(facts.Mounting)),
        ("construction", get_args(facts.Construction)),
        ("fluid", get_args(facts.Fluid)),
        ("role", get_args(facts.Role)),
        ("state", get_args(facts.State)),
        ("service_records", get_args(facts.Service)),
    ],
)
def test_every_word_occurs(field: str, words: tuple[str, ...]) -> None:
    assert {getattr(unit, field) for unit in units()} >= set(words)


def test_every_mark_change_and_way_of_testing_occurs() -> None:
    every = units()
    assert {mark for unit in every for mark in unit.marks} == set(get_args(facts.Mark))
    assert {event.what for unit in every for event in unit.history} == set(get_args(facts.Change))
    assert {test.how for unit in every for test in unit.tests} == set(get_args(facts.How))
    assert {test.unit for unit in every for test in unit.tests} >= set(get_args(facts.Unit_of_measure))


def test_every_band_and_basis_occurs() -> None:
    every = answers(None)
    assert {answer.band for answer in every} == {*CARE, "unknown"}
    assert {answer.care for answer in every} == set(CARE)
    assert {answer.basis for answer in every} == {"presumed", "plate", "established", "undetermined"}


def test_every_row_of_the_presumptions_occurs() -> None:
    met = {row for law in ("us", "nz") for answer in answers(law) for row in rows_of(answer)}
    wanted = {
        f"presumption: {row.name}" for law in ("us", "nz") for row in rulebooks.rulebook(law).tables["presumption"].rows
    }
    assert wanted - met == set()
