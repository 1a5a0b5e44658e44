"""How a unit stands after each record: the steps of the fold, one record at a time.

What must come out follows from the write path: happened, then sequence, orders a fold; a record of another kind says
nothing about a unit; the assessment that was written last stands; an answer that nobody gave is not known.
"""

from typing import Any

import pytest

from hazmat.core.unitfold import STEPS, Written, step
from hazmat.core.unitnow import ProvedDead, UnitNow

LINE = {"kind": "transformer", "built": "1968"}


def record(table: str, image: dict[str, Any], *, id: str = "r", day: int = 1, seq: int = 1, **more: Any) -> Written:
    """A record of a table that happened on this day of November 2026 and was written on the 30th."""
    moment = f"2026-11-{day:02}T08:00:00.000000Z"
    written = "2026-11-30T08:00:00.000000Z"
    given = {"yard": "y", "replaces": None, "happened_at": moment, "recorded_at": written, "seq": str(seq), **more}
    return Written(table=f"hazmat.{table}", id=id, image=image, **given)


def folded(*records: Written) -> UnitNow:
    now: UnitNow | None = None
    for one in records:
        now = step(now, one)
    assert now is not None
    return now


BEGUN = record("unit", {"tag": "K7M4PX", "arrival": "found"}, id="u", day=3, seq=4)


def test_a_unit_begins_with_nothing_known() -> None:
    now = folded(BEGUN)
    assert (now.unit, now.yard, now.tag, now.arrival) == ("u", "y", "K7M4PX", "found")
    assert now.logged_at == now.happened_at == BEGUN.happened_at
    assert now.logged == now.seq == "4"
    assert (now.line, now.sources, now.claims, now.seen, now.answer) == ({}, {}, {}, {}, {})
    assert (now.leak, now.proved, now.photographs, now.papers, now.assessed) == ("unknown", None, (), (), "0")


@pytest.mark.parametrize("table", [name.removeprefix("hazmat.") for name in STEPS])
def test_no_record_but_the_unit_itself_begins_one(table: str) -> None:
    assert step(None, record(table, {})) is None


def test_a_record_of_another_kind_changes_nothing_not_even_the_last_entry() -> None:
    now = folded(BEGUN)
    assert step(now, record("erasure", {}, day=9, seq=9)) == now
    assert step(None, record("erasure", {})) is None


def test_a_look_takes_the_place_of_the_one_before_whole() -> None:
    first = {"line": LINE, "sources": {"built": "seen"}, "leak": "pool", "note": "wet", "claims": {"seller": "told"},
             "seen": {"plate": "partly"}}  # fmt: skip
    one = folded(BEGUN, record("look", first, id="l1", day=4, seq=5))
    assert (one.look, one.line, one.sources, one.leak, one.note) == ("l1", LINE, {"built": "seen"}, "pool", "wet")
    assert (one.claims, one.seen) == ({"seller": "told"}, {"plate": "partly"})
    two = folded(BEGUN, record("look", first, day=4, seq=5), record("look", {"line": {}}, id="l2", day=5, seq=6))
    assert (two.look, two.line, two.sources, two.leak, two.note) == ("l2", {}, {}, "unknown", "")
    assert (two.claims, two.seen, two.tag) == ({}, {}, "K7M4PX")


def test_the_latest_moment_and_the_last_entry_are_each_kept_apart() -> None:
    """Entry 12, written before 13, tells of a later day: neither moves back. As text, 9 would come after 10."""
    late = folded(BEGUN, record("look", {"line": {}}, day=7, seq=13), record("look", {"line": {}}, day=9, seq=12))
    assert (late.happened_at[:10], late.seq) == ("2026-11-09", "13")
    early = folded(BEGUN, record("look", {"line": {}}, day=2, seq=10), record("look", {"line": {}}, day=1, seq=9))
    assert (early.happened_at, early.seq) == (BEGUN.happened_at, "10")
    assert (early.logged, early.logged_at) == ("4", BEGUN.happened_at)


