"""Units in columns are judged as the core judges them one by one, under every law on the shelf."""

import random
from datetime import date
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat import rulebooks
from hazmat.core.assess import Judge
from hazmat.core.bulk import CAPACITORS, COLUMN_VALUES
from hazmat.core.facts import Unit
from hazmat.core.law import LawDay
from hazmat.core.measures import Measure, Tag
from hazmat.core.presume import FORCES
from hazmat.core.view import View
from hazmat.edge import columns as edge_columns
from hazmat.edge import columnseam, patterns
from hazmat.edge.columns import MOST, Columns, of_parts
from hazmat.edge.columnseam import ColumnSeam
from hazmat.edge.patterns import BANDS, NONE, ColumnJudge
from hazmat.rulebooks.fluids import fluid_names
from tests.conftest import DEEP
from tests.edge.many import units, with_spaces
from tests.rulebooks.oracles import presumption_761_2 as oracle

ON = date(2026, 11, 25)
HANDFUL = 20_000
"""How many are judged together, so that a million needs no more memory than these."""
LAWS: list[tuple[str | None, str | None]] = [
    (None, None),
    *((name, None) for name in rulebooks.laws()),
    *((name, code) for name in rulebooks.laws() for code in list(rulebooks.rulebook(name).territories)[:2]),
]
MANY = (1_000_000 if DEEP else 20_000) // len(LAWS)
"""How many units each law is given, so that all together get so many."""


def judge_of(law: str | None, state: str | None, on: date = ON) -> Judge:
    house = LawDay(rulebooks.rulebook(rulebooks.HANDLING), on)
    return Judge(LawDay(rulebooks.rulebook(law), on, state) if law else None, house, fluid_names(), on)


def words(book: LawDay, table: str, name: str, place: int) -> str:
    """The value that a place stands for; kinds come as places of the table."""
    return (COLUMN_VALUES[name] or book.tables[table].table.columns[name])[place]


@pytest.mark.parametrize(("law", "state"), LAWS)
def test_column_values_are_those_of_the_seam(law: str | None, state: str | None) -> None:
    judge, draw = judge_of(law, state), random.Random(5)
    given_units = [with_spaces(one, draw) if draw.random() < 0.4 else one for one in units(4_000, seed=4)]
    parts = [part for unit in given_units for part in judge.view(unit).parts]
    assert {part.like_unit for part in parts} == {part.sealed for part in parts} == {part.sinks for part in parts}
    scalar, seam = judge.view.__self__.seam, ColumnSeam(judge.law, judge.house)  # type: ignore[attr-defined]
    raw, without = of_parts(parts)
    tables = [("band", judge.house)] + ([("presumption", judge.law)] if judge.law else [])
    for number, (table, book) in enumerate(tables):
        names = list(book.tables[table].columns)
        asked = [patterns.SEAM_NAMES.get(table, {}).get(name, name) for name in names]
        found = seam.values(raw.checked(), asked)
        for place in sorted(set(range(len(parts))) - set(without)):
            mine = tuple(words(book, table, n, found[a][place]) for n, a in zip(names, asked, strict=True))
            assert mine == scalar.columns(parts[place])[1 - number], parts[place]
    found = seam.values(raw, ["litres"])
    for place in sorted(set(range(len(parts))) - set(without)):
        assert COLUMN_VALUES["litres"][found["litres"][place]] == scalar.litres(parts[place]), parts[place]
    assert 0 < len(without) < len(parts) / 2


def test_sizes_of_capacitors_are_those_of_the_seam() -> None:
    judge = judge_of("us", None)
    law, scalar = judge.law, judge.view.__self__.seam  # type: ignore[attr-defined]
    assert law is not None
    parts = [judge.view(one).parts[0] for one in units(10_000, seed=9) if one.kind in CAPACITORS]
    raw, without = of_parts(parts)
    names = law.tables["capacitor_size"].columns
    found = ColumnSeam(law, judge.house).values(raw, names)
    for place in sorted(set(range(len(parts))) - set(without)):
        mine = tuple(COLUMN_VALUES[name][found[name][place]] for name in names)
        assert mine == scalar.capacitor_size(parts[place], law), parts[place]


@pytest.mark.parametrize(("law", "state"), LAWS)
def test_a_register_is_judged_as_one_by_one(law: str | None, state: str | None) -> None:
    judge = judge_of(law, state)
    whole, stream, alone, rows = ColumnJudge(judge), units(MANY, seed=2026 + LAWS.index((law, state))), 0, set()
    while some := [unit for _, unit in zip(range(HANDFUL), stream, strict=False)]:
        found = whole.of_units(some)
        alone += int(found.singly.sum())
        rows |= set(found.row.tolist())
        for place, unit in enumerate(some):
            same(whole, found, place, unit, judge)
    assert 0 < alone < 0.6 * MANY
    table = judge.law.tables["presumption"].rows if judge.law else ()
    assert len(rows - {NONE}) >= len(table) / 2


