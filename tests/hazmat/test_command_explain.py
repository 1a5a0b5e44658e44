"""`explain`: everything that decided stands there, and it says what the page says."""

import json
import re
from html import unescape
from typing import Any
from uuid import UUID

import pytest
from django.urls import reverse

from hazmat.actions.units import log_unit
from hazmat.core.codes import spaced
from hazmat.edge.explain import explained
from hazmat.edge.reader import Reader
from hazmat.management.commands.explain import Command
from hazmat.management.verb import Refusal
from hazmat.models import Yard
from hazmat.queries.units import UNITS
from hazmat.rulebooks import laws
from hazmat.templatetags.oilward import edition
from tests.cast import LINE, Cast, look_in, opened, order

pytestmark = pytest.mark.django_db
US = {**LINE, "found_in": "US-OR", "built": "1968", "fluid": "mineral"}


def test_the_moment_is_told_in_the_time_of_the_yard(cast: Cast, capsys: pytest.CaptureFixture[str]) -> None:
    """Law day and moment of the answer are of one clock, that of the yard."""
    head, law_day, *_ = said(capsys, logged(cast, LINE)).splitlines()
    moment = head.partition("assessed ")[2]
    assert re.fullmatch(r"\d{1,2} [A-Z][a-z]{2} 20\d\d, \d\d:\d\d \(Pacific/Auckland\)\.", moment), head
    assert moment.partition(",")[0] in law_day


def said(capsys: pytest.CaptureFixture[str], tag: str, yard: str | None = None) -> str:
    Command().handle(tag=tag, yard=yard)
    return capsys.readouterr().out


def logged(cast: Cast, line: dict[str, Any], yard: str | None = None) -> str:
    boss = cast.people["boss"]
    where = Yard.objects.get(code=yard or cast.yard)
    receipt = log_unit(order(where.pk, boss.pk), look=look_in(line=line), place="NZ")
    now = UNITS.kept(receipt.the("hazmat.unit"))
    assert now is not None
    return now.tag


def test_it_says_what_the_page_says(cast: Cast, capsys: pytest.CaptureFixture[str]) -> None:
    tag = logged(cast, US)
    told = said(capsys, tag)
    path = reverse("unit", kwargs={"yard": cast.yard, "tag": tag})
    page = unescape(cast.client("technician").get(path).content.decode())
    now = UNITS.kept(UUID(str(_unit_id(tag))))
    assert now is not None
    assert now.answer["because"]
    for reason in now.answer["because"]:
        assert reason["says"] in told
        assert reason["says"] in page
        assert reason["cite"] in told
        assert reason["cite"] in page
    for task in now.answer["next"]:
        assert task["says"] in told
    assert now.answer["edition"] in told
    assert edition(now.answer["edition"]) in page


def _unit_id(tag: str) -> Any:
    from hazmat.models import Unit

    return Unit.objects.get(tag=tag).pk


def test_every_column_and_every_row_stands_there(cast: Cast, capsys: pytest.CaptureFixture[str]) -> None:
    """40 CFR 761.2(a)(2): mineral oil equipment made before 2 July 1979 is assumed 50 to 499 ppm; the day is told."""
    told = said(capsys, logged(cast, US))
    assert "us, table presumption" in told
    for column in ("kind = ", "built = before", "fluid = mineral", "amount = not_small"):
        assert column in told
    assert "fired: " in told
    assert "handling, table band" in told
    assert "us cutoff: 2 Jul 1979" in told


def test_rows_that_lost_are_told_with_the_winner() -> None:
    """A row that another one names under `over` must not be silent: looked for over all worked cases."""
    from datetime import date

    from hazmat.edge.cases import cases

    lost: set[tuple[str, str, str]] = set()
    today = date(2026, 11, 25)
    for case in cases():
        if "tests" in case.facts:
            continue
        unit = Reader(today).unit(json.dumps({"id": "case", **case.facts}, default=str).encode())
        law = case.rulebook if case.rulebook in laws() else None
        for asked in explained(unit, law, case.day or today).asked:
            names = {row.name for row in asked.fired}
            for row, winner in asked.lost:
                assert row.name not in names
                assert winner in names | {one.name for one, _ in asked.lost}
                lost.add((asked.book, asked.table, row.name))
    assert len(lost) >= 3


def test_two_yards_with_one_tag(cast: Cast, capsys: pytest.CaptureFixture[str]) -> None:
    other = opened(cast.people["boss"], "Second")
    for yard in (cast.yard, other.code):
        where = Yard.objects.get(code=yard)
        log_unit(order(where.pk, cast.people["boss"].pk), look=look_in(), place="NZ", tag="K7M4PK")
    with pytest.raises(Refusal, match="several yards have a unit K7M 4PK"):
        said(capsys, "K7M4PK")
    assert "Unit K7M 4PK in Second" in said(capsys, "K7M4PK", other.code)


@pytest.mark.parametrize(
    ("tag", "says"), [("K7M4P0", "never holds 0"), ("K7M4PX", "wrong or missing"), ("222222", "no unit has the tag")]
)
def test_bad_tags_are_one_sentence(tag: str, says: str, cast: Cast, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(Refusal, match=says) as refused:
        said(capsys, tag)
    assert refused.value.status == 2
    assert "\n" not in str(refused.value)


def test_an_old_answer_is_told_apart_from_that_of_today(
    cast: Cast, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    tag = logged(cast, US)
    assert "read otherwise" not in said(capsys, tag)
    from hazmat.management.commands import explain

    kept = explain.answer_data
    monkeypatch.setattr(explain, "answer_data", lambda answer: {**kept(answer), "class": "from_500"})
    assert "read otherwise" in said(capsys, tag)
    assert spaced(tag) in said(capsys, tag)
