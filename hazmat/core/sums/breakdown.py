"""Breakdown tests of oil: what the shots say, whether two tests agree, in which band a figure lies.

No shot is ever left out, and kilovolts are never turned from one method into another.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from hazmat.core.measures import figure_words
from hazmat.core.sums.frame import CannotWork, Fixed, Given, Note, Value, Work, Worked

Verdict = Literal["yes", "no", "not_judged"]

BETWEEN = re.compile(r"[\s;]+")
ABOVE = re.compile(r"(?:>=|>|≥)\s*")
SHOT = re.compile(r"(>?)([0-9]{1,3}(?:\.[0-9]{1,6})?)", re.ASCII)
YEAR = re.compile(r"(?<![0-9])(?:19|20)[0-9]{2}(?![0-9])", re.ASCII)
MOST_SHOTS = 100
"""No line of shots is longer. Source: our own bound."""
FAMILY = {"d1816_1mm": "d1816", "d1816_2mm": "d1816"}
"""Methods that differ in their gap alone share the rest. Source: ASTM D1816."""
RULED = (("gap", "gap_mm"), ("ramp", "ramp_kv_s"), ("pause", "pause_min"), ("stand", "stand_min"),
         ("temperature", "oil_temperature_c"))  # fmt: skip


@dataclass(frozen=True, slots=True)
class Shot:
    """One shot in kV. `above`: the tester reached its top at this figure and the oil held."""

    kv: Decimal
    above: bool = False


@dataclass(frozen=True, slots=True)
class Shots:
    """One breakdown test as it was made, its shots in order. None: not said."""

    method: str
    kv: tuple[Shot, ...]
    gap_mm: Decimal | None = None
    ramp_kv_s: Decimal | None = None
    pause_min: Decimal | None = None
    stand_min: Decimal | None = None
    oil_temperature_c: Decimal | None = None
    stirred: bool | None = None
    fillings: int | None = None

    @property
    def family(self) -> str:
        """The method without its gap."""
        return FAMILY.get(self.method, self.method)


@dataclass(frozen=True, slots=True)
class ShotsTold:
    """What the shots of one test say, in kV and shares of the mean.

    `lower_bound`: a shot went past the tester's top, so mean, high, sd, cv and range are at least so much.
    `due`, `fillings_due`, `complete`: None where the method fixes no number. `counted`: every shot, in order.
    """

    mean: Decimal
    lower_bound: bool
    sd: Decimal | None
    cv: Decimal | None
    low: Decimal
    high: Decimal
    range_share: Decimal | None
    counted: tuple[Shot, ...]
    due: int | None
    fillings_due: int | None
    missing: int
    complete: bool | None
    consistent: Verdict
    notes: tuple[Note, ...]


def read_shots(text: str) -> tuple[Shot, ...]:
    """Shots in kV from one line, blanks or semicolons between them; `>60`: held up to the tester's top.

    Raises CannotWork about `shots`: a comma, a word, none or too many.
    """
    if "," in text:
        raise CannotWork("shots", "comma")
    parts = [part for part in BETWEEN.split(ABOVE.sub(">", text)) if part]
    if not 0 < len(parts) <= MOST_SHOTS:
        raise CannotWork("shots", "no_shots", most=str(MOST_SHOTS))
    shots = []
    for place, part in enumerate(parts, 1):
        found = SHOT.fullmatch(part)
        if not found:
            raise CannotWork("shots", "not_a_shot", place=str(place))
        shots.append(Shot(Decimal(found[2]), found[1] == ">"))
    return tuple(shots)


def _sound(shots: Shots, fixed: Fixed) -> None:
    """Raise CannotWork where no shot is there, one is higher than any tester goes, or a top lies below a shot."""
    if not shots.kv:
        raise CannotWork("shots", "no_shots", most=str(MOST_SHOTS))
    high, most = max(shot.kv for shot in shots.kv), fixed.number("shot_most")
    if high > most:
        raise CannotWork("shots", "shot_too_high", most=figure_words(most))
    for shot in shots.kv:
        if shot.above and shot.kv < high:
            raise CannotWork("shots", "top_below_shot", top=figure_words(shot.kv), high=figure_words(high))


def judge_shots(shots: Shots, fixed: Fixed) -> ShotsTold:
    """Mean, spread, completeness and consistency of one test. Raises CannotWork about `shots`."""
    _sound(shots, fixed)
    kv = [shot.kv for shot in shots.kv]
    count, high, low = len(kv), max(kv), min(kv)
    mean = sum(kv, Decimal(0)) / count
    lower_bound = any(shot.above for shot in shots.kv)
    spread_known = count > 1 and not all(shot.above for shot in shots.kv)
    sd = (sum(((one - mean) ** 2 for one in kv), Decimal(0)) / (count - 1)).sqrt() if spread_known else None
    share = (high - low) / mean if spread_known and mean else None
    cv = sd / mean if sd is not None and mean else None
    fillings_due, due = _plan(shots, fixed)
    consistent, ruled = _consistent(shots, share, due, fixed)
    notes = (
        *_counted(shots, due, fillings_due), *_off(shots, fixed), *_odd(shots, cv, fixed), *ruled, *_by_filling(shots),
    )  # fmt: skip
    return ShotsTold(
        mean=mean, lower_bound=lower_bound, sd=sd, cv=cv, low=low, high=high, range_share=share, counted=shots.kv,
        due=due, fillings_due=fillings_due, missing=max(due - count, 0) if due else 0,
        complete=count >= due if due else None, consistent=consistent, notes=notes,
    )  # fmt: skip


def _plan(shots: Shots, fixed: Fixed) -> tuple[int | None, int | None]:
    """Fillings and shots of a whole test: the plan with as many fillings, else the first; None for an own method."""
    names = [name for name in (f"{shots.family}_plans", f"{shots.family}_one_filling") if name in fixed.versions]
    flat = [int(one) for name in names for one in fixed.series(name)]
    plans = dict(zip(flat[::2], flat[1::2], strict=True))
    if not plans:
        return None, None
    fillings = shots.fillings if shots.fillings in plans else flat[0]
    return fillings, plans[fillings]


def _counted(shots: Shots, due: int | None, fillings_due: int | None) -> Iterator[Note]:
    count, above = len(shots.kv), [shot.kv for shot in shots.kv if shot.above]
    if due and count != due:
        yield Note("too_few" if count < due else "too_many", {"given": str(count), "due": str(due)})
    if shots.fillings is not None and fillings_due is not None and shots.fillings != fillings_due:
        yield Note("fillings_other", {"given": str(shots.fillings), "due": str(fillings_due)})
    if above:
        slots = {"count": str(len(above)), "of": str(count), "top": figure_words(max(above))}
        yield Note("all_above" if len(above) == count else "some_above", slots)
    if count == 1:
        yield Note("one_shot")


def _off(shots: Shots, fixed: Fixed) -> Iterator[Note]:
    """What was set otherwise than the method says, as far as both are known."""
    for what, field in RULED:
        value: Decimal | None = getattr(shots, field)
        least, most = (
            fixed.first(f"{shots.method}_{what}_{end}", f"{shots.family}_{what}_{end}") for end in ("least", "most")
        )
        low = value is not None and least is not None and value < least
        high = value is not None and most is not None and value > most
        if value is not None and (low or high):
            bounds = {"least": least, "most": most}
            told = {end: figure_words(bound) for end, bound in bounds.items() if bound is not None}
            yield Note(f"{shots.family}_{what}_off", {"is": figure_words(value), **told})
    if shots.stirred is not None:
        ruled = fixed.text(f"{shots.family}_stirring") if f"{shots.family}_stirring" in fixed.versions else ""
        if not shots.stirred and ruled in ("always", "recommended"):
            yield Note(f"{shots.family}_not_stirred")
        if shots.stirred and ruled == "none":
            yield Note(f"{shots.family}_stirred")


def _odd(shots: Shots, cv: Decimal | None, fixed: Fixed) -> Iterator[Note]:
    """What makes one look again, whatever the method."""
    values = {shot.kv for shot in shots.kv}
    if len(shots.kv) > 1 and len(values) == 1 and not any(shot.above for shot in shots.kv):
        yield Note("all_equal")
    wide = fixed.number("spread_wide")
    if cv is not None and cv > wide:
        yield Note("spread_wide", {"wide": figure_words(wide)})
    if max(values) == 0:
        yield Note("all_nought")


def _consistent(shots: Shots, share: Decimal | None, due: int | None, fixed: Fixed) -> tuple[Verdict, list[Note]]:
    """Whether the spread lies within the rule of the method, where a rule was read or is remembered."""
    if share is None or len(shots.kv) != due:
        return "not_judged", []
    most = fixed.first(f"{shots.method}_range_most")
    kv = sorted((shot.kv, shot.above) for shot in shots.kv)
    if most is not None and shots.fillings in (None, 1):
        wide, sure = share > most, True
        notes = [Note("d1816_range_no", {"most": figure_words(most)})] if wide else []
    elif shots.family == "d877" and shots.fillings == 1:
        wide, sure = fixed.number("d877_range_times") * (kv[-1][0] - kv[0][0]) > kv[1][0], not kv[1][1]
        notes = [Note("d877_one_filling_no" if wide else "d877_one_filling_rule")]
    else:
        return "not_judged", []
    if any(above for _, above in kv) and not (wide and sure):
        return "not_judged", []
    return ("no" if wide else "yes"), notes


def _by_filling(shots: Shots) -> Iterator[Note]:
    """D877 is shot on one filling or on several, by rules of their own."""
    if shots.family == "d877" and shots.fillings != 1:
        yield Note("d877_say_fillings" if shots.fillings is None else "d877_fillings")


def _fits(given: Given, family: str, fixed: Fixed) -> tuple[bool | None, list[Note]]:
    """Whether liquid and equipment lie within what the method is for; None where nothing was said that decides it."""
    thickest, notes = fixed.first(f"{family}_viscosity_most"), []
    asked = given["viscosity"] is not None and thickest is not None
    if given["viscosity"] is not None and thickest is not None and given["viscosity"] > thickest:
        notes.append(Note(f"{family}_too_thick", {"most": figure_words(thickest)}))
    if family == "d877" and given["vacuum_filled"] is not None:
        asked = True
        if given["vacuum_filled"]:
            notes.append(Note("d877_vacuum_filled"))
    return (not notes if asked else None), notes


def _stirring(family: str, edition: str | None, fixed: Fixed) -> str | None:
    """What the method, in an edition with this year in its name, says of stirring; without a year: the newest read."""
    year, since = YEAR.search(edition or ""), fixed.first(f"{family}_stirring_since")
    if since is not None and year is not None and int(year[0]) < since:
        return fixed.text(f"{family}_stirring_earlier")
    return fixed.text(f"{family}_stirring") if f"{family}_stirring" in fixed.versions else None


def breakdown(given: Given, fixed: Fixed) -> Worked:
    """Mean, spread, completeness and consistency of one test, its shots in kV on one line."""
    shots = Shots(
        given["method"], read_shots(given["shots"]), given["gap_mm"], given["ramp_kv_s"], given["pause_min"],
        given["stand_min"], given["oil_temperature_c"], given["stirred"], given["fillings"],
    )  # fmt: skip
    told = judge_shots(shots, fixed)
    fits, outside = _fits(given, shots.family, fixed)
    values: dict[str, Value] = {
        "mean": told.mean, "mean_is": "at_least" if told.lower_bound else "figure", "sd": told.sd, "cv": told.cv,
        "low": told.low, "high": told.high, "range_share": told.range_share, "counted": len(told.counted),
        "due": told.due, "fillings_due": told.fillings_due, "missing": told.missing if told.due else None,
        "complete": told.complete, "consistent": told.consistent, "in_scope": fits,
        "stirring": _stirring(shots.family, given["edition"], fixed),
    }  # fmt: skip
    known = {key: value for key, value in values.items() if value is not None}
    return Worked(known, (*told.notes, *outside))


def breakdown_pair(given: Given, fixed: Fixed) -> Worked:
    """Whether two means in kV, of one method and gap, differ by more than the method lets them."""
    method, pair = _one_method(given, fixed), (given["first"], given["second"])
    mean = sum(pair, Decimal(0)) / len(pair)
    if not mean:
        raise CannotWork("first", "pair_nought")
    share = abs(pair[0] - pair[1]) / mean
    allowed = fixed.first(f"{method}_{given['who']}")
    if allowed is None:
        return Worked({"share": share, "differ": "not_judged"}, (Note("pair_no_figure"),))
    bounds = [bool(given["first_at_least"]), bool(given["second_at_least"])]
    if any(bounds):
        higher_is_bound = bounds[pair.index(max(pair))] and not all(bounds)
        if not (higher_is_bound and share > allowed):
            return Worked({"allowed": allowed, "differ": "not_judged"}, (Note("pair_lower_bound"),))
        return Worked({"allowed": allowed, "differ": "yes"}, (Note("pair_differ"),))
    differ = share > allowed
    values = {"share": share, "allowed": allowed, "differ": "yes" if differ else "no"}
    return Worked(values, (Note("pair_differ" if differ else "pair_agree"),))


def _one_method(given: Given, fixed: Fixed) -> str:
    """The method of both means. Raises CannotWork where method or gap differ, or a gap is not the method's."""
    method: str = given["first_method"]
    if given["second_method"] != method:
        raise CannotWork("second_method", "methods_differ")
    least, most = (fixed.first(f"{method}_gap_{end}") for end in ("least", "most"))
    gaps = {box: given[box] for box in ("first_gap_mm", "second_gap_mm")}
    for box, gap in gaps.items():
        if gap is None and method == "own":
            raise CannotWork(box, "gap_missing")
        if gap is not None and least is not None and most is not None and not least <= gap <= most:
            raise CannotWork(box, "gap_of_another", least=figure_words(least), most=figure_words(most))
    if least is None and None not in gaps.values() and len(set(gaps.values())) > 1:
        raise CannotWork("second_gap_mm", "gaps_differ")
    return method


