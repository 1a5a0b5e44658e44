"""The bench: a seeded register, figures in one shape, exit 1 when a goal is missed."""

import json
import subprocess
from collections.abc import Callable

import pytest

from hazmat.core.assess import Assessment
from hazmat.edge import bench
from hazmat.edge.lines import Assessor
from hazmat.management.commands.bench import Command
from hazmat.management.verb import Refusal

Python = Callable[..., subprocess.CompletedProcess[str]]
KEYS = ["name", "n", "ratio", "goal", "floor", "value", "unit", "machine", "day"]


def test_the_register_is_the_same_for_a_seed() -> None:
    assert bench.seeded_lines(50) == bench.seeded_lines(50)
    assert bench.seeded_lines(50) != bench.seeded_lines(50, seed=1)


def test_ten_thousand_lines_hold_about_a_thousand_patterns() -> None:
    assessor = Assessor("us", bench.ON, bench.ON)
    patterns = set()
    for answer in assessor.answers(bench.seeded_lines(10_000)):
        assert isinstance(answer, Assessment), answer
    judge = assessor.judge("us")
    patterns = set(judge._judged)
    assert 800 <= len(patterns) <= 1200


def test_a_figure_has_the_keys_of_the_contract(python: Python) -> None:
    done = python("manage.py", "bench", "assess_lines", "--n", "50", "--format", "jsonl")
    assert list(json.loads(done.stdout)) == KEYS
    assert json.loads(done.stdout)["n"] == 50


@pytest.mark.parametrize(("ratio", "missed"), [(3.99, False), (4.0, False), (4.01, True)])
def test_a_missed_goal_is_said(ratio: float, missed: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    figure = bench.Measured("assess_lines", 1, ratio, 4.0, 1.0, ratio, "us", "m", "2026-11-25")
    monkeypatch.setitem(bench.BENCHES, "assess_lines", lambda n: figure)
    asked = {"names": ["assess_lines"], "n": None, "format": "table"}
    if not missed:
        Command().handle(**asked)
        return
    with pytest.raises(Refusal, match=r"took 4\.01 times its floor; its goal is 4\.0") as refused:
        Command().handle(**asked)
    assert refused.value.status == 1


@pytest.mark.parametrize(
    "words",
    [
        ["speed"],
        ["assess_lines", "--n", "0"],
        ["assess_lines", "--n", "9" * 20],
        ["act", "--n", "٣"],
        ["act", "--n", "x"],
    ],
)
def test_bad_words_are_one_line(words: list[str], python: Python) -> None:
    done = python("manage.py", "bench", *words)
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 1
