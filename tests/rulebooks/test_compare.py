"""Two editions, and two days of one, told apart entry by entry; an edition read again from the text of its content.

The changed editions are made from a shipped text by hand, one change each; the days are those of the texts themselves.
"""

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from hazmat import rulebooks
from hazmat.core.law import LawDay, Rulebook
from hazmat.rulebooks.compare import SECTIONS, Change, days_apart, text_of
from hazmat.rulebooks.compare import editions_apart as texts_apart
from hazmat.rulebooks.load import OPTIONAL, REQUIRED, restored
from hazmat.rulebooks.strict import RulebookError
from hazmat.rulebooks.told import with_unit

US, NZ = rulebooks.rulebook("us"), rulebooks.rulebook("nz")


def editions_apart(old: Rulebook, new: Rulebook) -> list[Change]:
    return texts_apart(text_of(old), text_of(new))


def changed(old: str, new: str, content: str = US.canonical, name: str = "us") -> list[Change]:
    """What differs once one piece of the text of a law reads otherwise."""
    assert content.count(old) >= 1
    return editions_apart(restored(name, content), restored(name, content.replace(old, new)))


def test_every_section_of_a_rulebook_is_compared() -> None:
    apart = {"rulebook", "says", "edition", "found_in", "classes"}
    assert set(SECTIONS) | apart == {*REQUIRED.split(), *OPTIONAL.split()}


@pytest.mark.parametrize("name", rulebooks.names())
def test_a_text_read_again_is_the_same_law(name: str) -> None:
    book = rulebooks.rulebook(name)
    again = restored(name, book.canonical)
    assert (again.digest, again.edition, again.classes) == (book.digest, book.edition, book.classes)
    assert (again.figures, again.lines) == (book.figures, book.lines)
    sorted_when = [[replace(one, when=tuple(sorted(one.when))) for one in law.duties] for law in (again, book)]
    assert sorted_when[0] == sorted_when[1]
    assert editions_apart(book, again) == []


def test_a_changed_figure_is_told_with_both_values() -> None:
    old = '"small_transformer_fluid":{"says":"A transformer with less fluid than this may be taken as below 50 ppm"'
    at = US.canonical.index(old)
    new = US.canonical[:at] + US.canonical[at:].replace('"1.36"', '"1.5"', 1)
    (change,) = editions_apart(US, restored("us", new))
    assert (change.what, change.section, change.name) == ("changed", "Figure", "small transformer fluid")
    ((key, was, now),) = change.differences
    assert key == "values"
    assert "1.36" in was
    assert "1.5" in now
    assert "28 Aug 1998" in was


def test_a_new_edition_day_alone_is_told() -> None:
    (change,) = changed('"edition":"2026-11-27"', '"edition":"2027-01-01"')
    assert (change.section, change.name) == ("Head", "edition")
    assert change.differences == (("value", "27 Nov 2026", "1 Jan 2027"),)


def test_a_row_that_changes_its_answer_and_a_duty_that_is_gone_are_told() -> None:
    parsed = json.loads(US.canonical)
    row = parsed["table"]["presumption"]["row"][0]
    row["says"] += " and more"
    del parsed["duty"][0]
    found = editions_apart(US, restored("us", json.dumps(parsed)))
    assert [(one.what, one.section, one.name) for one in found] == [
        ("gone", "Duty", US.duties[0].name.replace("_", " ")), ("changed", "Row of presumption", row["name"]),
    ]  # fmt: skip
    assert found[0].says == US.duties[0].says
    ((key, was, now),) = found[1].differences
    assert (key, now) == ("words", was + " and more")


def test_a_new_row_is_told_as_new_in_one_direction_and_gone_in_the_other() -> None:
    parsed = json.loads(NZ.canonical)
    parsed["practice"]["wash"] = {"says": "Wash", "cite": "practice"}
    more = restored("nz", json.dumps(parsed))
    assert [(one.what, one.name) for one in editions_apart(NZ, more)] == [("new", "wash")]
    assert [(one.what, one.name) for one in editions_apart(more, NZ)] == [("gone", "wash")]


