"""Worked cases of what a page says: steps, heads, strip, strength, cautions. Data in fixtures/told, read here.

A case gives facts of a unit, from which everything follows as on its page, or the columns of the steps alone.
"""

import json
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from hazmat import rulebooks
from hazmat.core import parts, sampling
from hazmat.core.facts import Unit
from hazmat.core.law import LawDay, Rulebook
from hazmat.core.unitnow import FateNow, UnitNow, VerdictNow
from hazmat.edge.one import answer_data, judged, read_unit

TOLD = Path(__file__).resolve().parents[2] / "fixtures" / "told"
TODAY = date(2026, 11, 25)
TAG, INSTANT = "K7M4PX", "2026-11-25T00:00:00Z"
TEXTS = ("strip", "lifts", "lapsed", "lacking", "strength", "cautions", "beside", "step_says")
"""Expectations of words: each text must stand in what is said; the others are compared whole."""


@dataclass(frozen=True, kw_only=True)
class Told:
    """One case: what is known of a unit and its place, or columns; what its page must say; where that comes from."""

    name: str
    expect: dict[str, Any]
    source: str
    where: str
    basis: str
    place: str = "NZ"
    facts: dict[str, Any] = field(default_factory=dict)
    columns: dict[str, str] = field(default_factory=dict)
    proved: Any = "unknown"
    arrival: Any = "gate"
    leak: Any = "none"
    sources: dict[str, str] = field(default_factory=dict)
    verdict: dict[str, Any] = field(default_factory=dict)
    fates: list[str] = field(default_factory=list)


def told_cases() -> list[Told]:
    """Every case of the folder. Raises TypeError for a key that nobody knows."""
    files = sorted(TOLD.glob("*.toml"))
    return [Told(**given) for path in files for given in tomllib.loads(path.read_text("utf-8"))["case"]]


EVERY = told_cases()


@cache
def _answered(facts: str, place: str) -> tuple[Unit, dict[str, Any]]:
    """The facts of a case as read, and its answer: neither hangs on steps, heads or words of a page."""
    line = json.loads(facts)
    answer = answer_data(judged(line, TAG, place, TODAY, TODAY))
    return read_unit({"found_in": place, **line}, TAG, TODAY), answer


def said(case: Told, day: LawDay) -> dict[str, Any]:
    """What is said of the unit of a case, by the name of each expectation. `day`: the handling book."""
    house = day.book
    if case.columns:
        return _steps(case.columns, day)
    unit, answer = _answered(json.dumps(case.facts), case.place)
    law = rulebooks.rulebook(answer["rulebook"]) if answer["rulebook"] in rulebooks.laws() else None
    columns = sampling.step_facts(unit, answer, case.proved, day)
    now = _unit(case, answer)
    hold, sorted_ = parts.hold(now, house), parts.parts(answer["next"], house)
    return {
        **_steps(columns, day), **columns,
        **{head: [task["act"] for task in tasks] for head, tasks in sorted_.items()},
        "hold": hold.on, "strip": hold.says, "lifts": hold.lifts, "lapsed": hold.lapsed,
        "lacking": parts.lacking(now, house), "strength": parts.strength(answer, law, house),
        "hands": parts.hands(answer, law, house),
        "first": parts.first_step(answer["next"], house)["act"], "cautions": parts.cautions(now, house),
        "beside": tuple(one.says for one in parts.beside(now, house)),
    }  # fmt: skip


def _steps(columns: Mapping[str, str], day: LawDay) -> dict[str, Any]:
    found = sampling.steps(columns, day)
    return {"steps": [one.key for one in found], "step_says": [one.finished({}) for one in found]}


def _unit(case: Told, answer: dict[str, Any]) -> UnitNow:
    judged = {"klass": answer["class"], "basis": answer["basis"], "care": answer["care"], **case.verdict}
    signed = {"id": "v", "reason": "read", "evidence": (), "signer": "p", "signed_at": INSTANT, **judged}
    return UnitNow(
        unit="u", yard="y", tag=TAG, arrival=case.arrival, logged_at=INSTANT, look="l", line=case.facts,
        sources=case.sources, leak=case.leak, note="", proved=None, answer=answer, assessed_at=INSTANT, seq="1",
        happened_at=INSTANT, verdicts=(VerdictNow(**signed),) if case.verdict else (),
        fates=tuple(FateNow(what=one, at=INSTANT) for one in case.fates),
    )  # fmt: skip


def told_misses(case: Told, day: LawDay) -> Iterator[str]:
    """Every expectation that is not met, in words."""
    found = said(case, day)
    for name, expected in case.expect.items():
        met = found[name] == expected or (name in TEXTS and _stands(expected, found[name]))
        if not met:
            yield f"{case.name}: {name} should be {expected}, is {found[name]}"


def _stands(expected: str | list[str], found: str | list[str] | tuple[str, ...]) -> bool:
    """Each text expected stands somewhere; of cautions there are no more than expected."""
    texts = [found] if isinstance(found, str) else list(found)
    wanted = [expected] if isinstance(expected, str) else expected
    crowded = isinstance(found, tuple) and len(texts) != len(wanted)
    return not crowded and all(any(one in text for text in texts) for one in wanted)


def all_told(house: Rulebook | None = None) -> bool:
    """Whether every case says what it must."""
    day = LawDay(house or rulebooks.rulebook(rulebooks.HANDLING), TODAY)
    return not any(miss for case in EVERY for miss in told_misses(case, day))
