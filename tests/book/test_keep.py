"""The whole book in one file and back: on either database, over an older book, never over a newer one."""

import json
import shutil
import zipfile
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.db import connection, transaction

from hazmat.actions.units import log_unit
from hazmat.book import files, guards
from hazmat.book.aside import Aside
from hazmat.book.entry import Entry
from hazmat.book.keep import CannotRestore, backup, kept_models, restore
from hazmat.book.parcel import LONGEST, made_again
from hazmat.book.prove import prove
from hazmat.models import Door, Erasure, Person, Yard
from tests.book.whole import whole_book
from tests.cast import Cast, look_in, order

pytestmark = [pytest.mark.both, pytest.mark.django_db]
STANDINGS = [model for model in made_again() if model.__name__.endswith("Standing")]


@pytest.fixture
def whole() -> Cast:
    """The whole book."""
    return whole_book()


def rows() -> dict[str, list[Any]]:
    """Every row of every table that a backup holds."""
    return {model._meta.label: list(model._default_manager.order_by("pk").values()) for model in kept_models()}


def standing_rows() -> dict[str, list[Any]]:
    """Every row of every kept standing."""
    found = {model._meta.label: list(model._default_manager.order_by("pk").values()) for model in STANDINGS}
    assert found["hazmat.UnitStanding"]
    assert found["disposal.DrumStanding"]
    return found


def named_files() -> dict[str, bytes]:
    """The bytes of every file that an entry names."""
    bodies = [json.loads(body) for body in Entry.objects.values_list("body", flat=True)]
    return {one["sha256"]: files.path_of(one["sha256"]).read_bytes() for body in bodies for one in body["files"]}


def emptied() -> None:
    """The database as it is before anything is written, and no file."""
    with transaction.atomic():
        guards.remove(connection)
        for model in [*made_again(), *kept_models()]:
            model._default_manager.all()._raw_delete(connection.alias)
        guards.install(connection)
    shutil.rmtree(files.folder(), ignore_errors=True)


def test_out_and_back_it_is_the_same(whole: Cast, tmp_path: Path) -> None:
    before, standings, kept = rows(), standing_rows(), named_files()
    assert len(kept) >= 3
    taken = backup(tmp_path / "book.oilward")
    assert taken.rows == sum(map(len, before.values()))
    emptied()
    assert Entry.objects.count() == 0
    back, proof = restore(tmp_path / "book.oilward")
    assert (back.rows, back.files) == (taken.rows, taken.files)
    assert proof.faults == []
    assert rows() == before
    assert standing_rows() == standings
    assert named_files() == kept
    assert guards.missing(connection) == []
    assert prove().faults == []


def test_what_was_erased_stays_erased(whole: Cast, tmp_path: Path) -> None:
    backup(tmp_path / "book.oilward")
    emptied()
    restore(tmp_path / "book.oilward")
    assert not Aside.objects.filter(record=Erasure.objects.get().of).exists()
    asides = zipfile.ZipFile(tmp_path / "book.oilward").read("rows/hazmat.aside.jsonl").decode()
    assert str(Erasure.objects.get().of) not in asides


def more(cast: Cast) -> None:
    assert cast.yard_id is not None
    log_unit(order(cast.yard_id, cast.people["boss"].pk), look=look_in(), place="NZ")


def test_an_older_book_is_brought_up(whole: Cast, tmp_path: Path) -> None:
    backup(tmp_path / "old.oilward")
    more(whole)
    wanted = rows()
    backup(tmp_path / "new.oilward")
    emptied()
    restore(tmp_path / "old.oilward")
    restore(tmp_path / "new.oilward")
    assert rows() == wanted


def test_a_newer_book_is_never_written_over(whole: Cast, tmp_path: Path) -> None:
    backup(tmp_path / "old.oilward")
    more(whole)
    before = rows()
    with pytest.raises(CannotRestore, match=r"the book here is newer: yard \w{6} stands at entry \d+, and at \d+"):
        restore(tmp_path / "old.oilward")
    assert rows() == before
    assert prove().faults == []


def test_a_book_that_went_another_way_is_never_written_over(whole: Cast, tmp_path: Path) -> None:
    """Two books that began alike and each went on: neither is contained in the other."""
    backup(tmp_path / "begun.oilward")
    more(whole)
    more(whole)
    backup(tmp_path / "theirs.oilward")
    emptied()
    restore(tmp_path / "begun.oilward")
    more(whole)
    with pytest.raises(CannotRestore, match="went another way"):
        restore(tmp_path / "theirs.oilward")


def test_a_strange_yard_is_never_written_over(whole: Cast, tmp_path: Path) -> None:
    backup(tmp_path / "book.oilward")
    Yard.objects.create(code="222222")
    with pytest.raises(CannotRestore, match="a yard 222222 that the backup does not know"):
        restore(tmp_path / "book.oilward")


def test_a_backup_is_not_written_over(whole: Cast, tmp_path: Path) -> None:
    (tmp_path / "book.oilward").write_text("mine")
    with pytest.raises(FileExistsError):
        backup(tmp_path / "book.oilward")
    assert (tmp_path / "book.oilward").read_text() == "mine"


def test_it_opens_no_door(whole: Cast, tmp_path: Path) -> None:
    Door.objects.create(person=Person.objects.earliest("joined_at"), digest="d" * 64, closes_at="2030-01-01T00:00:00Z")
    backup(tmp_path / "book.oilward")
    assert not [name for name in zipfile.ZipFile(tmp_path / "book.oilward").namelist() if "door" in name]


