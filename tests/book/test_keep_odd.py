"""Backups of damaged books, forged and flipped backups, and the way across to the other database."""

import json
import os
import random
import subprocess
import zipfile
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from django.db import DataError, connection, transaction

from hazmat.book import files, guards
from hazmat.book.entry import Entry
from hazmat.book.keep import CannotRestore, backup, restore
from hazmat.book.prove import prove
from hazmat.models import Edition, Seal, Yard
from tests.book.test_keep import LOOKS, YARDS, changes_nothing, emptied, listed, more, rows
from tests.book.test_prove_odd import NO_YARD
from tests.book.whole import whole_book
from tests.cast import Cast
from tests.conftest import DEEP

pytestmark = [pytest.mark.both, pytest.mark.django_db]

PEOPLE = "rows/hazmat.person.jsonl"


@pytest.fixture
def whole() -> Cast:
    """The whole book."""
    return whole_book()


# ------------------------------------------------------------------ books and files that are not as they should be


def test_a_lost_or_changed_file_does_not_keep_the_rest_from_being_kept(whole: Cast, tmp_path: Path) -> None:
    gone, changed, *_ = sorted(files.kept())
    data = files.path_of(changed).read_bytes()
    files.path_of(gone).unlink()
    files.path_of(changed).write_bytes(b"?" + data[1:])
    taken = backup(tmp_path / "book.oilward")
    assert set(taken.lost) == {gone, changed}
    emptied()
    back, proof = restore(tmp_path / "book.oilward")
    assert back.files == taken.files
    assert {says.split("(")[1] for says in proof.faults} == {f"{gone}) is gone", f"{changed}) is gone"}


@pytest.mark.parametrize("body", ["", "null", "[1]", '{"files":7}', "cut"])
def test_a_changed_entry_does_not_keep_the_rest_from_being_kept(body: str, whole: Cast, tmp_path: Path) -> None:
    entry = Entry.objects.get(verb="seal_paper")
    with transaction.atomic():
        guards.remove(connection)
        Entry.objects.filter(pk=entry.pk).update(body=entry.body[:-1] if body == "cut" else body)
        guards.install(connection)
    taken = backup(tmp_path / "book.oilward")
    assert taken.lost == ()
    names = zipfile.ZipFile(tmp_path / "book.oilward").namelist()
    assert (f"files/{Seal.objects.get().sha256}" in names) == (body == "cut")


def test_a_damaged_file_is_mended_from_a_backup(whole: Cast, tmp_path: Path) -> None:
    backup(tmp_path / "book.oilward")
    digest = Seal.objects.get().sha256
    data = files.path_of(digest).read_bytes()
    files.path_of(digest).write_bytes(b"?" + data[1:])
    restore(tmp_path / "book.oilward")
    assert files.path_of(digest).read_bytes() == data


def test_a_backup_is_for_its_owner_alone(whole: Cast, tmp_path: Path) -> None:
    backup(tmp_path / "book.oilward")
    assert (tmp_path / "book.oilward").stat().st_mode & 0o777 == 0o600
    assert [one.name for one in tmp_path.iterdir()] == ["book.oilward"]