def breakdown_band(given: Given, fixed: Fixed) -> Worked:
    """The word of one set of limits for a breakdown voltage in kV, or no word and why.

    A reading by another method, of a unit that stood cold, or of another liquid gets no word.
    """
    reason, limits = _comparable(given, fixed)
    if not reason:
        kv, at_least = given["kv"], bool(given["at_least"])
        band = _word(kv, limits)
        topmost = "good" if len(limits) > 1 else "met"
        if at_least and band != topmost:
            reason = "lower_bound"
        else:
            notes = (Note(f"{given['limits']}_told"), *((Note("not_met"),) if band in ("poor", "not_met") else ()))
            return Worked({"band": band, "held_against": limits}, notes)
    return Worked({"band": "no_band", "reason": reason}, (Note(f"no_band_{reason}"),))


def _word(kv: Decimal, limits: tuple[Decimal, ...]) -> str:
    """One limit: met from it up. Two: good above the first, poor below the second."""
    if len(limits) == 1:
        return "met" if kv >= limits[0] else "not_met"
    return "good" if kv > limits[0] else "poor" if kv < limits[1] else "fair"


def _comparable(given: Given, fixed: Fixed) -> tuple[str, tuple[Decimal, ...]]:
    """Why a reading may not be held against a set of limits (empty: it may), and the limits in kV."""
    chosen, fluid = given["limits"], given["fluid"]
    name = f"{chosen}_{fluid}"
    if given["unit_state"] == "stood_cold":
        return "cold_unit", ()
    if given["method"] != fixed.text(f"{chosen}_method"):
        return "method_mismatch", ()
    if given["unit_state"] == "unknown":
        return "state_unknown", ()
    if given["unit_state"] not in fixed.text(f"{chosen}_states").split():
        return "state_mismatch", ()
    if fluid == "unknown":
        return "fluid_unknown", ()
    if name in fixed.versions:
        return "", fixed.series(name)
    if f"{name}_{given['category']}" in fixed.versions:
        return "", fixed.series(f"{name}_{given['category']}")
    by_category = any(one.startswith(f"{name}_") for one in fixed.versions)
    return ("category_unknown" if by_category else "fluid_mismatch"), ()


WORK: dict[str, Work] = {
    "breakdown": breakdown, "breakdown_pair": breakdown_pair, "breakdown_band": breakdown_band,
}  # fmt: skip
