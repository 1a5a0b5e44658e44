"""What is worn, cell by cell of the matrix that was laid down before; and what holds of any task, care and answer."""

import tomllib
from datetime import date
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat import rulebooks
from hazmat.core.bulk import CARE
from hazmat.core.gear import told
from hazmat.core.law import LawDay
from hazmat.core.wear import ASKED, CALM, HEADS, NOT_HERE, SAID, TASKS, Work, Worn, answers, glove, worn

HOUSE = LawDay(rulebooks.rulebook(rulebooks.HANDLING), date(2026, 11, 27))
MATRIX: dict[str, Any] = tomllib.loads(Path(__file__).with_name("gear_matrix.toml").read_text("utf-8"))
LETTERS = {
    "G": ("work_gloves", "gauntlets", "layered_gloves"),
    "E": ("safety_glasses", "goggles", "goggles_and_shield"),
    "B": ("coverall", "hooded_coverall", "liquid_tight_suit"),
    "F": ("safety_boots", "overboots", "rubber_boots"),
    "R": ("open_air", "mask", "powered_mask", "breathing_apparatus"),
}
"""The letters of the matrix, in order of care."""
WORN = ("hands", "eyes", "body", "feet", "breath")
SHOWN = Work(shown=True, said=CALM)
CELLS = [(task, care) for task in TASKS for care in CARE]


def letters(found: Worn) -> str:
    """Pieces as the matrix writes them."""
    if found.who == "barred":
        return "X"
    named = zip(LETTERS.items(), WORN, strict=True)
    return " ".join(f"{letter}{order.index(found.pieces[head])}" for (letter, order), head in named)  # type: ignore[index]


def calm(*, shown: bool = True, **said: str) -> Work:
    return Work(shown=shown, said={**CALM, **said})


def places(found: Worn) -> list[int]:
    """How far along each piece stands in the order of care."""
    return [answers(HOUSE, head).index(found.pieces[head]) for head in HEADS]


def no_less(one: Worn, other: Worn) -> bool:
    return all(first <= second for first, second in zip(places(one), places(other), strict=True))


def test_the_matrix_speaks_of_every_task() -> None:
    assert set(MATRIX) - {"basis"} == set(TASKS)
    assert all(row["built_on"] for name, row in MATRIX.items() if name != "basis")


@pytest.mark.parametrize(("task", "care"), CELLS)
def test_a_cell_of_the_matrix(task: str, care: str) -> None:
    found = worn(HOUSE, task, care, SHOWN)
    assert letters(found) == MATRIX[task][care]
    assert found.raised == ()
    who = "barred" if MATRIX[task][care] == "X" else MATRIX[task].get("who", {}).get(care, "trained")
    assert found.who == who


@pytest.mark.parametrize("care", CARE)
@pytest.mark.parametrize("task", TASKS)
def test_untested_repeats_its_care_but_is_not_cut(task: str, care: str) -> None:
    """Without a signed result the same gear is worn, and nothing is cut."""
    found = worn(HOUSE, task, care, calm(shown=False))
    assert letters(found) == ("X" if task == "cut" else MATRIX[task][care])


@pytest.mark.parametrize("care", ["unknown", "", "undetermined", "GE500"])
def test_a_care_that_nobody_knows_is_the_highest(care: str) -> None:
    for task in TASKS:
        assert worn(HOUSE, task, care, SHOWN) == worn(HOUSE, task, CARE[-1], SHOWN)


def test_a_cut_layer_goes_over_two_layers_and_over_what_cuts() -> None:
    layered = {(task, care) for task, care in CELLS if worn(HOUSE, task, care, SHOWN).pieces["over"] == "cut_layer"}
    two = {(task, care) for task, care in CELLS if worn(HOUSE, task, care, SHOWN).pieces["hands"] == "layered_gloves"}
    assert layered == two | {("cut", "lt2"), ("cut", "2_49")}


@given(
    task=st.sampled_from(TASKS), said=st.fixed_dictionaries({one: st.sampled_from(SAID) for one in ASKED}),
    shown=st.booleans(), air=st.sampled_from(["above", "not_above", "unknown"]),
    policy=st.sampled_from(["supplied", "mask"]),
)  # fmt: skip
def test_care_never_falls_from_one_step_to_the_next(
    task: str, said: dict[str, str], shown: bool, air: str, policy: str
) -> None:
    found = [worn(HOUSE, task, care, Work(shown, said, air, policy)) for care in CARE]
    assert all(no_less(low, high) for low, high in pairwise(found))


