"""A condition test in words: its figures, what the sums make of them, what disagrees, and which test is next."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from hazmat.core.amended import counting
from hazmat.core.condition import ConditionNow
from hazmat.core.facts import TANK
from hazmat.core.findings import Finding, finish, result_words
from hazmat.core.measures import PER_CENT, fahrenheit, figure_words
from hazmat.core.sums.frame import Printed, Sum, Worked
from hazmat.core.sums.screening import CALIBRATED
from hazmat.core.sums.tested import BESIDE, FIGURES, OPEN, WARNINGS, span
from hazmat.core.unitnow import UnitNow
from hazmat.edge.sums import read_sum, rows, work
from hazmat.rulebooks.sumbook import sums

LIQUIDS = {None: "unknown", "mineral": "mineral", "silicone": "silicone"}
"""What a line calls a liquid, and what the sum calls it; any other is another one."""
CAUTIONS = frozenset((*WARNINGS, *(f"{OPEN}_{key}" for key in WARNINGS)))
NEXT, DISAGREE = "next_", "halogens_disagree"
"""How the key of a sentence begins that names a test still to be made; and of the one on figures that do not fit."""
ABOUT = {**dict(zip(WARNINGS, ("flash", "halogens", "density"), strict=True)), DISAGREE: "halogens"}
"""Which figure a warning is about."""
NOT_MET, MG_KG, SUMS_OF_SOME = "not_met", "mg/kg", ("six", "seven")
TENTH = Decimal("0.1")
"""How finely the chlorine of PCB is told. Source: our own choice."""


@dataclass(frozen=True)
class Fate:
    """What one wish for the oil comes to: what it is wanted for, the lines of the sum, what is said beside them."""

    wanted: str
    rows: list[tuple[str, str]]
    said: list[Finding]


@dataclass(frozen=True)
class Told:
    """A condition test for its page. `figures`: name, words, what belongs to it, method.

    `untested`: no laboratory result of this oil counts; `rows`: each line of the sum; `cautions`, `said`, `next`: what
    asks for care, what else has to be said, and which tests are missing, in their order.
    """

    figures: list[tuple[str, str, str, str]]
    untested: bool
    rows: list[tuple[str, str]]
    cautions: list[Finding]
    said: list[Finding]
    next: list[Finding]
    fates: list[Fate]


def told(unit: UnitNow, test: ConditionNow) -> Told:
    """A test as it reads now, by the figures of the law day of the unit's answer."""
    asked, on = sums()["oil_tested"], _law_day(unit)
    worked = _worked(unit, test)
    said = _said(asked, worked)
    return Told(
        figures=figures(test.asked, test.methods), untested=not _tested(unit, test.space), rows=rows(asked, worked),
        cautions=_cautions(unit, test, said), next=[one for one in said if one.key.startswith(NEXT)],
        said=[one for one in said if one.key not in CAUTIONS and not one.key.startswith(NEXT)],
        fates=[_fate(unit, test, worked, wanted, on) for wanted in _words("oil_fate", "wanted")],
    )  # fmt: skip


def cautions_of(unit: UnitNow) -> tuple[str, ...]:
    """What the condition tests that count ask of whoever handles this unit, each once. A later test takes none back."""
    asked, found = sums()["oil_tested"], dict[str, None]()
    for test in counting(unit.conditions):
        for one in _cautions(unit, test, _said(asked, _worked(unit, test))):
            box = ABOUT[one.key.removeprefix(f"{OPEN}_")]
            figure = line_of({key: says for key, says in test.asked.items() if box in (key, BESIDE.get(key))})
            slots = {"space": test.space, "figure": figure, "says": one.says[:1].lower() + one.says[1:]}
            found[finish(asked.spoken("caution_by_test", slots), {})] = None
    return tuple(found)


def figures(asked: Mapping[str, Any], methods: Mapping[str, str]) -> list[tuple[str, str, str, str]]:
    """Each figure of a slip: its name, the figure in words, its temperature or cup, its method."""
    of = sums()["oil_tested"]
    given, boxes = read_sum(of, asked), {box.key: box for box in of.boxes}
    found = []
    for key in FIGURES:
        if (one := given[key]) is not None:
            words = _words_of(key, one, boxes[key].unit)
            found.append((boxes[key].says, words, _beside(given, key), methods.get(key, "")))
    return found


def line_of(asked: Mapping[str, Any]) -> str:
    """The figures of a slip on one line: `water 20 mg/kg, flash point 61 °C (closed cup)`."""
    return ", ".join(
        f"{name[:1].lower()}{name[1:].partition(',')[0]} {words}{f' ({beside})' if beside else ''}"
        for name, words, beside, _ in figures(asked, {})
    )


def _words_of(key: str, one: Printed, unit: str) -> str:
    words = _amount(one, unit)
    return f"{words} ({figure_words(one.value * PER_CENT)} %)" if key == "dissipation" else words


def _amount(one: Printed, unit: str = MG_KG) -> str:
    return result_words(one.sign, one.value, unit).strip()


def _beside(given: Mapping[str, Any], key: str) -> str:
    if key == "flash":
        return f"{given['cup']} cup"
    celsius = given.get(f"{key}_c")
    return "" if celsius is None else f"at {figure_words(celsius)} °C"


def _law_day(unit: UnitNow) -> date:
    return date.fromisoformat(unit.answer["on"])


