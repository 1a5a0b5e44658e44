"""One unit of the book judged: the same reader, judge and answer as a line of a register has."""

from collections.abc import Mapping
from datetime import date
from functools import lru_cache
from typing import Any

import msgspec

from hazmat import rulebooks
from hazmat.core.assess import Assessment, Judge
from hazmat.core.facts import Unit
from hazmat.core.unitnow import UnitNow
from hazmat.edge.cross import contradiction
from hazmat.edge.lines import Assessor
from hazmat.edge.shapes import Shapes, Slip
from hazmat.edge.writer import as_dict

KEPT_DAYS = 16
"""How many law days keep their judges at once. Source: our own choice."""


@lru_cache(KEPT_DAYS)
def assessor(on: date) -> Assessor:
    """The assessor of one law day, with the judges that it has made."""
    return Assessor(None, on, on)


@lru_cache(KEPT_DAYS)
def _shapes(today: date) -> Shapes:
    """The readers of one day: making them costs more than reading a line does."""
    return Shapes(today)


def read_unit(line: Mapping[str, Any], tag: str, today: date) -> Unit:
    """A line of the book as facts; the book keeps a count as text.

    Raises Slip with path and sentence where a register would refuse it.
    """
    count = line.get("count", 1)
    whole = int(count) if isinstance(count, str) and count.isascii() and count.isdigit() else count
    unit: Unit = _shapes(today).read(Unit, {**line, "count": whole, "id": tag})
    wrong = contradiction(unit)
    if wrong:
        raise Slip(*wrong)
    return unit


def judged(line: Mapping[str, Any], tag: str, place: str, on: date, today: date) -> Assessment:
    """The answer for one unit under the law of the place where it was found, else of `place`, the yard's own.

    `on`: the law day; `today`: no date of the line may lie after it. Raises Slip where the line cannot stand.
    """
    unit = read_unit({"found_in": place, **line}, tag, today)
    maker = assessor(on)
    wrong = rulebooks.unknown_state(unit.found_in) if unit.found_in else None
    if wrong:
        raise Slip("found_in", wrong)
    judge = maker.judge(rulebooks.law_of(unit.found_in) if unit.found_in else None, unit.found_in)
    return judge.assess(unit)


def seen(unit: UnitNow, place: str) -> tuple[Unit, Judge]:
    """A unit of the book as facts, and the judge of its place as at the law day of its answer."""
    facts = read_unit({"found_in": place, **unit.judged_line}, unit.tag, date.max)
    law = rulebooks.law_of(facts.found_in) if facts.found_in else None
    return facts, assessor(date.fromisoformat(unit.answer["on"])).judge(law, facts.found_in)


def answer_data(answer: Assessment) -> dict[str, Any]:
    """The answer as plain data: exactly what a JSON line of `assess` holds."""
    found: dict[str, Any] = msgspec.json.decode(msgspec.json.encode(as_dict(answer)))
    return found


__all__ = ["Slip", "answer_data", "assessor", "judged", "read_unit", "seen"]
