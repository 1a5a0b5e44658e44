"""What a page says of a unit: every case is met, and every row, head, order and sentence behind it is needed.

The cases are data in fixtures/told. A row that is lost, loosened or narrowed, an act under another head, two acts in
another order, a sentence with other words: some case notices each.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from typing import Any

import pytest

from hazmat import rulebooks
from hazmat.core import parts, sampling
from hazmat.core.law import Act, LawDay
from tests.core.told import EVERY, TODAY, TOLD, Told, all_told, told_misses

HOUSE = rulebooks.rulebook(rulebooks.HANDLING)
DAY = LawDay(HOUSE, TODAY)
COLUMNS = {
    "proved": ("yes", "no", "unknown"), "reach": ("open", "sealed", "both", "container"),
    "care": ("lt2", "2_49", "50_499", "ge500"), "heavy": ("yes", "maybe", "no"),
    "state": ("leaking", "drained", "other"),
}  # fmt: skip
POINTS = {"point_low", "point_high", "point_both", "point_drained", "whole_depth"}
NEVER = ("clean", "safe", "free")


def each() -> pytest.MarkDecorator:
    return pytest.mark.parametrize("case", [pytest.param(case, id=case.name) for case in EVERY])


@each()
def test_a_page_says_what_its_case_says(case: Told) -> None:
    assert list(told_misses(case, DAY)) == []


@each()
def test_a_case_that_expects_anything_else_is_missed(case: Told) -> None:
    for name in case.expect:
        (miss,) = told_misses(replace(case, expect={name: "no such words"}), DAY)
        assert f"{name} should be no such words" in miss


def test_the_cases_are_many_and_told_apart() -> None:
    names = [case.name for case in EVERY]
    assert len(set(names)) == len(names) > 90
    assert all(file.suffix == ".toml" for file in TOLD.iterdir())
    assert all(case.expect and case.source and case.basis in ("read", "memory", "judgement") for case in EVERY)
    assert all(case.basis != "read" or case.where.startswith("https://") for case in EVERY)


# ------------------------------------------------------------------ every combination of the steps


def combinations() -> Iterator[dict[str, str]]:
    for values in product(*COLUMNS.values()):
        yield dict(zip(COLUMNS, values, strict=True))


def keys(facts: dict[str, str]) -> list[str]:
    return [one.key for one in sampling.steps(facts, DAY)]


def test_no_step_is_given_before_it_is_proved_dead() -> None:
    for facts in combinations():
        if facts["reach"] in ("open", "both") and facts["proved"] != "yes":
            assert keys(facts) == ["not_proved"], facts
        if facts["reach"] == "sealed":
            assert keys(facts) == ["sealed"], facts


def test_every_way_of_sampling_is_whole_and_in_order() -> None:
    for facts in combinations():
        found = keys(facts)
        if found in (["not_proved"], ["sealed"]):
            continue
        (point,) = POINTS & set(found)
        assert len(set(found)) == len(found)
        order = [found.index(one) for one in ("before", point, "flush", "fill", "close", "send")]
        assert order == sorted(order), facts
        assert found[-1] == "send"
        assert ("licensed" in found) == (facts["care"] == "ge500")
        assert (found[0] == "leaking") == (facts["state"] == "leaking")
        electrical = facts["reach"] != "container"
        assert ({"still_dead", "pressure", "stay_low"} <= set(found)) == electrical
        assert ("sealed_part" in found) == (facts["reach"] == "both")


# ------------------------------------------------------------------ what is lost is noticed


def step_mutants(rows: tuple[Act, ...]) -> Iterator[tuple[str, tuple[Act, ...]]]:
    """The steps with one row lost, or with one condition of a row lost or narrower by one value."""
    for n, row in enumerate(rows):
        yield f"{n} {row.act} lost", (*rows[:n], *rows[n + 1 :])
        for column, accepted in row.when:
            rest = tuple(one for one in row.when if one[0] != column)
            fewer = [(*rest, (column, accepted - {value})) for value in sorted(accepted) if len(accepted) > 1]
            for when in (rest, *fewer):
                yield f"{n} {row.act} {column} {len(when)}", (*rows[:n], replace(row, when=when), *rows[n + 1 :])
        if n:
            yield f"{n} {row.act} swapped", (*rows[: n - 1], row, rows[n - 1], *rows[n + 1 :])


def test_every_change_of_the_steps_is_noticed() -> None:
    made = list(step_mutants(HOUSE.steps))
    assert len(made) > 100
    alive = {name for name, rows in made if all_told(replace(HOUSE, steps=rows))}
    assert {name for name in alive if "swapped" not in name} == set()
    apart = {f"{n} {row.act} swapped" for n, row in enumerate(HOUSE.steps) if n and not _meet(HOUSE.steps[n - 1], row)}
    assert alive <= apart, "rows that never hold together may stand in any order; these do hold together"


def _meet(one: Act, other: Act) -> bool:
    return any(one.wanted(facts) and other.wanted(facts) for facts in combinations())


def test_every_head_is_needed() -> None:
    others = [(act, head) for act, own in HOUSE.parts.items() for head in parts.HEADS if head != own]
    alive = [one for one in others if all_told(replace(HOUSE, parts={**HOUSE.parts, one[0]: one[1]}))]
    assert alive == []


def test_the_first_act_follows_the_order_of_the_book() -> None:
    lost = [act for act in HOUSE.first if all_told(replace(HOUSE, first=tuple(x for x in HOUSE.first if x != act)))]
    assert lost == []
    turned = [
        (one, other)
        for n, (one, other) in enumerate(zip(HOUSE.first, HOUSE.first[1:], strict=False))
        if all_told(replace(HOUSE, first=(*HOUSE.first[:n], other, one, *HOUSE.first[n + 2 :])))
    ]
    assert turned == []


SAID = {name for pair in parts.STANDINGS.values() for name in pair} | {
    name for name in HOUSE.sentences if name.startswith("strength_") and name != "strength_screened"
} | {"found_in_place", "old_stain", "fuse", "estimated_mass", "screen_only", "lapsed", "lacks_result"}  # fmt: skip


@pytest.mark.parametrize("name", sorted(SAID))
def test_every_sentence_of_a_page_is_needed(name: str) -> None:
    other = replace(HOUSE.sentences[name], says="Other words")
    assert not all_told(replace(HOUSE, sentences={**HOUSE.sentences, name: other}))


def test_every_step_says_words_that_a_case_looks_for() -> None:
    """A step whose sentence is lost is noticed, row by row; the same words of a drum count with those of a unit."""
    alive = []
    for n, row in enumerate(HOUSE.steps):
        same = {m for m, other in enumerate(HOUSE.steps) if other.act == row.act}
        rows = tuple(replace(r, says="Other words") if m in same else r for m, r in enumerate(HOUSE.steps))
        if all_told(replace(HOUSE, steps=rows)):
            alive.append(f"{n} {row.act}")
    assert alive == []


# ------------------------------------------------------------------ answers of another day


def answer_with(**more: Any) -> dict[str, Any]:
    given = {
        "class": "50_to_499", "basis": "presumed", "care": "50_499", "next": [{"act": "hold", "says": "Hold."}],
        "because": [{"key": "presumption: old mineral oil"}], "rulebook": "us",
    }  # fmt: skip
    return {**given, **more}


def test_an_act_that_the_book_no_longer_knows_stands_under_what_to_do_next() -> None:
    task = {"act": "an_act_of_old", "says": "Do it."}
    assert parts.part_of("an_act_of_old", HOUSE) == "next"
    assert parts.parts([task], HOUSE)["next"] == [task]
    assert parts.first_step([{"act": "hold", "says": "Hold."}, task], HOUSE) == task


def test_an_answer_without_an_act_has_no_first_step() -> None:
    with pytest.raises(LookupError):
        parts.first_step([{"act": "hold", "says": "Hold."}], HOUSE)


def test_a_class_that_a_screen_shows_is_never_called_proven() -> None:
    """No law held here lets a screen establish; one that did would still be said to be not proven."""
    words = parts.strength(answer_with(basis="screened"), rulebooks.rulebook("us"), HOUSE)
    assert words == "Screen says so: treat as PCB-contaminated, 50 to below 500 ppm, not proven"


def test_a_law_that_is_not_held_here_gives_no_class() -> None:
    assert parts.strength(answer_with(), None, HOUSE).startswith("Treat as PCB: not known")


def test_an_answer_before_the_law_began_is_held_as_one_without_a_law() -> None:
    before = answer_with(because=[{"key": "not_in_force"}], basis="undetermined")
    without = answer_with(because=[{"key": "no_rulebook"}])
    assert parts.STANDINGS[parts.by_answer(before)] == parts.STANDINGS[parts.by_answer(without)]
    assert parts.by_answer(before) == "no_law"


def test_nothing_is_ever_called_clean_or_free_of_anything() -> None:
    texts = [step.says for step in HOUSE.steps] + [HOUSE.sentences[name].says for name in SAID]
    assert not [text for text in texts for word in NEVER if word in text.lower().replace("-", " ").split()]


def test_a_book_without_heads_leaves_everything_under_what_to_do_next() -> None:
    bare = replace(HOUSE, parts={}, first=())
    assert parts.parts([{"act": "hold", "says": "Hold."}], bare)["next"]