def _words(name: str, key: str) -> Mapping[str, str]:
    return next(box.words for box in sums()[name].boxes if box.key == key)


def _worked(unit: UnitNow, test: ConditionNow) -> Worked:
    more = {"fluid": _liquid(unit, test.space), "pcb_tested": _tested(unit, test.space)}
    return work(sums()["oil_tested"], {**test.asked, **more}, _law_day(unit))


def _liquid(unit: UnitNow, space: str) -> str:
    """The liquid as the sum calls it; of a space of another kind than its unit nothing is known."""
    line = unit.line
    kinds = {one["name"]: one.get("kind") for one in line.get("spaces") or ()}
    if kinds.get(space) not in (None, line.get("kind")):
        return LIQUIDS[None]
    return LIQUIDS.get(line.get("fluid"), "other")


def _tested(unit: UnitNow, space: str) -> bool:
    """Whether a laboratory result of this oil space counts."""
    return any(one.test.get("space", TANK) == space for one in unit.counting)


def _said(asked: Sum, worked: Worked) -> list[Finding]:
    """What is said beside an answer, by key, with what stands always first."""
    keys = [*asked.always, *(note.key for note in worked.notes)]
    told = zip(keys, asked.said(worked), strict=True)
    return [Finding(key, finish(says, {}), cite.document, cite.basis) for key, (says, cite) in told]


def _cautions(unit: UnitNow, test: ConditionNow, said: list[Finding]) -> list[Finding]:
    return [*(one for one in said if one.key in CAUTIONS), *_disagrees(unit, test)]


def _disagrees(unit: UnitNow, test: ConditionNow) -> Iterator[Finding]:
    """That halogens and PCB of one oil do not fit: what no PCB explains would trip a colour tube by itself."""
    asked, on, pcb = sums()["oil_tested"], _law_day(unit), _pcb(unit, test.space)
    halogens = read_sum(asked, test.asked)["halogens"]
    least = span(halogens)[0] if halogens else None
    if not pcb or not pcb.value or least is None or not least.is_finite():
        return
    explained = max(_chlorine(pcb.value, mixture, on) for mixture in _words("chlorine", "mixture"))
    tube = asked.figures["chlorine_tube"].at(on)
    if tube and least - explained >= _chlorine(Decimal(str(tube.value)), CALIBRATED, on):
        slots = {
            "halogens": _amount(halogens), "pcb": _amount(pcb),
            "explained": figure_words(explained.quantize(TENTH)),
        }  # fmt: skip
        cite = asked.sentences[DISAGREE].cite
        yield Finding(DISAGREE, finish(asked.spoken(DISAGREE, slots), {}), cite.document, cite.basis)


def _chlorine(pcb: Decimal, mixture: str, on: date) -> Decimal:
    """How much chlorine so much PCB of a mixture brings, by the sum on chlorine."""
    found = work(sums()["chlorine"], {"pcb": figure_words(pcb), "mixture": mixture}, on).values["chlorine"]
    assert isinstance(found, Decimal)
    return found


def _pcb(unit: UnitNow, space: str) -> Printed | None:
    """The PCB in mg/kg that the results of this oil space leave possible at most; None where one leaves it open.

    What was not detected is below the limit of its report, and no more is known.
    """
    found = []
    for one in unit.counting:
        test = one.test
        if test.get("space", TANK) != space:
            continue
        figure = test.get("value", test.get("reporting_limit"))
        part = test.get("congener_sum") in SUMS_OF_SOME
        if figure is None or test.get("unit") != MG_KG or test.get("sign") == ">" or part:
            return None
        below = "value" not in test or test.get("sign") == "<"
        found.append(Printed("<" if below else "=", Decimal(str(figure))))
    return max(found, key=lambda one: span(one)[1], default=None)


def _fate(unit: UnitNow, test: ConditionNow, worked: Worked, wanted: str, on: date) -> Fate:
    asked = sums()["oil_fate"]
    found = work(asked, {"wanted": wanted, **_for_fate(unit, test, worked)}, on)
    return Fate(_words("oil_fate", "wanted")[wanted], rows(asked, found), _said(asked, found))


def _for_fate(unit: UnitNow, test: ConditionNow, worked: Worked) -> dict[str, Any]:
    """What the sum on fate takes of this test. A result that nobody signed tells it no PCB, and no band says fit.

    Of a figure with a sign the worse end is taken; where that has no end the figure is left out, and counts as missing.
    """
    given, found = read_sum(sums()["oil_tested"], test.asked), dict[str, Any]()
    pcb = _pcb(unit, test.space) if unit.oil.known != "untested" else None
    if pcb is not None:
        found["pcb"] = figure_words(span(pcb)[1])
    if given["halogens"]:
        least, most = span(given["halogens"])
        if most.is_finite() or worked.values["halogens_presumed"] == "yes":
            found["halogens"] = figure_words(most if most.is_finite() else least)
    if given["flash"] and (lowest := span(given["flash"])[0]).is_finite():
        found["flash_f"] = figure_words(fahrenheit(lowest))
    if worked.values.get("water_meets") == NOT_MET:
        found["water_breakdown_ok"] = False
    if NOT_MET in (worked.values.get(line) for line in ("acidity_meets", "acidity_guide", "ift_meets")):
        found["acidity_ift_ok"] = False
    return found
