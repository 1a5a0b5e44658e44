"""The start-up checks: what they say, and that they can fail."""

import ctypes
from collections.abc import Callable, Iterator
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from django.core.checks import Error, Warning, run_checks
from django.db import connection, connections

from hazmat import rulebooks
from hazmat.conf import checks

WITHOUT_LIBRARIES = """
import ctypes, sys
def refuse(name, *args, **kwargs):
    raise OSError(f"{name}: cannot open shared object file: No such file or directory")
ctypes.CDLL = refuse
sys.argv = ["manage.py", "check"]
import manage
sys.exit(manage.main())
"""
APT = "sudo apt-get install -y libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"


def test_without_pango_the_app_starts_and_says_what_to_install(
    python: Callable[..., CompletedProcess[str]],
) -> None:
    done = python("-c", WITHOUT_LIBRARIES)
    assert done.returncode == 0, done.stderr
    assert "hazmat.W001" in done.stderr
    assert APT in done.stderr


@pytest.mark.parametrize("missing", ["libpango-1.0.so.0", "libpangoft2-1.0.so.0", "libharfbuzz-subset.so.0"])
def test_each_library_that_is_missing_is_named(monkeypatch: pytest.MonkeyPatch, missing: str) -> None:
    def load(name: str) -> None:
        if name == missing:
            raise OSError(name)

    monkeypatch.setattr(ctypes, "CDLL", load)
    [warning] = run_checks(tags=["printing"])
    assert isinstance(warning, Warning)
    assert (warning.id, warning.hint) == ("hazmat.W001", f"Run: {APT}")
    assert warning.msg == f"No paper can be printed: {missing} cannot be loaded."


def test_with_every_library_nothing_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ctypes, "CDLL", lambda name: None)
    assert run_checks(tags=["printing"]) == []


def test_the_loader_is_really_asked() -> None:
    assert checks.loads("libc.so.6")
    assert not checks.loads("libno-such-library.so.0")


def test_with_every_library_a_paper_is_printed() -> None:
    """The names that are checked are the ones that WeasyPrint needs."""
    if messages := run_checks(tags=["printing"]):
        pytest.skip(f"{messages[0].msg} {messages[0].hint}")
    import weasyprint

    assert weasyprint.HTML(string="<p>oil</p>").write_pdf().startswith(b"%PDF-")


@pytest.fixture
def fresh_connection() -> Iterator[None]:
    """Give the connection back closed, so that the next test opens it with every setting on."""
    yield
    connection.close()


@pytest.mark.both
@pytest.mark.django_db
def test_the_database_as_opened_passes() -> None:
    assert [message for message in run_checks(databases=["default"]) if message.id == "hazmat.E001"] == []


@pytest.mark.sqlite
@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("fresh_connection")
@pytest.mark.parametrize(
    ("pragma", "value", "found"),
    [
        ("recursive_triggers", "OFF", "recursive_triggers=0, where 1"),
        ("synchronous", "NORMAL", "synchronous=1, where 2"),
        ("foreign_keys", "OFF", "foreign_keys=0, where 1"),
        ("journal_mode", "DELETE", "journal_mode=delete, where wal"),
    ],
)
def test_a_weakened_sqlite_connection_is_an_error(pragma: str, value: str, found: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA {pragma}={value}")
    [error] = [message for message in run_checks(databases=["default"]) if message.id == "hazmat.E001"]
    assert isinstance(error, Error)
    assert error.msg == f"The SQLite database 'default' answers {found} is needed."


@pytest.mark.sqlite
@pytest.mark.django_db
def test_a_deferred_begin_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connections["default"], "transaction_mode", None)
    [error] = [message for message in run_checks(databases=["default"]) if message.id == "hazmat.E001"]
    assert "transaction_mode=None, where IMMEDIATE" in error.msg


def test_a_key_that_cannot_last_is_warned_of(python: Callable[..., CompletedProcess[str]], tmp_path: Path) -> None:
    """A file where the home directory should be: nothing can be kept there, not even by root."""
    taken = tmp_path / "taken"
    taken.write_text("a file")
    done = python("-W", "ignore", "manage.py", "check", OILWARD_HOME=str(taken / "home"))
    assert "hazmat.W002" in done.stderr
    told = python("-W", "ignore", "manage.py", "check", OILWARD_HOME=str(taken / "home"), OILWARD_SECRET_KEY="k")
    assert "hazmat.W002" not in told.stderr


def test_a_loaded_rulebook_that_cannot_be_read_is_an_error(tmp_path: Path) -> None:
    """A file beside the book that somebody cut short: each command and page would end on it, so the start says so."""
    whole = rulebooks.rulebook("nz").canonical
    rulebooks.look_beside(tmp_path)
    try:
        (tmp_path / "nz.json").write_text(whole, "utf-8")
        assert checks.loaded_rulebooks() == []
        (tmp_path / "nz.json").write_text(whole[:-20], "utf-8")
        (said,) = checks.loaded_rulebooks()
        assert said.id == "hazmat.E003"
        assert str(tmp_path / "nz.json") in said.msg
        (tmp_path / "nz.json").write_bytes(b"\xff\xfe")
        assert [one.id for one in checks.loaded_rulebooks()] == ["hazmat.E003"]
    finally:
        rulebooks.look_beside(None)
