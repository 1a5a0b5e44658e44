"""A changed rulebook is loaded once, judged by from then on, kept for good, and comes back with a backup."""

import hashlib
import json
from datetime import date
from pathlib import Path

import pytest
from django.core.management import call_command

from hazmat import rulebooks
from hazmat.core.measures import day_words
from hazmat.management import editions
from hazmat.management.verb import Refusal
from hazmat.models import Edition
from hazmat.models.edition import keep, lay_out
from hazmat.rulebooks.load import restored
from hazmat.rulebooks.strict import RulebookError
from tests.hazmat.changed_law import LATER, NZ, SHIPPED, _book, a_file  # noqa: F401 - a fixture for all

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def test_a_newer_edition_stands_at_once_and_is_kept(tmp_path: Path) -> None:
    before, now = editions.take_in(a_file(tmp_path, LATER))
    assert before is not None
    assert (before.digest, now.edition) == (SHIPPED.digest, date(2027, 3, 1))
    assert rulebooks.rulebook("nz").digest == now.digest
    assert Edition.objects.get(digest=now.digest).content == now.canonical
    assert Edition.objects.filter(digest=SHIPPED.digest).exists()
    assert [book.edition for book in editions.held("nz")] == [SHIPPED.edition, date(2027, 3, 1)]


def test_an_edition_loaded_twice_is_said_and_nothing_is_loaded(tmp_path: Path) -> None:
    editions.take_in(a_file(tmp_path, LATER))
    count = Edition.objects.count()
    with pytest.raises(Refusal, match=r"this edition of nz \(1 Mar 2027.*is held already; nothing was loaded"):
        editions.take_in(a_file(tmp_path, LATER))
    with pytest.raises(Refusal, match="is held already"):
        editions.take_in(NZ)
    assert Edition.objects.count() == count


@pytest.mark.parametrize("day", ["2020-01-01", str(SHIPPED.edition)])
def test_an_edition_that_is_no_newer_is_said(tmp_path: Path, day: str) -> None:
    with pytest.raises(Refusal, match="a changed text needs a later day under edition"):
        editions.take_in(a_file(tmp_path, LATER.replace("2027-03-01", day)))
    assert rulebooks.rulebook("nz").digest == SHIPPED.digest


def test_a_broken_rulebook_changes_nothing(tmp_path: Path) -> None:
    with pytest.raises(RulebookError, match="nobody knows this key"):
        editions.take_in(a_file(tmp_path, LATER.replace("compare =", "compares =")))
    with pytest.raises(Refusal, match="is no file"):
        editions.take_in(tmp_path / "none.toml")
    assert rulebooks.rulebook("nz").digest == SHIPPED.digest
    assert not (tmp_path / "book" / "rulebooks").exists()


