"""Figures, days and sentences of advice stand in the rulebooks, never in the modules that decide.

A module that decides may write 0, 1 and -1, places in a sequence, and named constants whose text below says
"Source:". Everything else that is a number, a number in quotation marks or a day is a figure of some document.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.conftest import ROOT

CORE = ROOT / "hazmat" / "core"
DECIDES = (
    *(
        CORE / f"{name}.py"
        for name in (
            "presume", "evidence", "signs", "care", "gear", "assess", "bulk", "identity", "findings", "law", "view",
            "weigh", "nearness", "asks", "parts", "removing", "sampling", "sidehazards", "carryover",
            "clauses", "dated", "documents", "air", "reading", "slips", "spill", "training", "accident",
            "gearcard", "wear",
        )
    ),
    *(ROOT / "hazmat" / "edge" / f"{name}.py" for name in ("lines", "columns", "columnseam", "patterns")),
    ROOT / "disposal" / "core" / "clocks.py",
)  # fmt: skip
CARRIES = {
    "__init__",
    "amended",
    "chain",
    "clues",
    "codes",
    "condition",
    "extended",
    "facts",
    "lookin",
    "measures",
    "methods",
    "outing",
    "reported",
    "screened",
    "shots",
    "spans",
    "spillnow",
    "telling",
    "tools",
    "trail",
    "unitfold",
    "unitnow",
    "walked",
}
"""Modules of the core that decide nothing of the law: shapes, unit factors, days, codes, trails, words of a record."""

PLAIN = (0, 1, -1)
FEW_WORDS = 3
"""A text of more words than this, outside docstrings, refusals and patterns, is a sentence for a person."""

NUMBER = re.compile(r"\s*[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?\s*")
DAY = re.compile(r"\s*\d{4}-\d{2}(-\d{2})?\s*")
WORD = re.compile(r"\W*[^\W\d_]+([-’'][^\W\d_]+)*\W*")
"""A word of a sentence; a key such as maker_mark and a unit such as mg/kg are none."""
REFUSALS = {"Refused"}
"""Besides what is raised: calls whose words go to the person who wrote a bad line."""


class Page:
    """One module, with what is let through set apart."""

    def __init__(self, text: str) -> None:
        self.tree = ast.parse(text)
        self.docs = {id(node) for node in self._docs()}
        self.sourced = {id(node) for node in self._sourced()}
        self.places = {id(node) for node in self._places()}
        self.refusals = {id(node) for node in self._refusals()}

    def _docs(self) -> Iterator[ast.AST]:
        """Texts that stand alone: docstrings of modules, classes, functions and constants."""
        for node in ast.walk(self.tree):
            if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
                yield node.value

    def _sourced(self) -> Iterator[ast.AST]:
        """All of a named constant of the module whose docstring, right below it, says Source."""
        for one, after in zip(self.tree.body, self.tree.body[1:], strict=False):
            says = after.value.value if isinstance(after, ast.Expr) and isinstance(after.value, ast.Constant) else ""
            if isinstance(one, ast.Assign) and isinstance(says, str) and "Source:" in says:
                yield from ast.walk(one)

    def _places(self) -> Iterator[ast.AST]:
        """Whole numbers between square brackets: a place in a sequence, no figure."""
        for node in ast.walk(self.tree):
            if isinstance(node, ast.Subscript):
                yield from (part for part in ast.walk(node.slice) if isinstance(part, ast.Constant))

    def _refusals(self) -> Iterator[ast.AST]:
        """What is raised or refused, and patterns; a constant of the module that a refusal names belongs to it."""
        named: set[str] = set()
        for node in ast.walk(self.tree):
            called = ast.unparse(node.func) if isinstance(node, ast.Call) else ""
            if isinstance(node, ast.Raise) or called in REFUSALS | {"re.compile"}:
                yield from ast.walk(node)
                named |= {part.id for part in ast.walk(node) if isinstance(part, ast.Name)}
        for node in self.tree.body:
            if isinstance(node, ast.Assign) and {ast.unparse(target) for target in node.targets} & named:
                yield from ast.walk(node)

    def figures(self) -> Iterator[str]:
        """Each number, number in quotation marks and day that no Source stands under, as line: text."""
        for node in ast.walk(self.tree):
            if id(node) in self.sourced | self.docs:
                continue
            if isinstance(node, ast.Constant) and self._is_figure(node):
                yield f"{node.lineno}: {node.value!r}"
            if isinstance(node, ast.Call) and self._is_day(node):
                yield f"{node.lineno}: {ast.unparse(node)}"

    def _is_day(self, call: ast.Call) -> bool:
        given = [*call.args, *(word.value for word in call.keywords)]
        made = ast.unparse(call.func).split(".")[-1] in ("date", "datetime")
        return made and any(isinstance(part, ast.Constant) for part in given)

    def _is_figure(self, node: ast.Constant) -> bool:
        value = node.value
        if isinstance(value, str):
            return bool(NUMBER.fullmatch(value) or DAY.fullmatch(value))
        if isinstance(value, bool) or not isinstance(value, int | float | complex):
            return False
        return value not in PLAIN and not (id(node) in self.places and isinstance(value, int))

    def sentences(self) -> Iterator[str]:
        """Each text of more than a few words that is neither docstring nor refusal nor pattern, as line: text."""
        inside = {id(part) for node in ast.walk(self.tree) if isinstance(node, ast.JoinedStr) for part in node.values}
        for node in ast.walk(self.tree):
            if id(node) in self.docs | self.refusals | inside:
                continue
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                text = node.value
            elif isinstance(node, ast.JoinedStr):
                text = " … ".join(str(part.value) for part in node.values if isinstance(part, ast.Constant))
            else:
                continue
            if len([word for word in text.split() if WORD.fullmatch(word)]) > FEW_WORDS:
                yield f"{node.lineno}: {text!r}"


def page(file: Path) -> Page:
    return Page(file.read_text(encoding="utf-8"))


def ids(file: Path) -> str:
    return file.stem


def test_every_module_of_the_core_decides_or_only_carries() -> None:
    """A new module is on one of the two lists before it is anything."""
    assert {file.stem for file in CORE.glob("*.py")} == {f.stem for f in DECIDES if f.parent == CORE} | CARRIES
    assert all(file.is_file() for file in DECIDES)


@pytest.mark.parametrize("file", DECIDES, ids=ids)
def test_no_figure_and_no_day_stands_in_a_module_that_decides(file: Path) -> None:
    assert list(page(file).figures()) == []


@pytest.mark.parametrize("file", DECIDES, ids=ids)
def test_no_sentence_of_advice_stands_in_a_module_that_decides(file: Path) -> None:
    assert list(page(file).sentences()) == []


@pytest.mark.parametrize(
    "slip",
    [
        "LINE = 50",
        "LINE = 50\n'''From this figure up it is contaminated.'''",
        "def judge(value):\n    return value >= 50",
        "def judge(value):\n    return value >= Decimal('50')",
        "def judge(value, line=1.36):\n    return value < line",
        "SMALL = Decimal('1.36')",
        "SMALL = '1.36'",
        "STEPS = {'low': 2, 'high': -500}",
        "CUTOFF = date(1979, 7, 2)",
        "CUTOFF = date.fromisoformat('1979-07-02')",
        "CUTOFF = datetime.date(year=1979, month=7, day=2)",
        "CUTOFF = '1979-07'",
        "def f():\n    LINE = 50\n    '''Source: a law.'''\n    return LINE",
        "FACTOR = 2\nOTHER = 3\n'''Source: a law.'''",
        "half = words[1.5]",
        "LINE = 5e1",
    ],
)
def test_a_planted_figure_is_caught(slip: str) -> None:
    assert list(Page(slip).figures())


@pytest.mark.parametrize(
    "fine",
    [
        "SPREAD = Decimal('2.77')\n'''Two results over one. Source: ISO 5725-6.'''",
        "first, last = pair[0], pair[-1]\nthird = words[2]\nhead = digest[:10]",
        "def f(on):\n    return on + 1 - 1, date.max, True, 'ge500', '50_499'",
        "'''A line of 50 ppm, of 1979-07-02.'''",
        "def today(year):\n    return date(year, month, day)",
    ],
)
def test_what_is_no_figure_passes(fine: str) -> None:
    assert list(Page(fine).figures()) == []


@pytest.mark.parametrize(
    "slip",
    [
        "SAYS = 'Wear gloves and touch no oil'",
        "def f(name):\n    return f'Keep {name} apart from the rest'",
        "def f(name):\n    return f'Keep {name} apart until {name} tested'",
        "TASK = Task('hold', 'Hold it until tested')",
        "def f():\n    return {'says': '''Send it to the laboratory'''}",
    ],
)
def test_a_planted_sentence_is_caught(slip: str) -> None:
    assert list(Page(slip).sentences())


@pytest.mark.parametrize(
    "fine",
    [
        "def f():\n    '''Wear gloves and touch no oil.'''",
        "def f():\n    raise KeyError('no row of the table is in force')",
        "def f(on):\n    raise LookupError(f'no row of the table is in force on {on}')",
        "NONE = 'nothing stood there, a country may stand'\ndef f(n):\n    return Refused(n, 'found_in', NONE)",
        "WORD = re.compile('less than|not more than|at most')",
        "def f(a, b, c):\n    return f'{a} at {b} kg/L, which is {c} mg/kg'",
        "KEY = 'maker_mark_not_valid maker_mark'",
    ],
)
def test_what_is_no_advice_passes(fine: str) -> None:
    assert list(Page(fine).sentences()) == []
