"""Clocks of a yard: the page, the line on Next, the command, and what each of them reads."""

import csv
import io
import json
import re
from datetime import UTC, date, datetime
from html import unescape
from typing import Any
from uuid import uuid4

import msgspec
import pytest
import time_machine
from django.core.management import call_command
from django.urls import reverse

from disposal.core.drumnow import DrumNow, Source
from disposal.models import DrumStanding
from disposal.queries.due import due, next_lines, soon
from hazmat.actions.units import log_unit
from hazmat.core.codes import spaced
from hazmat.management.verb import Refusal
from hazmat.models import Unit, UnitStanding, Yard
from tests.browsing import at
from tests.cast import Cast, look_in, order

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 1, 0, tzinfo=UTC)  # 14:00 on the 25th in Auckland
TODAY = date(2026, 11, 25)
US = {"kind": "capacitor", "built": "1970", "found_in": "US-OR"}
"""A capacitor of 1970 is taken as 500 ppm or more: 40 CFR 761.2(a)(3)."""


@pytest.fixture(autouse=True)
def a_day() -> Any:
    with time_machine.travel(NOW, tick=False):
        yield


def logged(cast: Cast, decided: str | None = None, line: dict[str, Any] = US) -> str:
    """A unit in the yard of the cast; its tag."""
    assert cast.yard_id is not None
    told = {**line, **({"decided_waste": decided} if decided else {})}
    seen = log_unit(order(cast.yard_id, cast.people["boss"].pk), look=look_in(line=told), place="NZ")
    return str(Unit.objects.get(pk=seen.the("hazmat.unit")).tag)


def a_drum(cast: Cast, code: str, **more: Any) -> None:
    """The kept standing of a drum, as its fold would leave it."""
    told: dict[str, Any] = {
        "klass": "from_500", "care": "ge500", "rulebook": "us", "litres": "40", "date": "2026-01-05",
        "dated_by": "law", "place": "here", **more,
    }  # fmt: skip
    source = Source(unit="u", tag="K7M4PX", klass="from_500", care="ge500", known="untested", rulebook="us",
                    first_in="2026-03-01T00:00:00.000000Z",
                        drained_at="2026-03-01T00:00:00.000000Z", date=told["date"])  # fmt: skip
    now = DrumNow(
        drum=str(uuid4()), yard=str(cast.yard_id), code=code, kind="drum", capacity_l="208",
        made_at="2026-01-01T00:00:00.000000Z", seq="9", happened_at="2026-01-01T00:00:00.000000Z", sources=(source,),
        **told,
    )  # fmt: skip
    DrumStanding.objects.create(
        drum=now.drum, yard_id=cast.yard_id, logged=DrumStanding.objects.count(), code=code, kind="drum",
        klass=now.klass, care=now.care, known=now.known, place=now.place, body=msgspec.json.encode(now).decode(),
    )  # fmt: skip


# ------------------------------------------------------------------ what is read


def test_what_is_overdue_comes_first_and_what_lacks_its_day_stands_apart(cast: Cast) -> None:
    late, last, later = (logged(cast, one) for one in ("2025-11-24", "2025-11-25", "2026-10-01"))
    dayless = logged(cast)
    a_drum(cast, "D7D7D7", date="2025-12-01")
    a_drum(cast, "E8E8E8", place="gone")
    assert cast.yard_id is not None
    found = due(cast.yard_id, TODAY)
    assert [(one.thing, one.code, one.left) for one in found.clocks] == [
        ("unit", late, -1), ("unit", last, 0), ("drum", "D7D7D7", 6), ("unit", later, 310),
    ]  # fmt: skip
    assert {one.code for one in found.apart} == {dayless, cast.words["tag"]}
    assert not due(Yard.objects.get(code=cast.other_yard).pk, TODAY).clocks


