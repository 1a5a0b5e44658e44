"""The commands `prove`, `backup` and `restore` as a person runs them: what they say, where, and their exit status."""

import json
import sqlite3
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def book(python: Run, home: Path) -> Path:
    """A book with one yard, in a home of its own; its folder."""
    words = ("--name", "Test Yard", "--country", "nz", "--person", "Mere Example", "--zone", "Pacific/Auckland")
    assert python("manage.py", "begin", *words).returncode == 0
    return home / "book"


def changed(book: Path) -> None:
    """Somebody goes past the guards with a tool of the database."""
    with sqlite3.connect(book / "book.sqlite3") as plain:
        plain.execute('DROP TRIGGER "hazmat_particulars_kept"')
        plain.execute("UPDATE hazmat_particulars SET name = 'Best Yard'")
    plain.close()


def test_a_whole_book(book: Path, python: Run) -> None:
    done = python("manage.py", "prove")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines()[-1].endswith("were looked at; nothing changed.")


def test_a_changed_book(book: Path, python: Run) -> None:
    changed(book)
    done = python("manage.py", "prove")
    assert done.returncode == 1
    assert done.stderr == "2 things were found changed\n"
    assert "CHANGED  the table hazmat_particulars has lost its guard" in done.stdout
    assert "differs in name" in done.stdout
    told = python("manage.py", "prove", "--format", "jsonl")
    assert told.returncode == 1
    (line,) = told.stdout.splitlines()
    assert len(json.loads(line)["faults"]) == 2


def test_what_no_terminal_can_show_is_told(book: Path, python: Run) -> None:
    with sqlite3.connect(book / "book.sqlite3") as plain:
        plain.execute('DROP TRIGGER "hazmat_entry_kept"')
        plain.execute("UPDATE hazmat_entry SET verb = CAST(x'ff1b5b' AS TEXT)")
    plain.close()
    for format in ("table", "jsonl"):
        done = python("manage.py", "prove", "--format", format)
        assert (done.returncode, "Traceback" in done.stderr) == (1, False)
        assert "its column verb says" in done.stdout
        assert "\x1b" not in done.stdout
    kept = python("manage.py", "backup", str(book / "b"))
    assert kept.returncode == 1
    assert kept.stderr.startswith("the database itself cannot be read, so there is no backup: ")
    assert kept.stderr.count("\n") == 1


def test_a_noted_head(book: Path, python: Run, tmp_path: Path) -> None:
    lines = python("manage.py", "backup", str(tmp_path / "b")).stdout.splitlines()
    _, yard, _, seq, head = lines[-1].split()
    assert python("manage.py", "prove", "--head", f"{yard}:{seq}:{head}").returncode == 0
    for noted, says in (
        (f"{yard}:{seq}:{'0' * 64}", "is not the one that was noted elsewhere"),
        (f"{yard}:{int(seq) + 1}:{head}", "the end of the book is cut off"),
        (f"K7M4PK:{seq}:{head}", "yard K7M4PK was noted elsewhere and is not in this book"),
    ):
        done = python("manage.py", "prove", "--head", f"{yard}:{seq}:{head}", "--head", noted)
        assert (done.returncode, says in done.stdout) == (1, True), done.stdout
    bad = python("manage.py", "prove", "--head", "nonsense")
    assert bad.returncode == 2
    assert bad.stderr.count("\n") == 1


def test_no_book(python: Run, home: Path, tmp_path: Path) -> None:
    for words in (("prove",), ("backup", str(tmp_path / "b"))):
        done = python("manage.py", *words)
        assert done.returncode == 2
        assert done.stderr == "there is no book here yet; `manage.py begin` makes one\n"
    assert not (home / "book" / "book.sqlite3").exists()


def test_a_database_that_is_none(book: Path, python: Run) -> None:
    file = book / "book.sqlite3"
    data = bytearray(file.read_bytes())
    for place in range(4096, len(data)):
        data[place] = 0x5A
    file.write_bytes(data)
    done = python("manage.py", "prove")
    assert done.returncode in (1, 2)
    assert done.stderr.count("\n") == 1, done.stderr
    assert "Traceback" not in done.stderr