@given(
    task=st.sampled_from(TASKS), care=st.sampled_from(CARE), shown=st.booleans(),
    said=st.fixed_dictionaries({one: st.sampled_from(SAID) for one in ASKED}),
    air=st.sampled_from(["above", "not_above", "unknown"]), policy=st.sampled_from(["supplied", "mask"]),
)  # fmt: skip
def test_answers_only_raise(task: str, care: str, shown: bool, said: dict[str, str], air: str, policy: str) -> None:
    base = worn(HOUSE, task, care, Work(shown, CALM))
    found = worn(HOUSE, task, care, Work(shown, said, air, policy))
    assert no_less(base, found)
    assert bool(found.raised) == (found.pieces != base.pieces or found.care != base.care)
    for one in ASKED:
        asked = {word: worn(HOUSE, task, care, Work(shown, {**said, one: word}, air, policy)) for word in SAID}
        assert asked["unknown"] == worn_like(asked["unknown"], asked["yes"])
        assert no_less(asked["no"], asked["unsaid"])
        assert no_less(asked["unsaid"], asked["yes"])
    strict, other = (worn(HOUSE, task, care, Work(shown, said, air, one)) for one in ("supplied", "mask"))
    assert no_less(other, strict)


def worn_like(one: Worn, other: Worn) -> Worn:
    """The first, where the second puts the same on."""
    assert (one.pieces, one.who, one.care) == (other.pieces, other.who, other.care)
    return one


@pytest.mark.parametrize(
    ("task", "care", "said", "wanted"),
    [
        ("sample", "50_499", {"hot": "yes"}, "G1 E1 B1 F1 R1"),
        ("sample", "50_499", {"hot": "unknown"}, "G1 E1 B1 F1 R1"),
        ("sample", "50_499", {"hot": "yes", "indoors": "yes", "mist": "yes"}, "G1 E1 B1 F1 R1"),
        ("drain", "50_499", {"indoors": "yes"}, "G1 E2 B2 F2 R2"),
        ("sample", "ge500", {"mist": "yes"}, "G2 E2 B2 F2 R3"),
        ("drain", "ge500", {"mist": "yes"}, "G2 E2 B2 F2 R3"),
        ("look", "lt2", {"leak": "yes"}, "G1 E0 B1 F1 R0"),
        ("look", "lt2", {"leak": "unknown"}, "G1 E0 B1 F1 R0"),
        ("look", "2_49", {"hot_leak": "yes"}, "G0 E0 B0 F0 R1"),
        ("drain", "50_499", {"hot_leak": "yes"}, "G1 E2 B2 F2 R1"),
        ("look", "lt2", {"pcb_name": "yes"}, "G1 E0 B1 F1 R0"),
        ("cut", "lt2", {"pcb_name": "yes"}, "X"),
        ("bench", "2_49", {"pcb_name": "unknown"}, "X"),
        ("drums", "lt2", {"pcb_name": "yes", "leak": "yes"}, "G2 E1 B1 F1 R0"),
    ],
)
def test_what_an_answer_raises(task: str, care: str, said: dict[str, str], wanted: str) -> None:
    """By hand from the upgrade rules: one step for heat, rooms and mist; a leak, at least as to look at the worst."""
    assert letters(worn(HOUSE, task, care, calm(**said))) == wanted


@pytest.mark.parametrize("task", TASKS)
def test_what_nobody_said_counts_as_yes_where_oil_is_open(task: str) -> None:
    """A sealed unit or drum gives off nothing; of open work nobody has said that it is cool and in the open."""
    unsaid = worn(HOUSE, task, "2_49", Work(shown=True))
    if task in ("look", "drums", "hand_over"):
        assert letters(unsaid) == MATRIX[task]["2_49"]
    elif task != "after_fire":
        assert unsaid.pieces["breath"] == "mask"
        assert len(unsaid.raised) >= 2


