"""`demo`: bad words make nothing. What it makes is looked at elsewhere."""

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

pytestmark = pytest.mark.sqlite

Python = Callable[..., subprocess.CompletedProcess[str]]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--person", "nobody"), "nobody in the demo is “nobody”; one of these may stand there: technician, yard_hand"),
        (("--port", "http"), "“http” is no port"),
        (("--units", "9"), "unrecognized arguments: --units 9"),
    ],
)
def test_bad_words_make_nothing(words: tuple[str, ...], says: str, home: Path, python: Python) -> None:
    done = python("manage.py", "demo", "--no-serve", *words)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1, done.stderr
    assert says in done.stderr
    assert not (home / "demo" / "book.sqlite3").exists()
