"""Breakdown voltage of oil: shots of one filling, what a method asks of them, two tests side by side.

A mean has a meaning only with its method and gap; nothing here turns kV of one method into kV of another.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from hazmat.core.measures import figure_words
from hazmat.core.sums.frame import CannotWork, Fixed, Given, Note, Value, Work, Worked

PARTED = re.compile(r"[\s;]+")
SHOT = re.compile(r"(>?)([0-9]{1,3}(?:\.[0-9]{1,2})?)", re.ASCII)
HUNDREDTH = Decimal("0.01")
MOST_SHOTS = 60
"""More shots than any method asks for, twice over; a longer line is a slip. Source: our own bound."""
FEWEST_FOR_SPREAD = 2


@dataclass(frozen=True, slots=True)
class Shot:
    """One shot in kV; `above`: the oil held at the tester's top voltage, so it breaks somewhere above."""

    kv: Decimal
    above: bool = False

    def __str__(self) -> str:
        return f"{'>' if self.above else ''}{figure_words(self.kv)}"


@dataclass(frozen=True, slots=True)
class How:
    """How a test was done, in mm, kV/s, minutes and °C; None where nobody said."""

    method: str
    gap_mm: Decimal | None = None
    ramp_kv_s: Decimal | None = None
    stand_min: Decimal | None = None
    pause_min: Decimal | None = None
    oil_c: Decimal | None = None


def read_shots(text: str) -> tuple[Shot, ...]:
    """The shots of one line, such as `48 55 60 52 58 >60`. Raises CannotWork (box `shots`)."""
    parts = [part for part in PARTED.split(re.sub(r"(?i)kv", " ", text.replace("> ", ">")).strip()) if part]
    if "," in text:
        raise CannotWork("shots", "shots_comma")
    shots = []
    for part in parts:
        found = SHOT.fullmatch(part)
        if not found:
            raise CannotWork("shots", "shots_unread", part=part)
        shots.append(Shot(Decimal(found[2]), bool(found[1])))
    if not shots or len(shots) > MOST_SHOTS:
        raise CannotWork("shots", "shots_none")
    if any(not shot.kv for shot in shots):
        raise CannotWork("shots", "shots_nought")
    return tuple(shots)


def told(shots: tuple[Shot, ...], how: How, fixed: Fixed) -> Worked:
    """Every shot counts: mean, standard deviation (n - 1), spread, and what the method asks that was not met.

    Values: `mean` `sd` `low` `high` in kV; `cv` and `spread` as shares of the mean; `count` and `due` shots;
    `consistent`: a word. A shot above the tester's top makes the mean a least value, and no spread is judged.
    """
    kv = [shot.kv for shot in shots]
    mean = sum(kv, Decimal(0)) / len(kv)
    capped, due = any(shot.above for shot in shots), _due(how.method, fixed)
    values: dict[str, Value] = {
        "mean": mean, "low": min(kv), "high": max(kv), "count": len(kv), "at_least": capped,
    }  # fmt: skip
    if due:
        values["due"] = due
    if len(kv) >= FEWEST_FOR_SPREAD and not capped:
        sd = (sum(((one - mean) ** 2 for one in kv), Decimal(0)) / (len(kv) - 1)).sqrt()
        values |= {"sd": sd, "cv": sd / mean, "spread": (max(kv) - min(kv)) / mean}
    word, why = _consistent(kv, values, how.method, fixed, capped)
    values["consistent"] = word
    notes = _counted(len(kv), due)
    if capped:
        notes.append(Note("at_least", {"top": figure_words(max(shot.kv for shot in shots if shot.above))}))
    if len(kv) > 1 and len(set(kv)) == 1 and not capped:
        notes.append(Note("all_equal"))
    return Worked(values, (*notes, *why, *off_method(how, fixed)))


def _due(method: str, fixed: Fixed) -> int | None:
    name = f"{method}_shots"
    return int(fixed.number(name)) if name in fixed.versions else None


def _counted(count: int, due: int | None) -> list[Note]:
    if due is None or count == due:
        return []
    slots = {"count": str(count), "due": str(due)}
    return [Note("too_few" if count < due else "too_many", slots)]


