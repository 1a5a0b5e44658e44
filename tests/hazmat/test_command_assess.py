"""`manage.py assess` as a person runs it: what it prints, where, with which exit status; and what it leaves alone."""

import csv
import io
import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from hazmat.edge.abreast import ALONE
from tests.conftest import ROOT

GOOD = [f'{{"id":"A{n}","kind":"drum"}}\n' for n in range(5)]
BAD = '{"id":"B","kind":"drumm"}\n'
DEMO = ROOT / "fixtures" / "demo" / "register.jsonl"
STOOD = "kind: “drumm” stood there; one of transformer, regulator"

Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def assess(home: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Run]:
    """Run `assess` with these words and this standard input; at the end nothing was written at home."""
    monkeypatch.delenv("PYTHONUNBUFFERED", raising=False)

    def run(*words: str, given: str | bytes = "", **how: Any) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-W", "error", "manage.py", "assess", *words]
        fed = given.encode() if isinstance(given, str) else given
        streams = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "input": fed} | how
        done = subprocess.run(command, cwd=ROOT, check=False, **streams)
        out, err = (done.stdout or b"").decode(), (done.stderr or b"").decode()
        assert "Traceback" not in err, err
        assert "Exception ignored" not in err, err
        return subprocess.CompletedProcess(command, done.returncode, out, err)

    yield run
    assert not home.exists()


def one_line(done: subprocess.CompletedProcess[str], *says: str, status: int = 2) -> None:
    """Bad input: this exit status and one printable line on standard error."""
    assert done.returncode == status, done.stderr
    assert done.stderr.endswith("\n")
    assert done.stderr[:-1].isprintable(), done.stderr
    for words in says:
        assert words in done.stderr


def ids(out: str) -> list[str]:
    return [json.loads(line)["id"] for line in out.splitlines()]


# ---------------------------------------------------------------------- good lines and bad ones


def test_good_lines_are_answered(assess: Run, tmp_path: Path) -> None:
    (tmp_path / "register.jsonl").write_text("".join(GOOD))
    done = assess(str(tmp_path / "register.jsonl"), "--rulebook", "us")
    assert (done.returncode, done.stderr) == (0, "")
    assert ids(done.stdout) == ["A0", "A1", "A2", "A3", "A4"]


def test_standard_input_is_read(assess: Run) -> None:
    done = assess("-", "--rulebook", "nz", given="\ufeff" + GOOD[0] + "\n \n" + GOOD[1].rstrip())
    assert (done.returncode, ids(done.stdout)) == (0, ["A0", "A1"])


def test_an_empty_register_is_answered_with_nothing(assess: Run) -> None:
    done = assess("-", "--rulebook", "nz")
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


@pytest.mark.parametrize("form", ["jsonl", "csv", "table"])
def test_the_first_bad_line_stops_it_and_what_came_before_is_out(assess: Run, form: str) -> None:
    done = assess("-", "--rulebook", "us", "--format", form, given=GOOD[0] + GOOD[1] + BAD + GOOD[2] + BAD)
    one_line(done, f"line 3, {STOOD}")
    assert "A1" in done.stdout
    assert "A2" not in done.stdout


@pytest.mark.parametrize("form", ["jsonl", "csv", "table"])
def test_it_keeps_going_where_it_is_told_to(assess: Run, form: str) -> None:
    given = BAD + GOOD[0] + "nonsense\n" + GOOD[1] + GOOD[1] + GOOD[2]
    done = assess("-", "--rulebook", "us", "--keep-going", "--format", form, given=given)
    assert done.returncode == 3
    assert [line.partition(":")[0] for line in done.stderr.splitlines()[:3]] == ["line 1, kind", "line 3", "line 5, id"]
    assert "3 lines were refused" in done.stderr
    for name in ("A0", "A1", "A2"):
        assert done.stdout.count(name) == 1


def test_nothing_bad_and_keep_going_is_exit_0(assess: Run) -> None:
    done = assess("-", "--rulebook", "us", "--keep-going", given=GOOD[0])
    assert (done.returncode, done.stderr) == (0, "")


