"""Two hand-written presumptions agree with the text and each other; the product agrees with them.

Cases: 40 CFR 761.2(a)(1) to (4),
https://codes.findlaw.com/cfr/title-40-protection-of-environment/cfr-sect-40-761-2/
(read 2026-11-25).
"""

from __future__ import annotations

from collections import Counter
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from . import presumption_761_2 as oracle
from .contract_lines import built, contract_lines
from .product import judge_lines
from .solver import beats, read, words

RULEBOOK = Path(__file__).parents[3] / "hazmat" / "rulebooks" / "us.toml"
ALSO_EQUIPMENT = ["regulator", "switch", "bushing", "electromagnet", "motor", "other"]
MARCH_1970, NEXT_DAY = "1970-03-05", "1979-07-03"

# kind, mounting, fluid, grams, first day, last day, maker's mark -> class, force
CASES = {
    "(a)(1) small transformer": ("transformer none other 1359", MARCH_1970, False, "below_50 may"),
    "(a)(3) at 1.36 kg": ("transformer none other 1360", MARCH_1970, False, "from_500 must"),
    "(a)(1) breaker": ("breaker ground mineral 250000", MARCH_1970, False, "below_50 may"),
    "(a)(1) recloser": ("recloser pole mineral 50000", MARCH_1970, False, "below_50 may"),
    "(a)(1) cable": ("cable none other -1", None, False, "below_50 may"),
    "(a)(1) rectifier": ("rectifier indoor mineral 500000", MARCH_1970, False, "below_50 may"),
    "(a)(2) mineral oil": ("regulator none mineral 300000", MARCH_1970, False, "50_to_499 must"),
    "(a)(2) mineral oil, undated": ("regulator none mineral 300000", None, False, "50_to_499 must"),
    "(a)(2) pole": ("transformer pole unknown 140000", "1968-05-01", False, "50_to_499 must"),
    "(a)(2) pad, a day before": (
        "transformer pad unknown 9000",
        "1979-07-01",
        False,
        "50_to_499 must",
    ),
    "(a)(2) the day after": ("transformer pad unknown 9000", NEXT_DAY, False, "below_50 may"),
    "(a)(3) other fluid": (
        "transformer indoor other 1090000",
        "1972-01-01",
        False,
        "from_500 must",
    ),
    "(a)(3) nothing known": ("transformer indoor unknown 9000", None, False, "from_500 must"),
    "(a)(4) capacitor": ("capacitor none unknown 4000", "1975-01-01", False, "from_500 must"),
    "(a)(4) undated": ("capacitor none unknown 4000", None, False, "from_500 must"),
    "(a)(4) after": ("capacitor none unknown 4000", "1990-01-01", False, "below_50 may"),
    "(a)(4) marked": ("capacitor none unknown 4000", None, True, "below_50 may"),
    "mark too early for 761.40(g)": (
        "capacitor none other 4000",
        "1978-06-30",
        True,
        "from_500 must",
    ),
    "mark on the first day": ("ballast none other 4000", "1978-07-01", True, "below_50 may"),
    "a mark on a transformer": ("transformer none other 9000", MARCH_1970, True, "from_500 must"),
    "silent: the day itself": ("switch pole mineral 9000", "1979-07-02", False, "50_to_499 care"),
    "silent: a switch": ("switch pole other 9000", MARCH_1970, False, "from_500 care"),
    "silent: fluid unknown": ("transformer ground unknown -1", MARCH_1970, False, "from_500 care"),
    "silent: undated, other fluid": ("transformer ground other 9000", None, False, "from_500 care"),
    "a drum": ("drum none mineral 180000", MARCH_1970, False, "undetermined None"),
}


def one_row(words: str, day: str | None, mark: bool) -> oracle.Facts:
    kind, mounting, fluid, grams = words.split()
    ordinal = date.fromisoformat(day).toordinal() if day else -1
    return {
        "kind": np.array([kind]),
        "mounting": np.array([mounting]),
        "fluid": np.array([fluid]),
        "mass_g": np.array([int(grams)]),
        "earliest": np.array([ordinal]),
        "latest": np.array([ordinal]),
        "maker_mark": np.array([mark]),
    }


def differ(one: oracle.Answers, two: oracle.Answers) -> int:
    """In how many rows the class or the force differs."""
    return int(((one[0] != two[0]) | (one[1] != two[1])).sum())


@pytest.mark.parametrize(("words", "day", "mark", "expected"), CASES.values(), ids=CASES)
def test_both_say_what_the_section_says(words: str, day: str | None, mark: bool, expected: str) -> None:
    facts = one_row(words, day, mark)
    for classes, forces in (oracle.by_select(facts), oracle.by_sql(facts)):
        assert f"{oracle.CLASSES[classes[0]]} {oracle.FORCES[forces[0]]}" == expected


def test_numpy_and_sql_agree_on_a_million_rows() -> None:
    facts = oracle.make(1_000_000, seed=7612)
    assert differ(oracle.by_select(facts), oracle.by_sql(facts)) == 0


def test_numpy_and_sql_agree_on_every_combination() -> None:
    facts = oracle.every_value()
    assert differ(oracle.by_select(facts), oracle.by_sql(facts)) == 0


def test_a_flipped_branch_is_caught_whichever_it_is() -> None:
    facts = oracle.every_value()
    sound, truth = oracle.branches(facts), oracle.by_sql(facts)
    for i, (label, condition, class_, force) in enumerate(sound):
        for flipped in (
            (label, condition, 1 - class_, force),
            (label, condition, class_, force + 1),
        ):
            planted = [*sound[:i], flipped, *sound[i + 1 :]]
            assert differ(oracle.by_select(facts, planted), truth) > 0, label
        assert differ(oracle.by_select(facts, [*sound[:i], *sound[i + 1 :]]), truth) > 0, label