def test_an_isolation_keeps_what_was_answered_and_nothing_else() -> None:
    image = {"dead": "yes", "how": "detector", "detector_before": True, "earthed": False, "permit": "CP-0317"}
    now = folded(BEGUN, record("isolation", {**image, "unit": "u"}, id="i", day=5, seq=5))
    assert now.proved == ProvedDead(
        record="i", happened_at="2026-11-05T08:00:00.000000Z", dead="yes", how="detector", detector_before=True,
        detector_after=None, back_feed=None, earthed=False, permit="CP-0317", approach="",
    )  # fmt: skip
    later = folded(BEGUN, record("isolation", image), record("isolation", {"dead": "unknown"}, id="j", day=6, seq=6))
    assert later.proved == ProvedDead(record="j", dead="unknown", how="", happened_at="2026-11-06T08:00:00.000000Z")


def assessment(name: str, **more: Any) -> Written:
    return record("assessment", {"answer": {"class": name}}, **more)


def test_the_assessment_written_last_stands_whenever_it_happened() -> None:
    """Entry 10 was written after entry 9, though what it judges happened before; folded in either order it stands."""
    old, new = assessment("old", day=8, seq=9), assessment("new", day=5, seq=10)
    for order in ((old, new), (new, old)):
        now = folded(BEGUN, *order)
        assert (now.answer, now.assessed, now.assessed_at) == ({"class": "new"}, "10", "2026-11-30T08:00:00.000000Z")
        assert (now.seq, now.happened_at[:10]) == ("10", "2026-11-08")


def test_of_two_assessments_of_one_entry_the_second_stands() -> None:
    """The records of an entry are folded in the order in which they were written."""
    now = folded(BEGUN, assessment("first", seq=9), assessment("second", seq=9))
    assert now.answer == {"class": "second"}


def test_pictures_stand_in_the_order_in_which_they_came() -> None:
    image = {"sha256": "ab", "thumb": "cd", "shows": "plate", "width": "640", "height": "480"}
    more = {**image, "shows": "leak", "taken_at": "2026-11-01T10:00:00", "words": "under the valve"}
    one, two = folded(BEGUN, record("photograph", image, id="p1"), record("photograph", more, id="p2")).photographs
    assert (one.id, one.sha256, one.thumb, one.shows, one.width, one.height) == ("p1", "ab", "cd", "plate", 640, 480)
    assert (one.taken_at, one.words) == (None, "")
    assert (two.id, two.shows, two.taken_at, two.words) == ("p2", "leak", "2026-11-01T10:00:00", "under the valve")


def test_a_seal_seals_its_own_paper_and_no_other() -> None:
    def paper(id: str, **more: Any) -> Written:
        image = {"kind": "notice", "number": id[1:], "code": f"CODE{id}"}
        return record("paper", image, id=id, day=6, **more)

    issued = (paper("n7", seq=7), paper("n8", seq=8, replaces="n7"))
    bare, corrected = folded(BEGUN, *issued).papers
    assert (bare.id, bare.kind, bare.number, bare.code) == ("n7", "notice", "7", "CODEn7")
    assert (bare.made_at, bare.corrects, bare.sealed) == ("2026-11-06T08:00:00.000000Z", None, None)
    assert (corrected.number, corrected.corrects, corrected.sealed) == ("8", "n7", None)
    sealed = folded(BEGUN, *issued, record("seal", {"paper": "n8", "sha256": "ef"}, id="s", day=6, seq=9))
    assert [one.sealed for one in sealed.papers] == [None, "ef"]


def test_a_hand_is_of_its_own_bottle_alone() -> None:
    labels = [
        record("space", {"name": "tank", "unit": "u"}, id="s"),
        record("bottle", {"space": "s", "code": "AAA222"}, id="one", day=8),
        record("bottle", {"space": "s", "code": "BBB333"}, id="two", day=8),
    ]
    hand = record("hand", {"bottle": "two", "what": "filled", "point": "top", "note": "dry"}, id="h", day=9)
    now = folded(BEGUN, *labels, hand)
    assert now.oil_spaces == {"s": "tank"}
    one, two = now.bottles
    assert (one.code, one.state, one.point, one.trail) == ("AAA222", "labelled", "", ())
    assert (two.code, two.state, two.point, two.space) == ("BBB333", "filled", "top", "s")
    assert [(one_step.record, one_step.what, one_step.note) for one_step in two.trail] == [("h", "filled", "dry")]
