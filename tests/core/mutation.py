"""Code mutation: change one operator or constant of a module of the core, and a worked case or an oracle must notice.

Each mutant runs in a forked process of its own: the code of one function is changed in place, every worked case and
every case of what a page says is answered until one differs, and then raw facts that two hand-written selections judge.
A module that decides no law is not reached by those: its own tests run first, in the same process.
Run as a program it prints the changes that nothing notices, a line each, after a line that counts them.
"""

import ast
import json
import os
import signal
import sys
from collections import Counter, deque
from collections.abc import Iterable, Iterator
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass, replace
from datetime import date
from functools import cache, cached_property
from importlib import import_module
from pathlib import Path
from types import CodeType, FunctionType

import pytest

from hazmat import rulebooks
from hazmat.edge.cases import Case, answer, cases, misses
from hazmat.edge.lines import Assessor
from hazmat.rulebooks.fluids import fluid_names
from tests.core.told import all_told

ROOT = Path(__file__).resolve().parents[2]
MODULES = tuple(sorted(file.stem for file in (ROOT / "hazmat" / "core").glob("*.py") if file.stem != "__init__"))
TODAY = date(2026, 11, 25)
ORACLE_LINES = 3000
ALL_READ_ANEW = ("identity", "law", "slips")
"""Modules that rulebooks and lists are read with: they are read anew when one of these is changed."""
OWN_TESTS = {
    name: tuple(Path(__file__).with_name(f"test_{one}.py") for one in tests.split())
    for name, tests in {
        "air": "air", "asks": "asks", "carryover": "carryover", "chain": "chain",
        "clauses": "states", "codes": "codes", "dated": "law states", "gear": "parts wear",
        "gearcard": "gearcard", "wear": "wear",
        "law": "law states", "measures": "states", "methods": "methods", "nearness": "nearness", "parts": "parts",
        "removing": "removing", "sidehazards": "sidehazards", "slips": "slips", "spill": "spill",
        "telling": "telling", "tools": "tools", "trail": "trail",
        "accident": "accident", "outing": "outing", "training": "training",
        "unitfold": "unitfold unitnow tools", "unitnow": "unitnow",
    }.items()
}  # fmt: skip
"""Modules that no worked case reaches, or not in all they do, and the tests that say what each must do."""
AT_ONCE = 2
"""How many mutants run at a time. Source: our own choice, the cores of a small machine."""
LONGEST_RUN = 60
"""Seconds after which a mutant counts as noticed: it went round in a circle. Source: our own choice."""
SWAPS: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
}
CALLS = {"min": "max", "max": "min", "any": "all", "all": "any"}


@dataclass(frozen=True)
class Mutant:
    """One change: the module, the function around it, what it is called, and the changed code of that function."""

    module: str
    place: str
    name: str
    code: CodeType


# ------------------------------------------------------------------ making mutants


def mutants(module: str) -> Iterator[Mutant]:
    """Every mutant of a module of the core. Two changes with the same words are told apart by a number."""
    text = (ROOT / "hazmat" / "core" / f"{module}.py").read_text(encoding="utf-8")
    named: Counter[str] = Counter()
    for number in range(sum(1 for _ in _spots(ast.parse(text)))):
        tree = ast.parse(text)
        place, node, field = list(_spots(tree))[number]
        before = ast.unparse(node)
        _change(node, field)
        name = f"{place}: {before}  ->  {ast.unparse(node)}"
        named[name] += 1
        code = _code(compile(ast.fix_missing_locations(tree), module, "exec"), place)
        yield Mutant(module, place, name if named[name] == 1 else f"{name} ({named[name]})", code)


def _spots(tree: ast.AST, place: str = "") -> Iterator[tuple[str, ast.AST, str]]:
    """Each node inside a function that can be changed, with the name of the function or method around it."""
    for child in ast.iter_child_nodes(tree):
        if isinstance(child, ast.ClassDef):
            for one in child.body:
                if isinstance(one, ast.FunctionDef):
                    yield from _inside(one, f"{child.name}.{one.name}")
        elif isinstance(child, ast.FunctionDef):
            yield from _inside(child, child.name)


def _inside(function: ast.FunctionDef, place: str) -> Iterator[tuple[str, ast.AST, str]]:
    for node in (node for statement in function.body for node in ast.walk(statement)):
        if isinstance(node, ast.Compare):
            yield place, node, "ops"
        elif isinstance(node, ast.BoolOp):
            yield place, node, "op"
        elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
            yield place, node, "not"
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in CALLS:
            yield place, node, "call"
        elif isinstance(node, ast.Constant) and isinstance(node.value, bool):
            yield place, node, "bool"


def _change(node: ast.AST, field: str) -> None:
    if field == "ops" and isinstance(node, ast.Compare):
        node.ops[0] = SWAPS[type(node.ops[0])]()
    elif field == "op" and isinstance(node, ast.BoolOp):
        node.op = ast.Or() if isinstance(node.op, ast.And) else ast.And()
    elif field == "not" and isinstance(node, ast.UnaryOp):
        node.operand = ast.UnaryOp(ast.Not(), node.operand)
    elif field == "call" and isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        node.func.id = CALLS[node.func.id]
    elif isinstance(node, ast.Constant):
        node.value = not node.value