def _consistent(
    kv: list[Decimal], values: Mapping[str, Value], method: str, fixed: Fixed, capped: bool
) -> tuple[str, list[Note]]:
    """Whether shots agree with each other by the rule of their method: `yes`, `no`, `doubtful` or `not_judged`."""
    due, spread, cv = _due(method, fixed), values.get("spread"), values.get("cv")
    if capped or due is None or len(kv) < due or not isinstance(spread, Decimal) or not isinstance(cv, Decimal):
        return "not_judged", []
    most = f"{method}_spread"
    if most in fixed.versions:
        told_as = {"spread": figure_words((spread * 100).quantize(HUNDREDTH)), "most": _percent(fixed.number(most))}
        return ("yes", []) if spread <= fixed.number(most) else ("no", [Note("spread_too_wide", told_as)])
    if f"{method}_thrice" in fixed.versions:
        wide = fixed.number(f"{method}_thrice") * (max(kv) - min(kv)) > sorted(kv)[1]
        return ("no", [Note("thrice_too_wide")]) if wide else ("yes", [])
    if cv > fixed.number("own_cv"):
        return "doubtful", [Note("doubtful", {"cv": _percent(cv), "most": _percent(fixed.number("own_cv"))})]
    return "not_judged", []


def _percent(share: Decimal) -> str:
    return figure_words((share * 100).quantize(HUNDREDTH))


OFF: tuple[tuple[str, str, str], ...] = (
    ("gap_mm", "gap", "gap_off"), ("ramp_kv_s", "ramp", "ramp_off"), ("stand_min", "stand", "stand_off"),
    ("pause_min", "pause", "pause_off"), ("oil_c", "oil", "oil_off"),
)  # fmt: skip
"""What was said of a test, which figures of a method bound it (`_least`, `_most`), and what is said where it is off."""


def off_method(how: How, fixed: Fixed) -> list[Note]:
    """What lies outside of what the method asks; its ends belong to it."""
    found = []
    for fact, name, sentence in OFF:
        value: Decimal | None = getattr(how, fact)
        least, most = (_bound(f"{how.method}_{name}_{end}", fixed) for end in ("least", "most"))
        if value is None or ((least is None or value >= least) and (most is None or value <= most)):
            continue
        found.append(Note(sentence, {"value": figure_words(value), "asked": _between(least, most)}))
    return found


def _bound(name: str, fixed: Fixed) -> Decimal | None:
    return fixed.number(name) if name in fixed.versions else None


def _between(least: Decimal | None, most: Decimal | None) -> str:
    if least is not None and most is not None:
        return f"{figure_words(least)} to {figure_words(most)}" if least != most else figure_words(least)
    return f"at least {figure_words(least)}" if least is not None else f"at most {figure_words(most or Decimal(0))}"


def breakdown(given: Given, fixed: Fixed) -> Worked:
    """Shots of one filling by one method."""
    names = ("gap_mm", "ramp_kv_s", "stand_min", "pause_min", "oil_c")
    return told(read_shots(given["shots"]), How(given["method"], **{name: given[name] for name in names}), fixed)


def breakdown_pair(given: Given, fixed: Fixed) -> Worked:
    """Two means by one method and gap: how far apart, as a share of their mean, and whether that is too far."""
    if given["method"] != given["other_method"]:
        raise CannotWork("other_method", "pair_methods")
    mean = (given["mean"] + given["other_mean"]) / 2
    if not mean:
        raise CannotWork("mean", "shots_nought")
    apart = abs(given["mean"] - given["other_mean"]) / mean
    name = f"{given['method']}_{given['who']}"
    if name not in fixed.versions:
        return Worked({"apart": apart, "agree": "not_judged"}, (Note("pair_unread"),))
    most = fixed.number(name)
    return Worked({"apart": apart, "most": most, "agree": "yes" if apart <= most else "no"})


WORK: dict[str, Work] = {"breakdown": breakdown, "breakdown_pair": breakdown_pair}
