"""Code mutation as a test: no decision of the core may be changed without a worked case or an oracle noticing.

What nothing notices stands in code_mutation.toml, each with its reason; the list may only shrink. Each module runs in a
process of its own, which forks and so must have a single thread.
"""

import subprocess
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.core.mutation import MODULES

pytestmark = pytest.mark.deep
Python = Callable[..., subprocess.CompletedProcess[str]]
UNNOTICED: dict[str, dict[str, str]] = tomllib.loads(
    Path(__file__).with_name("code_mutation.toml").read_text(encoding="utf-8")
)
SINGLE = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}

ONE_OF_EACH = """
from dataclasses import replace
from tests.core.mutation import function, mutants, survivors
changed = next(mutants("gear"))
same = replace(changed, name="as it stands", code=function(changed.module, changed.place).__code__)
print(survivors([changed, same, changed]))
"""


@pytest.mark.parametrize("module", MODULES)
def test_every_change_of_a_decision_is_noticed(module: str, python: Python) -> None:
    run = python("-m", "tests.core.mutation", module, **SINGLE)
    assert run.returncode == 0, run.stderr
    count, *names = run.stdout.splitlines()
    assert count.startswith(f"{module}: {len(names)} of ")
    found, kept = {name.strip() for name in names}, set(UNNOTICED.get(module, {}))
    assert not found - kept, f"no case notices these changes: write one, or give a reason in the list: {found - kept}"
    assert not kept - found, f"noticed now: take them off the list, which may only shrink: {kept - found}"


def test_the_list_is_of_modules_that_are_there_and_gives_reasons() -> None:
    assert set(UNNOTICED) <= set(MODULES)
    assert all(len(reason.split()) >= 4 for listed in UNNOTICED.values() for reason in listed.values())


def test_a_change_is_noticed_and_the_code_as_it_stands_is_not(python: Python) -> None:
    run = python("-c", ONE_OF_EACH, **SINGLE)
    assert run.stdout == "['as it stands']\n", run.stderr