def test_out_and_into_an_empty_home(book: Path, python: Run, tmp_path: Path) -> None:
    file = tmp_path / "b.oilward"
    out = python("manage.py", "backup", str(file))
    assert (out.returncode, out.stderr) == (0, "")
    again = python("manage.py", "backup", str(file))
    assert again.returncode == 2
    assert "is there already and is not written over" in again.stderr
    knobs = {"OILWARD_HOME": str(tmp_path / "elsewhere")}
    back = python("manage.py", "restore", str(file), **knobs)
    assert (back.returncode, back.stderr) == (0, "")
    assert out.stdout.splitlines()[1:] == back.stdout.splitlines()[1:-1]
    assert python("manage.py", "prove", **knobs).returncode == 0
    door = python("manage.py", "begin", **knobs)
    assert "Sign in as Mere Example" in door.stdout


def test_a_bad_backup_makes_no_book(python: Run, tmp_path: Path) -> None:
    file, there = tmp_path / "b.oilward", tmp_path / "elsewhere"
    file.write_bytes(b"PK\x03\x04 and no more")
    done = python("manage.py", "restore", str(file), OILWARD_HOME=str(there))
    assert done.returncode == 2
    assert done.stderr.startswith("b.oilward is no backup, or it is damaged: ")
    assert done.stderr.count("\n") == 1
    assert not there.exists()
    none = python("manage.py", "restore", str(tmp_path / "none"), OILWARD_HOME=str(there))
    assert (none.returncode, none.stderr.count("\n")) == (2, 1)


def test_a_newer_book_is_not_written_over(book: Path, python: Run, tmp_path: Path) -> None:
    """Two books of their own: each has a yard that the other's backup does not know."""
    file, knobs = tmp_path / "b.oilward", {"OILWARD_HOME": str(tmp_path / "elsewhere")}
    python("manage.py", "backup", str(file))
    begun = python("manage.py", "begin", "--name", "Other", "--country", "nz", "--person", "Ana Example", **knobs)
    assert begun.returncode == 0, begun.stderr
    done = python("manage.py", "restore", str(file), **knobs)
    assert done.returncode == 2
    assert "that the backup does not know; nothing was changed" in done.stderr


def test_a_book_that_was_changed_before_is_taken_up_and_told(book: Path, python: Run, tmp_path: Path) -> None:
    changed(book)
    file, knobs = tmp_path / "b.oilward", {"OILWARD_HOME": str(tmp_path / "elsewhere")}
    assert python("manage.py", "backup", str(file)).returncode == 0
    done = python("manage.py", "restore", str(file), **knobs)
    assert done.returncode == 1
    assert "differs in name" in done.stdout


def test_a_lost_file_is_told(book: Path, python: Run, tmp_path: Path) -> None:
    """A picture that an entry names and that is gone; its entry is made by the demo."""
    told = {"OILWARD_HOME": str(tmp_path / "demo-home"), "OILWARD_BOOK": "demo"}
    made = python("manage.py", "demo", "--no-serve", **told)
    assert made.returncode == 0, made.stderr
    folder = tmp_path / "demo-home" / "demo" / "files"
    picture = sorted(folder.glob("??/*"))[0]
    picture.unlink()
    out = python("manage.py", "backup", str(tmp_path / "b"), **told)
    assert out.returncode == 1
    assert f"NOT IN IT  the file {picture.name} is gone or was changed" in out.stdout
    assert (tmp_path / "b").exists()
    proved = python("manage.py", "prove", **told)
    assert (proved.returncode, f"({picture.name}) is gone" in proved.stdout) == (1, True)


@pytest.mark.parametrize("command", ["prove", "backup", "restore"])
def test_help_says_what_a_person_must_know(command: str, python: Run) -> None:
    words = {"prove": "cut off", "backup": "names, telephones", "restore": "never written over"}[command]
    said = " ".join(python("manage.py", command, "--help").stdout.split())
    assert words in said
