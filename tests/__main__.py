"""Run the lanes that this machine can run, and the gates: `python -m tests [--deep] [LANE…]`."""

import argparse
import contextlib
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree

from tests.cluster import Missing, cluster

ROOT = Path(__file__).resolve().parents[1]
TESTS = ROOT / "tests"
CORE = ("core", "rulebooks", "edge")
APART = ("browser", "faults")
"""Folders with a lane of their own."""
SCRIPTS = Path(sys.executable).parent

GATES = {
    "ruff check": [str(SCRIPTS / "ruff"), "check"],
    "ruff format": [str(SCRIPTS / "ruff"), "format", "--check"],
    "mypy": [str(SCRIPTS / "mypy")],
    "import-linter": [str(SCRIPTS / "lint-imports")],
    "migrations": [sys.executable, "-W", "error", "manage.py", "makemigrations", "--check", "--dry-run"],
    "check": [sys.executable, "-W", "error", "manage.py", "check", "--database", "default"],
    "rulebooks": [sys.executable, "-W", "error", "manage.py", "rulebooks", "--check"],
}


@dataclass(frozen=True)
class Tally:
    """How many passed and failed, and how many were left out."""

    passed: int = 0
    failed: int = 0
    skipped: int = 0

    def __add__(self, other: "Tally") -> "Tally":
        return Tally(self.passed + other.passed, self.failed + other.failed, self.skipped + other.skipped)

    def strict(self) -> "Tally":
        """The same where nothing may be left out: in CI a skip is a failure."""
        return Tally(self.passed, self.failed + self.skipped)


def folders() -> list[Path]:
    """Every folder here that holds tests, at any depth: found and not listed."""
    return sorted({TESTS / file.relative_to(TESTS).parts[0] for file in TESTS.glob("*/**/test_*.py")})


def pytest_run(paths: list[Path], *words: str, **knobs: str) -> Tally:
    """One pytest run in a process of its own. Collecting nothing is a failure, and so is a run that breaks off."""
    if not paths:
        return Tally(failed=1)
    with tempfile.TemporaryDirectory(prefix="oilward-lane-") as folder:
        report = Path(folder) / "report.xml"
        command = [sys.executable, "-m", "pytest", "-c", str(ROOT / "pyproject.toml"), f"--junitxml={report}"]
        asked = [*words, *(str(path) for path in paths)]
        status = subprocess.run([*command, *asked], cwd=ROOT, env={**os.environ, **knobs}, check=False).returncode
        tally = read_report(report) if report.exists() else Tally()
    if not tally.failed and (status != 0 or tally == Tally()):
        tally += Tally(failed=1)
    return tally


def read_report(report: Path) -> Tally:
    """The counts of a JUnit report as pytest writes it."""
    counts = [
        {key: int(suite.attrib[key]) for key in ("tests", "failures", "errors", "skipped")}
        for suite in ElementTree.parse(report).iter("testsuite")
    ]
    failed = sum(count["failures"] + count["errors"] for count in counts)
    skipped = sum(count["skipped"] for count in counts)
    return Tally(sum(count["tests"] for count in counts) - failed - skipped, failed, skipped)


def core_lane(deep: bool) -> Tally:
    """What is decided and what is read in, without Django."""
    return pytest_run([folder for folder in folders() if folder.name in CORE], "-p", "no:django")


def yard_lane(deep: bool) -> Tally:
    """Everything that has Django, on SQLite files."""
    return pytest_run(django_folders(), DATABASE_URL="")


