"""Papers that no longer say what holds: of a unit, of a load; on the thing's page, on the paper's page, on Next."""

from datetime import date
from uuid import UUID

import pytest
from django.urls import reverse

from disposal.actions.loads import change_load
from disposal.actions.papers import issue_load_sheet
from disposal.queries.papers import next_lines as sheet_lines
from hazmat.actions.papers import issue_paper
from hazmat.actions.results import enter_result
from hazmat.actions.units import add_photographs
from hazmat.models import Paper
from hazmat.papers.holds import holds
from hazmat.queries.papers import next_lines, outdated
from hazmat.queries.yards import particulars, yard_facts
from tests.cast import Cast, pictured, reported
from tests.disposal.sending import Sender, now, put, unit_now
from tests.disposal.test_load_pages import path, text

pytestmark = pytest.mark.django_db

SAYS = "says what no longer holds: print a new one, and take the old one away"
DAY = date(2026, 11, 26)


@pytest.fixture
def sender(cast: Cast) -> Sender:
    assert cast.yard_id is not None
    return Sender(cast.yard_id, cast.people["boss"].pk)


def test_a_word_that_the_paper_never_said_does_not_hold() -> None:
    assert holds({"strength": "a", "number": "7"}, {"strength": "a"})
    assert not holds({"strength": "a"}, {"strength": "b"})
    assert not holds({}, {"strength": "b"})
    assert holds({"next": ["a"]}, {"next": ("a",)})


def issued(sender: Sender, unit: UUID, kind: str) -> str:
    key = issue_paper(sender.order(), unit=unit, kind=kind).the("hazmat.paper")
    return Paper.objects.get(pk=key).number


def test_papers_of_a_unit_after_a_new_assessment(cast: Cast, sender: Sender) -> None:
    client, unit = cast.client("manager"), sender.unit()

    def said() -> list[str]:
        return [one.says for one in next_lines(sender.yard, cast.yard, DAY) if one.words["tag"] == unit_now(unit).tag]

    sheet, tag = issued(sender, unit, "site_sheet"), issued(sender, unit, "unit_tag")
    letter = issued(sender, unit, "owner_letter")
    assert said() == []
    enter_result(sender.order(), unit=unit, told=reported("620"), place="NZ")
    told = {one.number: one.says for one in outdated(unit_now(unit), yard_facts(particulars(sender.yard)))}
    assert told == {sheet: f"Site sheet {sheet} {SAYS}", tag: f"Unit tag {tag} {SAYS}"}
    assert sorted(one.rpartition(": ")[0].partition(": ")[2] for one in said()) == sorted(
        one.rpartition(": ")[0] for one in told.values()
    )
    page = text(client.get(reverse("unit", kwargs={"yard": cast.yard, "tag": unit_now(unit).tag})))
    assert f"Site sheet {sheet} {SAYS}." in page
    assert "Print the site sheet" in page
    old = Paper.objects.get(number=sheet)
    assert f"No: it {SAYS}" in text(client.get(path(cast, "paper", paper=old.pk)))
    letter_page = text(client.get(path(cast, "paper", paper=Paper.objects.get(number=letter).pk)))
    assert SAYS not in letter_page
    assert f"Site sheet {sheet} {SAYS}" in text(client.get(path(cast, "next")))
    issued(sender, unit, "site_sheet")
    issued(sender, unit, "unit_tag")
    assert said() == []


def test_a_unit_that_left_needs_no_new_paper(cast: Cast, sender: Sender) -> None:
    unit = sender.unit()
    issued(sender, unit, "unit_tag")
    enter_result(sender.order(), unit=unit, told=reported("620"), place="NZ")
    facts = yard_facts(particulars(sender.yard))
    assert len(outdated(unit_now(unit), facts)) == 1
    sender.signed(sender.load(unit), "yard", "carrier")
    assert outdated(unit_now(unit), facts) == []
    assert [one for one in next_lines(sender.yard, cast.yard, DAY) if one.words["tag"] == unit_now(unit).tag] == []


def test_another_photograph_changes_no_paper(sender: Sender) -> None:
    unit = sender.unit()
    issued(sender, unit, "site_sheet")
    add_photographs(sender.order(), unit=unit, pictures=[pictured()])
    assert len(unit_now(unit).photographs) == 1
    assert outdated(unit_now(unit), yard_facts(particulars(sender.yard))) == []


def test_a_sheet_of_a_load_that_changed(cast: Cast, sender: Sender) -> None:
    client, load = cast.client("manager"), sender.load(sender.unit())

    def said() -> list[str]:
        return [one.says for one in sheet_lines(sender.yard, cast.yard, DAY)]

    def sheet() -> str:
        return Paper.objects.get(pk=issue_load_sheet(sender.order(), load=load).the("hazmat.paper")).number

    first = sheet()
    assert said() == []
    put(sender, load, sender.unit())
    says = f"Load {now(load).number}: Hand-over sheet {first} {SAYS}"
    assert said() == [says]
    assert f"Hand-over sheet {first} {SAYS}." in text(client.get(path(cast, "load", load)))
    assert SAYS in text(client.get(path(cast, "paper", paper=Paper.objects.get(number=first).pk)))
    assert says in text(client.get(path(cast, "next")))
    second = sheet()
    assert said() == []
    other = sender.firm("Other Haulage", "carry")
    change_load(sender.order(), load=load, based_on=now(load).seq, carrier=other, facility=sender.facility)
    assert said() == [f"Load {now(load).number}: Hand-over sheet {second} {SAYS}"]
    sheet()
    sender.signed(load, "yard")
    assert said() == []
    assert SAYS not in text(client.get(path(cast, "load", load)))
    enter_result(sender.order(), unit=UUID(now(load).items[0].of), told=reported("620"), place="NZ")
    assert len(said()) == 1
    sender.signed(load, "carrier")
    assert said() == []