def test_two_days_of_new_zealand_law_differ_in_their_governing_text() -> None:
    """Amendment Notice 2016, clause 2: in force from 1 January 2017; the figure of 50 ppm stayed as it was."""
    assert days_apart(NZ, date(2016, 12, 30), date(2016, 12, 31)) == []
    found = {one.name: one for one in days_apart(NZ, date(2016, 12, 31), date(2017, 1, 1))}
    assert set(found) == {"instrument", "line"}
    assert found["instrument"].differences[0] == (
        "value", "PCB Notice 2007", "POPs Notice 2004 as amended 2016",
    )  # fmt: skip
    assert [key for key, _, _ in found["line"].differences] == ["document"]


def test_the_day_before_a_law_begins_nothing_of_it_stands() -> None:
    """63 FR 35384 brought in 40 CFR 761.2 on 28 August 1998."""
    found = {one.name: one for one in days_apart(US, date(1998, 8, 27), date(1998, 8, 28))}
    assert found["cutoff"].what == "new"
    assert found["cutoff"].differences[0] == ("value", "none in force", "2 Jul 1979")
    assert any(one.section == "Row of presumption" and one.what == "new" for one in found.values())
    back = {one.name: one for one in days_apart(US, date(1998, 8, 28), date(1998, 8, 27))}
    assert back["cutoff"].what == "gone"


def test_no_two_days_of_one_stretch_differ() -> None:
    for name in rulebooks.names():
        book = rulebooks.rulebook(name)
        end = LawDay(book, date(2000, 1, 1)).holds_until()
        if end:
            assert days_apart(book, date(2000, 1, 1), end) == []


@pytest.mark.parametrize(
    ("content", "says"),
    [("[]", "no table of keys"), ("{", "not the content of a rulebook"), ("{}", "rulebook: it is missing")],
)
def test_a_text_that_is_no_rulebook_is_refused(content: str, says: str) -> None:
    with pytest.raises(RulebookError, match=says):
        restored("us", content)


# ------------------------------------------------------------------ what was loaded beside


@pytest.fixture
def beside(tmp_path: Path) -> Iterator[Path]:
    rulebooks.look_beside(tmp_path)
    yield tmp_path
    rulebooks.look_beside(None)


def lay(folder: Path, name: str, content: str) -> None:
    (folder / f"{name}.json").write_text(content, encoding="utf-8")
    rulebooks.look_beside(folder)


def test_a_newer_edition_loaded_beside_stands_and_an_older_one_does_not(beside: Path) -> None:
    lay(beside, "us", US.canonical.replace('"edition":"2026-11-27"', '"edition":"2027-02-01"'))
    assert rulebooks.rulebook("us").edition == date(2027, 2, 1)
    lay(beside, "us", US.canonical.replace('"edition":"2026-11-27"', '"edition":"2020-02-01"'))
    assert rulebooks.rulebook("us").digest == US.digest


def test_a_country_loaded_beside_is_found_by_its_place(beside: Path) -> None:
    content = NZ.canonical.replace('"found_in":["NZ"]', '"found_in":["FJ"]').replace(
        '"rulebook":"nz"', '"rulebook":"fj"'
    )
    assert rulebooks.law_of("FJ") is None
    lay(beside, "fj", content)
    assert rulebooks.law_of("FJ") == "fj"
    assert "fj" in rulebooks.laws()
    rulebooks.look_beside(None)
    assert rulebooks.law_of("FJ") is None


def test_a_loaded_text_that_leaves_a_hole_is_refused(beside: Path) -> None:
    parsed = json.loads(NZ.canonical)
    del parsed["table"]["establishing"]["row"][0]
    lay(beside, "nz", json.dumps(parsed))
    with pytest.raises(RulebookError, match=r"no row answers .*route laboratory"):
        rulebooks.rulebook("nz")


@pytest.mark.parametrize(
    ("value", "unit", "words"),
    [
        ("50", "mg/kg", "50 mg/kg"), ("1", "year", "1 year"), ("13", "year", "13 years"), ("1995", "year", "1995"),
        ("12", "month", "12 months"), ("30", "days", "30 days"), ("2", "times", "2"),
    ],
)  # fmt: skip
def test_a_figure_is_said_with_its_unit(value: str, unit: str, words: str) -> None:
    assert with_unit(Decimal(value), unit) == words
