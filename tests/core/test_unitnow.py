"""What a unit is by its results, verdicts, second people and way out, held against a plain replay of the rules.

The replay is written from the rules, not from the fold: it looks at all records at once, and keeps nothing.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat.core.unitfold import Written, folded
from tests.core.written import HELD, HIGH, LOW, assessed, fate, in_order, result, second, verdict, written

LOGGED = assessed(HELD, 1, 2)
RESULT, JUDGED = result("r", 3, 3), assessed(LOW, 3, 3)
RELEASE = verdict("v", "release", 4, 4, ["r"])


def test_a_unit_is_held_until_somebody_releases_it() -> None:
    assert (in_order([]).stands, in_order([]).held, in_order([LOGGED]).waits) == ("hold", True, "")
    low = in_order([LOGGED, RESULT, JUDGED])
    assert (low.stands, low.held, low.waits, low.decided, low.lapsed) == ("hold", True, "verdict", None, None)
    released = in_order([LOGGED, RESULT, JUDGED, RELEASE])
    assert (released.stands, released.held, released.waits) == ("released", False, "")
    assert released.decided
    assert (released.decided.id, released.decided.evidence, released.decided.signer) == ("v", ("r",), "p1")
    assert released.decided.signed_at == "2026-11-04T08:00:00.000000Z"


def test_a_result_keeps_what_the_report_says() -> None:
    given = {"bottle": "b1", "job": "J-9", "report": "ab" * 32, "report_kind": "pdf"}
    (one,) = in_order([result("r", 3, 3, **given)]).results
    assert (one.id, one.bottle, one.job, one.report, one.report_kind) == ("r", "AAA222", "J-9", "ab" * 32, "pdf")
    assert (one.laboratory, one.reported_on, one.entered_at[:10]) == ("Example Laboratory", "2026-11-02", "2026-11-03")
    assert (one.amends, one.amended_by, one.why) == (None, None, "")
    assert in_order([result("r", 3, 3)]).results[0].bottle == ""


def test_the_line_that_is_judged_has_the_counting_results_among_its_tests() -> None:
    look = written("look", "l", {"line": {"kind": "breaker", "tests": [{"how": "density", "sinks": False}]}}, 1, 2)
    bare = in_order([written("look", "l", {"line": {"kind": "breaker"}}, 1, 2)])
    assert bare.judged_line == {"kind": "breaker"}
    now = in_order([look, result("r", 3, 3), result("q", 4, 4, "62", "r", why="wrong bottle"), result("p", 5, 5, "3")])
    assert [one.get("value") for one in now.judged_line["tests"]] == [None, "62", "3"]
    assert [(one.id, one.amends, one.amended_by) for one in now.results] == [
        ("r", None, "q"), ("q", "r", None), ("p", None, None),
    ]  # fmt: skip
    assert now.results[1].why == "wrong bottle"
    assert "tests" in now.line
    assert len(now.line["tests"]) == 1


def test_an_amendment_that_happened_before_what_it_amends_amends_it_all_the_same() -> None:
    """Kept on two devices: the amended report came first in time and was written second."""
    now = in_order([result("q", 3, 4, "62", "r"), result("r", 5, 3)])
    assert [(one.id, one.amended_by) for one in now.results] == [("q", None), ("r", "q")]
    assert [one.id for one in now.counting] == ["q"]


def test_a_release_whose_report_was_amended_stays_in_the_past_and_the_hold_returns() -> None:
    amended = [result("q", 6, 5, "62", "r", why="read from the wrong line"), assessed(HIGH, 6, 5)]
    now = in_order([LOGGED, RESULT, JUDGED, RELEASE, *amended])
    assert (now.stands, now.held, now.decided, now.waits) == ("hold", True, None, "verdict")
    assert now.lapsed
    assert (now.lapsed.id, now.lapsed.decision, now.lapsed.signed_at[:10]) == ("v", "release", "2026-11-04")
    assert [one.id for one in now.verdicts] == ["v"]


def test_a_report_amended_to_the_same_figure_has_to_be_read_again() -> None:
    now = in_order([LOGGED, RESULT, JUDGED, RELEASE, result("q", 6, 5, "1.2", "r"), assessed(LOW, 6, 5)])
    assert (now.stands, now.lapsed and now.lapsed.id) == ("hold", "v")


@pytest.mark.parametrize("change", [{"klass": "over_50"}, {"basis": "screened"}, {"care": "2_49"}])
def test_a_release_stands_as_long_as_the_unit_is_judged_as_it_was_then(change: dict[str, str]) -> None:
    assert in_order([LOGGED, RESULT, JUDGED, verdict("v", "release", 4, 4, ["r"], **change)]).stands == "hold"


def test_what_the_assessment_holds_is_not_released() -> None:
    """The same class, basis and care, but other evidence speaks against it."""
    low_held = ("established", "lt2", "hold")
    assert in_order([LOGGED, RESULT, JUDGED, RELEASE, assessed(low_held, 6, 5)]).stands == "hold"
    assert in_order([LOGGED, RESULT, JUDGED, RELEASE, assessed(LOW, 6, 5)]).stands == "released"


@pytest.mark.parametrize("what", ["lost", "spoiled", "handed_on"])
def test_a_release_falls_with_the_bottle_of_its_evidence(what: str) -> None:
    bottle = [
        written("bottle", "b", {"space": "s", "code": "AAA222"}, 2, 2),
        written("hand", "h1", {"bottle": "b", "what": "filled"}, 2, 2),
        result("r", 3, 3, bottle="b"),
    ]
    after = written("hand", "h2", {"bottle": "b", "what": what}, 5, 5)
    assert in_order([LOGGED, *bottle, JUDGED, RELEASE]).stands == "released"
    now = in_order([LOGGED, *bottle, JUDGED, RELEASE, after])
    assert (now.stands, now.waits) == (("released", "") if what == "handed_on" else ("hold", "verdict"))


def test_a_result_written_down_after_the_release_asks_to_be_read_whenever_it_came_in() -> None:
    late = [result("q", 2, 5), assessed(LOW, 2, 5)]
    assert in_order([LOGGED, RESULT, JUDGED, RELEASE, *late]).waits == "verdict"


def test_a_verdict_of_two_decides_once_the_second_signed() -> None:
    alone = [LOGGED, RESULT, JUDGED, verdict("v", "release", 4, 4, ["r"], two=True)]
    now = in_order(alone)
    assert (now.stands, now.waits, now.decided, now.lapsed) == ("hold", "second", None, None)
    assert now.waiting
    both = in_order([*alone, second("v", 5, 5)])
    assert (both.stands, both.waits, both.waiting) == ("released", "", None)
    assert both.decided
    assert (both.decided.second, both.decided.second_at) == ("p2", "2026-11-05T08:00:00.000000Z")


@pytest.mark.parametrize(("decision", "stands"), [("hold", "hold"), ("pcb_route", "hold"), ("release", "released")])
def test_a_verdict_against_a_release_ends_it_even_while_it_waits(decision: str, stands: str) -> None:
    now = in_order([LOGGED, RESULT, JUDGED, RELEASE, verdict("w", decision, 5, 5, ["r"], two=True)])
    assert (now.stands, now.waits) == (stands, "second")


@pytest.mark.parametrize("decision", ["hold", "pcb_route"])
def test_a_second_release_that_waits_does_not_bring_the_first_one_back(decision: str) -> None:
    against = verdict("w", decision, 5, 5, ["r"], two=True)
    again = verdict("x", "release", 6, 6, ["r"], two=True)
    now = in_order([LOGGED, RESULT, JUDGED, RELEASE, against, again])
    assert (now.stands, now.waits, now.lapsed and now.lapsed.id) == ("hold", "second", "v")
    assert in_order([LOGGED, RESULT, JUDGED, RELEASE, against, again, second("x", 7, 7)]).stands == "released"


@pytest.mark.parametrize(("decision", "stands"), [("hold", "hold"), ("pcb_route", "pcb_route")])
def test_a_hold_or_route_stands_whatever_changes(decision: str, stands: str) -> None:
    signed = verdict("v", decision, 4, 4, ["r"])
    amended = [result("q", 6, 5, "1.1", "r"), assessed(LOW, 6, 5)]
    for more in ([], amended):
        now = in_order([LOGGED, RESULT, JUDGED, signed, *more])
        assert (now.stands, now.decided and now.decided.id, now.lapsed) == (stands, "v", None)
    assert in_order([LOGGED, RESULT, JUDGED, signed]).waits == ""
    assert in_order([LOGGED, RESULT, JUDGED, signed, *amended]).waits == "verdict"


def test_the_way_out_and_back() -> None:
    whole = [LOGGED, RESULT, JUDGED, RELEASE]
    for what, stands in (
        (["gone"], "gone"), (["gone", "back"], "released"), (["gone", "oil_destroyed"], "gone"),
        (["oil_destroyed"], "released"), (["gone", "destroyed"], "destroyed"),
    ):  # fmt: skip
        now = in_order([*whole, *(fate(one, 10 + at, 10 + at) for at, one in enumerate(what))])
        assert now.stands == stands
        assert now.held is False
        assert (now.fates[0].load, now.fates[0].firm, now.fates[0].drum) == ("L-7", "A Firm", "")
    back = in_order([LOGGED, fate("gone", 10, 10), fate("back", 11, 11)])
    assert (back.stands, back.held) == ("hold", True)


def test_what_is_poured_goes_by_the_presumption_until_a_low_result_is_signed() -> None:
    def oil(*records: Written) -> tuple[str, str, str, str]:
        found = in_order(records).oil
        return found.klass, found.care, found.known, found.rulebook

    assert oil() == ("undetermined", "ge500", "untested", "")
    assert oil(LOGGED) == ("undetermined", "2_49", "untested", "nz")
    assert oil(LOGGED, RESULT, JUDGED) == ("undetermined", "2_49", "untested", "nz")
    assert oil(LOGGED, RESULT, JUDGED, RELEASE) == ("up_to_50", "lt2", "low", "nz")
    assert oil(LOGGED, RESULT, assessed(HIGH, 3, 3)) == ("over_50", "50_499", "high", "nz")
    amended = [result("q", 6, 5, "62", "r"), assessed(HIGH, 6, 5)]
    assert oil(LOGGED, RESULT, JUDGED, RELEASE, *amended) == ("over_50", "50_499", "high", "nz")
    assert oil(LOGGED, RESULT, JUDGED, verdict("v", "hold", 4, 4)) == ("undetermined", "2_49", "untested", "nz")


def routed(day: int, seq: int, *acts: str, basis: str = "established") -> Written:
    """Judged over the line, with these acts to do, while something lower was presumed."""
    lower = {"class": "undetermined", "care": "2_49"}
    found = assessed((basis, "50_499", ""), day, seq, presumed=lower)
    answer = {**found.image["answer"], "next": [{"act": act, "says": "."} for act in acts]}
    return replace(found, image={**found.image, "answer": answer})


def test_a_high_result_counts_as_high_once_signed_and_nothing_speaks_against_it() -> None:
    high = {"klass": "over_50", "basis": "established", "care": "50_499"}
    signed = verdict("v", "pcb_route", 4, 4, ["r"], **high)
    first = result("r", 3, 3, "62")

    def known(*records: Written) -> tuple[str, str]:
        oil = in_order([LOGGED, first, *records]).oil
        return oil.klass, oil.known

    assert known(routed(3, 3, "pcb_route"), signed) == ("over_50", "high")
    assert known(routed(3, 3, "pcb_route", "settle_figures"), signed) == ("undetermined", "untested")
    assert known(routed(3, 3, "test_lot"), signed) == ("undetermined", "untested")
    presumed = verdict("v", "pcb_route", 4, 4, ["r"], **{**high, "basis": "presumed"})
    assert known(routed(3, 3, "pcb_route", basis="presumed"), presumed) == ("undetermined", "untested")


def test_what_is_presumed_is_what_was_written_last_and_of_the_same_law() -> None:
    later = {"class": "over_50", "care": "50_499"}
    told = in_order([LOGGED, RESULT, JUDGED, assessed(LOW, 5, 5, presumed=later)])
    assert (told.presumed, told.presumed_book, told.presumed_seq) == (("over_50", "50_499"), "nz", "5")
    silent = in_order([LOGGED, assessed(LOW, 5, 5)])
    assert (silent.presumed, silent.presumed_seq) == (("undetermined", "2_49"), "2")
    high = in_order([LOGGED, assessed(HIGH, 5, 5)])
    assert (high.presumed, high.presumed_seq) == (("over_50", "50_499"), "5")
    first, late = assessed(LOW, 3, 9), assessed(HELD, 8, 4)
    for order in ((first, late), (late, first)):
        begun = written("unit", "u", {"tag": "K7M4PX", "arrival": "gate"}, 1, 1)
        now = folded([begun, *order])
        assert now
        assert (now.answer["basis"], now.presumed) == ("established", ("undetermined", "2_49"))


@pytest.mark.parametrize(("book", "klass"), [("nz", "over_50"), ("gb", "undetermined")])
def test_a_class_presumed_under_another_law_is_no_class_here(book: str, klass: str) -> None:
    presumed = {"class": "over_50", "care": "50_499"}
    now = in_order([assessed(LOW, 3, 3, presumed=presumed), assessed(LOW, 5, 5, book=book)])
    assert (now.oil.klass, now.oil.care, now.oil.rulebook) == (klass, "50_499", book)


def test_of_two_assessments_of_one_entry_the_second_says_what_is_presumed() -> None:
    first, after = assessed(HELD, 3, 3), assessed(("presumed", "50_499", "hold"), 3, 3)
    begun = written("unit", "u", {"tag": "K7M4PX", "arrival": "gate"}, 1, 1)
    now = folded([begun, first, after])
    assert now
    assert now.presumed == ("over_50", "50_499")


@pytest.mark.parametrize("lacks", [None, "detector_before", "detector_after", "back_feed", "earthed", "dead"])
def test_a_proof_of_death_is_whole_only_with_everything_that_is_looked_at(lacks: str | None) -> None:
    told = {"dead": "yes", **dict.fromkeys(("detector_before", "detector_after", "back_feed", "earthed"), True)}
    if lacks:
        told[lacks] = "no" if lacks == "dead" else None
    now = in_order([written("isolation", "i", {"how": "detector", **told}, 2, 2)])
    assert now.proved
    assert now.proved.whole == (lacks is None)


# ------------------------------------------------------------------ against a plain replay


@dataclass(frozen=True)
class Replayed:
    stands: str
    decided: str | None
    lapsed: str | None
    waits: str
    counting: tuple[str, ...]
    presumed: str


def last_written(records: Sequence[Written]) -> int:
    return max(int(one.seq) for one in records)


def replay(records: Sequence[Written]) -> Replayed:
    """The rules, read off all records at once."""
    by_time = sorted(records, key=lambda one: (one.happened_at, int(one.seq), one.table, one.id))
    of = {
        name: [one for one in by_time if one.table == f"hazmat.{name}"]
        for name in ("assessment", "result", "verdict", "second", "fate")
    }
    answers = sorted(of["assessment"], key=lambda one: int(one.seq))
    answer = answers[-1].image["answer"] if answers else None
    shown = [one.image["answer"] for one in answers]
    not_low = [one["care"] for one in shown if one["basis"] != "established" or one["care"] not in ("lt2", "2_49")]
    replaced = {one.replaces for one in of["result"]}
    counting = [one for one in of["result"] if one.id not in replaced]
    seconded = {one.image["verdict"] for one in of["second"]}
    signed = [one for one in of["verdict"] if not one.image["two"] or one.id in seconded]
    last = of["verdict"][-1] if of["verdict"] else None
    pending = last if last and last not in signed else None
    standing = signed[-1] if signed else None
    lapsed = None
    if standing and standing.image["decision"] == "release":
        same = answer and all(standing.image[mine] == answer[its] for mine, its in JUDGED_BY)
        holds = not answer or any(one["act"] in ("hold", "pcb_route") for one in answer["next"])
        gone = set(standing.image["evidence"]) - {one.id for one in counting}
        against = [one for one in of["verdict"][of["verdict"].index(standing) :] if one.image["decision"] != "release"]
        if not same or holds or gone or against:
            standing, lapsed = None, standing
    moves = [one.image["what"] for one in of["fate"] if one.image["what"] in ("gone", "back", "destroyed")]
    by_verdict = {"release": "released", "pcb_route": "pcb_route", "hold": "hold"}
    stands = by_verdict[standing.image["decision"]] if standing else "hold"
    if moves and moves[-1] != "back":
        stands = moves[-1]
    unread = counting and (lapsed or not of["verdict"] or last_written(counting) > last_written(of["verdict"]))
    waits = "" if stands == "destroyed" else "second" if pending else "verdict" if unread else ""
    return Replayed(
        stands, standing and standing.id, lapsed and lapsed.id, waits, tuple(one.id for one in counting),
        not_low[-1] if not_low else "ge500",
    )  # fmt: skip


JUDGED_BY = (("klass", "class"), ("basis", "basis"), ("care", "care"))


@st.composite
def histories(draw: st.DrawFn) -> list[Written]:
    """Up to a dozen records in the order in which they were written, each with a day of its own choosing."""
    found: list[Written] = []
    results: list[str] = []
    open_, unsigned = [], []
    for seq in range(2, 2 + draw(st.integers(0, 12))):
        day = draw(st.integers(1, 9))
        what = draw(st.sampled_from(["assessment", "result", "amend", "verdict", "second", "fate"]))
        if what == "assessment":
            found.append(assessed(draw(st.sampled_from([HELD, LOW, LOW, HIGH])), day, seq))
        elif what == "result" or (what == "amend" and not open_):
            found.append(result(f"r{seq:02}", day, seq))
            results.append(f"r{seq:02}")
            open_.append(f"r{seq:02}")
        elif what == "amend":
            old = open_.pop(draw(st.integers(0, len(open_) - 1)))
            found.append(result(f"r{seq:02}", day, seq, "3", old))
            results.append(f"r{seq:02}")
            open_.append(f"r{seq:02}")
        elif what == "verdict" or (what == "second" and not unsigned):
            decision = draw(st.sampled_from(["release", "release", "pcb_route", "hold"]))
            evidence = draw(st.lists(st.sampled_from(results), max_size=2, unique=True)) if results else []
            two = draw(st.booleans())
            found.append(verdict(f"v{seq:02}", decision, day, seq, evidence, two=two))
            if two:
                unsigned.append((f"v{seq:02}", day))
        elif what == "second":
            of, signed_on = unsigned.pop(draw(st.integers(0, len(unsigned) - 1)))
            found.append(second(of, draw(st.integers(signed_on, 9)), seq))
        else:
            found.append(fate(draw(st.sampled_from(["gone", "back", "destroyed", "oil_destroyed"])), day, seq))
    return found


@given(histories())
def test_the_fold_says_what_a_plain_replay_says(records: list[Written]) -> None:
    now = in_order(records)
    told = Replayed(
        now.stands, now.decided and now.decided.id, now.lapsed and now.lapsed.id, now.waits,
        tuple(one.id for one in now.counting), now.presumed[1],
    )  # fmt: skip
    assert told == replay(records)
    assert now.held == (now.stands in ("hold", "pcb_route"))


@given(histories())
def test_a_history_folded_in_two_halves_is_the_history_folded_whole(records: list[Written]) -> None:
    placed = sorted(records, key=lambda one: (one.happened_at, int(one.seq), one.table, one.id))
    begun = written("unit", "u", {"tag": "K7M4PX", "arrival": "gate"}, 1, 1)
    for cut in range(len(placed) + 1):
        assert folded(placed[cut:], folded([begun, *placed[:cut]])) == folded([begun, *placed])


@given(histories())
def test_no_verdict_and_no_result_is_ever_lost(records: list[Written]) -> None:
    now = in_order(records)
    kinds = ("verdict", "result", "fate")
    kept = [{one.id for one in now.verdicts}, {one.id for one in now.results}, [one.what for one in now.fates]]
    counts = [sum(one.table == f"hazmat.{kind}" for one in records) for kind in kinds]
    assert [len(one) for one in kept] == counts
    for first, later in itertools.pairwise(now.verdicts):
        assert first.signed_at <= later.signed_at