@pytest.mark.parametrize(
    ("decided", "stands"),
    [("2025-12-24", True), ("2025-12-25", True), ("2025-12-26", False), ("2025-11-24", True), ("2026-11-25", False)],
)
def test_within_thirty_days_it_stands_on_next(decided: str, stands: bool, cast: Cast) -> None:
    """From 2026-11-25 it is 30 days to 2026-12-25."""
    tag = logged(cast, decided)
    page = unescape(cast.client("technician").get(at(cast, "next")).content.decode())
    lines = re.findall(r'<a href="([^"]+)"><span class="mark mark-(\w+)">\w+</span> <span>([^<]+)', page)
    mine = [one for one in lines if spaced(tag) in one[2] and one[1] in ("late", "due")]
    assert bool(mine) == stands
    if stands:
        where, mark, says = mine[0]
        assert where == at(cast, "clocks")
        assert (mark == "late") == ("overdue by 1 day" in says) == (decided == "2025-11-24")
        assert "by law" in says


def test_next_reads_only_units_with_a_day_and_misses_none(cast: Cast) -> None:
    for one in ("2025-11-24", "2025-12-20", "2026-06-01", None):
        logged(cast, one)
    a_drum(cast, "D7D7D7", date="2025-12-01")
    assert cast.yard_id is not None
    near = [one for one in due(cast.yard_id, TODAY).clocks if one.left <= 30]
    assert soon(cast.yard_id, TODAY) == near
    assert len(near) == len(next_lines(cast.yard_id, cast.yard, TODAY)) == 3


def test_a_unit_that_is_no_longer_held_has_no_clock(cast: Cast) -> None:
    tag = logged(cast, "2025-11-24")
    assert cast.yard_id is not None
    assert due(cast.yard_id, TODAY).clocks
    UnitStanding.objects.filter(tag=tag).update(held=False)
    assert not due(cast.yard_id, TODAY).clocks


# ------------------------------------------------------------------ the page


def test_the_page_tells_each_clock_in_words(cast: Cast) -> None:
    late, here = logged(cast, "2025-11-20"), logged(cast, "2026-03-02", {"kind": "transformer", "found_in": "NZ"})
    a_drum(cast, "D7D7D7", date="2026-04-01", dated_by="poured")
    page = unescape(cast.client("visitor").get(at(cast, "clocks")).content.decode())
    rows = re.findall(r'<tr role="row" id="(\w+)">(.*?)</tr>', page, re.DOTALL)
    assert [code for code, _ in rows] == [late, here, "D7D7D7"]
    first, second, third = (re.sub(r"<[^>]+>|\s+", " ", words) for _, words in rows)
    assert "Overdue by 5 days" in first
    assert "last day 20 Nov 2026" in first
    assert "Decided to be waste, 20 Nov 2025" in first
    assert "Law." in first
    assert "40 CFR 761.65(a)(1)" in first
    assert "House practice." in second
    assert "our judgement" in second
    assert "First pour, 1 Apr 2026" in third
    assert "The true day may be earlier" in third
    assert "Longest time in store: no figure was found" in page
    assert "No day is on record on which it was decided to be waste" in page
    assert at(cast, "unit", tag=cast.words["tag"]) in page
    assert 'class="value held">Overdue by 5 days' in page


def test_an_empty_book_says_none(cast: Cast) -> None:
    page = cast.client("outsider").get(reverse("clocks", kwargs={"yard": cast.other_yard})).content.decode()
    assert "None, as of 24 Nov 2026" in page or "None, as of 25 Nov 2026" in page
    assert "<table" not in page