# ------------------------------------------------------------------ files that are not taken up


def rewritten(source: Path, target: Path, change: Callable[[dict[str, bytes]], None]) -> Path:
    """A copy of a backup with its members changed."""
    with zipfile.ZipFile(source) as kept:
        members = {name: kept.read(name) for name in kept.namelist()}
    change(members)
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as out:
        for name, data in members.items():
            out.writestr(name, data)
    return target


def listed(kept: dict[str, bytes], **more: Any) -> None:
    told = json.loads(kept["manifest.json"])
    kept["manifest.json"] = json.dumps({**told, **more}).encode()


def first(members: dict[str, bytes], part: str) -> str:
    return next(name for name in members if name.startswith(part))


LOOKS, YARDS = "rows/hazmat.look.jsonl", "rows/hazmat.yard.jsonl"


def changes_nothing(change: Callable[[dict[str, bytes]], Any], says: str, tmp_path: Path) -> None:
    """A backup that somebody changed is refused in one line, and the book stays as it is."""
    backup(tmp_path / "good.oilward")
    bad = rewritten(tmp_path / "good.oilward", tmp_path / "bad.oilward", change)
    before = rows()
    with pytest.raises(CannotRestore, match=says) as refused:
        restore(bad)
    assert "\n" not in str(refused.value)
    assert rows() == before


CHANGES: dict[str, tuple[Callable[[dict[str, bytes]], Any], str]] = {
    "a changed row": (
        lambda m: m.update({"rows/hazmat.look.jsonl": m["rows/hazmat.look.jsonl"][:-2] + b"\n"}),
        "changed",
    ),
    "a changed file": (lambda m: m.update({first(m, "files/"): b"other"}), "changed"),
    "a missing member": (lambda m: m.pop("rows/hazmat.unit.jsonl"), "missing"),
    "an added member": (lambda m: m.update({"files/" + "0" * 64: b"x"}), "added"),
    "a member that leaves": (lambda m: m.update({"../../etc/x": b"x"}), "member that no backup has"),
    "another format": (lambda m: listed(m, format=2), "format 2"),
    "no list": (lambda m: m.pop("manifest.json"), "no list|is no backup"),
    "a list that is none": (lambda m: m.update({"manifest.json": b"[]"}), "no list"),
    "a bomb": (lambda m: m.update({first(m, "files/"): b"\0" * (LONGEST + 1)}), "packed tighter"),
}


@pytest.mark.parametrize("name", CHANGES)
def test_a_damaged_backup_changes_nothing(name: str, whole: Cast, tmp_path: Path) -> None:
    changes_nothing(*CHANGES[name], tmp_path)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.99])
def test_a_backup_that_is_cut_off_changes_nothing(share: float, whole: Cast, tmp_path: Path) -> None:
    backup(tmp_path / "good.oilward")
    data = (tmp_path / "good.oilward").read_bytes()
    (tmp_path / "cut.oilward").write_bytes(data[: int(len(data) * share)])
    with pytest.raises(CannotRestore, match="no backup, or it is damaged"):
        restore(tmp_path / "cut.oilward")


def test_a_backup_that_was_changed_with_its_list_is_found_out(whole: Cast, tmp_path: Path) -> None:
    """Somebody changes a row and the list too: over a book that is here it is refused, into an empty one it is told."""

    def change(members: dict[str, bytes]) -> None:
        name = "rows/hazmat.particulars.jsonl"
        members[name] = members[name].replace(b"Test Yard", b"Best Yard")
        told = json.loads(members["manifest.json"])
        told["members"][name]["sha256"] = sha256(members[name]).hexdigest()
        members["manifest.json"] = json.dumps(told).encode()

    backup(tmp_path / "good.oilward")
    bad = rewritten(tmp_path / "good.oilward", tmp_path / "bad.oilward", change)
    before = rows()
    with pytest.raises(CannotRestore, match="does not hold against itself"), transaction.atomic():
        restore(bad)
    assert rows() == before
    emptied()
    _, proof = restore(bad)
    assert any("hazmat.particulars" in says and "differs in name" in says for says in proof.faults)


def test_what_is_written_meanwhile_is_not_half_in_it(
    live_cast: Cast, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Somebody logs a unit while the tables are being read: the backup is as at the moment when it began."""
    import threading

    from django.db import connections

    from hazmat.book import keep

    def written() -> None:
        more(live_cast)
        connections.close_all()

    before, real, done = Entry.objects.count(), keep._write_rows, []

    def slowly(out: zipfile.ZipFile, model: Any) -> Any:
        if not done:
            done.append(True)
            other = threading.Thread(target=written)
            other.start()
            other.join()
        return real(out, model)

    monkeypatch.setattr(keep, "_write_rows", slowly)
    backup(tmp_path / "book.oilward")
    assert Entry.objects.count() == before + 1
    lines = zipfile.ZipFile(tmp_path / "book.oilward").read("rows/hazmat.entry.jsonl").splitlines()
    assert len(lines) == before


def test_keys_come_back_as_keys(whole: Cast, tmp_path: Path) -> None:
    backup(tmp_path / "book.oilward")
    line = json.loads(zipfile.ZipFile(tmp_path / "book.oilward").read("rows/hazmat.unit.jsonl").splitlines()[0])
    assert UUID(line["id"])
    assert line["yard_id"].count("-") == 4
