"""One broken file for each mistake: each is refused with file, key and mend, in one line, and no refusal goes untried.

A broken file is the sound one with one place changed; its head names the mistake and what the refusal must hold.
"""

import ast
import contextlib
import difflib
import inspect
import itertools
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from hazmat.rulebooks.heads import read_parts
from hazmat.rulebooks.load import faults, load, read, restored
from hazmat.rulebooks.onspills import read_spills
from hazmat.rulebooks.strict import RulebookError, Shelfmark

HERE = Path(__file__).parent / "broken"
SOUND = HERE / "_valid.toml"
BROKEN = sorted(file for file in HERE.glob("*.toml") if file != SOUND)
READERS = [Path(inspect.getfile(part)) for part in (load, Shelfmark, read_parts, read_spills)]

ANSWERLESS = ("gap", "gap_in_time", "conflict", "conflict_of_force", "table_without_rows")
"""Broken files whose refusal must name the combination that shows the fault."""


def text_of(file: Path) -> str:
    return file.read_text(encoding="utf-8")


def body(file: Path) -> list[str]:
    """The lines after the head comment."""
    lines = text_of(file).splitlines()
    return lines[lines.index("") + 1 :]


def head(file: Path) -> dict[str, str]:
    """What the head comment says: Mistake, Key, Wrong, Mend."""
    lines = itertools.takewhile(lambda line: line.startswith("# "), text_of(file).splitlines())
    return dict(line[2:].split(": ", 1) for line in lines)


def placed(file: Path, folder: Path) -> Path:
    """A copy under the name that its rulebook has."""
    copy = folder / "small.toml"
    copy.write_text(text_of(file), encoding="utf-8")
    return copy


def refusal(file: Path, folder: Path) -> RulebookError:
    with pytest.raises(RulebookError) as caught:
        load(placed(file, folder))
    return caught.value


def test_the_sound_file_loads(tmp_path: Path) -> None:
    book = load(placed(SOUND, tmp_path))
    assert (book.name, book.classes, len(book.tables)) == ("small", ("low", "high", "highest"), 2)


@pytest.mark.parametrize("file", BROKEN, ids=lambda file: file.stem)
def test_a_mistake_is_refused_with_file_key_and_mend(file: Path, tmp_path: Path) -> None:
    wanted, found = head(file), refusal(file, tmp_path)
    assert set(wanted) == {"Mistake", "Key", "Wrong", "Mend"}
    said = str(found)
    assert said.startswith(f"small.toml: {wanted['Key']}: ")
    assert wanted["Wrong"] in found.wrong
    assert wanted["Mend"] in found.mend
    assert said == f"{found.file}: {found.key}: {found.wrong}; {found.mend}."
    assert "\n" not in said


@pytest.mark.parametrize("name", ANSWERLESS)
def test_a_refused_table_names_a_whole_combination(name: str, tmp_path: Path) -> None:
    """Every column of the table stands in the sentence, with one of its values."""
    file = placed(HERE / f"{name}.toml", tmp_path)
    (fault, *_) = faults(read(file))
    assert fault.combination
    assert set(fault.combination) == set(read(file).tables[fault.table].columns)
    assert all(f"{column} {value}" in fault.says for column, value in fault.combination.items())


@pytest.mark.parametrize("file", BROKEN, ids=lambda file: file.stem)
def test_a_broken_file_differs_from_the_sound_one_in_one_place(file: Path) -> None:
    steps = difflib.SequenceMatcher(a=body(SOUND), b=body(file), autojunk=False).get_opcodes()
    assert len([step for step in steps if step[0] != "equal"]) == 1


def test_no_two_broken_files_are_alike() -> None:
    bodies = [tuple(body(file)) for file in BROKEN]
    assert len(set(bodies)) == len(bodies)


def test_a_file_that_is_not_utf_8_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "small.toml"
    file.write_bytes(text_of(SOUND).replace("whole", "wh\xf6le").encode("latin-1"))
    with pytest.raises(RulebookError, match=r"^small\.toml: the file: it is not TOML .*; mend it at that place\.$"):
        load(file)


# ------------------------------------------------------------------ no refusal without a broken file


def refusals() -> Iterator[tuple[Path, int, int]]:
    """Every place of the reader that refuses, as file, first and last line: `….refuse(…)` and `raise RulebookError`."""
    for file in READERS:
        for node in ast.walk(ast.parse(text_of(file))):
            if isinstance(node, ast.Call) and node.end_lineno and is_refusal(node):
                yield file, node.lineno, node.end_lineno


def is_refusal(call: ast.Call) -> bool:
    named = call.func
    return (isinstance(named, ast.Attribute) and named.attr == "refuse") or (
        isinstance(named, ast.Name) and named.id == "RulebookError" and not is_the_maker(call)
    )


def is_the_maker(call: ast.Call) -> bool:
    """The one call inside `Shelfmark.refuse`, through which all others go."""
    return bool(call.args) and ast.unparse(call.args[0]) == "self.file"


def tried(folder: Path, monkeypatch: pytest.MonkeyPatch) -> set[tuple[Path, int]]:
    """The lines from which the broken files were refused."""
    met: set[tuple[Path, int]] = set()
    whole = RulebookError.__init__

    def note(error: RulebookError, *words: str) -> None:
        frame = sys._getframe(1)
        if frame.f_code is Shelfmark.refuse.__code__ and frame.f_back:
            frame = frame.f_back
        met.add((Path(frame.f_code.co_filename), frame.f_lineno))
        whole(error, *words)

    monkeypatch.setattr(RulebookError, "__init__", note)
    for file in BROKEN:
        with contextlib.suppress(RulebookError):
            load(placed(file, folder))
    with contextlib.suppress(RulebookError):
        restored("small", "{")
    return met


def test_every_refusal_has_a_broken_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    places = set(refusals())
    assert len(places) > 20
    met = tried(tmp_path, monkeypatch)
    untried = [
        f"{file.name}:{first}"
        for file, first, last in sorted(places)
        if not any(where == file and first <= line <= last for where, line in met)
    ]
    assert untried == []
