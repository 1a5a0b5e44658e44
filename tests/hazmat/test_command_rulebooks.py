"""`manage.py rulebooks`: the shelf, one book, one entry, the proof."""

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.conftest import ROOT

Run = Callable[..., subprocess.CompletedProcess[str]]
BOOKS = tuple(sorted(file.stem for file in (ROOT / "hazmat" / "rulebooks").glob("*.toml") if file.stem != "fluids"))
DAYS = ("0001-01-01", "1939-09-01", "1978-01-01", "1979-07-02", "1998-08-28", "2004-06-30", "2026-11-25", "9999-12-31")


@pytest.fixture
def rulebooks(python: Run, home: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Run]:
    """Run `rulebooks` with these words; at the end nothing was written at home."""
    monkeypatch.delenv("PYTHONUNBUFFERED", raising=False)

    def run(*words: str) -> subprocess.CompletedProcess[str]:
        done = python("manage.py", "rulebooks", *words)
        assert "Traceback" not in done.stderr, done.stderr
        return done

    yield run
    assert not home.exists()


def one_line(done: subprocess.CompletedProcess[str], *says: str) -> None:
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr[:-1].isprintable(), done.stderr
    for words in says:
        assert words in done.stderr


def test_the_shelf_is_listed(rulebooks: Run) -> None:
    done = rulebooks()
    assert (done.returncode, done.stderr) == (0, "")
    for name in BOOKS:
        assert any(line.startswith(f"{name} ") and "edition" in line for line in done.stdout.splitlines())
    (treaty,) = [line for line in done.stdout.splitlines() if line.startswith("treaty ")]
    assert treaty.endswith("no country, only where asked for by name")


@pytest.mark.parametrize(("name", "day"), [*(("us", day) for day in DAYS), ("nz", DAYS[1]), ("handling", DAYS[1])])
def test_a_book_is_shown_as_at_any_day(rulebooks: Run, name: str, day: str) -> None:
    done = rulebooks(name, "--on", day)
    assert (done.returncode, done.stderr) == (0, "")
    assert "Figures" in done.stdout


def test_a_book_shows_each_figure_with_its_document_and_how_we_know_it(rulebooks: Run) -> None:
    """40 CFR 761.2(a)(1): less than 1.36 kg (3 pounds) of fluid; 2 July 1979 is the cut-off of 761.2(a)."""
    done = rulebooks("us", "--on", "2026-11-25")
    assert "1.36 kg" in done.stdout
    assert "2 Jul 1979" in done.stdout
    assert "40 CFR 761.2" in done.stdout
    assert "; read in the source]" in " ".join(done.stdout.split())


def test_one_entry_is_shown_with_its_address(rulebooks: Run) -> None:
    done = rulebooks("us", "cutoff")
    assert (done.returncode, done.stderr) == (0, "")
    assert "2 Jul 1979" in done.stdout
    assert "https://" in done.stdout


@pytest.mark.parametrize(
    ("name", "entry"),
    [("us", "small transformer"), ("us", "large, voltage unknown"), ("us", "from_500"), ("handling", "usual_density")],
)
def test_an_entry_is_a_figure_a_row_or_a_class(rulebooks: Run, name: str, entry: str) -> None:
    done = rulebooks(name, entry)
    assert (done.returncode, done.stderr) == (0, "")
    assert entry in done.stdout


def test_on_a_day_before_the_law_no_value_is_in_force(rulebooks: Run) -> None:
    done = rulebooks("us", "cutoff", "--on", "1939-09-01")
    assert done.returncode == 0
    assert "no value in force on this day" in done.stdout


@pytest.mark.parametrize(
    ("law", "entry", "words"),
    [
        ("us", "dispose_within", "within 1 year of that day"),
        ("us", "maker_mark_not_valid", "built from 1 Jul 1978"),
        ("us", "below_50", "below 50"),
        ("handling", "prove_dead", "left it shorted"),
        ("handling", "sinks", "The liquid of … sinks in water"),
    ],
)
def test_a_duty_an_act_and_a_sentence_are_shown_by_their_name(rulebooks: Run, law: str, entry: str, words: str) -> None:
    done = rulebooks(law, entry)
    assert (done.returncode, done.stderr) == (0, "")
    assert words in " ".join(done.stdout.split())
    assert "{" not in done.stdout


def test_unknown_names_are_refused_with_the_known_ones(rulebooks: Run) -> None:
    for word in ("xx", "fluids", "US", ""):
        one_line(rulebooks(word), f"“{word}” is not a rulebook", *BOOKS)
    one_line(rulebooks("us", "cut off"), "“cut off”", "its nearest are", "cutoff")
    one_line(rulebooks("us", "a\nb"), "is no entry of us")


@pytest.mark.parametrize("words", [["--on", "nonsense"], ["us", "cutoff", "more"], ["--nonsense"], ["--on"]])
def test_a_wrong_word_is_one_line(rulebooks: Run, words: list[str]) -> None:
    one_line(rulebooks(*words), "--help")


@pytest.mark.parametrize("name", ["", *BOOKS])
def test_the_books_are_proved(rulebooks: Run, name: str) -> None:
    done = rulebooks(*[name] * bool(name), "--check")
    assert (done.returncode, done.stderr) == (0, "")
    for book in [name] if name else BOOKS:
        assert f"{book}: proved" in done.stdout
        assert f"{book}: " in done.stdout.split("proved", 1)[1]
    assert "cases answered as they should be" in done.stdout


@pytest.mark.parametrize("words", [[], ["us"], ["us", "cutoff"], ["--check"], ["us", "no such entry"]])
def test_a_closed_pipe_is_no_traceback(home: Path, monkeypatch: pytest.MonkeyPatch, words: list[str]) -> None:
    monkeypatch.delenv("PYTHONUNBUFFERED", raising=False)
    reading, writing = os.pipe()
    os.close(reading)
    try:
        command = [sys.executable, "-W", "error", "manage.py", "rulebooks", *words]
        done = subprocess.run(command, cwd=ROOT, stdout=writing, stderr=subprocess.PIPE, text=True, check=False)
    finally:
        os.close(writing)
    assert "Traceback" not in done.stderr
    assert "BrokenPipe" not in done.stderr
    assert not home.exists()
