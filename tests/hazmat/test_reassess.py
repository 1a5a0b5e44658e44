"""Units judged again: what changed is told and written beside the old answer; what was decided stays untouched."""

from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID

import pytest
from django.core.management import call_command

from hazmat.actions import rejudging
from hazmat.actions.reassess import reassess_units
from hazmat.actions.rejudging import rejudge
from hazmat.actions.results import enter_result
from hazmat.actions.units import log_unit
from hazmat.actions.verdicts import reading, sign_verdict
from hazmat.book.act import Refused
from hazmat.book.entry import Entry
from hazmat.core.unitnow import UnitNow
from hazmat.management import editions
from hazmat.management.verb import Refusal
from hazmat.models import Assessment, Particulars, Person, Yard
from hazmat.queries.units import UNITS
from tests.cast import LINE, look_in, order, person, reported
from tests.hazmat.changed_law import LATER, SHIPPED, _book, a_file  # noqa: F401 - a fixture for all

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def lower_the_line(tmp_path: Path) -> None:
    editions.take_in(a_file(tmp_path, LATER))


def a_unit(yard: Yard, boss: Person, value: str = "") -> UUID:
    """A unit; with a value, tested at it and released by signature."""
    unit = log_unit(order(yard.pk, boss.pk), look=look_in(), place="NZ").the("hazmat.unit")
    if value:
        result = enter_result(order(yard.pk, boss.pk), unit=unit, told=reported(value), place="NZ")
        told = {"decision": "release", "reason": "read", "evidence": [str(result.the("hazmat.result"))]}
        sign_verdict(order(yard.pk, boss.pk), unit=unit, **told, read=reading(now_of(unit)))
    return unit


def now_of(unit: UUID) -> UnitNow:
    found = UNITS.kept(unit)
    assert found
    return found


def named(yard: Yard) -> Particulars:
    return Particulars.objects.select_related("yard").get(yard=yard, replaced_by=None)


def run(yard: Yard, boss: Person, write: bool = True) -> list[rejudging.Rejudged]:
    return list(rejudge(named(yard), boss.pk, write, lambda seen: None))


def test_nothing_is_written_where_nothing_changed(yard: Yard, boss: Person) -> None:
    a_unit(yard, boss), a_unit(yard, boss, "45")
    entries = Entry.objects.count()
    assert run(yard, boss) == []
    assert Entry.objects.count() == entries


def test_a_lower_line_ends_a_release_and_keeps_what_was_signed(yard: Yard, boss: Person, tmp_path: Path) -> None:
    unit, other = a_unit(yard, boss, "45"), a_unit(yard, boss, "1.2")
    before = now_of(unit)
    assert (before.stands, before.answer["class"]) == ("released", "up_to_50")
    lower_the_line(tmp_path)
    found = {one.tag: one for one in run(yard, boss)}
    high, low = found[now_of(unit).tag], found[now_of(other).tag]
    assert ("class", "up_to_50", "over_50") in high.changes
    assert (high.decided, high.stands) == ("release", False)
    assert high.editions[0].startswith(str(SHIPPED.edition))
    assert high.editions[1].startswith("2027-03-01")
    assert (low.changed, low.decided, low.stands) == (False, "release", True)
    after = now_of(unit)
    assert (after.stands, after.answer["class"]) == ("hold", "over_50")
    assert after.verdicts == before.verdicts
    assert after.lapsed == before.decided
    answers = Assessment.objects.filter(unit=unit).order_by("entry__seq")
    assert answers.count() == 3
    assert answers[1].klass == "up_to_50"
    assert run(yard, boss) == []


def test_looking_writes_nothing(yard: Yard, boss: Person, tmp_path: Path) -> None:
    unit = a_unit(yard, boss, "45")
    lower_the_line(tmp_path)
    entries = Entry.objects.count()
    (one,) = run(yard, boss, write=False)
    assert ("class", "up_to_50", "over_50") in one.changes
    assert Entry.objects.count() == entries
    assert now_of(unit).stands == "released"


def test_stopped_anywhere_it_goes_on_where_it_was(
    yard: Yard, boss: Person, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    units = [a_unit(yard, boss, "45") for _ in range(3)]
    lower_the_line(tmp_path)
    monkeypatch.setattr(rejudging, "HANDFUL", 1)

    def stop(seen: int) -> None:
        if seen == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        list(rejudge(named(yard), boss.pk, True, stop))
    written = [unit for unit in units if now_of(unit).answer["class"] == "over_50"]
    assert len(written) == 2
    assert len(run(yard, boss)) == 1
    assert all(now_of(unit).answer["class"] == "over_50" for unit in units)


def test_an_answer_from_before_the_law_is_judged_by_the_law_of_today(yard: Yard, boss: Person) -> None:
    """The notice of 2007 came into force on 30 May 2007."""
    then = order(yard.pk, boss.pk, happened_at=datetime(2006, 1, 2, tzinfo=UTC))
    unit = log_unit(then, look=look_in(), place="NZ").the("hazmat.unit")
    assert now_of(unit).answer["good_until"] == "2007-05-29"
    run(yard, boss)
    assert now_of(unit).answer["good_until"] is None
    assert now_of(unit).answer["instrument"] == "POPs Notice 2004 as amended 2016"


def test_units_that_answer_the_same_are_refused_and_so_are_strangers(yard: Yard, boss: Person) -> None:
    unit = a_unit(yard, boss)
    with pytest.raises(Refused, match="None of these units is answered otherwise"):
        reassess_units(order(yard.pk, boss.pk), units=[unit], place="NZ")
    with pytest.raises(Refused, match="no such unit"):
        reassess_units(order(yard.pk, boss.pk), units=[yard.pk], place="NZ")


def test_the_command_tells_what_changed_why_and_what_was_decided(
    yard: Yard, boss: Person, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    a_unit(yard, boss, "45"), a_unit(yard, boss)
    lower_the_line(tmp_path)
    call_command("reassess", look=True)
    looked = capsys.readouterr().out
    assert "class up_to_50 → over_50" in looked
    assert "decided before: released" in looked
    assert "would be written anew" in looked
    call_command("reassess")
    out = capsys.readouterr().out
    assert "it no longer stands, and the unit is on hold again" in out
    assert "now: Lab says 45" in out
    assert "2 units looked at; 1 would be treated otherwise, 1 only read otherwise" in out
    call_command("reassess", format="jsonl")
    assert capsys.readouterr().out == ""


def test_who_asks_and_where_is_said(yard: Yard, boss: Person) -> None:
    with pytest.raises(Refusal, match="“nobody_here” may not do this"):
        call_command("reassess", by="nobody_here")
    with pytest.raises(Refusal, match="One character of this code is wrong"):
        call_command("reassess", yard="AAAAAA")
    with pytest.raises(Refusal, match="no yard has the code"):
        call_command("reassess", yard="K7M4PK")
    person("stranger")
    with pytest.raises(Refusal, match="“stranger” may not do this"):
        call_command("reassess", by="stranger")


def test_a_unit_of_no_rulebook_is_judged_too(yard: Yard, boss: Person) -> None:
    log_unit(order(yard.pk, boss.pk), look=look_in(line={**LINE, "found_in": "FJ"}), place="NZ")
    assert run(yard, boss) == []
