"""Every worked case is answered as its document says; a case that says otherwise is reported as a miss.

The cases are data in fixtures/cases, each with its source, address and how we know it.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from hazmat import rulebooks
from hazmat.core.assess import Assessment
from hazmat.edge.cases import CASES, EXPECTED, Case, answer, cases, misses, unproven
from hazmat.rulebooks.fluids import fluid_names

TODAY = date(2026, 11, 25)
BASES = ("read", "memory", "judgement")
EVERY = cases()
ANSWERS: dict[str, Assessment] = {}

UNPROVEN = {
    "handling": [
        "band: container of unknown past",
        "band: named as PCB",
        "band: new and like oil",
        "band: new capacitor without a valid mark",
        "band: new sealed can",
        "band: new unit with another fluid",
        "band: new with unknown fluid",
        "band: nothing known",
        "band: old sealed can",
        "band: old unit with another fluid",
        "band: old with unknown fluid",
    ],
    "au": ["presumption: the law presumes nothing"],
    "ca": [],
    "eu": ["presumption: drum"],
    "gb": ["presumption: 5 litres or less", "presumption: drum"],
    "nz": ["presumption: the law presumes nothing"],
    "treaty": ["presumption: the treaty presumes nothing"],
    "us": [
        "capacitor_size: large by volume, voltage unknown",
        "capacitor_size: not shown to be small by weight, high voltage",
        "capacitor_size: not shown to be small by weight, voltage unknown",
        "capacitor_size: volume unknown, high voltage",
        "presumption: capacitor about the cut-off",
        "presumption: drum",
        "presumption: mineral oil about the cut-off",
        "presumption: old capacitor with mineral oil",
        "presumption: old transformer with unknown fluid",
        "presumption: other equipment with another or unknown fluid",
        "presumption: pole or pad transformer about the cut-off",
        "presumption: pole or pad transformer with another fluid",
        "presumption: transformer with another fluid, not shown to be after the cut-off",
    ],
}
"""Rows that no case with a document behind it is decided by."""


def answered(case: Case) -> Assessment:
    """The answer, asked once for each case."""
    if case.name not in ANSWERS:
        ANSWERS[case.name] = answer(case, TODAY)
    return ANSWERS[case.name]


def each(argument: str = "case") -> pytest.MarkDecorator:
    return pytest.mark.parametrize(argument, [pytest.param(case, id=f"{case.file}: {case.name}") for case in EVERY])


def test_every_file_of_cases_is_read() -> None:
    assert {case.file for case in EVERY} == {file.name for file in CASES.glob("*.toml")}
    assert len(EVERY) >= 140
    assert all(file.suffix == ".toml" for file in CASES.iterdir())


@each()
def test_a_case_is_answered_as_its_document_says(case: Case) -> None:
    assert list(misses(case, answered(case))) == []


def others(case: Case, found: Assessment) -> Iterator[dict[str, Any]]:
    """The expectation with one entry made wrong, for each entry."""
    for field, expected in case.expect.items():
        if field == "not_class":
            yield {**case.expect, field: found.klass}
        elif field == "not_act":
            yield {**case.expect, field: found.next[0].act}
        elif field == "not_duty":
            yield {**case.expect, field: found.duties[0].name}
        elif field == "not_says":
            yield {**case.expect, field: found.because[0].says}
        elif field == "names":  # each word of the plate for itself
            for word in expected:
                yield {**case.expect, field: {**expected, word: "another"}}
        else:
            yield {**case.expect, field: "another answer"}


@each()
def test_a_case_that_expects_anything_else_is_missed(case: Case) -> None:
    found = answered(case)
    wrong = list(others(case, found))
    assert len(wrong) >= len(case.expect)
    for expect in wrong:
        (miss,) = misses(replace(case, expect=expect), found)
        assert miss.expected != miss.found


def test_every_word_that_a_case_may_expect_is_expected_somewhere() -> None:
    assert {field for case in EVERY for field in case.expect} == EXPECTED


@each()
def test_a_case_says_where_it_comes_from(case: Case) -> None:
    assert case.basis in BASES
    assert case.source.strip()
    read = case.where.startswith(("https://", "http://", "address withheld"))
    assert read or (case.where == "no address" and case.basis != "read")
    assert not case.name[:1].islower()
    assert not case.name.endswith(".")
    assert len(case.name.split()) >= 5
    assert case.day <= TODAY


@each()
def test_every_reason_is_cited(case: Case) -> None:
    """Reasons, duties and next acts are sentences; each reason and duty names a document that a rulebook holds."""
    found = answered(case)
    held = {cite.document for book in rulebooks.shelf().values() for cite in book.cites.values()}
    assert found.because
    for reason in found.because:
        assert reason.cite in held
        assert reason.basis in BASES
        assert reason.says.endswith(".")
        assert "{" not in reason.says
    assert all(duty.cite in held and duty.says.endswith(".") for duty in found.duties)
    assert found.next
    assert all(task.says.endswith(".") and "{" not in task.says for task in found.next)


# ------------------------------------------------------------------ the list of unproven rows


@pytest.mark.parametrize("law", rulebooks.names())
def test_the_list_of_unproven_rows_only_shrinks(law: str) -> None:
    found, kept = set(unproven(law, EVERY, TODAY)), set(UNPROVEN[law])
    assert not found - kept, (
        f"unproven and not on the list: find a document and write a case for {sorted(found - kept)}"
    )
    assert not kept - found, f"proven now: take {sorted(kept - found)} off the list, which may only shrink"


def test_without_cases_every_row_is_unproven() -> None:
    assert "presumption: old mineral oil" in unproven("us", [], TODAY)
    assert unproven("nz", [], TODAY) == ["presumption: the law presumes nothing"]


def test_a_case_of_our_own_judgement_proves_nothing() -> None:
    ours = [replace(case, basis="judgement") for case in EVERY]
    for law in rulebooks.names():
        assert unproven(law, ours, TODAY) == unproven(law, [], TODAY)


def test_a_case_that_is_missed_proves_nothing() -> None:
    wrong = [replace(case, expect={"class": "another"}) for case in EVERY]
    assert unproven("us", wrong, TODAY) == unproven("us", [], TODAY)


# ------------------------------------------------------------------ a mistake in a file of cases

CASE = """
[[case]]
name     = "A made-up unit is undetermined in New Zealand"
rulebook = "nz"
day      = 2026-11-25
facts    = { kind = "transformer" }
expect   = { class = "undetermined" }
source   = "made up"
where    = "no address"
basis    = "judgement"
"""


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (CASE + CASE, "two cases are named"),
        (CASE.replace("class =", "classes ="), "classes; use"),
        (CASE.replace("basis    =", "base     ="), "base; use"),
        (CASE.replace('{ class = "undetermined" }', "{}"), "nothing is expected"),
    ],
)
def test_a_mistake_in_a_file_of_cases_is_refused(text: str, says: str, tmp_path: Any) -> None:
    (tmp_path / "made.toml").write_text(text, encoding="utf-8")
    with pytest.raises(ValueError, match=says):
        cases(tmp_path)


def test_facts_that_are_refused_are_no_answer(tmp_path: Any) -> None:
    (tmp_path / "made.toml").write_text(CASE.replace('kind = "transformer"', 'kind = "lamp"'), encoding="utf-8")
    (case,) = cases(tmp_path)
    with pytest.raises(ValueError, match=r"made\.toml, “A made-up unit .*kind"):
        answer(case, TODAY)


def test_the_names_that_cases_read_are_listed() -> None:
    """A name that a case expects stands in the list as it is spelt there."""
    listed = {name.name for name in fluid_names().listed.values()}
    expected = {case.expect["names"]["name"] for case in EVERY if "name" in case.expect.get("names", {})}
    assert expected <= listed
    assert expected
