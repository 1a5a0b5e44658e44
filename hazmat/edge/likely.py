"""What a unit without a plate probably is: size, litres, mass, drums and years, from clues, by the sums alone.

It decides nothing: no class goes by it, and nobody lifts by its mass.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from hazmat.core.clues import SIZE, TELLING, YEAR, Source
from hazmat.core.dated import Cite
from hazmat.core.findings import finish
from hazmat.core.measures import figure_words
from hazmat.core.sums.frame import Box, Sum, Worked
from hazmat.edge.shapes import Slip
from hazmat.edge.sums import given_words, rows, work
from hazmat.rulebooks.sumbook import sums

LIQUIDS = {"mineral": "oil", "askarel": "askarel"}
"""What a line calls a liquid, and what the sum on litres calls it; any other is not known to it."""
NOTHING = Slip(
    "kv", "nothing was told that bounds a size or a year; write a fuse, a terminal, words of the plate or the tank"
)
ENDS: tuple[tuple[str, Callable[[Iterable[Decimal]], Decimal]], ...] = (
    ("litres_low", min), ("litres_high", max), ("gross_low", min), ("gross_high", max), ("drums_high", max),
)  # fmt: skip
"""Which end of each figure is told, over every rating that fits."""
WHOLE = Decimal(1)
"""How finely litres, kilograms and drums of an estimate are told. Source: our own choice."""


@dataclass(frozen=True)
class Clue:
    """One clue in words: what it is called, what was told, who says so, and what it can tell."""

    says: str
    value: str
    source: Source | None
    tells: str
    cite: Cite | None


@dataclass(frozen=True)
class Likely:
    """What clues come to. `size`, `year`: one sentence each, empty where nothing was told; the rest for a page."""

    size: str
    year: str
    clues: tuple[Clue, ...]
    rows: tuple[tuple[str, str], ...]
    said: tuple[tuple[str, Cite], ...]


def boxes() -> list[Box]:
    """The boxes of both sums, in their order."""
    return [*(box for box in sums()["rating"].boxes if box.key in SIZE), *sums()["build_year"].boxes]


def likely(asked: Mapping[str, Any], sources: Mapping[str, Source], fluid: str | None, on: date) -> Likely:
    """What these clues come to on a day. `fluid`: of the unit, as a line has it. Raises Slip where that is nothing."""
    size = _worked("rating", asked, SIZE, on) if any(asked.get(key) for key in TELLING["size"]) else None
    year = _worked("build_year", asked, YEAR, on) if _dated(asked) else None
    if size is None and year is None:
        raise NOTHING
    litres = _litres(size, fluid, on) if size else None
    told = [(sums()[name], found) for name, found in (("rating", size), ("build_year", year)) if found]
    return Likely(
        size=_size(size, litres or {}) if size else "", year=_year(year) if year else "",
        clues=tuple(_clues(asked, sources)),
        rows=tuple(row for of, found in told for row in rows(of, found)),
        said=tuple(dict.fromkeys(one for of, found in told for one in of.said(found))),
    )  # fmt: skip


def _dated(asked: Mapping[str, Any]) -> bool:
    return bool(asked.get("plate")) or asked.get("tank") not in (None, "", "unknown")


def _worked(name: str, asked: Mapping[str, Any], keys: Sequence[str], on: date) -> Worked:
    return work(sums()[name], {key: asked[key] for key in keys if asked.get(key) not in (None, "")}, on)


def _litres(size: Worked, fluid: str | None, on: date) -> dict[str, Decimal]:
    """Litres, kilograms and drums at the least and at the most, over every rating that fits."""
    ratings = size.values.get("plausible") or (size.values.get("bound"),)
    assert isinstance(ratings, tuple)
    known = [one for one in ratings if isinstance(one, Decimal)]
    liquid = LIQUIDS.get(fluid or "", "unknown")
    worked = [found for one in known if (found := _of_rating(one, liquid, on))]
    return {
        key: pick(Decimal(str(one[key])) for one in worked).quantize(WHOLE) for key, pick in ENDS if worked
    }  # fmt: skip


def _of_rating(kva: Decimal, liquid: str, on: date) -> Mapping[str, Any] | None:
    """Litres, mass and drums of a rating; None for one that the curve does not reach."""
    try:
        return work(sums()["oil_litres"], {"kva": figure_words(kva), "fluid": liquid}, on).values
    except Slip:
        return None


def _size(size: Worked, litres: Mapping[str, Decimal]) -> str:
    """The size in a sentence: by ratings that fit a fuse, else by what its terminal bounds."""
    likeliest, ratings, bound = size.values.get("likely"), size.values.get("plausible"), size.values.get("bound")
    slots = {key: figure_words(value) for key, value in litres.items()}
    if isinstance(likeliest, Decimal) and isinstance(ratings, tuple) and ratings:
        known = [one for one in ratings if isinstance(one, Decimal)]
        slots |= {"likely": figure_words(likeliest), "low": figure_words(min(known)), "high": figure_words(max(known))}
        name = "likely_size" if litres else "likely_size_alone"
    else:
        slots["bound"] = figure_words(Decimal(str(bound)).quantize(WHOLE))
        name = "likely_bound" if litres else "likely_bound_alone"
    return _says(sums()["rating"], name, slots)


def _year(year: Worked) -> str:
    of, first, last = sums()["build_year"], year.values.get("not_before"), year.values.get("not_after")
    if year.values.get("conflict"):
        return _says(of, "likely_contradiction", {})
    if first is None and last is None:
        return _says(of, "likely_no_year", {})
    name = "likely_between" if first and last else "likely_from" if first else "likely_until"
    return _says(of, name, {"first": str(first or ""), "last": str(last or "")})


def _says(of: Sum, key: str, slots: Mapping[str, str]) -> str:
    return finish(of.spoken(key, slots), {})


def _clues(asked: Mapping[str, Any], sources: Mapping[str, Source]) -> list[Clue]:
    found = []
    for name, keys in (("rating", SIZE), ("build_year", YEAR)):
        of = sums()[name]
        for box in of.boxes:
            if box.key not in keys or asked.get(box.key) in (None, "", box.first):
                continue
            ((says, value),) = given_words(of, {box.key: asked[box.key]})
            sentence = of.sentences.get(f"clue_{box.key}")
            tells = finish(sentence.says, {}) if sentence else ""
            found.append(Clue(says, value, sources.get(box.key), tells, sentence.cite if sentence else None))
    return found
