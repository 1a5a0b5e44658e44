"""A reader of DEVELOPERS.md alone can add a country: its example is copied into a shelf of its own, and answers.

The invented law: over 25 ppm is PCB, from 1 March 2024; it presumes nothing.
"""

import re
import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from hazmat import rulebooks
from hazmat.core.assess import Assessment
from hazmat.edge.lines import Assessor
from hazmat.edge.reader import Refused
from hazmat.rulebooks.strict import RulebookError

ROOT = Path(__file__).resolve().parents[2]
TODAY = date(2026, 11, 26)
CACHED = (rulebooks.rulebook, rulebooks.names, rulebooks.law_of)


def example() -> str:
    """The rulebook that DEVELOPERS.md shows."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    found = re.search(r"<!-- example: a whole rulebook -->\n\n```toml\n(.*?)```", text, re.DOTALL)
    assert found is not None
    return found[1]


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A shelf with the handling book, the fluid names and what a test lays beside them."""
    for name in (rulebooks.HANDLING, rulebooks.FLUIDS):
        shutil.copy(rulebooks.HERE / f"{name}.toml", tmp_path)
    (tmp_path / "qq.toml").write_text(example(), encoding="utf-8")
    monkeypatch.setattr(rulebooks, "HERE", tmp_path)
    for cached in CACHED:
        cached.cache_clear()
    yield tmp_path
    for cached in CACHED:
        cached.cache_clear()


def ask(facts: str, on: date = TODAY) -> Assessment:
    line = f'{{"id":"a","kind":"transformer","fluid":"mineral","built":1960{facts}}}'
    (found,) = Assessor("qq", on, TODAY).answers([line.encode()])
    assert not isinstance(found, Refused), found
    return found


def lab(value: str) -> str:
    return f',"tests":[{{"how":"laboratory","value":"{value}","unit":"mg/kg"}}]'


def test_the_file_is_found_by_lying_there(shelf: Path) -> None:
    assert rulebooks.laws() == ("qq",)
    assert (rulebooks.law_of("QQ"), rulebooks.law_of("NZ")) == ("qq", None)


@pytest.mark.parametrize(
    ("value", "klass"), [("24.9", "up_to_25"), ("25", "up_to_25"), ("25.01", "over_25"), ("9000", "over_25")]
)
def test_both_sides_of_its_line(shelf: Path, value: str, klass: str) -> None:
    found = ask(lab(value))
    assert (found.klass, found.basis, found.rulebook) == (klass, "established", "qq")
    assert found.because[0].cite == "Invented Act, clause 2"


def test_it_presumes_nothing_and_hands_stay_careful(shelf: Path) -> None:
    found = ask("")
    assert (found.klass, found.care) == ("undetermined", "50_499")
    assert found.because[0].says.startswith("Undetermined: nothing here shows its concentration")


def test_the_day_before_it_began(shelf: Path) -> None:
    assert ask(lab("30"), date(2024, 3, 1)).klass == "over_25"
    assert ask(lab("30"), date(2024, 2, 29)).klass == "undetermined"


def test_who_may_take_it_is_the_authority_of_the_place(shelf: Path) -> None:
    assert "ask the authority of the place" in next(one.says for one in ask("").next if one.act == "may_take")


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ('cite = "clause 2"\n\n[class.over_25]', '\n[class.over_25]', "class.up_to_25.cite"),
        ('compare = ">"', 'compare = "over"', "line[1].compare"),
        ('when = {}', 'when = { kind = "can" }', "table.presumption.row[1].when.kind"),
        ('rulebook = "qq"', 'rulebook = "qz"', "rulebook"),
    ],
)  # fmt: skip
def test_a_slip_on_the_way_is_named(shelf: Path, old: str, new: str, key: str) -> None:
    file = shelf / "qq.toml"
    assert file.read_text().count(old) == 1
    file.write_text(file.read_text().replace(old, new))
    with pytest.raises(RulebookError) as caught:
        rulebooks.rulebook("qq")
    assert (caught.value.file, caught.value.key) == ("qq.toml", key)