@pytest.mark.parametrize(
    ("policy", "air", "wanted"),
    [
        ("supplied", "above", "R3"), ("supplied", "not_above", "R1"), ("supplied", "unknown", "R1"),
        ("mask", "above", "R1"), ("mask", "not_above", "R1"), ("mask", "unknown", "R1"),
    ],
)  # fmt: skip
def test_above_its_limit_the_rule_of_the_yard_decides(policy: str, air: str, wanted: str) -> None:
    """NIOSH: at any detectable level above the limit only supplied air; ANZECC: a mask with cartridges."""
    found = worn(HOUSE, "drain", "50_499", Work(said=CALM, air=air, policy=policy))
    assert letters(found).endswith(wanted)
    low = worn(HOUSE, "look", "lt2", Work(said=CALM, air=air, policy=policy))
    assert letters(low).endswith({"R3": "R3", "R1": "R1" if air == "above" else "R0"}[wanted])


@pytest.mark.parametrize(
    ("task", "care", "kind", "hours", "wetted", "wanted", "says"),
    [
        ("sample", "2_49", "thin_nitrile", "0", False, "never", "0.45 mm or more"),
        ("sample", "2_49", "pvc_latex", "0", False, "never", "natural rubber"),
        ("drain", "ge500", "gauntlet", "2", False, "never", "Put laminate or fluoroelastomer gloves underneath"),
        ("drain", "ge500", "gauntlet", "0.1", False, "never", "in under an hour"),
        ("drain", "ge500", "layered", "3", False, "wear", "before four hours"),
        ("drain", "ge500", "layered", "3.99", False, "wear", "cut layer outside"),
        ("drain", "ge500", "layered", "4", False, "change", "Change it now"),
        ("sample", "2_49", "gauntlet", "0", True, "never", "Never again"),
        ("sample", "2_49", "layered", "0", True, "never", "Never again"),
        ("sample", "2_49", "gauntlet", "0.99", False, "wear", "before an hour"),
        ("sample", "2_49", "gauntlet", "1", False, "change", "Change it now"),
        ("sample", "2_49", "gauntlet", None, False, "change", "Change it now"),
        ("cut", "2_49", "leather", "0", False, "never", "only as the outermost layer"),
        ("look", "lt2", "gauntlet", "0", False, "wear", "before an hour"),
        ("bench", "ge500", "gauntlet", "0", False, "never", "No glove makes this a task of the yard"),
        ("bench", "ge500", "layered", "0", False, "never", "No glove makes this a task of the yard"),
    ],
)  # fmt: skip
def test_a_glove_has_its_hours(
    task: str, care: str, kind: str, hours: str | None, wetted: bool, wanted: str, says: str
) -> None:
    """By hand: thin nitrile and PVC refused (DGUV 3123, ANZECC), nitrile alone passes chlorobenzenes in under an hour
    (PMID 6507285), fluoroelastomer holds 4 h, wetted gloves are never worn again (NIOSHTIC 00146046)."""
    asked = worn(HOUSE, task, care, SHOWN).pieces["hands"]
    verdict, why = glove(HOUSE, kind, asked, None if hours is None else Decimal(hours), wetted)
    assert verdict == wanted
    assert says in why.says


@given(
    kind=st.sampled_from(["thin_nitrile", "gauntlet", "layered", "pvc_latex", "leather"]),
    hands=st.sampled_from([*LETTERS["G"], NOT_HERE]), wetted=st.booleans(),
    first=st.decimals(0, 24, places=2), second=st.decimals(0, 24, places=2),
)  # fmt: skip
def test_a_glove_never_gets_better(kind: str, hands: str, wetted: bool, first: Decimal, second: Decimal) -> None:
    order = HOUSE.tables["gear_glove"].table.answers
    fresh, later = (order.index(glove(HOUSE, kind, hands, at, wetted)[0]) for at in sorted((first, second)))
    assert fresh <= later <= order.index(glove(HOUSE, kind, hands, None, wetted)[0])
    assert later <= order.index(glove(HOUSE, kind, hands, max(first, second), True)[0])


@pytest.mark.parametrize("care", CARE)
@pytest.mark.parametrize(
    ("act", "task"), [("wear_to_look", "look"), ("wear_to_sample", "sample"), ("wear_for_leak", "spill")]
)
def test_a_sentence_names_each_piece_of_its_card(act: str, task: str, care: str) -> None:
    leak = {"leak": "yes"} if task == "spill" else {}
    found = worn(HOUSE, task, care, calm(**leak))
    says = told(HOUSE, act, care).finished({})
    for head in WORN:
        piece = found.pieces[head]  # type: ignore[index]
        assert (HOUSE.book.sentences[f"gear_{piece}"].says in says) == (piece != "open_air"), piece
    assert ("specially trained" in says) == (found.who == "specialist")
