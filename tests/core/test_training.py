"""Who is trained for which work: days on both sides, what each work needs at each care, and what may be let through.

What a work needs is told by hand from the sources beside each row: specially trained people alone at the highest care
(the service guide on oil sampling), masks from 50 mg/kg up where oil is open (NIOSH Pocket Guide, ICSC 0939), nothing
cut or screened there, and nobody after a fire (NIOSH Bulletin 45).
"""

from datetime import date, timedelta
from itertools import pairwise, product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat import rulebooks
from hazmat.core.bulk import CARE
from hazmat.core.law import LawDay
from hazmat.core.training import (
    KIND,
    WORDS,
    WORKS,
    Held,
    Let,
    current,
    ends_soon,
    kinds,
    may_do,
    needs,
    state,
    together,
    worst,
)

TODAY = date(2026, 11, 27)
HOUSE = LawDay(rulebooks.rulebook(rulebooks.HANDLING), TODAY)
DAY = timedelta(days=1)
NEEDED: dict[tuple[str, str], str] = {
    ("look", "ge500"): "", ("prove", "lt2"): "dead", ("prove", "ge500"): "dead",
    ("sample", "lt2"): "sampling", ("sample", "2_49"): "sampling", ("sample", "50_499"): "sampling raised_care",
    ("sample", "ge500"): "sampling highest_care breathing",
    ("screen", "50_499"): "screening", ("screen", "ge500"): "nobody",
    ("drain", "2_49"): "drums", ("drain", "50_499"): "drums raised_care breathing",
    ("drain", "ge500"): "drums highest_care breathing",
    ("drums", "2_49"): "drums", ("drums", "50_499"): "drums raised_care", ("drums", "ge500"): "drums raised_care",
    ("cut", "2_49"): "cutting asbestos", ("cut", "50_499"): "nobody", ("cut", "ge500"): "nobody",
    ("spill", "2_49"): "spill", ("spill", "50_499"): "spill raised_care breathing",
    ("spill", "ge500"): "spill highest_care breathing",
    ("hand_over", "2_49"): "", ("hand_over", "50_499"): "dangerous_goods",
    ("fire", "lt2"): "nobody", ("fire", "ge500"): "nobody",
}  # fmt: skip


def held(kind: str = "sampling", done: date = date(2025, 1, 1), until: date | None = None, **more: Any) -> Held:
    return Held(id=kind, kind=kind, done_on=done, until=until, **more)


def asked(work: str, care: str, *known: Held, role: bool = True, let: tuple[Let, ...] = ()) -> Any:
    return may_do(work, care, role, "yard hand", current(known), let, TODAY, HOUSE)


@pytest.mark.parametrize(("asked_of", "wanted"), NEEDED.items())
def test_what_a_work_needs(asked_of: tuple[str, str], wanted: str) -> None:
    found = needs(*asked_of, HOUSE)
    assert found.nobody == (wanted == "nobody")
    assert found.kinds == (() if wanted == "nobody" else tuple(wanted.split()))
    assert found.says.endswith(".")
    assert found.cite


def test_every_kind_that_is_asked_for_is_a_sentence_and_every_work_has_a_name() -> None:
    known = {one.key for one in kinds(HOUSE.book)}
    for work, care in product(WORKS, CARE):
        assert set(needs(work, care, HOUSE).kinds) <= known
    assert set(WORDS) == set(WORKS)
    assert all(one.name and one.about.endswith(".") and ":" not in one.name for one in kinds(HOUSE.book))
    assert known == {key.removeprefix(KIND) for key in HOUSE.book.sentences if key.startswith(KIND)}


def test_more_care_never_asks_for_less() -> None:
    for work in WORKS:
        told = [needs(work, care, HOUSE) for care in CARE]
        for less, more in pairwise(told):
            assert not less.nobody or more.nobody
            assert more.nobody or len(more.kinds) >= len(less.kinds)


# ------------------------------------------------------------------ days


@pytest.mark.parametrize(
    ("on", "wanted"),
    [
        (date(2026, 3, 6), "not_yet"), (date(2026, 3, 7), "holds"), (date(2027, 3, 7), "holds"),
        (date(2027, 3, 8), "run_out"),
    ],
)  # fmt: skip
def test_training_holds_from_its_day_to_its_last_day_whole(on: date, wanted: str) -> None:
    assert state(held(done=date(2026, 3, 7), until=date(2027, 3, 7)), on) == wanted


def test_without_an_end_it_holds_and_without_a_record_it_is_not_known() -> None:
    assert state(held(until=None), date(2999, 1, 1)) == "holds"
    assert state(None, TODAY) == "unknown"
    assert not ends_soon(held(until=None), TODAY, HOUSE)


