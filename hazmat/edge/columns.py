"""Units given as columns: raw facts as whole numbers, and which units do not fit.

A row of `Columns` is one oil space of one unit. Amounts are whole numbers of the smallest unit that a line is drawn in
(grams, cm3, volts), 0 where not known; days are ordinals, 0 where that end is open; words are places in `WORDS`.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any, get_args

import numpy as np
from numpy.typing import NDArray

from hazmat.core import facts
from hazmat.core.bulk import Part, changed_blindly, put_in
from hazmat.core.identity import STRENGTH

Column = NDArray[Any]
CHUNK = 65_536
"""How many units are judged together: what they need stays close to the processor. Source: our own choice, measured."""
MILLI = 1000
"""Grams in a kilogram, cm3 in a litre. Source: definition."""
MOST = 9_223_372_036_854_775_807
"""The greatest amount that a column holds. Source: definition, a signed whole number of 64 bits."""

WORDS: dict[str, tuple[str | None, ...]] = {
    "kind": get_args(facts.Kind),
    "mounting": (None, *get_args(facts.Mounting)),
    "construction": (None, *get_args(facts.Construction)),
    "fluid": (None, *get_args(facts.Fluid)),
    "plate": STRENGTH,
}
"""Columns of words: what each number stands for."""
MARKS: tuple[str, ...] = get_args(facts.Mark)
SAID = ("drained", "changed_blindly", "sinks", "sealed", "unlike", "not_tank", "nothing_known")
"""Columns of yes and no, one bit each in `said`: fluid drained or drained once; changed and not measured; a liquid that
sinks; cannot be opened; of another kind than its unit; not the tank; nothing said but the kind."""
AMOUNTS = {
    "mass_g": ("fluid_mass_kg", MILLI), "volume_cm3": ("fluid_volume_l", MILLI), "gross_g": ("gross_mass_kg", MILLI),
    "body_cm3": ("body_cm3", 1), "volts": ("voltage_v", 1), "items": ("count", 1),
}  # fmt: skip
"""Columns of amounts: the fact, and how many of the smallest unit make one of its own."""
DAYS = ("earliest", "latest")
BITS = dict(zip(MARKS, (1 << n for n in range(len(MARKS))), strict=True))
SAID_BITS = dict(zip(SAID, (1 << n for n in range(len(SAID))), strict=True))


@dataclass(frozen=True)
class Columns:
    """Oil spaces as columns of one length: numbers of `WORDS` (`unit_kind` as `kind`), bits, days, amounts."""

    kind: Column
    unit_kind: Column
    mounting: Column
    construction: Column
    fluid: Column
    plate: Column
    marks: Column
    said: Column
    earliest: Column
    latest: Column
    mass_g: Column
    volume_cm3: Column
    gross_g: Column
    body_cm3: Column
    volts: Column
    items: Column

    def __len__(self) -> int:
        return len(self.kind)

    def checked(self) -> "Columns":
        """The same. Raises ValueError in one sentence where a column is none: another length, no whole numbers, or a
        number that stands for nothing."""
        for name in NAMES:
            column, most = getattr(self, name), MOST_OF[name]
            if column.shape != (len(self),) or column.dtype.kind not in "iu":
                raise ValueError(f"{name}: {len(self)} whole numbers may stand there, as many as in the column kind")
            if len(self) and not (int(column.min()) >= 0 and int(column.max()) <= most):
                raise ValueError(f"{name}: whole numbers from 0 to {most} may stand there")
        return self

    def chunks(self, size: int = CHUNK) -> Iterator["Columns"]:
        """The same rows, so many at a time; nothing is copied."""
        for begin in range(0, len(self), size):
            yield Columns(*[getattr(self, name)[begin : begin + size] for name in NAMES])


NAMES = tuple(field.name for field in fields(Columns))
MOST_OF: dict[str, int] = {
    **{name: len(words) - 1 for name, words in WORDS.items()},
    "unit_kind": len(WORDS["kind"]) - 1,
    "marks": sum(BITS.values()),
    "said": sum(SAID_BITS.values()),
    **dict.fromkeys(DAYS, date.max.toordinal()),
    **dict.fromkeys(AMOUNTS, MOST),
}
"""The greatest number of each column."""
TYPES = {
    name: np.int64
    if name in AMOUNTS
    else np.int32
    if name in DAYS
    else np.uint8
    if name in ("marks", "said")
    else np.int8
    for name in NAMES
}
"""What is enough to hold each column."""


# ------------------------------------------------------------------ facts to columns


def of_parts(parts: Iterable[Part]) -> tuple[Columns, list[int]]:
    """Oil spaces as columns, and the places of those that columns cannot hold (their rows say nothing but a kind)."""
    rows: list[tuple[int, ...]] = []
    without: list[int] = []
    for place, part in enumerate(parts):
        row = _row(part)
        if row is None:
            without.append(place)
            row = (WORDS["kind"].index(part.kind),) + (0,) * (len(NAMES) - 1)
        rows.append(row)
    whole = list(zip(*rows, strict=True)) if rows else [()] * len(NAMES)
    return Columns(*[np.array(column, TYPES[name]) for name, column in zip(NAMES, whole, strict=True)]), without


def _row(part: Part) -> tuple[int, ...] | None:
    """One row, or None where an amount or a span does not fit exactly."""
    unit, span = part.unit, part.built
    amounts = [whole_number(getattr(unit, fact), many) for fact, many in AMOUNTS.values()]
    exact = [one for one in amounts if one is not None]
    if len(exact) < len(amounts) or (span is not None and span.earliest is span.latest is None):
        return None
    said = {
        "drained": unit.state == "drained" or any(not put_in(event) for event in unit.history),
        "changed_blindly": any(map(changed_blindly, unit.history)),
        "sinks": part.sinks,
        "sealed": part.sealed,
        "unlike": not part.like_unit,
        "not_tank": part.name != facts.TANK,
        "nothing_known": facts.nothing_known(unit),
    }
    return (
        WORDS["kind"].index(part.kind), WORDS["kind"].index(unit.kind), WORDS["mounting"].index(unit.mounting),
        WORDS["construction"].index(unit.construction), WORDS["fluid"].index(unit.fluid),
        WORDS["plate"].index(part.plate.reads), sum(BITS[mark] for mark in set(unit.marks)),
        sum(SAID_BITS[name] for name, yes in said.items() if yes),
        span.earliest.toordinal() if span and span.earliest else 0,
        span.latest.toordinal() if span and span.latest else 0, *exact,
    )  # fmt: skip


def whole_number(value: Decimal | int | None, many: int) -> int | None:
    """An amount in the smallest unit, 0 where not known; None where it does not fit exactly."""
    scaled = Fraction(value) * many if value else Fraction(0)
    return int(scaled) if scaled.denominator == 1 and 0 <= scaled <= MOST else None