def browser_lane(deep: bool) -> Tally:
    """Pages in a real browser. Raises Missing."""
    if not (shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")):
        raise Missing("no Chromium is installed: sudo apt-get install -y chromium")
    return pytest_run([folder for folder in folders() if folder.name == "browser"], DATABASE_URL="")


def faults_lane(deep: bool) -> Tally:
    """Every act killed at every statement, on SQLite files."""
    return pytest_run([folder for folder in folders() if folder.name == "faults"], DATABASE_URL="")


def postgres_lane(deep: bool) -> Tally:
    """The same on PostgreSQL: what is marked `both`, or the whole when deep."""
    faults = [folder for folder in folders() if folder.name == "faults"]
    with cluster() as url:
        chosen = [] if deep else ["-m", "both or postgres"]
        return pytest_run([*django_folders(), *faults], *chosen, DATABASE_URL=url)


def django_folders() -> list[Path]:
    return [folder for folder in folders() if folder.name not in (*CORE, *APART)]


def gates(deep: bool) -> Tally:
    """Each gate counts as one; a gate that fails prints all that it said."""
    total = Tally()
    with tempfile.TemporaryDirectory(prefix="oilward-gates-") as home:
        knobs = {**os.environ, "OILWARD_HOME": home, "DATABASE_URL": ""}
        for name, command in GATES.items():
            begun = time.monotonic()
            result = subprocess.run(
                command, cwd=ROOT, env=knobs, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, check=False
            )
            good = result.returncode == 0
            print(f"gate {name}: {'ok' if good else 'FAILED'} ({time.monotonic() - begun:.1f} s)", flush=True)
            if not good:
                print(result.stdout, flush=True)
            total += Tally(passed=int(good), failed=int(not good))
    return total


LANES: dict[str, Callable[[bool], Tally]] = {
    "yard": yard_lane,
    "postgres": postgres_lane,
    "core": core_lane,
    "browser": browser_lane,
    "faults": faults_lane,
    "gates": gates,
}


def run_lane(name: str, deep: bool) -> Tally:
    """Run one lane and print its count; a lane that this machine cannot run is left out, with the reason."""
    print(f"== {name}", flush=True)
    try:
        tally = LANES[name](deep)
    except Missing as reason:
        print(f"{name}: SKIPPED, {reason}", flush=True)
        return Tally(skipped=1)
    print(f"{name}: {tally.passed} passed, {tally.failed} failed, {tally.skipped} skipped", flush=True)
    return tally


def side_by_side(names: list[str], deep: bool, at_once: int) -> Tally:
    """Run lanes in processes of their own, so many at once, the longest first; what each said is printed whole."""
    waiting, running, total = list(names), {}, Tally()
    with tempfile.TemporaryDirectory(prefix="oilward-lanes-") as folder:
        try:
            while waiting or running:
                while waiting and len(running) < at_once:
                    name = waiting.pop(0)
                    running[name] = begun(name, deep, Path(folder) / name)
                    print(f"-- {name} begins", flush=True)
                time.sleep(0.2)
                for name in [name for name, process in running.items() if process.poll() is not None]:
                    del running[name]
                    said = (Path(folder) / name).read_text(encoding="utf-8", errors="replace")
                    print(said, end="", flush=True)
                    total += told(name, said)
        finally:
            for process in running.values():
                process.terminate()
            for process in running.values():
                process.wait()
    return total


def begun(name: str, deep: bool, file: Path) -> "subprocess.Popen[bytes]":
    """One lane, begun in a process of its own that writes all that it says into a file."""
    command = [sys.executable, "-m", "tests", *(["--deep"] if deep else []), name]
    with file.open("wb") as out:
        return subprocess.Popen(command, cwd=ROOT, stdout=out, stderr=subprocess.STDOUT)


def told(name: str, said: str) -> Tally:
    """The count that a lane printed of itself; one that printed none broke off, and that is a failure."""
    counts = re.findall(rf"^{name}: (\d+) passed, (\d+) failed, (\d+) skipped$", said, re.MULTILINE)
    if counts:
        return Tally(*map(int, counts[-1]))
    return Tally(skipped=1) if re.search(rf"^{name}: SKIPPED, ", said, re.MULTILINE) else Tally(failed=1)


@contextlib.contextmanager
def tidy_end() -> Iterator[None]:
    """Let a polite kill run the clean-up, so that no server stays behind."""
    before = signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)


def main() -> int:
    """Run what is asked for; exit 1 where anything failed."""
    parser = argparse.ArgumentParser(prog="python -m tests", description=__doc__)
    parser.add_argument("--deep", action="store_true", help="twenty times the examples, everything on PostgreSQL too")
    parser.add_argument("lanes", metavar="LANE", nargs="*", help=f"{', '.join(LANES)}; none: all of them")
    asked = parser.parse_args()
    if unknown := set(asked.lanes) - set(LANES):
        parser.error(f"no such lane: {', '.join(sorted(unknown))}; there are {', '.join(LANES)}")
    if asked.deep:
        os.environ["OILWARD_DEEP"] = "1"
    with tidy_end():
        lanes = asked.lanes or list(LANES)
        alone = len(lanes) == 1
        total = run_lane(lanes[0], asked.deep) if alone else side_by_side(lanes, asked.deep, os.cpu_count() or 1)
    if os.environ.get("CI") == "true":
        total = total.strict()
    print(f"{total.passed} passed, {total.failed} failed")
    return 1 if total.failed or not total.passed else 0


if __name__ == "__main__":
    sys.exit(main())