def test_only_a_yard_that_keeps_drums_has_it_at_the_foot(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    from hazmat.models import Particulars

    client = cast.client("manager")
    assert at(cast, "clocks") not in client.get(at(cast, "next")).content.decode()
    facts = Particulars.facts
    monkeypatch.setattr(Particulars, "facts", lambda self, *told: {**facts(self, *told), "stores": True})
    assert at(cast, "clocks") in client.get(at(cast, "next")).content.decode()


def test_who_owes_something_reaches_it_from_the_unit(cast: Cast) -> None:
    owing = logged(cast, "2026-03-02")
    client = cast.client("technician")
    assert at(cast, "clocks") in client.get(at(cast, "unit", tag=owing)).content.decode()
    assert at(cast, "clocks") not in client.get(at(cast, "unit", tag=cast.words["tag"])).content.decode()


# ------------------------------------------------------------------ the command


def said(capfdbinary: pytest.CaptureFixture[bytes], *words: str) -> str:
    call_command("due", *words)
    return capfdbinary.readouterr().out.decode()


def test_the_command_says_what_was_done_and_the_totals(cast: Cast, capfdbinary: Any) -> None:
    late, here = logged(cast, "2025-11-20"), logged(cast, "2026-03-02", {"kind": "transformer", "found_in": "NZ"})
    lines = said(capfdbinary, "--on", "2026-11-25", "--yard", cast.yard).splitlines()
    assert lines[0] == "Clocks of 1 yard, as at 25 Nov 2026, soonest first."
    assert lines[2].split() == ["yard", "thing", "left", "last", "day", "whose", "rule"]
    assert lines[-1] == "2 clocks: 1 overdue, 0 within 30 days; 1 thing without a clock, for want of a day."
    told = "\n".join(lines)
    assert re.search(rf"{spaced(cast.yard)} +unit {spaced(late)} +overdue by 5 days +20 Nov 2026 +law +decided", told)
    assert re.search(rf"unit {spaced(here)} +97 days left +2 Mar 2027 +house practice", told)
    assert re.search(rf"unit {spaced(cast.words['tag'])} +no clock\n", told)
    assert told.index(spaced(late)) < told.index(spaced(here)) < told.index("no clock")
    every = said(capfdbinary, "--on", "2026-11-25")
    assert every.startswith("Clocks of 2 yards, ")


def test_a_line_of_the_command_is_json_with_every_key(cast: Cast, capfdbinary: Any) -> None:
    tag = logged(cast, "2024-02-29")
    first, second = map(json.loads, said(capfdbinary, "--on", "2025-03-01", "--format", "jsonl").splitlines())
    assert (first.pop("cite")[:19], first.pop("says")[:6]) == ("40 CFR 761.65(a)(1)", "Once i")
    assert first.pop("edition")
    assert first == {
        "yard": cast.yard, "thing": "unit", "code": tag, "name": "dispose_within", "counts_from": "decided_waste",
        "start": "2024-02-29", "due": "2025-02-28", "left": -1, "law": True, "rulebook": "us", "on": "2025-03-01",
        "basis": "read",
    }  # fmt: skip
    assert (second["code"], second["name"], second["due"]) == (cast.words["tag"], "clock_no_day", None)


def test_a_row_of_the_command_is_csv(cast: Cast, capfdbinary: Any) -> None:
    tag = logged(cast, "2024-02-29")
    rows = list(csv.DictReader(io.StringIO(said(capfdbinary, "--on", "2025-02-28", "--format", "csv"))))
    assert [(one["code"], one["due"], one["left"], one["law"]) for one in rows] == [
        (tag, "2025-02-28", "0", "law"), (cast.words["tag"], "", "", ""),
    ]  # fmt: skip


def test_today_is_the_day_of_each_yard(cast: Cast, capfdbinary: Any) -> None:
    """At 14:00 in Auckland it is the 25th there."""
    logged(cast, "2025-11-25")
    (row, _) = map(json.loads, said(capfdbinary, "--format", "jsonl", "--yard", cast.yard).splitlines())
    assert (row["on"], row["left"]) == ("2026-11-25", 0)


@pytest.mark.parametrize("code", ["", "nonsense", "K7M4PK9"])
def test_what_is_no_code_of_a_yard_is_refused(code: str, cast: Cast) -> None:
    with pytest.raises(Refusal) as refused:
        call_command("due", "--yard", code)
    assert refused.value.status == 2


def test_a_yard_that_is_not_there_is_refused(cast: Cast) -> None:
    with pytest.raises(Refusal, match="no yard of this book has the code") as refused:
        call_command("due", "--yard", cast.words["tag"])
    assert refused.value.status == 2


def test_bad_words_end_in_one_line(python: Any) -> None:
    for words in (["--on", "tomorrow"], ["--format", "xml"], ["--yard", "222222"], []):
        done = python("manage.py", "due", *words)
        assert done.returncode == 2
        assert done.stdout == ""
        assert len(done.stderr.splitlines()) == 1
        assert "Traceback" not in done.stderr
