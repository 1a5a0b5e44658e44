"""The page Rule book: every figure of a law with its document, as at a day, in a state, and what differs."""

import re
from datetime import date
from typing import Any

import pytest
from django.urls import reverse
from django.utils.html import escape

from hazmat import rulebooks
from hazmat.core.law import LawDay
from hazmat.forms.rule_book import RuleBookForm
from hazmat.models.edition import keep
from hazmat.rulebooks.load import restored
from hazmat.rulebooks.told import sections
from tests.cast import Cast

pytestmark = pytest.mark.django_db

DAY = date(2026, 11, 25)


def page(cast: Cast, **asked: Any) -> str:
    sent = cast.client("visitor").get(reverse("rule_book", kwargs={"yard": cast.yard}), asked)
    assert sent.status_code == 200
    return re.sub(r"\s+", " ", sent.content.decode())


@pytest.mark.parametrize("name", rulebooks.laws())
def test_every_figure_stands_with_its_document_and_how_it_is_known(cast: Cast, name: str) -> None:
    shown = page(cast, law=name, on=DAY.isoformat())
    day = LawDay(rulebooks.rulebook(name), DAY)
    assert day.figures
    for key, version in day.figures.items():
        assert escape(day.book.figures[key].says) in shown
        assert escape(version.cite.document) in shown
    assert "text undated" in shown or "text of " in shown
    assert "read in the source, 25 Nov 2026" in shown
    assert "our judgement" in shown


@pytest.mark.parametrize("name", rulebooks.names())
def test_nothing_of_a_law_is_left_out(name: str) -> None:
    """Every row, duty, silence and practice that stands on the day is told, each with its document."""
    book = rulebooks.rulebook(name)
    for state in (None, *book.territories):
        told = [entry for section in sections(book, DAY, state) for entry in section.entries]
        cites = [entry.cite for entry in told]
        rows = [row for table in book.tables.values() for row in table.rows if row.in_force(DAY, state)]
        duties = [duty for duty in book.duties if duty.in_force(DAY, state)]
        for one in (*rows, *duties, *book.acts, *book.steps):
            assert one.cite in cites
        assert len(told) >= len(rows) + len(duties) + len(book.classes) + len(LawDay(book, DAY, state).figures)
        assert all(entry.says.endswith(".") or entry in sections(book, DAY, state)[0].entries for entry in told)


def test_our_own_cautious_reading_of_a_law_needs_review_and_house_rules_do_not(cast: Cast) -> None:
    """The notice of New Zealand presumes nothing (our reading of its silence); its 50 ppm was read."""
    told = {entry.says: entry.review for one in sections(rulebooks.rulebook("nz"), DAY) for entry in one.entries}
    assert told[next(says for says in told if says.startswith("Undetermined"))]
    assert not any(entry.review for one in sections(rulebooks.rulebook("handling"), DAY) for entry in one.entries)
    for name in rulebooks.laws():
        for part in sections(rulebooks.rulebook(name), DAY):
            assert all(entry.cite.basis == "judgement" for entry in part.entries if entry.review)
    assert page(cast, law="nz").count("needs review</b>") == sum(told.values()) + 1


def test_it_opens_with_the_law_of_the_yard_today(cast: Cast) -> None:
    shown = page(cast)
    assert "New Zealand law on PCB" in shown
    assert "The text that this yard judges by" in shown
    assert "United States federal law on PCB (40 CFR Part 761)</h2>" not in shown


def test_another_law_is_shown_as_at_a_day_and_in_a_state(cast: Cast) -> None:
    """A French day of holding, Code de l'environnement R.543-20 to 22, stands in France and nowhere else."""
    french = "France: equipment built before this day goes first"
    assert french in page(cast, law="eu", state="FR", on="2026-11-25")
    assert french not in page(cast, law="eu", on="2026-11-25")
    assert "PCB Notice 2007" in page(cast, on="2016-12-31")
    assert "As at 31 Dec 2016" in page(cast, on="2016-12-31")


@pytest.mark.parametrize(
    ("asked", "errors"),
    [
        ({"law": "us", "state": "AU-VIC"}, []),
        ({"law": "us", "state": "FR"}, ["state"]),
        ({"law": "au", "state": "FR"}, ["state"]),
        ({"law": "au", "state": "AU-NSW"}, []),
        ({"law": "us"}, []),
    ],
)
def test_the_state_of_the_yard_is_dropped_where_another_law_is_asked_for(
    asked: dict[str, str], errors: list[str]
) -> None:
    """The form sends every box: that of the state still holds the yard's own when another law is picked."""
    form = RuleBookForm(asked, "AU-VIC", DAY)
    form.is_valid()
    assert list(form.errors) == errors
    if asked["law"] == "us":
        assert form.cleaned_data.get("state", "") == ""


def test_the_handling_book_has_a_page_of_its_own_and_is_linked(cast: Cast) -> None:
    assert 'href="?law=handling"' in page(cast)
    shown = page(cast, law="handling")
    assert "What to do next, and when" in shown
    assert "How to sample, in order" in shown
    assert 'href="?law=handling"' not in shown


def test_what_differs_from_another_day_is_told(cast: Cast) -> None:
    shown = page(cast, on="2017-01-01", than="2016-12-31")
    assert "What differs from 31 Dec 2016" in shown
    assert "PCB Notice 2007 → POPs Notice 2004 as amended 2016" in shown
    assert "Nothing differs" in page(cast, on="2017-01-02", than="2017-01-01")
    shown = page(cast, law="eu", on="2026-11-25", than="2016-12-31")
    assert "Take it out of use by 31 Dec 2025" in shown
    assert "{" not in shown.partition("What differs")[2].partition("</section>")[0]


def test_what_differs_from_an_older_edition_is_told(cast: Cast) -> None:
    nz = rulebooks.rulebook("nz")
    old = restored("nz", nz.canonical.replace('"is":"50"', '"is":"60"').replace(f'"{nz.edition}"', '"2020-05-01"', 1))
    keep(old)
    shown = page(cast, edition=old.digest)
    assert "What differs from the edition of" in shown
    assert "value 60" in shown
    assert "Figure, changed: line" in shown


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"on": "yesterday"}, "Write a day such as 2026-11-25."),
        ({"law": "nz", "state": "FR"}, "This state is none of that law"),
        ({"law": "xx"}, "xx is not one of the available choices"),
        ({"edition": "0" * 64}, "is not one of the available choices"),
    ],
)
def test_what_cannot_be_shown_is_said_and_the_page_stands(cast: Cast, asked: dict[str, str], says: str) -> None:
    shown = page(cast, **asked)
    assert says in shown
    assert "<h1>Rule book</h1>" in shown
