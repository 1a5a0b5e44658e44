"""Code mutation as a test: no decision of the core may be changed without a case, an oracle or a test noticing.

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
import sys
from dataclasses import replace
from tests.core.mutation import OWN_TESTS, function, mutants, survivors
module, without = sys.argv[1:]
OWN_TESTS.pop(without, None)
changed = next(mutants(module))
same = replace(changed, name="as it stands", code=function(changed.module, changed.place).__code__)
print(survivors([changed, same, changed]))
"""

WITH_OTHER_TESTS = """
import sys
from pathlib import Path
from tests.core.mutation import OWN_TESTS, mutants, survivors
OWN_TESTS["chain"] = (Path(sys.argv[1]),)
survivors(mutants("chain"))
"""


@pytest.mark.parametrize("module", MODULES)
def test_every_change_of_a_decision_is_noticed(module: str, python: Python) -> None:
    run = python("-m", "tests.core.mutation", module, **SINGLE)
    assert run.returncode == 0, run.stderr
    count, *names = run.stdout.splitlines()
    assert count.startswith(f"{module}: {len(names)} of ")
    found, kept = {name.strip() for name in names}, set(UNNOTICED.get(module, {}))
    assert not found - kept, (
        f"nothing notices these changes: write a case or a test, or give a reason in the list: {found - kept}"
    )
    assert not kept - found, f"noticed now: take them off the list, which may only shrink: {kept - found}"


def test_the_list_is_of_modules_that_are_there_and_gives_reasons() -> None:
    assert set(UNNOTICED) <= set(MODULES)
    assert all(len(reason.split()) >= 4 for listed in UNNOTICED.values() for reason in listed.values())


@pytest.mark.parametrize("module", ["gear", "chain"])
def test_a_change_is_noticed_and_the_code_as_it_stands_is_not(module: str, python: Python) -> None:
    run = python("-c", ONE_OF_EACH, module, "", **SINGLE)
    assert run.stdout == "['as it stands']\n", run.stderr


def test_no_case_reaches_a_module_with_tests_of_its_own(python: Python) -> None:
    """Without its tests the same change goes unnoticed: it is they that notice it, not a run that breaks off."""
    run = python("-c", ONE_OF_EACH, "chain", "chain", **SINGLE)
    assert run.stdout.count("link: ") == 2, run.stderr


@pytest.mark.parametrize(
    ("text", "refused"), [("def test_bad(): assert 1 == 2", True), ("X = 1", True), ("def test_good(): pass", False)]
)
def test_tests_that_fail_or_are_none_prove_nothing(text: str, refused: bool, python: Python, tmp_path: Path) -> None:
    """They would notice every change: the code as it stands must pass them first."""
    file = tmp_path / "test_chain.py"
    file.write_text(text, encoding="utf-8")
    run = python("-c", WITH_OTHER_TESTS, str(file), **SINGLE)
    assert (run.returncode == 1) == refused, run.stderr
    assert ("the tests of chain fail on the code as it stands" in run.stderr) == refused