def _code(whole: CodeType, place: str) -> CodeType:
    """The code of one function or method in the code of its module."""
    for name in place.split("."):
        whole = next(one for one in whole.co_consts if isinstance(one, CodeType) and one.co_name == name)
    return whole


# ------------------------------------------------------------------ running them


def function(module: str, place: str) -> FunctionType:
    """The function or method itself, inside a property where it is one."""
    found: object = import_module(f"hazmat.core.{module}")
    for name in place.split("."):
        found = vars(found)[name]
    if isinstance(found, property):
        found = found.fget
    elif isinstance(found, cached_property):
        found = found.func
    assert isinstance(found, FunctionType), place
    return found


@cache
def worked_cases() -> tuple[Case, ...]:
    """Every worked case that the code as it stands answers rightly, read once; the others fail elsewhere."""
    return tuple(case for case in cases() if not any(misses(case, answer(case, TODAY))))


@cache
def oracle_lines() -> tuple[list[bytes], list[tuple[str, str]]]:
    """Raw facts as lines, and what 40 CFR 761.2 says of each by hand; made once."""
    from tests.rulebooks.oracles import presumption_761_2 as oracle
    from tests.rulebooks.oracles.contract_lines import contract_lines

    facts = oracle.make(ORACLE_LINES, seed=761)
    expected = [(oracle.CLASSES[int(k)], oracle.FORCES[int(f)]) for k, f in zip(*oracle.by_select(facts), strict=True)]
    return [json.dumps(line).encode() for line in contract_lines(facts)], expected


def _own_tests_pass(module: str) -> bool:
    """Whether a module passes its own tests, run silently in the process of a mutant; true where it has none here.

    No plugin is loaded but the one that the settings of the suite name, and so no Django.
    """
    if module not in OWN_TESTS:
        return True
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    words = [*map(str, OWN_TESTS[module]), "-q", "-x", "-p", "pytest_socket", "-p", "no:cacheprovider"]
    with open(os.devnull, "w", encoding="utf-8") as nowhere, redirect_stdout(nowhere), redirect_stderr(nowhere):
        return pytest.main(words) == pytest.ExitCode.OK


def _good(module: str) -> bool:
    """Whether every test, case and line of the oracle comes out as it should, with this module changed."""
    if not _own_tests_pass(module):
        return False
    if module in ALL_READ_ANEW:
        rulebooks.rulebook.cache_clear()
        fluid_names.cache_clear()
    if any(any(misses(case, answer(case, TODAY))) for case in worked_cases()):
        return False
    if not all_told():
        return False
    lines, expected = oracle_lines()
    return expected == [(answer.klass, answer.force) for answer in Assessor("us", TODAY, TODAY).answers(lines)]


def _start(mutant: Mutant) -> int:
    """Run a mutant in a process of its own, and give its number."""
    target = function(mutant.module, mutant.place)
    if target.__code__.co_freevars != mutant.code.co_freevars:
        raise ValueError(f"{mutant.name}: the changed code does not fit its function")
    child = os.fork()
    if child:
        return child
    status = 1
    try:
        signal.signal(signal.SIGALRM, signal.SIG_DFL)
        signal.alarm(LONGEST_RUN)
        target.__code__ = mutant.code
        status = 0 if _good(mutant.module) else 1
    finally:
        os._exit(status)


def _noticed(process: int) -> bool:
    """Wait for the process of a mutant; it ends with nought where nothing was noticed."""
    return os.waitstatus_to_exitcode(os.waitpid(process, 0)[1]) != 0


def survivors(every: Iterable[Mutant]) -> list[str]:
    """The names of the mutants that nothing notices. Raises ValueError where the code as it stands is noticed."""
    if not _good("law"):
        raise ValueError("the oracle differs from the code as it stands; mend that first")
    every = list(every)
    for one in {one.module: one for one in every if one.module in OWN_TESTS}.values():
        if _noticed(_start(replace(one, code=function(one.module, one.place).__code__))):
            raise ValueError(f"the tests of {one.module} fail on the code as it stands; mend that first")
    running: deque[tuple[Mutant, int]] = deque()
    alive: list[str] = []
    for mutant in (*every, *[None] * AT_ONCE):
        if len(running) >= AT_ONCE or (mutant is None and running):
            done, process = running.popleft()
            if not _noticed(process):
                alive.append(done.name)
        if mutant:
            running.append((mutant, _start(mutant)))
    return alive


if __name__ == "__main__":
    for asked in sys.argv[1:] or MODULES:
        made = list(mutants(asked))
        found = survivors(made)
        print(f"{asked}: {len(found)} of {len(made)} not noticed", flush=True)
        for name in found:
            print(f"  {name}", flush=True)