BAD_LINES = {
    "not JSON": (b"nonsense", "not JSON"),
    "an unknown key": (b'{"id":"A","kind":"drum","colour":1}', "colour"),
    "a repeated key": (b'{"id":"A","kind":"drum","kind":"drum"}', "twice"),
    "negative": (b'{"id":"A","kind":"drum","fluid_mass_kg":-1}', "-1"),
    "not a number": (b'{"id":"A","kind":"drum","fluid_mass_kg":NaN}', "NaN"),
    "year 3019": (b'{"id":"A","kind":"drum","built":3019}', "3019"),
    "reversed span": (b'{"id":"A","kind":"drum","built":"1985/1970"}', "1985/1970"),
    "value without unit": (b'{"id":"A","kind":"drum","tests":[{"how":"laboratory","value":4}]}', "tests[0].unit"),
    "empty id": (b'{"id":"","kind":"drum"}', "id"),
    "not UTF-8": (b'{"id":"\xe9","kind":"drum"}', "UTF-8"),
    "deep nesting": (b'{"id":' + b"[" * 100_000, "too deep"),
    "deep nesting, closed": (b'{"id":' + b"[" * 960 + b"]" * 960 + b"}", "id"),
    "a key with a line end": (b'{"id":"A","kind":"drum","a\\nline 9: all good":1}', "a?line 9"),
    "a list": (b"[]", "a list"),
    "a tiny number": (b'{"id":"A","kind":"drum","density_kg_l":1e-9999999}', "density_kg_l"),
}


@pytest.mark.parametrize(("line", "says"), BAD_LINES.values(), ids=BAD_LINES.keys())
def test_a_bad_line_is_one_sentence(assess: Run, line: bytes, says: str) -> None:
    done = assess("-", "--rulebook", "us", given=GOOD[0].encode() + line + b"\n" + GOOD[1].encode())
    one_line(done, "line 2", says)
    assert ids(done.stdout) == ["A0"]


# ---------------------------------------------------------------------- law and day


def test_a_country_without_a_rulebook_is_undetermined_and_exit_0(assess: Run) -> None:
    done = assess("-", given='{"id":"A","kind":"transformer","found_in":"CH"}')
    answer = json.loads(done.stdout)
    assert (done.returncode, answer["class"], answer["basis"]) == (0, "undetermined", "undetermined")
    assert "CH" in answer["because"][0]["says"]


@pytest.mark.parametrize("law", ["us", "ca", "nz", "gb", "eu", "treaty"])
def test_a_day_before_the_law_is_undetermined_and_exit_0(assess: Run, law: str) -> None:
    done = assess("-", "--rulebook", law, "--on", "1939-09-01", given=GOOD[0])
    answer = json.loads(done.stdout)
    assert (done.returncode, answer["class"], answer["on"]) == (0, "undetermined", "1939-09-01")
    assert "1 Sep 1939" in answer["because"][0]["says"]


def test_without_a_place_and_a_law_a_line_is_refused(assess: Run) -> None:
    one_line(assess("-", given=GOOD[0]), "line 1, found_in: nothing stood there", "--rulebook")
    done = assess("-", "--keep-going", given=GOOD[0] + '{"id":"B","kind":"drum","found_in":"NZ"}')
    assert (done.returncode, ids(done.stdout)) == (3, ["B"])


@pytest.mark.parametrize("law", ["xx", "handling", "fluids", "US", "../us"])
def test_an_unknown_rulebook_is_refused_with_the_known_names(assess: Run, law: str) -> None:
    one_line(assess("-", "--rulebook", law, given=GOOD[0]), f"“{law}”", "nz", "us")


# ---------------------------------------------------------------------- words on the command line

