"""The house itself: what stands where, what may be named in it, what imports what."""

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.conftest import ROOT

PLAN = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "manage.py",
    "hazmat",
    "disposal",
    "templates",
    "tests",
    "fixtures",
}
DOTTED = {".ci", ".editorconfig", ".gitignore"}
TEXT = {".css", ".html", ".js", ".json", ".jsonl", ".md", ".py", ".svg", ".toml", ".txt", ""}

FORBIDDEN = {
    "a package registry": r"(py[p]i|pythonhoste[d]|deb\.debia[n])\.org|registry\.npmj[s]",
    "where to install from": r"--(extra-)?inde[x]-url|--find-link[s]",
    "a path of one machine": r"(?<![\w.])/(wor[k]|far[m])/|/hom[e]/\w|/roo[t]/|(?<![\w/.])share[d]/",
    "where the idea came from": r"transcrip[t]|seed documen[t]|subagen[t]|farm[-]",
    "an unfinished mark": r"\b(TO[D]O|FIXM[E]|X{3})\b|NotImplemente[d]Error|pytest\.mark\.(ski[p]|xfai[l])",
    "an unnamed exception to the types": r"# typ[e]: ignore(?!\[)",
}
PROMISES = r"\bpcb[- ]fre[e]\b|\bcomplian[t]\b"
"""What is never said of a unit, a drum or an oil. A plate may say it: what plates say stands in the list of fluids."""
PLATES = {"fluids.toml", "fluid_names.toml"}

PROBE = """
import importlib, pkgutil, sys
import hazmat.core
names = [module.name for module in pkgutil.walk_packages(hazmat.core.__path__, "hazmat.core.")]
for name in names:
    importlib.import_module(name)
print(len(names), *sorted({name.partition(".")[0] for name in sys.modules}))
"""
ALWAYS_THERE = {"__main__", "__mp_main__", "hazmat", "sitecustomize", "usercustomize"}


def files() -> Iterator[Path]:
    """Every file of the project: what stands in the plan, less what a run leaves behind."""
    for top in sorted(ROOT / name for name in PLAN | DOTTED):
        for file in [top] if top.is_file() else top.rglob("*"):
            if file.is_file() and "__pycache__" not in file.parts:
                yield file


def found(pattern: str, texts: Iterator[Path]) -> list[str]:
    """Each line that the pattern meets, as file:line: text."""
    seek = re.compile(pattern, re.IGNORECASE)
    return [
        f"{file.relative_to(ROOT)}:{number}: {line.strip()[:100]}"
        for file in texts
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1)
        if seek.search(line)
    ]


def test_top_level_is_the_plan() -> None:
    there = {entry.name for entry in ROOT.iterdir() if not entry.name.startswith(".") and entry.name != "__pycache__"}
    assert there <= PLAN, f"not in the plan: {sorted(there - PLAN)}"
    assert there >= PLAN, f"missing: {sorted(PLAN - there)}"


def test_every_file_is_seen() -> None:
    """The tests below read what this finds: a file in each part of the plan, and this very file."""
    seen = set(files())
    assert Path(__file__).resolve() in seen
    for name in ["README.md", "hazmat/conf/settings.py", "disposal/apps.py", ".ci/pins.txt", ".gitignore"]:
        assert ROOT / name in seen


@pytest.mark.parametrize("what", FORBIDDEN)
def test_nothing_names(what: str) -> None:
    assert found(FORBIDDEN[what], (file for file in files() if file.suffix in TEXT)) == []


def test_nothing_is_promised_of_a_unit() -> None:
    texts = (file for file in files() if file.suffix in {".html", ".js", ".md", ".py", ".svg", ".toml"})
    assert found(PROMISES, (file for file in texts if "tests" not in file.parts and file.name not in PLATES)) == []


@pytest.mark.parametrize(
    ("pattern", "slip"),
    [
        (FORBIDDEN["a package registry"], "see https://py" + "pi.org/project/x"),
        (FORBIDDEN["where to install from"], "--index" + "-url https://example.org"),
        (FORBIDDEN["a path of one machine"], "/wor" + "k/main/manage.py"),
        (FORBIDDEN["a path of one machine"], "see share" + "d/facts.md"),
        (FORBIDDEN["an unfinished mark"], "# TO" + "DO later"),
        (FORBIDDEN["an unnamed exception to the types"], "value = 1  # type: " + "ignore"),
        (PROMISES, "This drum is PCB-" + "free."),
    ],
)
def test_a_slip_would_be_found(pattern: str, slip: str) -> None:
    assert re.search(pattern, slip, re.IGNORECASE)


def test_modules_are_short() -> None:
    lengths = {
        str(file.relative_to(ROOT)): len(file.read_text(encoding="utf-8").splitlines())
        for file in files()
        if file.suffix == ".py" and "migrations" not in file.parts
    }
    assert {name: length for name, length in lengths.items() if length > 400} == {}


def test_core_stands_on_the_standard_library() -> None:
    """Asked of a process of its own: after importing all of core, nothing else is loaded, Django least of all."""
    done = subprocess.run([sys.executable, "-c", PROBE], cwd=ROOT, capture_output=True, text=True, check=True)
    count, *loaded = done.stdout.split()
    assert int(count) > 0
    bare = subprocess.run([sys.executable, "-c", "import sys; print(*sys.modules)"], capture_output=True, text=True)
    before = {name.partition(".")[0] for name in bare.stdout.split()}
    strangers = set(loaded) - before - ALWAYS_THERE - sys.stdlib_module_names
    assert strangers == set()
    assert "django" not in loaded
