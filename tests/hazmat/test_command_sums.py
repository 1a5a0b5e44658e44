"""`sums`: one calculation on JSON lines; what is wrong is one line, and every published value is met."""

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest

from hazmat.rulebooks import sumbook

Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def sums(python: Run, tmp_path: Path) -> Run:
    """Run `sums` with these words; `lines` are sent as a file."""

    def run(*words: str, lines: str | None = None) -> subprocess.CompletedProcess[str]:
        if lines is not None:
            file = tmp_path / "lines.jsonl"
            file.write_text(lines, "utf-8")
            words = (*words, str(file))
        done = python("manage.py", "sums", *words)
        assert "Traceback" not in done.stderr, done.stderr
        return done

    return run


def test_lines_are_worked_out_one_by_one(sums: Run) -> None:
    """205 L at 40 °C are 201.32 L at 15 °C for oil of 880 kg/m3 (API MPMS chapter 11.1)."""
    done = sums(
        "density", lines='{"density_15": 0.88, "to": 40, "litres": "205"}\n\n{"density_15": "0.88", "to": 15}\n'
    )
    assert (done.returncode, done.stderr) == (0, "")
    first, second = map(json.loads, done.stdout.splitlines())
    assert float(first["litres_15"]) == pytest.approx(201.325, abs=0.02)
    assert second["factor"] == "1"
    assert first["notes"][0]["cite"]


def test_the_first_bad_line_ends_it(sums: Run) -> None:
    done = sums("density", lines='{"density_15": "0.88", "to": 40}\n{"density_15": "0,88", "to": 40}\n')
    assert done.returncode == 2
    assert len(done.stdout.splitlines()) == 1
    assert done.stderr.startswith("line 2, density_15: “0,88” stood there; a number")
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "name a calculation; these are held: "),
        (("densities",), "“densities” is no calculation; these are held: "),
        (("density", "none.jsonl"), "“none.jsonl” cannot be read"),
    ],
)
def test_what_is_not_there_is_one_line(sums: Run, words: tuple[str, ...], says: str) -> None:
    done = sums(*words)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith(says)


def test_a_key_that_stands_twice_is_refused(sums: Run) -> None:
    done = sums("density", lines='{"density_15": "0.88", "to": 40, "to": 50}\n')
    assert done.stderr == "line 1, to: this key stood twice in one object; keep one of them\n"


def test_every_value_is_held_against_what_was_published(sums: Run) -> None:
    done = sums("--check")
    assert (done.returncode, done.stderr) == (0, "")
    count = sum(len(one.checks) for one in sumbook.sums().values())
    assert done.stdout.splitlines()[-1] == f"{count} values, all agree."


def test_all_are_listed_under_their_subject(sums: Run) -> None:
    done = sums("--list")
    for name, one in sumbook.sums().items():
        assert any(line.split() == [name, *one.says.split()] for line in done.stdout.splitlines())


def test_a_schema_takes_what_the_sum_takes(sums: Run) -> None:
    told = json.loads(sums("density", "--schema").stdout)
    judge = jsonschema.Draft202012Validator(told)
    judge.validate({"to": "40", "density_15": 0.88})
    for wrong in ({}, {"to": "40", "litre": 1}, {"to": "4O"}):
        assert list(judge.iter_errors(wrong)), wrong