@pytest.mark.parametrize("links", [True, False])
def test_somebody_elses_file_is_never_written_over(
    links: bool, whole: Cast, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It came there while the backup was being written; on some disks a file can have one name only."""
    target, real = tmp_path / "book.oilward", os.link

    def link(source: Any, name: Any) -> None:
        target.write_text("mine")
        if not links:
            raise PermissionError(1, "Operation not permitted")
        real(source, name)

    monkeypatch.setattr(os, "link", link)
    with pytest.raises(FileExistsError):
        backup(target)
    assert [one.name for one in tmp_path.iterdir()] == ["book.oilward"]
    assert target.read_text() == "mine"


def test_a_disk_without_second_names_will_do(whole: Cast, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def link(*_: Any) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", link)
    assert backup(tmp_path / "book.oilward").rows
    assert restore(tmp_path / "book.oilward")[1].faults == []


def test_what_does_not_read_back_gets_no_name(whole: Cast, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from hazmat.book import keep

    def badly(out: zipfile.ZipFile, digest: str) -> bool:
        out.writestr(f"files/{digest}", b"something else")
        return True

    monkeypatch.setattr(keep, "_write_file", badly)
    with pytest.raises(CannotRestore, match="was changed"):
        backup(tmp_path / "book.oilward")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.sqlite
def test_a_row_that_is_none_is_named_and_no_backup_is_left(whole: Cast, tmp_path: Path) -> None:
    """SQLite holds any text in any column; such a row cannot be written down as what it should be."""
    with connection.cursor() as cursor:
        cursor.execute(NO_YARD)
    with pytest.raises(DataError, match=r"^hazmat\.yard holds a row that is none, "):
        backup(tmp_path / "kept.oilward")
    assert list(tmp_path.iterdir()) == []


def test_editions_that_are_here_only_stay(whole: Cast, tmp_path: Path) -> None:
    backup(tmp_path / "book.oilward")
    Edition.objects.create(rulebook="us", edition="2027-01-01", digest=sha256(b"{}").hexdigest(), content="{}")
    before = set(Edition.objects.values_list("digest", flat=True))
    restore(tmp_path / "book.oilward")
    assert set(Edition.objects.values_list("digest", flat=True)) == before


def test_who_writes_between_look_and_lock_is_not_lost(
    live_cast: Cast, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The book here becomes newer than the backup after it was first looked at."""
    from hazmat.book import keep

    backup(tmp_path / "book.oilward")
    real = keep._bring_files

    def slowly(kept: zipfile.ZipFile) -> None:
        more(live_cast)
        real(kept)

    monkeypatch.setattr(keep, "_bring_files", slowly)
    before = Entry.objects.count()
    with pytest.raises(CannotRestore, match="the book here is newer"):
        restore(tmp_path / "book.oilward")
    assert Entry.objects.count() == before + 1
    assert prove().faults == []


def test_an_entry_that_its_head_forgot_counts(whole: Cast, tmp_path: Path) -> None:
    """A head that was set back does not make a newer book look old."""
    backup(tmp_path / "old.oilward")
    yard = Yard.objects.get(code=whole.yard)
    more(whole)
    Yard.objects.filter(pk=yard.pk).update(seq=yard.seq, head=yard.head)
    with pytest.raises(CannotRestore, match="the book here is newer"):
        restore(tmp_path / "old.oilward")


def relisted(members: dict[str, bytes], name: str, data: bytes) -> None:
    """Change a member, and the list with it."""
    members[name] = data
    told = json.loads(members["manifest.json"])
    told["members"][name] = {"sha256": sha256(data).hexdigest()}
    members["manifest.json"] = json.dumps(told).encode()


def without_last_entry(members: dict[str, bytes]) -> None:
    lines = members["rows/hazmat.entry.jsonl"].splitlines(keepends=True)
    relisted(members, "rows/hazmat.entry.jsonl", b"".join(lines[:-1]))


FORGED: dict[str, tuple[Callable[[dict[str, bytes]], Any], str]] = {
    "a line that is no row": (lambda m: relisted(m, LOOKS, b"[]\n"), "a line that is no row"),
    "a line that is no JSON": (lambda m: relisted(m, LOOKS, b"{\n"), "a line that is no row"),
    "a key that is none": (lambda m: relisted(m, LOOKS, b'{"id":5}\n'), "cannot be taken up"),
    "a row of nothing": (lambda m: relisted(m, LOOKS, b"{}\n"), "cannot be taken up"),
    "a number without end": (
        lambda m: relisted(m, YARDS, m[YARDS].replace(b'"seq":', b'"seq":99999999999999999999')),
        "cannot be taken up",
    ),
    "a line without end": (lambda m: relisted(m, LOOKS, b"[" * 300_000 + b"\n"), "a line that is no row"),
    "a strange column": (lambda m: relisted(m, LOOKS, b'{"colour":"x"}\n'), "a column 'colour' that this version"),
    "a strange table": (lambda m: relisted(m, "rows/hazmat.barge.jsonl", b""), "a table that this version does not"),
    "a yes that is none": (
        lambda m: relisted(m, PEOPLE, m[PEOPLE].replace(b'"is_active":true', b'"is_active":"perhaps"')),
        "cannot be taken up",
    ),
    "nobody in it": (lambda m: relisted(m, PEOPLE, b""), "cannot be taken up"),
    "an entry too few": (without_last_entry, "another way|against itself|cannot be taken up"),
    "a list too deep": (lambda m: m.update({"manifest.json": b"[" * 300_000}), "no list"),
    "heads that are none": (lambda m: listed(m, yards=[{"code": "x", "seq": "y", "head": "z"}]), "no list"),
    "members that are none": (lambda m: listed(m, members={"x": None}), "no list"),
}  # fmt: skip


@pytest.mark.parametrize("name", FORGED)
def test_a_forged_backup_changes_nothing(name: str, whole: Cast, tmp_path: Path) -> None:
    changes_nothing(*FORGED[name], tmp_path)
    assert guards.missing(connection) == []


@pytest.mark.parametrize("seed", range(300 if DEEP else 20))
def test_a_flipped_byte_of_a_backup_is_found_or_does_no_harm(seed: int, whole: Cast, tmp_path: Path) -> None:
    """Wherever it lies: refused in one line, or every byte that counts is still what it was."""
    backup(tmp_path / "good.oilward")
    data, dice = bytearray((tmp_path / "good.oilward").read_bytes()), random.Random(seed)
    place = dice.randrange(len(data) - 2_000, len(data)) if seed % 2 else dice.randrange(len(data))
    data[place] ^= 1 << dice.randrange(8)
    (tmp_path / "bad.oilward").write_bytes(data)
    before, says, faults = rows(), "", []
    try:
        faults = restore(tmp_path / "bad.oilward")[1].faults
    except CannotRestore as refused:
        says = str(refused)
    assert "\n" not in says
    assert faults == []
    assert rows() == before


# ------------------------------------------------------------------ across


@pytest.mark.postgres
def test_it_goes_across_to_the_other_database_and_back(
    whole: Cast, tmp_path: Path, python: Callable[..., subprocess.CompletedProcess[str]]
) -> None:
    """From PostgreSQL into SQLite, out again, and back: not one byte of one row is another."""
    before = rows()
    backup(tmp_path / "first.oilward")
    for words in (("restore", "first.oilward"), ("prove",), ("backup", "second.oilward")):
        told = [str(tmp_path / word) if word.endswith(".oilward") else word for word in words]
        done = python("manage.py", *told)
        assert (done.returncode, done.stderr) == (0, ""), done.stdout
    first, second = (zipfile.ZipFile(tmp_path / f"{name}.oilward") for name in ("first", "second"))
    assert set(first.namelist()) == set(second.namelist())
    for name in first.namelist():
        if name != "manifest.json":
            assert sorted(first.read(name).splitlines()) == sorted(second.read(name).splitlines()), name
    heads = [json.loads(one.read("manifest.json"))["yards"] for one in (first, second)]
    assert heads[0] == heads[1]
    emptied()
    _, proof = restore(tmp_path / "second.oilward")
    assert proof.faults == []
    assert rows() == before
