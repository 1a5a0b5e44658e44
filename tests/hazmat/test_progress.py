"""How far a long read has come: shown on a terminal, over and over on one line, and taken away; nothing elsewhere."""

import io
import os
import pty
import subprocess
import sys
import time
from pathlib import Path
from types import SimpleNamespace

import pytest

from hazmat.management import progress
from hazmat.management.progress import EVERY, Counted
from tests.conftest import ROOT

DRUM = '{{"id":"A{}","kind":"drum"}}\n'


class Terminal(io.StringIO):
    """A text that says it is a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> Terminal:
    """Standard error is a terminal, standard output is not."""
    made = Terminal()
    monkeypatch.setattr(progress, "sys", SimpleNamespace(stderr=made, stdout=io.StringIO()))
    return made


def seen(clock: list[float], lines: int) -> Counted:
    counted = Counted([b"x\n"] * lines, iter(clock).__next__)
    assert len(list(counted)) == lines
    return counted


def test_lines_and_their_rate_are_shown(terminal: Terminal) -> None:
    seen([0, 0.5, 2, 2.5, 4], 4 * EVERY)
    assert terminal.getvalue() == "\r2,000 lines, 1,000 a second\r4,000 lines, 1,000 a second"


def test_what_is_done_soon_shows_nothing(terminal: Terminal) -> None:
    seen([0, 0.1, 0.2, 0.3], 3 * EVERY).clear()
    assert terminal.getvalue() == ""


def test_the_line_is_taken_away_once(terminal: Terminal) -> None:
    counted = seen([0, 2], EVERY)
    counted.clear()
    counted.clear()
    words = "1,000 lines, 500 a second"
    assert terminal.getvalue() == f"\r{words}\r{' ' * len(words)}\r"


@pytest.mark.parametrize(("err", "out"), [(io.StringIO, io.StringIO), (Terminal, Terminal), (io.StringIO, Terminal)])
def test_nothing_is_shown_elsewhere(err: type, out: type, monkeypatch: pytest.MonkeyPatch) -> None:
    streams = SimpleNamespace(stderr=err(), stdout=out())
    monkeypatch.setattr(progress, "sys", streams)
    seen([0, 5, 10], 2 * EVERY)
    assert streams.stderr.getvalue() == ""


def test_a_person_at_a_terminal_sees_it(home: Path) -> None:
    """The command itself, its standard error a terminal; a refusal on the way stands on a line of its own."""
    ours, theirs = pty.openpty()
    command = [sys.executable, "-W", "error", "manage.py", "assess", "-", "--rulebook", "nz", "--keep-going"]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.DEVNULL, "stderr": theirs}
    with subprocess.Popen(command, cwd=ROOT, **pipes) as run:  # type: ignore[call-overload]
        os.close(theirs)
        for part in range(3):
            lines = [DRUM.format(number) for number in range(part * EVERY, part * EVERY + EVERY)]
            run.stdin.write("".join(lines).encode())
            run.stdin.flush()
            time.sleep(1.5 * progress.SECONDS)
        run.stdin.write(b"nonsense\n")
        run.stdin.close()
        shown = b""
        try:
            while part := os.read(ours, 4096):
                shown += part
        except OSError:  # the other end was closed
            pass
        os.close(ours)
    lines = shown.decode().replace("\r\n", "\n").split("\n")
    assert "lines, " in lines[0]
    assert lines[0].rpartition("\r")[2].startswith("line 3001: it is not JSON")
    assert lines[1:] == ["1 line was refused", ""]
    assert run.returncode == 3
