"""Worked cases as data: facts in, what a document says must come out. They prove rows of the tables, or fail to.

A row is *proven* when a case whose document was read, or is remembered, is decided by it. Rows that no case reaches, or
only cases of our own judgement, are listed as unproven.
"""

import json
import tomllib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from hazmat import rulebooks
from hazmat.core.assess import Assessment
from hazmat.core.identity import Plate, read_plate
from hazmat.core.law import LawDay
from hazmat.edge.lines import Assessor
from hazmat.edge.reader import Refused
from hazmat.rulebooks.fluids import fluid_names

CASES = Path(__file__).resolve().parents[2] / "fixtures" / "cases"
KEYS = {"name", "rulebook", "day", "facts", "expect", "source", "where", "basis", "note"}
PLAIN = {
    "class": "klass",
    "basis": "basis",
    "force": "force",
    "band": "band",
    "care": "care",
    "size": "size",
    "instrument": "instrument",
    "good_until": "good_until",
}
"""Expectations that are a field of the answer, by its name there. TOML has no null: `none` stands for it."""
NONE = "none"
LOOKED_FOR: dict[str, tuple[str, Callable[[Assessment], list[str]]]] = {
    "act": ("next", lambda found: [task.act for task in found.next]),
    "act_says": ("next", lambda found: [task.says for task in found.next]),
    "says": ("because", lambda found: [finding.says for finding in found.because]),
    "problem": ("problems", lambda found: [problem.says for problem in found.problems]),
    "field": ("problems", lambda found: [problem.field for problem in found.problems]),
    "duty": ("duties", lambda found: [duty.name for duty in found.duties]),
    "duty_says": ("duties", lambda found: [duty.says for duty in found.duties]),
    "owed": ("duties", lambda found: [f"{duty.name} {duty.due or NONE}" for duty in found.duties]),
}
"""Expectations that are a text, or a list of texts, of which each must stand there: where, and among what. The
words of `WHOLE` are asked whole; the others are parts of a sentence. `owed` is a duty and its last day, or `none`."""
WHOLE = ("act", "field", "duty", "owed")
UNWANTED = {"not_act": "act", "not_says": "says", "not_duty": "duty"}
"""Expectations that a text does not stand there."""
LISTS: dict[str, Callable[[Assessment], list[str]]] = {
    "duties": lambda found: [duty.name for duty in found.duties],
    "acts": lambda found: [task.act for task in found.next],
}
"""Expectations that are the whole list, in its order."""
EXPECTED = {*PLAIN, *LOOKED_FOR, *UNWANTED, *LISTS, "not_class", "names", "due"}


@dataclass(frozen=True, slots=True)
class Case:
    """One worked case: a sentence as its name, law and day, facts as a line of a register, what must come out."""

    file: str
    name: str
    rulebook: str
    day: date
    facts: dict[str, Any]
    expect: dict[str, Any]
    source: str
    where: str
    basis: str


@dataclass(frozen=True, slots=True)
class Miss:
    """Where an answer differs from its case."""

    field: str
    expected: Any
    found: Any


def cases(folder: Path = CASES) -> list[Case]:
    """Every case of a folder, in order of file and place. Raises ValueError on an unknown key or a repeated name."""
    found = [
        _case(path.name, given)
        for path in sorted(folder.glob("*.toml"))
        for given in tomllib.loads(path.read_text("utf-8"))["case"]
    ]
    names = [case.name for case in found]
    for name in names:
        if names.count(name) > 1:
            raise ValueError(f"two cases are named “{name}”; give each a sentence of its own")
    return found


def _case(file: str, given: dict[str, Any]) -> Case:
    unknown = (given.keys() - KEYS) | (given["expect"].keys() - EXPECTED)
    if unknown or not given["expect"]:
        wrong = ", ".join(sorted(unknown)) or "nothing is expected"
        raise ValueError(f"{file}, “{given.get('name')}”: {wrong}; use {', '.join(sorted(KEYS))}")
    given = {key: value for key, value in given.items() if key != "note"}
    return Case(file=file, **given)


def answer(case: Case, today: date) -> Assessment:
    """The answer of the product for a case. Raises ValueError where its facts are refused."""
    law = None if case.rulebook == "none" else case.rulebook
    line = json.dumps({"id": "case", **case.facts}, default=str).encode()
    (one,) = Assessor(law, case.day, max(today, case.day)).answers([line])
    if isinstance(one, Refused):
        raise ValueError(f"{case.file}, “{case.name}”: {one}")
    return one


def plate(case: Case) -> Plate:
    """How the plate words of a case read under its law."""
    house = LawDay(rulebooks.rulebook(rulebooks.HANDLING), case.day)
    return read_plate(tuple(case.facts["plate_words"]), fluid_names(), case.rulebook, house.number("label_claim"))


def misses(case: Case, found: Assessment) -> Iterator[Miss]:
    """Every difference between a case and an answer."""
    for field, expected in case.expect.items():
        if field in PLAIN:
            got = getattr(found, PLAIN[field])
            if (NONE if got is None else got) != expected:
                yield Miss(field, expected, got)
        elif field in LOOKED_FOR or field in UNWANTED:
            yield from _among(field, expected, found)
        elif field == "names":
            yield from _plate_misses(case, expected)
        elif field == "not_class":
            if found.klass == expected:
                yield Miss("class", f"not {expected}", found.klass)
        elif field in LISTS:
            told = LISTS[field](found)
            if told != expected:
                yield Miss(field, expected, told)
        else:
            due = found.duties[0].due if found.duties else None
            if due != expected:
                yield Miss("duties[0].due", expected, due)


def _among(field: str, expected: str | list[str], found: Assessment) -> Iterator[Miss]:
    """The texts that are expected and missing, or unwanted and there."""
    name = UNWANTED.get(field, field)
    place, texts = LOOKED_FOR[name][0], LOOKED_FOR[name][1](found)
    for wanted in [expected] if isinstance(expected, str) else expected:
        there = wanted in texts if name in WHOLE else any(wanted in text for text in texts)
        if there == (field in UNWANTED):
            yield Miss(place, f"{'no ' if there else ''}“{wanted}”", texts)


def _plate_misses(case: Case, expected: dict[str, Any]) -> Iterator[Miss]:
    read = plate(case)
    for key, value in expected.items():
        got = getattr(read, "word" if key == "name" else key)
        if got != value:
            yield Miss(f"plate {key}", value, got)


def rows_of(found: Assessment) -> set[str]:
    """The table rows among the reasons of an answer, as `table: row`."""
    return {finding.key for finding in found.because if ": " in finding.key}


OF_BAND = {"band", "care"}
"""Expectations of which a case needs one to prove a row of the safety band."""
OF_LAW = {"class", "size"}
"""Expectations of which a case needs one to prove a row of a law: what is owed also follows from other rows."""


def unproven(law: str, every: Iterable[Case], today: date) -> list[str]:
    """Rows of a rulebook, as `table: row`, that no case with a document behind it is decided by."""
    book = rulebooks.rulebook(law)
    wanted = {
        f"{name}: {row.name}"
        for name in ("presumption", "capacitor_size", "band")
        if name in book.tables
        for row in book.tables[name].rows
    }
    proven: set[str] = set()
    for case in every:
        if case.basis != "judgement":
            found = answer(case, today)
            of_law = case.expect.keys() & OF_LAW and found.rulebook == law
            speaks = case.expect.keys() & OF_BAND if law == rulebooks.HANDLING else of_law
            if speaks and not any(misses(case, found)):
                proven |= rows_of(found) & wanted
    return sorted(wanted - proven)
