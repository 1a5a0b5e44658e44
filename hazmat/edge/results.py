"""Laboratory results of a unit in words: each against the lines of its law, and all of one oil against each other."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from hazmat.core.assess import Judge
from hazmat.core.facts import Test, Unit
from hazmat.core.measures import figure_words, rounded_words
from hazmat.core.methods import scope_of
from hazmat.core.nearness import Differ, LineAt, Near, Shown, differing, high_lines, lines_of, near
from hazmat.core.unitnow import LOW_CARE, ResultNow, UnitNow
from hazmat.core.weigh import Weighed, as_words, reach, stricter, weigh
from hazmat.edge.one import seen
from hazmat.edge.unsigned import LABORATORY, proves
from hazmat.rulebooks import said

WIDE = "wide"
"""What a yard says that wants more room below a line than the uncertainty of a result."""
SCREENED = {"screen_below": "below", "screen_above": "above", "screen_after": "above", "screen_contradicts": "above"}
"""Usable screens by what they say."""


class Figure(NamedTuple):
    """A result that counts: its test, and in mg/kg; None where it holds no figure."""

    test: Test
    weighed: Weighed | None


@dataclass(frozen=True)
class Results:
    """What is said of the results of a unit: of each by its id, and of all together.

    `near`: how each stands to the next line; `lines`: the lines of its law in mg/kg, or of the handling book where no
    law is held.
    """

    says: Mapping[str, tuple[str, ...]]
    near: Mapping[str, Near]
    lines: tuple[LineAt, ...]
    together: tuple[str, ...]


def _read(unit: UnitNow, place: str) -> tuple[Unit, Judge, dict[str, Figure]]:
    """The unit as facts, its judge as at the law day of its answer, and each result that counts by its id."""
    facts, judge = seen(unit, place)
    counting = unit.counting
    tests = facts.tests[len(facts.tests) - len(counting) :]
    figures = {
        one.id: Figure(test, weigh(test, judge.house, law=judge.law)) for one, test in zip(counting, tests, strict=True)
    }
    return facts, judge, figures


def _lines(judge: Judge) -> list[LineAt]:
    return lines_of(judge.law or judge.house)


def results_of(unit: UnitNow, place: str) -> Results:
    """What the results of a unit say; `place`: the yard's own country code."""
    if not unit.counting:
        return Results({}, {}, (), ())
    facts, judge, figures = _read(unit, place)
    lines = _lines(judge)
    nearness = {
        key: found
        for key, one in figures.items()
        if one.weighed and (found := near(one.test, one.weighed, lines, judge.house))
    }
    says = {
        key: (
            *_told(nearness.get(key)), *(_raw(one, judge) if key in nearness else ()), *_scope(one.test, facts, judge)
        )
        for key, one in figures.items()
    }  # fmt: skip
    apart = [said(one.key, one.words()) for one in _apart(unit, facts, judge)]
    return Results(says, nearness, tuple(lines), tuple(dict.fromkeys([*apart, *_screens(facts, judge)])))


def _scope(test: Test, facts: Unit, judge: Judge) -> list[str]:
    """What is said of its method; of a space of another kind than its unit nobody knows the liquid."""
    like = all(space.name != test.space or space.kind in (None, facts.kind) for space in facts.spaces)
    scope = scope_of(test.method or "", facts.fluid if like else None, judge.house)
    return [scope.finding.says] if scope.told else []


def _told(found: Near | None) -> list[str]:
    if found is None:
        return []
    words = [said(f"near_{found.stands}", found.words())]
    unsaid = not found.reach.by_lab and found.stands in ("clear", "near", "over", "far_over")
    return [*words, said("near_spread")] if unsaid else words


def _raw(one: Figure, judge: Judge) -> list[str]:
    """What the raw figure of a report asks, where it reads higher than the one that was reported."""
    if one.weighed is None or (strict := stricter(one.test, one.weighed)) is one.weighed:
        return []
    high = reach(one.test, strict, judge.house).high
    return [said("near_raw", {"raw": f"{figure_words(strict.value)} mg/kg", "high": rounded_words(high)})]


def _apart(unit: UnitNow, facts: Unit, judge: Judge) -> list[Differ]:
    """Which laboratory figures of one oil differ by more than is allowed, those typed with the look among them."""
    first = len(facts.tests) - len(unit.counting)
    by_place = dict(enumerate(unit.counting, first))
    points = {one.code: one.point for one in unit.bottles}
    shown = []
    for place, test in enumerate(facts.tests):
        weighed = weigh(test, judge.house, law=judge.law) if test.how == LABORATORY and test.matrix == "oil" else None
        if weighed is None or test.composite:
            continue
        one = by_place.get(place)
        bottle, laboratory = (one.bottle, one.laboratory) if one else (test.sample or "", "")
        key = one.id if one else f"tests[{place}]"
        point = points.get(bottle, "")
        shown.append(Shown(key, test.space, weighed.sign, weighed.value, bottle, laboratory, point))
    return differing(shown, judge.house)


def _screens(facts: Unit, judge: Judge) -> list[str]:
    """Where a usable screen says otherwise than the highest laboratory figure of its oil."""
    highest: dict[str, Figure] = {}
    for test in facts.tests:
        weighed = weigh(test, judge.house, law=judge.law) if test.how == LABORATORY else None
        known = highest.get(test.space)
        if weighed and (known is None or known.weighed is None or weighed.value > known.weighed.value):
            highest[test.space] = Figure(test, weighed)
    found = []
    for one in judge.view(facts).readings:
        shows, figure = SCREENED.get(one.key), highest.get(one.space)
        if shows is None or figure is None or figure.weighed is None:
            continue
        at, weighed = Decimal(one.values["set_point"]), figure.weighed
        slots = {"set_point": one.values["set_point"], "figure": as_words(figure.test, weighed)}
        if shows == "below" and weighed.sign != "<" and weighed.value >= at:
            found.append(said("screen_missed", slots))
        if shows == "above" and weighed.sign != ">" and weighed.value < at:
            found.append(said("screen_over", slots))
    return found


def short_of(unit: UnitNow, place: str, guard: str) -> list[str]:
    """What a release lacks by the yard's own guard band: results that lie too near the line above which care begins.

    `guard`: what the yard asks; empty: no more than the care of hands does, which takes a figure with its uncertainty.
    """
    if guard != WIDE or not unit.counting:
        return []
    _, judge, figures = _read(unit, place)
    times = judge.house.number("guard_wide")
    lines = high_lines(judge.law or judge.house, LOW_CARE)
    found = []
    for result in unit.counting:
        test, weighed = figures[result.id]
        if weighed is None or not _speaks(result, unit, place):
            continue
        told = near(test, stricter(test, weighed), lines[:1], judge.house, times)
        if told and told.stands == "near":
            words = {**told.words(), "times": judge.house.words["guard_wide"], "figure": as_words(test, weighed)}
            found.append(said("lacks_room", words))
    return found


def _speaks(result: ResultNow, unit: UnitNow, place: str) -> bool:
    return proves(result.test, unit.line, place, date.fromisoformat(str(unit.answer["on"])))


def unnamed(unit: UnitNow, place: str, named: frozenset[str]) -> str:
    """Why these results are too few for a release, in a sentence: those that differ from each other are all named."""
    if not unit.counting:
        return ""
    facts, judge, figures = _read(unit, place)
    wanted = {one.key for differ in _apart(unit, facts, judge) for one in (differ.high, differ.other)}
    return said("differ_named") if not (wanted & figures.keys()) <= named else ""
