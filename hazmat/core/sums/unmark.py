"""The UN mark of a packaging: read part by part, and held against what is to go into it."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from hazmat.core.measures import add_months, add_years, day_words, figure_words
from hazmat.core.sums.frame import CannotWork, Fixed, Given, Note, Value, Work, Worked

LEADING = re.compile(r"\s*(?:U\s*/?\s*N)?[\s/-]*", re.ASCII)
CODE = re.compile(
    r"(?P<kind>[0-57]|6(?=[A-Z]{2})|11|13|21|31|50|51)"
    r"(?P<material>[A-DFGHLMNP])(?P<outer>(?<=6[A-Z])[A-DFGHLMNP]|(?<=31[A-Z])[A-DFGHLMNP])?"
    r"(?P<head>[0-9])?(?P<suffix>[VUWT])?",
    re.ASCII,
)
LETTER = re.compile(r"(?P<letter>[XYZ])(?P<number>[0-9]{1,4}(?:[.,][0-9]{1,2})?)?", re.ASCII)
PRESSURE = re.compile(r"(?P<solids>S)|(?P<kpa>[0-9]{2,4})(?:KPA)?", re.ASCII)
YEAR = re.compile(r"(?P<month>0[1-9]|1[0-2])?[/.-]?(?P<year>[0-9]{2})", re.ASCII)
STATE = re.compile(r"[A-Z]{1,3}", re.ASCII)
REBUILT = re.compile(r"(?P<head>.*?)[\s/]+(?P<year>[0-9]{2})[\s/]*R(?:[\s/]*(?P<tried>L))?\s*", re.ASCII)
KILOGRAMS = re.compile(r"[0-9]{1,5}", re.ASCII)
DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", re.ASCII)
MONTH = re.compile(r"(?P<year>[0-9]{4})-(?P<month>0[1-9]|1[0-2])", re.ASCII)
IBCS, LARGE, SOLID_IBCS = ("11", "13", "21", "31"), ("50", "51"), ("11", "13", "21")
"""Intermediate bulk containers, large packagings, and containers for solids. Source: ADR 6.1.2, 6.5.1."""
HEADS, PLAIN_HEAD, OPEN_HEAD = ("1", "3"), "1", "2"
"""Kinds whose last figure tells the head, and those figures. Source: ADR 6.1.2.7."""
NO_LIQUIDS = ("4", "5", *LARGE, *SOLID_IBCS)
"""Boxes, bags, large packagings and containers for solids. Source: ADR 6.1.2, 6.5.1, 6.6.2."""
PLASTICS, COMPOSITE_IBC = "H", "31"
"""The letter of plastics, and the kind of bulk container that may hold an inner one of it. Source: ADR 6.1.2.6."""
COVERS = {"X": ("I", "II", "III"), "Y": ("II", "III"), "Z": ("III",)}
"""Packing groups that each letter stands for. Source: ADR 6.1.3.1 (c)."""
CENTURY = 100
"""Years of a century. Source: definition."""


@dataclass(frozen=True, kw_only=True)
class Mark:
    """A mark in its parts, each as it stands there, empty where the mark ends before it or has none.

    `number`: what follows the letter; `solids`: whether S stands where the test pressure would; `missing`: parts that
    are looked for and not there, by key.
    """

    kind: str
    material: str
    outer: str = ""
    head: str = ""
    suffix: str = ""
    letter: str = ""
    number: str = ""
    solids: bool = False
    kpa: str = ""
    month: str = ""
    year: str = ""
    state: str = ""
    maker: str = ""
    stacking: str = ""
    gross: str = ""
    rebuilt: str = ""
    rebuilt_by: str = ""
    tried: bool = False
    missing: tuple[str, ...] = ()

    @property
    def ibc(self) -> bool:
        """Whether it is that of an intermediate bulk container."""
        return self.kind in IBCS

    @property
    def ages(self) -> bool:
        """Whether it is of plastics that may be used for some years only: drums, jerricans, bulk containers."""
        return (self.kind in HEADS or self.ibc) and self.material == PLASTICS

    def density(self, fixed: Fixed) -> Decimal | None:
        """Density in kg/L that it was tested with, the usual one where it names none; None for a mark not of liquids.

        A number with a point is a density also where the mark ends after it.
        """
        if self.solids or self.ibc or self.kind in LARGE or not (self.kpa or "." in self.number):
            return None
        return Decimal(self.number) if self.number else fixed.number("density_unmarked")


def read_mark(text: str) -> Mark:
    """The parts of a mark. Raises CannotWork for what is none, with the part that cannot be read."""
    words = text.upper().replace("\\", "/")
    rest = words[LEADING.match(words).end() :]  # type: ignore[union-attr]  # it matches nothing too
    tail = REBUILT.fullmatch(rest)
    parts = [part for part in re.split(r"[/\s]+", tail["head"] if tail else rest) if part]
    code = CODE.fullmatch(parts[0]) if parts else None
    if code is None:
        raise CannotWork("mark", "no_mark", part=parts[0] if parts else text.strip())
    found: dict[str, str] = {key: value for key, value in code.groupdict().items() if value}
    missing: list[str] = []
    parts = parts[1:]
    order = ("letter", "year", "state") if found["kind"] in (*IBCS, *LARGE) else ("letter", "pressure", "year", "state")
    for key in order:
        if not parts:
            missing.append(key)
            continue
        found |= _part(key, parts)
    found |= _named(found["kind"], parts, tail)
    if not found.get("maker"):
        missing.append("maker")
    solids, tried = bool(found.pop("solids", "")), bool(tail and tail["tried"])
    return Mark(**found, solids=solids, tried=tried, missing=tuple(missing))


PARTS = {"letter": LETTER, "pressure": PRESSURE, "year": YEAR, "state": STATE}


def _part(key: str, parts: list[str]) -> dict[str, str]:
    """One part in its place, taken off the front. Raises CannotWork for what cannot stand there."""
    taken = 1
    if key == "year" and len(parts) > 1 and YEAR.fullmatch(parts[0] + parts[1]):
        taken = 2
    text = "".join(parts[:taken])
    match = PARTS[key].fullmatch(text)
    if match is None:
        raise CannotWork("mark", f"no_{key}", part=text)
    del parts[:taken]
    told = {name: value.replace(",", ".") for name, value in match.groupdict().items() if value}
    return told or {key: text}


def _named(kind: str, parts: list[str], tail: re.Match[str] | None) -> dict[str, str]:
    """Maker, loads of a bulk container, and who reconditioned it when."""
    found: dict[str, str] = {}
    if tail:
        found["rebuilt"] = tail["year"]
        if len(parts) > 1:
            by = 2 if len(parts) > 2 and STATE.fullmatch(parts[-2]) else 1
            found["rebuilt_by"] = " ".join(parts[-by:])
            parts = parts[:-by]
    elif kind in (*IBCS, *LARGE) and len(parts) > 2 and all(KILOGRAMS.fullmatch(one) for one in parts[-2:]):
        found["stacking"], found["gross"] = parts[-2:]
        parts = parts[:-2]
    return found | ({"maker": " ".join(parts)} if parts else {})


# ------------------------------------------------------------------ what goes into it


@dataclass(frozen=True, slots=True)
class Asked:
    """What a mark is held against: figures in kg/L and kg, None where nobody knows; `on`: the day that is asked."""

    mark: Mark
    liquid: bool
    group: str
    density: Decimal | None
    gross: Decimal | None
    on: date | None
    made: tuple[date, date] | None
    inspected: date | None


def allowed_density(mark: Mark, group: str, fixed: Fixed) -> Decimal | None:
    """The density that it may carry in a packing group; None where the mark tells none, or does not cover the group."""
    marked = mark.density(fixed)
    if marked is None or group not in COVERS[mark.letter]:
        return None
    steps = COVERS[mark.letter].index(group)
    return marked * fixed.series("density_steps")[steps]


def faults(asked: Asked, fixed: Fixed) -> Iterator[Note]:
    """Why it does not suit."""
    mark = asked.mark
    if mark.letter and asked.group not in COVERS[mark.letter]:
        groups = ", ".join(COVERS[mark.letter])
        yield Note("letter_too_weak", {"letter": mark.letter, "groups": groups, "asked": asked.group})
    if mark.suffix == "U":
        yield Note("infectious_only")
    if asked.liquid:
        yield from _liquid_faults(asked, fixed)
    most = mark.number if mark.solids else mark.gross
    if most and asked.gross is not None and asked.gross > Decimal(most):
        yield Note("too_heavy", {"gross": figure_words(asked.gross), "most": most})
    if asked.on is None:
        return
    if mark.ages and asked.made and asked.on > add_years(asked.made[1], int(fixed.number("plastics_years"))):
        yield Note("plastics_old")
    if mark.ibc and asked.inspected and asked.on > _inspected_until(asked.inspected, fixed):
        yield Note("inspection_over", {"day": day_words(_inspected_until(asked.inspected, fixed))})


def _inspected_until(day: date, fixed: Fixed) -> date:
    return add_months(day, int(fixed.number("ibc_months")))


def _liquid_faults(asked: Asked, fixed: Fixed) -> Iterator[Note]:
    mark = asked.mark
    if mark.solids or mark.kind in NO_LIQUIDS:
        yield Note("solids_only")
        return
    allowed = allowed_density(mark, asked.group, fixed)
    if allowed is not None and asked.density is not None and asked.density > allowed:
        yield Note("too_dense", {"density": figure_words(asked.density), "allowed": figure_words(allowed)})
    least = fixed.number("pressure_first" if asked.group == "I" else "pressure")
    if mark.kpa and Decimal(mark.kpa) < least:
        yield Note("pressure_low", {"kpa": mark.kpa, "least": figure_words(least)})
    if mark.rebuilt and not mark.tried:
        yield Note("not_tried")


def doubts(asked: Asked, fixed: Fixed) -> Iterator[Note]:
    """What cannot be told, so that nobody can say that it suits."""
    mark = asked.mark
    if mark.missing:
        yield Note(f"ends_before_{mark.missing[0]}")
    if not asked.liquid and not mark.solids and mark.kpa:
        yield Note("liquids_mark")
    if asked.liquid and asked.density is None and (allowed := allowed_density(mark, asked.group, fixed)) is not None:
        yield Note("density_unsaid", {"allowed": figure_words(allowed)})
    if mark.ages:
        if asked.on is None or asked.made is None:
            yield Note("age_unsaid")
        else:
            first, last = (add_years(day, int(fixed.number("plastics_years"))) for day in asked.made)
            if first < asked.on <= last:
                yield Note("plastics_maybe_old")
    if mark.ibc and (asked.on is None or asked.inspected is None):
        yield Note("inspection_unsaid")


def _day(given: Given, box: str) -> date | None:
    """A day as `2026-11-27`. Raises CannotWork."""
    text = given[box]
    try:
        if text and not DAY.fullmatch(text):
            raise ValueError
        return date.fromisoformat(text) if text else None
    except ValueError:
        raise CannotWork(box, "no_day", part=text) from None


def _made(given: Given, mark: Mark, on: date | None) -> tuple[date, date] | None:
    """The first and last day on which it can have been made, by what was read off it or by its mark."""
    if text := given["made"]:
        if month := MONTH.fullmatch(text):
            return _month(int(month["year"]), int(month["month"]))
        day = _day(given, "made")
        return (day, day) if day else None
    if not mark.year or on is None:
        return None
    year = on.year - (on.year - int(mark.year)) % CENTURY
    if mark.month:
        return _month(year, int(mark.month))
    return date(year, 1, 1), add_months(date(year, 1, 31), 11)


def _month(year: int, month: int) -> tuple[date, date]:
    return date(year, month, 1), add_months(date(year, 1, 31), month - 1)


def un_mark(given: Given, fixed: Fixed) -> Worked:
    """The parts of a mark, and whether it suits what is to go in: yes, no, or not known as long as anything is open."""
    mark, on = read_mark(given["mark"]), _day(given, "on")
    asked = Asked(
        mark, given["contents"] == "liquid", given["group"], given["density"], given["gross_kg"], on,
        _made(given, mark, on), _day(given, "inspected"),
    )  # fmt: skip
    marked = mark.density(fixed)
    if marked is not None and marked > fixed.number("densest"):
        raise CannotWork("mark", "no_density", part=mark.letter + mark.number)
    wrong, open_ = list(faults(asked, fixed)), list(doubts(asked, fixed))
    suits = "no" if wrong else "unknown" if open_ else "yes"
    notes = [Note(f"suits_{suits}"), *wrong, *open_]
    if mark.head == OPEN_HEAD and mark.kind in HEADS and asked.liquid:
        notes.append(Note("open_head"))
    if mark.suffix == "T":
        notes.append(Note("salvage"))
    return Worked(_values(mark, asked, suits, fixed), tuple(notes))


def _values(mark: Mark, asked: Asked, suits: str, fixed: Fixed) -> dict[str, Value]:
    """Each part by its line; a part that is not there is left out."""
    found: dict[str, Value] = {"suits": suits, "kind": mark.kind}
    texts = {
        "material": "" if mark.outer else mark.material, "inner": mark.material if mark.outer else "",
        "outer": mark.outer, "suffix": mark.suffix, "letter": mark.letter, "year": mark.year, "month": mark.month,
        "state": mark.state, "maker": mark.maker, "rebuilt": mark.rebuilt, "rebuilt_by": mark.rebuilt_by,
        "head": mark.head if mark.kind in HEADS and mark.head in (PLAIN_HEAD, OPEN_HEAD) else "",
        "made_for": _made_for(mark),
    }  # fmt: skip
    found |= {key: text for key, text in texts.items() if text}
    most = mark.number if mark.solids else mark.gross
    numbers = {
        "marked_density": mark.density(fixed), "kpa": mark.kpa, "most_gross": most, "stacking": mark.stacking,
        "allowed_density": allowed_density(mark, asked.group, fixed) if mark.letter and asked.liquid else None,
    }  # fmt: skip
    found |= {key: Decimal(number) for key, number in numbers.items() if number}
    if mark.rebuilt:
        found["tried"] = mark.tried
    return found


def _made_for(mark: Mark) -> str:
    if mark.solids or mark.kind in NO_LIQUIDS:
        return "solids"
    return "liquids" if mark.kpa or mark.kind == COMPOSITE_IBC else ""


WORK: dict[str, Work] = {"un_mark": un_mark}