@pytest.mark.parametrize(("days", "soon"), [(-1, False), (0, True), (30, True), (31, False)])
def test_what_runs_out_within_thirty_days_runs_out_soon(days: int, soon: bool) -> None:
    assert ends_soon(held(until=TODAY + days * DAY), TODAY, HOUSE) == soon


def test_the_last_one_done_counts_and_of_one_day_the_one_written_last() -> None:
    old, fresh = held(done=date(2020, 1, 1), until=None), held(done=date(2025, 1, 1), until=date(2026, 1, 1))
    assert current([fresh, old])["sampling"] is fresh
    first, second = held(done=TODAY, seq=4), held(done=TODAY, seq=5)
    assert current([second, first])["sampling"] is second


# ------------------------------------------------------------------ what that allows


def test_yes_names_what_the_person_is_trained_in() -> None:
    found = asked("sample", "lt2", held())
    assert (found.word, found.why) == ("yes", ("Trained in oil sampling.",))


def test_no_names_what_nobody_wrote_down() -> None:
    found = asked("sample", "50_499", held())
    assert found.word == "no"
    assert "training in work at raised care, so it counts as not trained" in found.why[0]


@pytest.mark.parametrize(("until", "word"), [(TODAY, "yes"), (TODAY - DAY, "no")])
def test_the_day_after_its_last_day_stops_work(until: date, word: str) -> None:
    assert asked("sample", "lt2", held(until=until)).word == word


def test_a_role_that_does_not_do_it_is_a_no_whatever_the_training() -> None:
    found = asked("sample", "lt2", held(), role=False)
    assert (found.word, found.why) == ("no", ("Whoever is yard hand in this yard does not do this work.",))


LET = Let(work="sample", on=TODAY, who="Mere", why="it leaks.")


def test_what_ran_out_may_be_let_through_and_says_by_whom_and_why() -> None:
    found = asked("sample", "lt2", held(until=TODAY - DAY), let=(LET,))
    assert found.word == "let"
    assert found.why[0] == "Training in oil sampling ran out on 26 Nov 2026."
    assert found.why[1] == "It may go ahead today: Mere said so, since it leaks."


@pytest.mark.parametrize(
    ("care", "known"),
    [
        ("lt2", ()), ("lt2", (held(done=TODAY + DAY),)), ("50_499", (held(until=TODAY - DAY),)),
    ],
)  # fmt: skip
def test_what_was_never_written_down_is_let_through_by_nobody(care: str, known: tuple[Held, ...]) -> None:
    assert asked("sample", care, *known, let=(LET,)).word == "no"


def test_what_nobody_may_do_is_let_through_by_nobody() -> None:
    everything = [held(one.key) for one in kinds(HOUSE.book)]
    assert asked("fire", "lt2", *everything, let=(LET,)).word == "no"
    assert asked("cut", "ge500", *everything, let=(LET,)).word == "no"


DAYS = st.dates(date(2026, 11, 20), date(2026, 12, 4))
HELD = st.builds(
    held, st.sampled_from([one.key for one in kinds(HOUSE.book)]), DAYS, st.none() | DAYS, seq=st.integers(1, 9)
)


@given(st.sampled_from(WORKS), st.sampled_from(CARE), st.lists(HELD, max_size=12), st.booleans(), st.booleans())
def test_a_yes_is_a_yes_of_each_kind_and_of_the_role(
    work: str, care: str, known: list[Held], role: bool, let: bool
) -> None:
    found = asked(work, care, *known, role=role, let=(LET,) if let else ())
    wanted, counting = needs(work, care, HOUSE), current(known)
    states = [state(counting.get(kind), TODAY) for kind in wanted.kinds]
    if found.word == "yes":
        assert role
        assert not wanted.nobody
        assert set(states) <= {"holds"}
    if found.word == "let":
        assert role
        assert let
        assert set(states) <= {"holds", "run_out"}
        assert "run_out" in states
    assert all(says.endswith(".") and "{" not in says for says in found.why)


@pytest.mark.parametrize(
    ("cares", "wanted"), [(("lt2", "ge500"), "ge500"), (("50_499", "2_49"), "50_499"), (("lt2", "lt2"), "lt2")]
)
def test_the_worst_of_two_cares(cares: tuple[str, str], wanted: str) -> None:
    assert worst(*cares) == wanted


def test_words_put_together() -> None:
    assert [together(one) for one in ("a", "ab", "abc")] == ["a", "a and b", "a, b and c"]