def same(whole: ColumnJudge, found: patterns.Judged, place: int, unit: Unit, judge: Judge) -> None:
    """The answer of a row is the answer of the core, with the row of the law that stands among its reasons."""
    view = judge.view(unit)
    answer = judge.judgement(view)
    mine = (whole.classes[found.klass[place]], FORCES[found.force[place]], BANDS[found.band[place]])
    assert mine == (answer.klass, answer.force, answer.band), unit
    if not found.singly[place]:
        assert not judge.law or key_of(judge.law, "presumption", found.row[place]) in keys(answer), unit
        assert key_of(judge.house, "band", found.band_row[place]) in keys(answer), unit
    if found.size_row[place] == NONE:
        assert answer.size is None
    else:
        assert judge.law is not None
        assert judge.law.tables["capacitor_size"].table.rows[found.size_row[place]].then == answer.size, unit


def keys(answer: object) -> set[str]:
    return {one.key for one in answer.because}  # type: ignore[attr-defined]


def key_of(book: LawDay, table: str, row: int) -> str:
    return f"{table}: {book.tables[table].table.rows[row].name}"


@pytest.mark.parametrize("on", [date(1970, 1, 1), date(1990, 1, 1), date(2010, 1, 1)])
@pytest.mark.parametrize("law", rulebooks.laws())
def test_so_it_is_on_other_days(law: str, on: date) -> None:
    judge = judge_of(law, None, on)
    whole, some = ColumnJudge(judge), list(units(500, seed=on.year))
    found = whole.of_units(some)
    for place, unit in enumerate(some):
        same(whole, found, place, unit, judge)


# ---------------------------------------------------------------------- against what was written by hand


def columns_of(facts: oracle.Facts) -> Columns:
    """The facts of the oracle as columns."""
    made = {name: np.zeros(len(facts["kind"]), edge_columns.TYPES[name]) for name in edge_columns.NAMES}
    fluids = {"mineral": "mineral", "other": "silicone", "unknown": None}
    for word in set(facts["kind"].tolist()):
        made["kind"][facts["kind"] == word] = made["unit_kind"][facts["kind"] == word] = place("kind", word)
    for word in set(facts["mounting"].tolist()):
        made["mounting"][facts["mounting"] == word] = place("mounting", None if word == "none" else word)
    for word in set(facts["fluid"].tolist()):
        made["fluid"][facts["fluid"] == word] = place("fluid", fluids[word])
    made["mass_g"][:] = np.maximum(facts["mass_g"], 0)
    for end in ("earliest", "latest"):
        made[end][:] = np.maximum(facts[end], 0)
    made["marks"][:] = np.where(facts["maker_mark"], edge_columns.BITS["maker_no_pcbs"], 0)
    made["volts"][:] = 400
    return Columns(**made)


def place(column: str, word: str | None) -> int:
    return edge_columns.WORDS[column].index(word)


def differing(facts: oracle.Facts, *, judge: Judge, size: int = edge_columns.CHUNK) -> int:
    """In how many rows class or force differ from the two that were written by hand."""
    found = list(ColumnJudge(judge).judged(columns_of(facts).checked(), size))
    classes = np.array([{"below_50": 0, "50_to_499": 1, "from_500": 2}.get(one, 9) for one in CLASSES])
    forces = np.array([{None: 0, "may": 1, "must": 2, "care": 3}[one] for one in FORCES])
    klass = classes[np.concatenate([one.klass for one in found])]
    force = forces[np.concatenate([one.force for one in found])]
    hands = (oracle.by_select(facts), oracle.by_sql(facts))
    return sum(int(((klass != theirs[0]) | (force != theirs[1])).sum()) for theirs in hands)


CLASSES = ("below_50", "50_to_499", "from_500", "undetermined")


def test_a_million_units_are_presumed_as_both_hands_presume_them() -> None:
    assert differing(oracle.make(1_000_000, seed=1979), judge=judge_of("us", None)) == 0


def test_every_combination_is_presumed_as_both_hands_presume_it() -> None:
    facts = oracle.every_value()
    assert differing(facts, judge=judge_of("us", None)) == 0
    assert differing({name: column[:999] for name, column in facts.items()}, judge=judge_of("us", None), size=7) == 0