WRONG_WORDS = {
    "no file": ([], "name a file"),
    "an empty name": ([""], "name a file"),
    "a nonsense day": (["-", "--on", "nonsense"], "“nonsense” is not a day"),
    "a day that is none": (["-", "--on", "2026-02-30"], "“2026-02-30” is not a day"),
    "a month": (["-", "--on", "2026-02"], "“2026-02” is not a day"),
    "a day without hyphens": (["-", "--on", "20260201"], "“20260201” is not a day"),
    "a week": (["-", "--on", "2026-W01-1"], "“2026-W01-1” is not a day"),
    "no day": (["-", "--on"], "--on"),
    "an unknown format": (["-", "--format", "xml"], "xml"),
    "an unknown side": (["--schema", "sideways"], "sideways"),
    "an unknown option": (["-", "--nonsense"], "--nonsense"),
    "two files": (["-", "another"], "another"),
}


@pytest.mark.parametrize(("words", "says"), WRONG_WORDS.values(), ids=WRONG_WORDS.keys())
def test_a_wrong_word_is_one_line(assess: Run, words: list[str], says: str) -> None:
    done = assess(*words, given='{"id":"A","kind":"drum","found_in":"NZ"}')
    one_line(done, says)
    assert done.stdout == ""


def test_a_missing_file_is_one_line(assess: Run, tmp_path: Path) -> None:
    one_line(assess(str(tmp_path / "none.jsonl"), "--rulebook", "us"), "none.jsonl", "no such file")


def test_a_directory_is_one_line(assess: Run, tmp_path: Path) -> None:
    one_line(assess(str(tmp_path), "--rulebook", "us"), str(tmp_path), "directory")


def test_a_file_below_a_file_is_one_line(assess: Run) -> None:
    one_line(assess(str(DEMO / "below"), "--rulebook", "us"), "cannot be read")


def test_a_file_that_may_not_be_read_is_one_line(assess: Run, tmp_path: Path) -> None:
    """Root reads every file, so root opens one that cannot be opened by anybody: a loop of links."""
    path = tmp_path / "locked.jsonl"
    if os.geteuid():
        path.touch(mode=0)
    else:
        path.symlink_to(path)
    one_line(assess(str(path), "--rulebook", "us"), "locked.jsonl", "cannot be read")


def test_a_file_that_fails_while_it_is_read_is_one_line(assess: Run) -> None:
    """The memory of a process opens well, and its first page cannot be read."""
    one_line(assess("/proc/self/mem", "--rulebook", "us"), "/proc/self/mem")


def test_no_standard_input_is_one_line(assess: Run) -> None:
    done = assess("-", "--rulebook", "us", input=None, preexec_fn=lambda: os.close(0))
    one_line(done, "-")


# ---------------------------------------------------------------------- where the answers go


@pytest.fixture
def closed_pipe() -> Iterator[int]:
    """The writing end of a pipe that nobody reads any more."""
    reading, writing = os.pipe()
    os.close(reading)
    yield writing
    os.close(writing)


@pytest.mark.parametrize(
    ("words", "given"),
    [
        (["-", "--rulebook", "us"], GOOD[0]),
        (["-", "--rulebook", "us"], GOOD[0] + BAD),
        (["-", "--rulebook", "us"], BAD),
        (["-", "--rulebook", "us", "--keep-going"], BAD + GOOD[0]),
        (["-", "--rulebook", "us", "--keep-going"], GOOD[0] + BAD),
        (["-", "--rulebook", "us", "--keep-going", "--format", "csv"], BAD + GOOD[0]),
        (["-", "--rulebook", "us", "--format", "table"], GOOD[0]),
        ([str(DEMO)], ""),
        (["--schema", "out"], ""),
        (["--help"], ""),
    ],
)
def test_a_closed_pipe_is_no_traceback(assess: Run, closed_pipe: int, words: list[str], given: str) -> None:
    done = assess(*words, given=given, stdout=closed_pipe)
    assert "BrokenPipe" not in done.stderr


