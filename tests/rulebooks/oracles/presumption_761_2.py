"""The presumption of 40 CFR 761.2(a) by hand, twice: numpy branches and one SQL CASE.

Sources, read 2026-11-25:
- 40 CFR 761.2, https://codes.findlaw.com/cfr/title-40-protection-of-environment/cfr-sect-40-761-2/
- 40 CFR 761.40(g), what a maker's "No PCBs" mark may stand on and from which day of building,
  https://anthonygarvan.github.io/allregs/html/sections/40CFR761.40.html (2015 edition)

Where the section is silent or speaks twice, the worse class stands, force `care` (judgement):
- A span that touches 2 July 1979, or lies on both sides, counts as before it.
- Unknown mass of fluid, or none stated (0), is not small.
- Items of (a)(1), among them a transformer below 1.36 kg of fluid, keep that answer whatever the
  date and fluid: the special rule goes before the general one (from memory). So does a marked
  capacitor of (a)(4), whatever the date and fluid.
- An instrument transformer is a transformer, but never a distribution transformer; a ballast is a
  capacitor; regulators, switches, bushings, motors, electromagnets and others are electrical
  equipment.
- The mark counts unless a known span lies wholly or partly before the first day of 761.40(g); every marked item here
  is of low voltage.
- A drum is judged by its contents only: undetermined.

Facts are a dict of arrays of one length n:
kind, mounting, fluid (text, words below), mass_g (grams of fluid, -1 unknown), earliest, latest
(first and last possible day of building, proleptic ordinals, -1 unknown), maker_mark (the maker's
own "No PCBs" mark is on the item, whether or not it counts).

Answers are two int8 arrays of length n: class 0 below_50, 1 50_to_499, 2 from_500, 9 undetermined;
force 0 none, 1 may, 2 must, 3 care.
"""

from __future__ import annotations

from datetime import date
from typing import Any

import duckdb
import numpy as np

KINDS = [
    *("transformer", "instrument_transformer", "capacitor", "ballast"),
    *("breaker", "recloser", "cable", "rectifier"),
    *("regulator", "switch", "bushing", "electromagnet", "motor", "other"),
    "drum",
]
MOUNTINGS = ["pole", "pad", "ground", "indoor", "none"]
FLUIDS = ["mineral", "other", "unknown"]
CLASSES = {0: "below_50", 1: "50_to_499", 2: "from_500", 9: "undetermined"}
FORCES = {0: None, 1: "may", 2: "must", 3: "care"}

CUTOFF = date(1979, 7, 2).toordinal()  # 761.2(a)(2) to (4)
MARKS_FROM = date(1978, 7, 1).toordinal()  # 761.40(g)
SMALL_BELOW_G = 1360  # 761.2(a)(1)

Facts = dict[str, np.ndarray]
Answers = tuple[np.ndarray, np.ndarray]
Branch = tuple[str, np.ndarray, int, int]


def branches(facts: Facts) -> list[Branch]:
    """(label, condition of shape (n,), class, force), in order: the first that holds answers."""
    kind, mounting, fluid = facts["kind"], facts["mounting"], facts["fluid"]
    earliest, latest, mass = facts["earliest"], facts["latest"], facts["mass_g"]

    undated = (earliest == -1) & (latest == -1)
    after = (earliest != -1) & (earliest > CUTOFF)
    before = (latest != -1) & (latest < CUTOFF)
    mineral, other = fluid == "mineral", fluid == "other"

    transformer = np.isin(kind, ["transformer", "instrument_transformer"])
    small = transformer & (mass > 0) & (mass < SMALL_BELOW_G)
    distribution = (kind == "transformer") & np.isin(mounting, ["pole", "pad"])
    capacitor = np.isin(kind, ["capacitor", "ballast"])
    markable = undated | ((earliest != -1) & (earliest >= MARKS_FROM))
    marked = capacitor & facts["maker_mark"] & markable

    rest = np.ones(len(kind), dtype=bool)
    return [
        ("drum", kind == "drum", 9, 0),
        ("(a)(1) kinds", np.isin(kind, ["breaker", "recloser", "cable", "rectifier"]), 0, 1),
        ("(a)(1) small transformer", small, 0, 1),
        ("(a)(4) maker's mark", marked, 0, 1),
        ("(a)(2), (4) after the cut-off", after, 0, 1),
        ("two rules: mineral oil in an old capacitor", capacitor & mineral, 2, 3),
        ("(a)(4) capacitor, before or undated", capacitor & (before | undated), 2, 2),
        ("(a)(2) mineral oil, before or undated", mineral & (before | undated), 1, 2),
        ("silent: mineral oil across the cut-off", mineral, 1, 3),
        ("two rules: pole or pad unit with another fluid", distribution & other, 2, 3),
        ("(a)(2) pole or pad unit, before", distribution & before, 1, 2),
        ("silent: pole or pad unit across the cut-off", distribution & ~undated, 1, 3),
        ("(a)(3) other fluid, before", transformer & other & before, 2, 2),
        ("(a)(3) fluid and date unknown", transformer & ~other & undated, 2, 2),
        ("silent: the rest, capacitors across the cut-off too", rest, 2, 3),
    ]


def by_select(facts: Facts, chosen: list[Branch] | None = None) -> Answers:
    """Class and force by numpy.select over the branches (or over a changed list of them)."""
    chosen = branches(facts) if chosen is None else chosen
    conditions = [condition for _, condition, _, _ in chosen]
    return (
        np.select(conditions, [class_ for _, _, class_, _ in chosen]).astype(np.int8),
        np.select(conditions, [force for _, _, _, force in chosen]).astype(np.int8),
    )


