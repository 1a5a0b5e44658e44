"""What the two pages say is there, is there; and what is there, they say."""

import re
from pathlib import Path

import pytest

from tests.conftest import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def modules() -> list[str]:
    found = [*(ROOT / "hazmat").rglob("*.py"), *(ROOT / "disposal").rglob("*.py")]
    return sorted(str(f.relative_to(ROOT)) for f in found if f.stem != "__init__" and "migrations" not in f.parts)


def mapped() -> set[str]:
    """The names in backticks in the first column of the map's tables."""
    rows = re.findall(r"^\| (`[^|]+) \|", DEVELOPERS.partition("## Walk of one line")[0], re.MULTILINE)
    return {name.rpartition("/")[2] for row in rows for name in re.findall(r"`([^`]+)`", row)}


def test_developers_maps_every_module() -> None:
    assert [path for path in modules() if Path(path).stem not in mapped()] == []


def test_developers_names_only_modules_that_exist() -> None:
    stems = {Path(path).stem for path in modules()}
    for row in re.findall(r"^\| `([a-z_]+)` \|", DEVELOPERS.partition("## Walk of one line")[0], re.MULTILINE):
        assert row in stems, f"{row} is mapped and does not exist"


def test_readme_shows_every_command() -> None:
    commands = {path.stem for path in ROOT.glob("*/management/commands/*.py")} - {"__init__"}
    assert {"assess", "due"} <= commands
    assert {name for name in commands if f"manage.py {name}" not in README + DEVELOPERS} == set()


@pytest.mark.parametrize("mark", ["demo", "tests"])
def test_readme_holds_both_commands(mark: str) -> None:
    block = README.partition(f"<!-- command: {mark} -->\n")[2].split("```")[1]
    assert "python3 -m venv .venv" in block
    assert "-r .ci/pins.txt" in block


def test_readme_names_only_files_that_exist() -> None:
    for path in re.findall(r"(?:fixtures|\.ci)/[\w./-]*\w", README):
        assert (ROOT / path).exists(), path


def test_readme_names_every_knob() -> None:
    settings = (ROOT / "hazmat/conf/settings.py").read_text(encoding="utf-8")
    knobs = set(re.findall(r'^    "([A-Z_]+)": \(', settings, re.MULTILINE))
    assert len(knobs) >= 6
    assert {knob for knob in knobs if f"`{knob}`" not in README} == set()


def test_licence_is_the_last_section() -> None:
    assert README.rpartition("\n## ")[2].startswith("Licence\n\nMIT License")