@pytest.mark.parametrize("limit", ["_below", "_within"])
def test_a_limit_one_off_is_caught(limit: str, monkeypatch: pytest.MonkeyPatch) -> None:
    sound = getattr(columnseam, limit)
    monkeypatch.setattr(columnseam, limit, lambda *words, **more: sound(*words, **more) + 1)
    if limit == "_below":
        assert differing(oracle.every_value(), judge=judge_of("us", None)) > 0
    with pytest.raises(AssertionError):
        test_sizes_of_capacitors_are_those_of_the_seam()


# ---------------------------------------------------------------------- what fits, and what does not

AMOUNTS = st.decimals(min_value=0, max_value=10**6, places=3)
LIMITS = st.decimals(min_value="0.001", max_value=10**6, places=4)


@given(AMOUNTS, LIMITS, st.sampled_from([Decimal("1.6"), Decimal("0.80"), Decimal("0.87"), Decimal(3)]))
def test_limits_in_whole_numbers_are_exact(amount: Decimal, limit: Decimal, factor: Decimal) -> None:
    whole = edge_columns.whole_number(amount, 1000)
    assert whole is not None
    assert (whole <= columnseam._below(limit)) == (amount < limit)
    assert (whole <= columnseam._below(limit, over=factor)) == (amount * factor < limit)
    assert (whole <= columnseam._within(limit, times=factor)) == (amount <= limit * factor)


@pytest.mark.parametrize(("written", "fits"), [("1.36", 1360), ("0.0005", None), ("1e16", None), ("1e15", 10**18)])
def test_an_amount_fits_exactly_or_not_at_all(written: str, fits: int | None) -> None:
    assert edge_columns.whole_number(Decimal(written), 1000) == fits
    assert edge_columns.whole_number(Decimal(MOST) / 1000, 1000) == MOST


@pytest.mark.parametrize(("written", "klass"), [("1.3599", "below_50"), ("1e16", "50_to_499")])
def test_what_does_not_fit_is_judged_singly(written: str, klass: str) -> None:
    unit = Unit(id=Tag("A"), kind="transformer", fluid="mineral", fluid_mass_kg=Measure(written))
    judge = ColumnJudge(judge_of("us", None))
    found = judge.of_units([unit])
    assert (found.singly.tolist(), judge.classes[found.klass[0]]) == ([True], klass)


@pytest.mark.parametrize(
    ("name", "column", "says"),
    [
        ("kind", [15], "kind: whole numbers from 0 to 14"),
        ("volts", [-1], "volts: whole numbers from 0 to"),
        ("latest", [3_652_060], "latest: whole numbers from 0 to 3652059"),
        ("volts", [1, 2], "volts: 1 whole numbers may stand there"),
        ("volts", [0.5], "volts: 1 whole numbers may stand there"),
    ],
)
def test_columns_that_are_none_are_refused(name: str, column: list[float], says: str) -> None:
    sound = {each: np.zeros(1, edge_columns.TYPES[each]) for each in edge_columns.NAMES}
    assert len(Columns(**sound).checked()) == 1
    with pytest.raises(ValueError, match=says):
        Columns(**{**sound, name: np.array(column)}).checked()


def test_no_unit_at_all_is_no_mistake() -> None:
    judge = ColumnJudge(judge_of("us", None))
    assert len(judge.of_units([]).klass) == 0
    assert list(judge.judged(of_parts([])[0])) == []


def test_a_pattern_table_is_kept_for_its_law_day_and_state_only() -> None:
    one, again = (ColumnJudge(judge_of("us", None)).presumption for _ in range(2))
    other = ColumnJudge(judge_of("us", None, date(2010, 1, 1))).presumption
    assert one is again
    assert one is not other
    assert one is not None
    assert one.known.max() < len(one.answers)


def test_evidence_in_the_line_is_seen() -> None:
    judge = judge_of("us", None)
    some: list[tuple[Unit, bool]] = [
        (Unit(id=Tag("A"), kind="drum"), False),
        (Unit(id=Tag("B"), kind="drum", plate_words=("PYRANOL",)), True),
        (Unit(id=Tag("C"), kind="drum", marks=("pcb_contaminated_mark",)), True),
        (Unit(id=Tag("D"), kind="drum", fluid="askarel"), True),
    ]
    assert ColumnJudge(judge).of_units([unit for unit, _ in some]).singly.tolist() == [alone for _, alone in some]
    views: list[View] = [judge.view(unit) for unit, _ in some]
    raw, _ = of_parts(view.parts[0] for view in views)
    [found] = ColumnJudge(judge).judged(raw)
    assert found.singly.tolist() == [alone for _, alone in some]
