"""What a unit counts as until somebody signs a release: the worst of what is presumed, what is shown, what counted."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from hazmat import rulebooks
from hazmat.core.assess import Assessment
from hazmat.core.bulk import CARE
from hazmat.core.law import UNDETERMINED
from hazmat.core.unitnow import ESTABLISHED, NOTHING_PRESUMED, UnitNow
from hazmat.edge.one import judged

LABORATORY = "laboratory"
Pair = tuple[str, str]
"""A class and the care of hands."""


def ordered(rulebook: str | None) -> tuple[str, ...]:
    """The classes of a law from the least to the worst; an undetermined one gives way to all but the lowest."""
    law = rulebooks.law(rulebook)
    classes = law.classes if law else ()
    return (*classes[:1], UNDETERMINED, *classes[1:])


def worst(pairs: Sequence[Pair], order: Sequence[str]) -> Pair:
    """The worst class and the worst care of these; a class of another law has no say."""
    klass = max((one for one, _ in pairs if one in order), key=order.index, default=UNDETERMINED)
    return klass, max((care for _, care in pairs), key=CARE.index)


def counted(now: UnitNow | None) -> list[Pair]:
    """What it counted as before, where somebody has to sign for anything lower: a result is in, or a route is signed.

    What was only presumed goes by the line as it is corrected.
    """
    if now is None:
        return []
    tested = now.results or now.answer.get("basis") == ESTABLISHED
    route = now.decided is not None and now.decided.decision == "pcb_route"
    return [(now.oil.klass, now.oil.care)] if tested or route else []


def unsigned(
    found: Assessment, line: Mapping[str, Any], now: UnitNow | None, tag: str, place: str, today: date
) -> dict[str, str]:
    """Class and care of a unit until a release is signed. `found`: its answer by this line and its results.

    `now`: the unit before. A result shows a class only where that is no lower than what its line presumes. Raises Slip.
    """
    order = ordered(found.rulebook)
    shown = (found.klass, found.care)
    if found.basis != ESTABLISHED and not now:
        return {"class": found.klass, "care": found.care}
    bare = judged(untested(line), tag, place, found.on, today)
    presumed = NOTHING_PRESUMED if bare.basis == ESTABLISHED else (bare.klass, bare.care)
    settled = (
        found.basis == ESTABLISHED
        and order.index(found.klass) > order.index(UNDETERMINED)
        and order.index(found.klass) >= order.index(presumed[0])
    )
    klass, care = worst([shown, *([] if settled else [presumed]), *counted(now)], order)
    return {"class": klass, "care": care}


def untested(line: Mapping[str, Any]) -> Mapping[str, Any]:
    """A line without what its laboratory tests prove; a mixed sample proves nothing, and what it raises stays."""
    tests = [one for one in line.get("tests") or () if one["how"] != LABORATORY or one.get("composite")]
    return {**{key: value for key, value in line.items() if key != "tests"}, **({"tests": tests} if tests else {})}


def proves(test: Mapping[str, Any], line: Mapping[str, Any], place: str, on: date) -> bool:
    """Whether a test establishes a class by itself: asked of a unit of that kind of which nothing else is known."""
    alone = {key: value for key, value in test.items() if key != "space"}
    bare = {key: line[key] for key in ("kind", "found_in") if key in line}
    return judged({**bare, "tests": [alone]}, "alone", place, on, date.max).basis == ESTABLISHED