@pytest.mark.parametrize("name", ["CUTOFF", "MARKS_FROM", "SMALL_BELOW_G"])
@pytest.mark.parametrize("shift", [-1, 1])
def test_a_bound_one_off_is_caught(monkeypatch: pytest.MonkeyPatch, name: str, shift: int) -> None:
    facts = oracle.every_value()
    truth = oracle.by_sql(facts)
    monkeypatch.setattr(oracle, name, getattr(oracle, name) + shift)
    assert differ(oracle.by_select(facts), truth) > 0


@pytest.mark.parametrize(
    ("first", "last", "expected"),
    [
        ("1979-01-01", "1979-12-31", "1979"),
        ("1979-07-01", "1979-07-31", "1979-07"),
        ("1979-07-02", "1979-07-02", "1979-07-02"),
        ("1970-01-01", "1985-12-31", "1970/1985"),
        ("1970-01-01", "1980-12-31", "~1975"),
        ("1979-07-01", "1979-07-03", "1979-07-01/1979-07-03"),
        (None, "1985-12-31", "/1985"),
        ("1970-01-01", None, "1970/"),
        (None, None, None),
    ],
)
def test_spans_are_written_as_the_command_reads_them(first: str | None, last: str | None, expected: str | None) -> None:
    ends = [date.fromisoformat(day).toordinal() if day else -1 for day in (first, last)]
    assert built(ends[0], ends[1], 0) == expected


def columns_of(facts: oracle.Facts) -> dict[str, np.ndarray]:
    """The raw facts as the words of the shipped table's columns, by hand."""
    kind, earliest, latest = facts["kind"], facts["earliest"], facts["latest"]
    table_kind = np.where(np.isin(kind, ALSO_EQUIPMENT), "equipment", kind)
    table_kind = np.where(kind == "instrument_transformer", "transformer", table_kind)
    pole = (kind == "transformer") & np.isin(facts["mounting"], ["pole", "pad"])
    undated = (earliest < 0) & (latest < 0)
    built_before = (latest > 0) & (latest < oracle.CUTOFF)
    small = (facts["mass_g"] > 0) & (facts["mass_g"] < oracle.SMALL_BELOW_G)
    counts = facts["maker_mark"] & (undated | (earliest >= oracle.MARKS_FROM))
    return {
        "kind": np.where(kind == "ballast", "capacitor", table_kind),
        "mounting": np.where(pole, "pole_or_pad", "other"),
        "fluid": facts["fluid"],
        "amount": np.where(small, "small", "not_small"),
        "built": np.select(
            [undated, built_before, earliest > oracle.CUTOFF],
            ["unknown", "before", "after"],
            "touches_cutoff",
        ),
        "maker_mark": np.where(counts, "valid", "none"),
    }


def test_the_shipped_table_says_what_the_oracle_says() -> None:
    """The table alone, without the product: a wrong row and a wrong column are told apart."""
    facts = oracle.every_value()
    table = read(RULEBOOK)["table"]["presumption"]
    columns = columns_of(facts)
    assert set(columns) == set(table["columns"])
    matching = {
        row["name"]: np.logical_and.reduce(
            [np.isin(columns[name], words(value)) for name, value in row["when"].items()]
        )
        for row in table["row"]
    }
    answers = oracle.by_select(facts)
    answered = np.zeros(len(facts["kind"]), dtype=bool)
    for row in table["row"]:
        beaten = [matching[r["name"]] for r in table["row"] if row["name"] in beats(r)]
        wins = matching[row["name"]] & ~np.logical_or.reduce([answered & False, *beaten])
        said = {(oracle.CLASSES[c], oracle.FORCES[f]) for c, f in pairs(answers, wins)}
        assert said == {(row["then"], row.get("force"))}, row["name"]
        answered |= wins
    assert answered.all()


def pairs(answers: oracle.Answers, where: np.ndarray) -> set[tuple[int, int]]:
    """The different (class, force) that the answers give in the rows chosen."""
    return set(zip(answers[0][where].tolist(), answers[1][where].tolist(), strict=True))


def test_the_product_presumes_as_the_oracle_does() -> None:
    facts = oracle.make(5_000, seed=5000)
    lines = contract_lines(facts)
    answers = judge_lines(lines, rulebook="us", on="2026-11-25")
    assert [answer["id"] for answer in answers] == [line["id"] for line in lines]
    wrong: list[dict[str, Any]] = []
    for line, answer, class_, force in zip(lines, answers, *oracle.by_select(facts), strict=True):
        expected = (oracle.CLASSES[int(class_)], oracle.FORCES[int(force)])
        if (answer["class"], answer["force"]) != expected:
            wrong.append({"line": line, "found": (answer["class"], answer["force"]), "expected": expected})
    kinds = Counter(str(item["line"]["kind"]) for item in wrong)
    assert not wrong, f"{len(wrong)} differ, by kind {dict(kinds)}; first: {wrong[:5]}"


def test_the_random_facts_reach_every_branch_and_outcome() -> None:
    facts = oracle.make(5_000, seed=5000)
    sound = oracle.branches(facts)
    first = np.select([condition for _, condition, _, _ in sound], list(range(len(sound))))
    assert set(first.tolist()) == set(range(len(sound)))
