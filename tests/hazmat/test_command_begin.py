"""`begin`: a real book in one step, asked for twice, and with bad words."""

import re
import sqlite3
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

pytestmark = pytest.mark.sqlite

Python = Callable[..., subprocess.CompletedProcess[str]]
WORDS = ("manage.py", "begin", "--name", "Van Seven", "--country", "nz", "--person", "Mere Example")


def book(home: Path) -> sqlite3.Connection:
    return sqlite3.connect(home / "book" / "book.sqlite3")


def test_one_step_makes_a_book(home: Path, python: Python) -> None:
    done = python(*WORDS, "--zone", "Pacific/Auckland")
    assert done.returncode == 0, done.stderr
    assert "Opened Van Seven (NZ, Pacific/Auckland)" in done.stdout
    assert re.search(r"http://127\.0\.0\.1:8000/door/[\w-]{20,}/", done.stdout)
    with book(home) as kept:
        assert kept.execute("SELECT verb, seq FROM hazmat_entry").fetchall() == [("open_yard", 1)]
        roles = {role for (role,) in kept.execute("SELECT role FROM hazmat_member")}
        assert roles == {"technician", "yard_hand", "safety_officer", "manager"}
        assert kept.execute("SELECT handle, called FROM hazmat_person").fetchall() == [("mere", "Mere Example")]


def test_the_secret_of_the_link_is_not_kept(home: Path, python: Python) -> None:
    said = python(*WORDS).stdout
    secret = re.search(r"/door/([\w-]+)/", said)
    assert secret
    dump = "\n".join(book(home).iterdump())
    assert secret[1] not in dump


def test_asked_again_it_makes_no_second_book(home: Path, python: Python) -> None:
    first = python(*WORDS)
    again = python("manage.py", "begin")
    assert again.returncode == 0, again.stderr
    doors = [re.search(r"/door/([\w-]+)/", done.stdout) for done in (first, again)]
    assert doors[0]
    assert doors[1]
    assert doors[0][1] != doors[1][1]
    with book(home) as kept:
        assert kept.execute("SELECT count(*) FROM hazmat_yard").fetchone() == (1,)


def test_another_yard_is_not_made_over_a_book(home: Path, python: Python) -> None:
    python(*WORDS)
    done = python("manage.py", "begin", "--name", "Other", "--country", "us")
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "OILWARD_BOOK" in done.stderr


@pytest.mark.django_db
def test_a_book_that_cannot_be_opened_keeps_no_person(monkeypatch: pytest.MonkeyPatch) -> None:
    from hazmat.management import opening
    from hazmat.management.commands import begin
    from hazmat.models import Person

    def broken(*args: object, **words: object) -> None:
        assert Person.objects.exists()
        raise RuntimeError("the disk is full")

    monkeypatch.setattr(opening, "opened", broken)
    monkeypatch.setattr(opening, "make_tables", lambda: None)
    given = {"name": "Van", "country": "nz", "state": "", "person": "Ana", "phone": "", "zone": "Pacific/Auckland"}
    with pytest.raises(RuntimeError):
        begin._begun(given)
    assert not Person.objects.exists()


@pytest.mark.parametrize("word", ["--zone", "--phone"])
def test_nothing_that_was_typed_is_silently_dropped(word: str, home: Path, python: Python) -> None:
    python(*WORDS)
    done = python("manage.py", "begin", word, "Pacific/Auckland")
    assert done.returncode == 2
    assert done.stderr.startswith(f"a book is here already, so {word} is not taken")
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "nothing stood there for --name"),
        (("--name", "X"), "nothing stood there for --country"),
        (("--name", "X", "--country", "uk"), "is no country code"),
        (("--name", "X", "--country", "us", "--state", "Oregon!"), "is no part of US"),
        (("--name", "X", "--country", "gb", "--state", "LON"), "no such state is known"),
        (("--name", "X", "--country", "us", "--zone", "Mars/Base"), "is no time zone"),
        (("--name", "X", "--country", "us", "--zone", "../etc/passwd"), "is no time zone"),
        (("--name", "\x1b[2J", "--country", "us"), "--name holds a character that cannot be seen"),
        (("--name", "\udcff", "--country", "us"), "--name holds a character that cannot be seen"),
        (("--name", "X", "--country", "us", "--phone", "\udcff"), "--phone holds a character that cannot be seen"),
        (("--name", "X", "--country", "us", "--phone", "+1\x07"), "--phone holds a character that cannot be seen"),
        (("--name", "X", "--country", "us", "--person", "\u202eanA"), "--person holds a character that cannot be seen"),
        (("--name", "X" * 121, "--country", "us"), "--name is 121 characters long and 120 fit"),
        (("--name", "X", "--country", "us", "--person", "Y" * 121), "--person is 121 characters long and 120 fit"),
        (("--name", "X", "--country", "us", "--port", "65536"), "“65536” is no port; a number from 1 to 65535"),
        (("--name", "X", "--country", "us", "--port", "0"), "“0” is no port"),
        (("--name", "X", "--country", "us", "--port", "٨٠"), "is no port"),
    ],
)
def test_bad_words_make_nothing(words: tuple[str, ...], says: str, home: Path, python: Python) -> None:
    done = python("manage.py", "begin", *words)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert says in done.stderr
    assert not (home / "book" / "book.sqlite3").exists()


def test_a_long_first_name_still_makes_a_name_to_sign_in_by(home: Path, python: Python) -> None:
    done = python("manage.py", "begin", "--name", "X" * 120, "--country", "us", "--person", "y" * 120)
    assert done.returncode == 0, done.stderr
    with book(home) as kept:
        assert kept.execute("SELECT length(handle) FROM hazmat_person").fetchone()[0] <= 64


def test_somebody_who_cannot_be_spelt_is_no_crash(home: Path, python: Python) -> None:
    python(*WORDS)
    done = python("manage.py", "begin", "--person", "\udcff")
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "--person holds a character that cannot be seen" in done.stderr


@pytest.mark.parametrize("words", [("prove",), ("backup", "kept"), ("explain", "222222"), WORDS[1:]])
def test_a_file_that_is_no_database_is_not_called_no_book(words: tuple[str, ...], home: Path, python: Python) -> None:
    (home / "book").mkdir(parents=True)
    (home / "book" / "book.sqlite3").write_bytes(b"no database at all " * 100)
    done = python("manage.py", *words)
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert done.stderr.startswith("the database of this book cannot be used: ")


def test_a_home_that_is_a_file_is_named(home: Path, python: Python) -> None:
    home.write_text("")
    done = python(*WORDS)
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "OILWARD_HOME" in done.stderr


def test_a_state_may_be_short(home: Path, python: Python) -> None:
    done = python("manage.py", "begin", "--name", "X", "--country", "us", "--state", "or", "--zone", "America/Boise")
    assert "(US-OR, America/Boise)" in done.stdout, done.stderr
