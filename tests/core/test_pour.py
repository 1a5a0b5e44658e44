"""Which oil may be poured into which drum: worked cases beside the table, on both sides of each row."""

import tomllib
from datetime import date
from itertools import product
from typing import Any

import pytest

from disposal.core.pour import TABLE, Lot, asked, decided
from hazmat import rulebooks
from hazmat.core.law import LawDay
from tests.conftest import ROOT

DAY = date(2026, 11, 26)
CASES: list[dict[str, Any]] = tomllib.loads((ROOT / "fixtures/pours/pours.toml").read_text("utf-8"))["case"]
CLASSES = {
    "us": rulebooks.rulebook("us").classes, "nz": rulebooks.rulebook("nz").classes,
    "us2": ("below_2", "2_to_49", "from_50"),
}  # fmt: skip


def house() -> LawDay:
    return LawDay(rulebooks.rulebook(rulebooks.HANDLING), DAY)


def lot(told: list[str], units: set[str]) -> Lot:
    if not told:
        return Lot()
    known, klass, care, rulebook = told
    return Lot(units=frozenset(units), klass=klass, care=care, known=known, rulebook=rulebook)  # type: ignore[arg-type]


def columns(case: dict[str, Any]) -> dict[str, str]:
    poured = lot(case["poured"], {"a"})
    held = lot(case["held"], {"a"} if case["own"] else {"a", "b"} if case.get("beside") else {"b"})
    own = {"any": "", "its_unit": "a", "another_unit": "b"}[case["can"]]
    return asked(poured, held, own, CLASSES)


@pytest.mark.parametrize("case", [pytest.param(case, id=case["name"]) for case in CASES])
def test_a_pour_is_answered_as_its_case_says(case: dict[str, Any]) -> None:
    answer = decided(columns(case), house())
    assert (answer.row, answer.may) == (case["row"], case["may"])
    assert answer.says.endswith(".")
    assert answer.cite
    assert case["basis"] in ("read", "judgement")
    assert (case["basis"] == "read") == case["where"].startswith("https://")


def test_every_row_has_a_case_on_both_sides() -> None:
    """Each row answers a case, and a case that differs from that one in one column gets another answer."""
    rows = {row.name for row in rulebooks.rulebook(rulebooks.HANDLING).tables[TABLE].rows}
    assert {case["row"] for case in CASES} == rows
    table = rulebooks.rulebook(rulebooks.HANDLING).tables[TABLE]
    for name in rows:
        mine = [columns(case) for case in CASES if case["row"] == name]
        beside = [
            {**one, column: value} for one in mine for column, values in table.columns.items() for value in values
        ]
        assert {decided(one, house()).may for one in beside} == {True, False}, name


def test_worse_known_oil_is_never_let_in_more_easily() -> None:
    """Whatever the drum holds: where untested oil of others may go in, oil of one class that is shown may too."""
    table = rulebooks.rulebook(rulebooks.HANDLING).tables[TABLE]
    for values in product(*table.columns.values()):
        one = dict(zip(table.columns, values, strict=True))
        if one["meets"] == "other" and decided(one, house()).may:
            assert one["poured"] == one["held"] != "untested"
            assert one["step"] == "same"
            assert one["can"] != "another_unit"