# Each answer is two digits: the class, then the force.
SQL = """
with dated as (
    select *,
        case when earliest > 0 and earliest > day_of_cutoff then 'after'
             when latest > 0 and latest < day_of_cutoff then 'before'
             when earliest < 0 and latest < 0 then 'undated'
             else 'across' end as made
    from facts, (select date_diff('day', date '0001-01-01', date '1979-07-02') + 1 as day_of_cutoff,
                        date_diff('day', date '0001-01-01', date '1978-07-01') + 1 as first_mark)
), judged as (
    select n, case
        when kind = 'drum' then '90'
        when kind in ('capacitor', 'ballast') then case
            when maker_mark and (made = 'undated' or earliest >= first_mark) then '01'
            when made = 'after' then '01'
            when fluid = 'mineral' or made = 'across' then '23'
            else '22' end
        when kind in ('cable', 'recloser', 'rectifier', 'breaker') then '01'
        when kind in ('transformer', 'instrument_transformer') then case
            when mass_g between 1 and 1359 or made = 'after' then '01'
            when fluid = 'mineral' then case made when 'across' then '13' else '12' end
            when kind = 'transformer' and mounting in ('pole', 'pad') then case
                when fluid = 'other' then '23'
                when made = 'before' then '12'
                when made = 'across' then '13'
                else '22' end
            when fluid = 'other' then case made when 'before' then '22' else '23' end
            else case made when 'undated' then '22' else '23' end end
        when made = 'after' then '01'
        when fluid <> 'mineral' then '23'
        when made = 'across' then '13'
        else '12' end as said
    from dated
)
select said[1]::tinyint as class, said[2]::tinyint as force from judged order by n
"""


def by_sql(facts: Facts) -> Answers:
    """Class and force by one SQL CASE, which DuckDB computes."""
    table: dict[str, Any] = {
        name: column.astype(object) if column.dtype.kind == "U" else column for name, column in facts.items()
    }
    table["n"] = np.arange(len(facts["kind"]))
    with duckdb.connect() as connection:
        connection.register("facts", table)
        out = connection.sql(SQL).fetchnumpy()
    return np.asarray(out["class"]), np.asarray(out["force"])


def make(n: int, seed: int) -> Facts:
    """Seeded random facts, n rows: masses about 1,360 g, days and spans about the two cut-offs."""
    dice = np.random.default_rng(seed)
    masses = np.array([-1, 0, 1, 450, 1359, 1360, 1361, 90_000])
    earliest, latest = _spans(n, dice)
    return {
        "kind": dice.choice(KINDS, n),
        "mounting": dice.choice(MOUNTINGS, n),
        "fluid": dice.choice(FLUIDS, n),
        "mass_g": np.where(dice.random(n) < 0.5, dice.choice(masses, n), dice.integers(1340, 1380, n)),
        "earliest": earliest,
        "latest": latest,
        "maker_mark": dice.random(n) < 0.4,
    }


def _spans(n: int, dice: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """First and last day, shape (n,): days, months, years, open spans, none; 1940 to 2000."""
    year = dice.integers(1940, 2001, n)
    year = np.where(dice.random(n) < 0.5, dice.integers(1976, 1983, n), year)
    month = (year - 1970) * 12 + dice.integers(0, 12, n)
    width = dice.choice([1, 2, 6, 11], n)
    cut = dice.choice([CUTOFF, MARKS_FROM], n)
    day = np.where(dice.random(n) < 0.7, cut + dice.integers(-3, 4, n), _first_of(month))
    longer = day + dice.integers(0, 5, n)
    shape = dice.integers(0, 8, n)
    first = np.choose(
        shape,
        [day, day, _first_of(month), _new_year(year), _new_year(year), day, np.full(n, -1), -1],
    )
    last = np.choose(
        shape,
        [
            day,
            longer,
            _first_of(month + 1) - 1,
            _new_year(year + 1) - 1,
            _new_year(year + width) - 1,
            np.full(n, -1),
            longer,
            -1,
        ],
    )
    return first, last


def _first_of(month: np.ndarray) -> np.ndarray:
    """Ordinal of the first day of a month, counted from January 1970."""
    return month.astype("datetime64[M]").astype("datetime64[D]").astype(np.int64) + 719163


def _new_year(year: np.ndarray) -> np.ndarray:
    """Ordinal of 1 January of a year."""
    return _first_of((year - 1970) * 12)


def every_value() -> Facts:
    """The full cross product: every word, both sides of every bound, every pair of ends."""
    bounds = (MARKS_FROM - 1, MARKS_FROM, CUTOFF - 1, CUTOFF, CUTOFF + 1, CUTOFF + 2)
    ends = [(a, b) for a in (-1, *bounds) for b in (-1, *bounds) if -1 in (a, b) or a <= b]
    sizes = [-1, 0, 1, SMALL_BELOW_G - 1, SMALL_BELOW_G, SMALL_BELOW_G + 1, 90_000]
    axes = [KINDS, MOUNTINGS, FLUIDS, sizes, range(len(ends)), [False, True]]
    grid = [axis.ravel() for axis in np.meshgrid(*map(np.array, axes), indexing="ij")]
    pairs = np.array(ends)[grid[4]]
    return {
        "kind": grid[0],
        "mounting": grid[1],
        "fluid": grid[2],
        "mass_g": grid[3],
        "earliest": pairs[:, 0],
        "latest": pairs[:, 1],
        "maker_mark": grid[5],
    }
