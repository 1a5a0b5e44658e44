"""A gear card says what it must whatever the task: hygiene, when to stop, who may; each line with its document."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat import rulebooks
from hazmat.core.bulk import CARE
from hazmat.core.gearcard import PARTS, TASK_WORDS, Card, Line, card
from hazmat.core.law import LawDay
from hazmat.core.wear import ASKED, CALM, SAID, TASKS, Work
from tests.core.test_sentences import slips

BOOK = rulebooks.rulebook(rulebooks.HANDLING)
HOUSE = LawDay(BOOK, date(2026, 11, 27))
WORK = st.builds(
    Work, st.booleans(), st.fixed_dictionaries({one: st.sampled_from(SAID) for one in ASKED}),
    st.sampled_from(["above", "not_above", "unknown"]), st.sampled_from(["supplied", "mask"]),
)  # fmt: skip
CAREFUL = st.sampled_from([*CARE, "unknown"])


def said(found: Card, part: str) -> str:
    return " ".join(one.says for one in found.parts[part])


def of(task: str, care: str, **more: Any) -> Card:
    return card(HOUSE, task, care, Work(**{"shown": True, "said": CALM, **more}))


@given(task=st.sampled_from(TASKS), care=CAREFUL, work=WORK)
def test_no_card_is_without_hygiene_and_stop(task: str, care: str, work: Work) -> None:
    found = card(HOUSE, task, care, work)
    assert "No food, drink or smoke" in said(found, "wash")
    assert "Wash hands" in said(found, "wash")
    assert "bagged" in said(found, "wash")
    assert "Eyewash and a quick drench" in said(found, "reach")
    assert "stop, leave, call the safety officer" in said(found, "stop")
    assert "Oil on skin" in said(found, "stop")
    assert "leave upwind" in said(found, "stop")
    assert found.parts["never"]
    assert found.parts["lasts"]
    assert len([one for one in found.parts["who"] if one.name != "who_not"]) == 1


@given(task=st.sampled_from(TASKS), care=CAREFUL, work=WORK)
def test_every_line_is_a_sentence_with_its_document(task: str, care: str, work: Work) -> None:
    held = {cite.document for cite in BOOK.cites.values()}
    found = card(HOUSE, task, care, work)
    for one in found.every():
        assert not slips(one.says), one
        assert one.cite in held
        assert one.basis in ("read", "memory", "judgement")
        assert one.chosen_by in held | {""}
        assert (one.chosen_by == "") == (one.chosen == "")
    assert found.barred == (found.wear == ())
    assert {one.name.partition("_")[0] for told in found.parts.values() for one in told} <= set(PARTS)
    assert sum(map(len, found.parts.values())) == len({one.name for told in found.parts.values() for one in told})


def test_every_task_has_a_title_and_every_piece_a_sentence() -> None:
    assert tuple(TASK_WORDS) == TASKS
    pieces = {
        piece for head in ("hands", "eyes", "body", "feet", "breath", "over")
        for piece in BOOK.tables[f"gear_{head}"].answers
    }  # fmt: skip
    assert {f"gear_{piece}" for piece in pieces - {"not_here", "no_layer"}} <= set(BOOK.sentences)
    assert {f"ask_{one}" for one in ASKED} <= set(BOOK.sentences)


def test_every_line_of_the_book_stands_on_some_card() -> None:
    told = {
        one.name for task in TASKS for care in CARE for shown in (True, False) for air in ("above", "unknown")
        for one in card(HOUSE, task, care, Work(shown, {} if air == "unknown" else CALM, air, "mask")).every()
    }  # fmt: skip
    assert {act.act for act in BOOK.card} <= told


@pytest.mark.parametrize("care", CARE)
def test_gloves_that_are_never_worn_are_named_on_every_card(care: str) -> None:
    for task in set(TASKS) - {"after_fire"}:
        never = said(of(task, care), "never")
        for words in ("Thin disposable nitrile alone", "PVC, latex", "Leather, save as the cut layer", "wetted before"):
            assert words in never


@pytest.mark.parametrize("care", CARE)
@pytest.mark.parametrize("shown", [True, False])
def test_no_flame_on_a_card_for_cutting(care: str, shown: bool) -> None:
    assert "Torch, plasma, welding, grinder" in said(of("cut", care, shown=shown), "never")


@pytest.mark.parametrize(
    ("task", "care", "shown", "who"),
    [
        ("after_fire", "lt2", True, "fire service and licensed people"),
        ("bench", "ge500", True, "a laboratory tests it"),
        ("cut", "50_499", True, "a licensed plant does"),
        ("cut", "ge500", True, "a licensed plant does"),
        ("cut", "lt2", False, "before a signed result shows it low"),
        ("cut", "2_49", True, "Whoever was shown how"),
        ("sample", "ge500", True, "Licensed or specially trained people only"),
        ("drain", "ge500", False, "Licensed or specially trained people only"),
        ("spill", "ge500", True, "Licensed or specially trained people only"),
        ("look", "ge500", False, "Whoever was shown how"),
    ],
)
def test_who_does_it_is_said(task: str, care: str, shown: bool, who: str) -> None:
    assert who in said(of(task, care, shown=shown), "who")


@pytest.mark.parametrize("task", TASKS)
@pytest.mark.parametrize("care", CARE)
def test_pregnancy_keeps_off_oil_from_low_care_up(task: str, care: str) -> None:
    """MAK pregnancy group B: off oil tasks from 2 mg/kg up. It is printed for everybody and asked of nobody."""
    oil = task in ("sample", "bench", "drain", "drums", "cut", "spill")
    assert ("pregnant" in said(of(task, care), "who")) == (oil and care != "lt2")


@pytest.mark.parametrize(
    ("task", "care", "lasts"),
    [
        ("sample", "2_49", "one hour"), ("drain", "ge500", "four hours"), ("look", "lt2", "dry work only"),
        ("bench", "ge500", "No glove makes"),
    ],
)  # fmt: skip
def test_how_long_a_glove_lasts(task: str, care: str, lasts: str) -> None:
    assert lasts in said(of(task, care), "lasts")


def test_both_rules_on_respirators_stand_that_of_the_yard_first() -> None:
    strict, other = (of("drain", "50_499", policy=one).air for one in ("supplied", "mask"))
    assert [one.name for one in strict] == ["air_supplied", "air_mask"]
    assert list(other) == list(reversed(strict))
    assert "0.001 mg/m³" in strict[0].says
    assert of("after_fire", "lt2").air == ()


def test_somebody_else_adds_a_line_under_its_head() -> None:
    more = Line("mind_weather", "A storm is on its way.", "Forecast", "memory")
    found = card(HOUSE, "look", "lt2", Work(), [more])
    assert found.parts["mind"][-1] == more
    assert found.parts["mind"][:-1] == card(HOUSE, "look", "lt2", Work()).parts["mind"]


def test_what_is_asked_names_its_figure() -> None:
    assert "40 °C" in rulebooks.said("ask_hot", HOUSE.words)


def test_a_card_says_where_no_mask_is_worn_and_names_no_layer_that_is_not() -> None:
    names = [one.name for one in of("look", "lt2").wear]
    assert names == ["gear_work_gloves", "gear_safety_glasses", "gear_coverall", "gear_safety_boots", "gear_open_air"]
    assert [one.name for one in of("cut", "lt2").wear][-1] == "gear_cut_layer"


def test_a_task_that_is_none_is_refused() -> None:
    with pytest.raises(KeyError):
        card(HOUSE, "dance", "lt2")