def test_an_edition_that_cannot_be_kept_is_not_held_afterwards(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A disk that is full while the text is laid out: nothing is held, and the same file can be loaded again."""

    def full(*paths: object) -> None:
        raise OSError("no space left")

    with monkeypatch.context() as patched:
        patched.setattr("os.replace", full)
        with pytest.raises(OSError, match="no space left"):
            editions.take_in(a_file(tmp_path, LATER))
    assert not Edition.objects.filter(edition=date(2027, 3, 1)).exists()
    assert editions.take_in(a_file(tmp_path, LATER))[1].edition == date(2027, 3, 1)


def an_old_text(**more: object) -> str:
    """An edition in a language of rulebooks that nobody reads any more."""
    told = {**json.loads(SHIPPED.canonical), "edition": "1999-05-01", "limits": {"pcb": "60"}, **more}
    digest = hashlib.sha256(json.dumps(told).encode()).hexdigest()
    Edition.objects.create(rulebook="nz", edition=date(1999, 5, 1), digest=digest, content=json.dumps(told))
    return digest


def test_an_edition_that_nobody_can_read_any_more_is_compared_and_hinders_no_other(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    an_old_text()
    with pytest.raises(RulebookError, match="nobody knows this key"):
        restored("nz", Edition.objects.get(edition=date(1999, 5, 1)).content)
    call_command("rulebooks", "nz", diff="1999-05-01")
    told = capsys.readouterr().out
    assert f"value: 1 May 1999 → {day_words(SHIPPED.edition)}" in told
    assert "Head: limits\n         value: pcb 60 → nothing" in told
    assert editions.take_in(a_file(tmp_path, LATER))[1].edition == date(2027, 3, 1)


def test_rows_without_names_are_compared_too(capsys: pytest.CaptureFixture[str]) -> None:
    an_old_text(table={"presumption": {"says": "x", "row": [{"then": "over_50"}]}, "empty": {}})
    call_command("rulebooks", "nz", diff="1999-05-01")
    assert "Row of presumption" in capsys.readouterr().out


def test_the_command_tells_what_a_new_edition_changes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    call_command("rulebooks", load=str(a_file(tmp_path, LATER)))
    out = capsys.readouterr().out
    assert "Figure: line" in out
    assert "value 40" in out
    assert "judge the units again" in out
    call_command("rulebooks", "nz", diff=str(SHIPPED.edition))
    assert "value 40" in capsys.readouterr().out
    call_command("rulebooks", "nz", diff="2027-03-01", other=SHIPPED.digest[:10])
    assert "value 50" in capsys.readouterr().out


def test_editions_are_named_by_day_content_or_file(tmp_path: Path) -> None:
    editions.take_in(a_file(tmp_path, LATER))
    assert editions.named("nz", "2027-03-01").edition == date(2027, 3, 1)
    assert editions.named("nz", SHIPPED.digest[:6]).digest == SHIPPED.digest
    assert editions.named("nz", str(NZ)).digest == SHIPPED.digest
    with pytest.raises(Refusal, match="is no edition of nz that is held; these are"):
        editions.named("nz", "1999-01-01")
    with pytest.raises(Refusal, match="is a text of nz, not of us"):
        editions.named("us", str(NZ))


def test_two_texts_of_one_day_are_told_apart_by_their_content() -> None:
    keep(restored("nz", SHIPPED.canonical.replace("Longest time in store", "Longest time in a store")))
    with pytest.raises(Refusal, match="could be any of these"):
        editions.named("nz", str(SHIPPED.edition))


def test_days_and_states_on_the_command_line(capsys: pytest.CaptureFixture[str]) -> None:
    call_command("rulebooks", "nz", since=date(2016, 12, 31), on=date(2017, 1, 1))
    assert "PCB Notice 2007 → POPs Notice 2004 as amended 2016" in capsys.readouterr().out
    call_command("rulebooks", "nz", since=date(2017, 1, 1), on=date(2017, 1, 2))
    assert "Nothing differs." in capsys.readouterr().out
    with pytest.raises(Refusal, match="is no state that nz tells apart; these are: none"):
        call_command("rulebooks", "nz", since=date(2017, 1, 1), state="NZ-AUK")
    with pytest.raises(Refusal, match="name the rulebook"):
        call_command("rulebooks", diff="2020-01-01")


def test_what_the_database_keeps_is_laid_out_where_it_is_newer(tmp_path: Path) -> None:
    """As after a backup was taken up on another machine, where nothing lies beside what ships."""
    newer = restored("nz", SHIPPED.canonical.replace(f'"edition":"{SHIPPED.edition}"', '"edition":"2028-01-01"'))
    older = restored("us", rulebooks.rulebook("us").canonical.replace('"edition":"2', '"edition":"1'))
    keep(newer), keep(older)
    assert lay_out(tmp_path / "book") == ["nz"]
    assert rulebooks.rulebook("nz").edition == date(2028, 1, 1)
    kept = json.loads((tmp_path / "book" / "rulebooks" / "nz.json").read_text("utf-8"))
    assert kept["edition"] == "2028-01-01"
    assert lay_out(tmp_path / "book") == []