def test_the_first_line_alone_is_read(assess: Run) -> None:
    """As in `assess FILE | head -1`, with a register larger than any pipe holds."""
    many = "".join(f'{{"id":"A{n}","kind":"drum"}}\n' for n in range(2000))
    command = [sys.executable, "-W", "error", "manage.py", "assess", "-", "--rulebook", "us"]
    with subprocess.Popen(
        command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as running:
        assert running.stdin and running.stdout and running.stderr  # noqa: PT018 - all three are pipes
        running.stdin.write(many.encode())
        running.stdin.close()
        first = json.loads(running.stdout.readline())
        running.stdout.close()
        said = running.stderr.read().decode()
    assert first["id"] == "A0"
    assert said == ""


def test_a_full_disk_is_one_line(assess: Run) -> None:
    with open("/dev/full", "wb") as full:
        done = assess("-", "--rulebook", "us", given=GOOD[0], stdout=full)
    assert done.returncode not in (0, 3)
    assert done.stderr[:-1].isprintable(), done.stderr


def test_a_screen_that_lacks_letters_is_no_traceback(assess: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """A terminal set to Latin-1 has no arrow and no curved quotes."""
    monkeypatch.setenv("PYTHONIOENCODING", "latin-1")
    done = assess("-", "--rulebook", "us", "--format", "table", given=GOOD[0])
    assert done.returncode == 0


# ---------------------------------------------------------------------- formats and schemas


@pytest.mark.parametrize("side", ["in", "out"])
def test_the_schemas_are_printed(assess: Run, side: str) -> None:
    done = assess("--schema", side)
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(done.stdout)["type" if "type" in json.loads(done.stdout) else "$ref"]


def test_the_demo_register_is_answered_in_every_format(assess: Run) -> None:
    """Forty old units: as many answers, as many rows, as many units in the last line."""
    forms = {form: assess(str(DEMO), "--format", form) for form in ("jsonl", "csv", "table")}
    assert {done.returncode for done in forms.values()} == {0}
    names = ids(forms["jsonl"].stdout)
    assert len(names) == len(DEMO.read_text().splitlines()) == 40
    rows = list(csv.DictReader(io.StringIO(forms["csv"].stdout)))
    assert [row["id"] for row in rows] == names
    for row, line in zip(rows, forms["jsonl"].stdout.splitlines(), strict=True):
        answer = json.loads(line)
        assert row["because"] == answer["because"][0]["says"]
        assert row["next"] == answer["next"][0]["says"]
        assert (row["class"], row["care"], row["on"]) == (answer["class"], answer["care"], answer["on"])
    table = forms["table"].stdout
    assert table.startswith("Judged under ")
    assert table.rstrip().splitlines()[-1].startswith("40 units: care ")
    assert all(f"\n{name} " in table for name in names)


def test_a_table_fits_the_screen(assess: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    done = assess(str(DEMO), "--format", "table")
    assert max(map(len, done.stdout.splitlines())) <= 100


def test_the_answer_is_the_same_twice(assess: Run) -> None:
    first, second = (assess(str(DEMO), "--on", "2026-11-25") for _ in range(2))
    assert first.stdout == second.stdout != ""


# ---------------------------------------------------------------------- what it leaves alone


def test_no_database_is_touched_and_nothing_is_written(assess: Run, tmp_path: Path) -> None:
    """A database that nobody serves and a home that cannot be made: both are never asked for."""
    (tmp_path / "in the way").write_text("a file, and no directory")
    knobs = {
        "DATABASE_URL": "postgres://nobody@127.0.0.1:1/none",
        "OILWARD_HOME": str(tmp_path / "in the way" / "home"),
    }
    done = assess("-", "--rulebook", "us", given=GOOD[0], env={**os.environ, **knobs})
    assert (done.returncode, ids(done.stdout)) == (0, ["A0"])


def test_a_long_file_is_answered_as_if_it_came_by_and_by(assess: Run, tmp_path: Path) -> None:
    """A file is judged by several processes where there are some; standard input by one."""
    lines = "".join(f'{{"id":"A{n}","kind":"drum","fluid_mass_kg":{n % 99}}}\n' for n in range(ALONE + 2_000)) + BAD
    (tmp_path / "long.jsonl").write_text(lines)
    long, piped = assess(str(tmp_path / "long.jsonl"), "--rulebook", "nz"), assess("-", "--rulebook", "nz", given=lines)
    assert long.stdout == piped.stdout
    assert (long.stderr, long.returncode) == (piped.stderr, piped.returncode)
    one_line(long, f"line {ALONE + 2_001}, {STOOD}")
