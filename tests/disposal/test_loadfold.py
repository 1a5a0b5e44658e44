"""How a load stands, held against a naive replay that is written another way: from questions to records, not by steps.

What must come out follows from the write path: happened, then sequence, orders what is said; what is said last stands.
"""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from disposal.core.loadfold import STEPS, folded
from disposal.core.loadnow import SIGNING, LoadNow
from hazmat.core.unitfold import Written

NAMES = {"p1": "Haulage", "p2": "Furnace", "p3": "Other", "d1": "DDD222", "d2": "DDD333", "u1": "K7M4PX"}


def record(
    table: str, id: str, image: dict[str, Any], *, day: int = 1, seq: int = 1, replaces: str | None = None
) -> Written:
    """A record that happened on this day of November 2026 and was written on the 30th."""
    moment = f"2026-11-{day:02}T08:00:00.000000Z"
    return Written(
        table=f"disposal.{table}", id=id, yard="y", replaces=replaces, image=image, happened_at=moment,
        recorded_at="2026-11-30T08:00:00.000000Z", seq=str(seq),
    )  # fmt: skip


BEGUN = record("load", "l", {"number": "4", "carrier": "p1", "facility": "p2", "official": "N-1"}, day=1, seq=4)


def now(*records: Written) -> LoadNow:
    found = folded(records, NAMES)
    assert found is not None
    return found


def at(day: int) -> str:
    return f"2026-11-{day:02}T08:00:00.000000Z"


def test_a_load_begins_planned_and_empty() -> None:
    load = now(BEGUN)
    assert (load.load, load.yard, load.number, load.official, load.note) == ("l", "y", "4", "N-1", "")
    assert (load.carrier, load.carrier_name, load.facility, load.facility_name) == ("p1", "Haulage", "p2", "Furnace")
    assert load.planned_at == load.happened_at == at(1)
    assert (load.seq, load.state, load.items, load.signatures, load.certificates) == ("4", "planned", (), (), ())


@pytest.mark.parametrize("table", [name.removeprefix("disposal.") for name in STEPS if name != "disposal.load"])
def test_nothing_but_a_plan_begins_a_load(table: str) -> None:
    assert folded([record(table, "r", {"load": "l"})], NAMES) is None
    assert folded([record("load", "r", {"of": "l", "carrier": "p1", "facility": "p2"})], NAMES) is None


def test_a_change_keeps_id_number_and_day_of_the_plan() -> None:
    load = now(record("load", "l2", {"number": "4", "of": "l", "carrier": "p3", "facility": "p2"}, day=2, seq=7), BEGUN)
    assert (load.load, load.number, load.planned_at) == ("l", "4", at(1))
    assert (load.carrier_name, load.facility_name, load.official) == ("Other", "Furnace", "")
    assert (load.happened_at, load.seq) == (at(2), "7")


def test_items_go_on_and_come_off() -> None:
    load = now(
        BEGUN, record("item", "i1", {"load": "l", "drum": "d1", "kg": "180"}, day=2, seq=5),
        record("item", "i2", {"load": "l", "unit": "u1"}, day=2, seq=5),
        record("item", "o1", {"load": "l", "drum": "d1", "off": "it leaks"}, day=3, seq=6, replaces="i1"),
    )  # fmt: skip
    drum, unit = load.items
    assert (drum.id, drum.thing, drum.of, drum.code, drum.kg, drum.off) == (
        "i1",
        "drum",
        "d1",
        "DDD222",
        "180",
        "it leaks",
    )
    assert (unit.thing, unit.of, unit.code, unit.kg, unit.off) == ("unit", "u1", "K7M4PX", "", "")
    assert load.aboard == (unit,)


def test_signatures_stand_in_the_order_in_which_they_happened() -> None:
    load = now(
        BEGUN, record("signature", "s2", {"load": "l", "party": "carrier", "inked": "typed"}, day=4, seq=6),
        record("signature", "s1", {"load": "l", "party": "yard", "inked": "ink", "file": "ab"}, day=3, seq=7),
    )  # fmt: skip
    assert [(one.party, one.inked, one.at, one.file, one.record) for one in load.signatures] == [
        ("yard", "ink", at(3), "ab", "s1"), ("carrier", "typed", at(4), "", "s2"),
    ]  # fmt: skip
    assert (load.state, load.handed_over_at) == ("handed_over", at(4))


GONE = (
    BEGUN, record("item", "i1", {"load": "l", "drum": "d1"}, day=2, seq=5),
    record("item", "i2", {"load": "l", "drum": "d2"}, day=2, seq=6),
    record("item", "i3", {"load": "l", "unit": "u1"}, day=2, seq=7),
    record("signature", "s1", {"load": "l", "party": "yard", "inked": "typed"}, day=3, seq=8),
    record("signature", "s2", {"load": "l", "party": "carrier", "inked": "typed"}, day=3, seq=9),
)  # fmt: skip


def came(item: str, arrival: str, *, day: int = 5, seq: int = 10, **more: Any) -> Written:
    return record(
        "received", f"r{item}{seq}", {"load": "l", "item": item, "arrival": arrival, **more}, day=day, seq=seq
    )


def proof(item: str, certificate: str, *, day: int = 9, seq: int = 12) -> Written:
    return record(
        "proof", f"q{item}", {"load": "l", "item": item, "certificate": certificate, "written": "x"}, day=day, seq=seq
    )


def test_a_receipt_says_of_each_item_what_arrived() -> None:
    load = now(*GONE, came("i1", "yes", kg="179.5"), came("i2", "refused", note="wet"), came("i3", "missing"))
    assert [(one.arrival, one.kg_received, one.note) for one in load.items] == [
        ("yes", "179.5", ""), ("refused", "", "wet"), ("missing", "", ""),
    ]  # fmt: skip
    assert [one.owes for one in load.items] == [True, False, True]
    assert (load.state, load.received_at) == ("received", at(5))
    later = now(
        *GONE, came("i1", "yes"), came("i2", "refused"), came("i3", "missing"), came("i3", "refused", day=8, seq=11)
    )
    assert (later.items[2].arrival, later.received_at, later.happened_at) == ("refused", at(5), at(8))


def test_a_certificate_proves_its_own_items_on_its_day() -> None:
    days = {"load": "l", "issued_on": "2026-11-08", "done_on": "2026-11-07"}
    copy = {"load": "l", "issued_on": "2026-11-10", "file": "ab", "file_kind": "pdf"}
    papers = (
        record("certificate", "c1", {**days, "number": "CD-1"}, day=9, seq=12),
        record("certificate", "c2", {**copy, "number": "CD-2"}, day=10, seq=13),
    )
    received = (came("i1", "yes"), came("i2", "yes"), came("i3", "refused"))
    half = now(*GONE, *received, papers[0], proof("i1", "c1"))
    assert half.state == "received"
    load = now(*GONE, *received, *papers, proof("i1", "c1"), proof("i2", "c2", day=10, seq=13))
    assert [(one.certificate, one.proven_on) for one in load.items] == [
        ("CD-1", "2026-11-07"), ("CD-2", "2026-11-10"), ("", ""),
    ]  # fmt: skip
    assert [(one.items, one.file, one.file_kind) for one in load.certificates] == [
        (("i1",), "", ""),
        (("i2",), "ab", "pdf"),
    ]
    assert (load.state, load.closed_at) == ("proven", "")
    closed = now(*GONE, *received, *papers, proof("i1", "c1"), record("closed", "z", {"load": "l"}, day=11, seq=14))
    assert (closed.state, closed.closed_at) == ("closed", at(11))


# ------------------------------------------------------------------ any history, replayed naively


@st.composite
def histories(draw: st.DrawFn) -> list[Written]:
    """Records as the acts could have written them, in any order of writing and with happenings shuffled."""
    told: list[Written] = [BEGUN]
    items = [f"i{n}" for n in range(draw(st.integers(0, 4)))]
    seq = iter(range(5, 99))
    day = st.integers(1, 6)

    def add(table: str, id: str, image: dict[str, Any], on: int, replaces: str | None = None) -> None:
        told.append(record(table, id, {"load": "l", **image}, day=on, seq=next(seq), replaces=replaces))

    for n in range(draw(st.integers(0, 2))):
        image = {"of": "l", "number": "4", "carrier": draw(st.sampled_from(["p1", "p3"])), "facility": "p2"}
        if draw(st.booleans()):
            image["official"] = f"N-{n}"
        add("load", f"l{n}", image, draw(day))
    for one in items:
        on, thing = draw(day), draw(st.sampled_from([{"drum": "d1"}, {"drum": "d2"}, {"unit": "u1"}]))
        add("item", one, {**thing, "kg": "5"}, on)
        if draw(st.booleans()):
            add("item", f"o{one}", {**thing, "off": "why"}, on + draw(st.integers(0, 3)), replaces=one)
    for party in SIGNING[: draw(st.integers(0, 3))]:
        add("signature", f"s{party}", {"party": party, "inked": draw(st.sampled_from(["ink", "typed"]))}, draw(day) + 9)
    for one in items if draw(st.booleans()) else []:
        for _ in range(draw(st.integers(0, 2))):
            add(
                "received",
                f"r{one}{len(told)}",
                {"item": one, "arrival": draw(st.sampled_from(["yes", "refused", "missing"]))},
                draw(day) + 15,
            )
    for n in range(draw(st.integers(0, 2))):
        on = draw(day) + 22
        add("certificate", f"c{n}", {"number": f"CD-{n}", "issued_on": f"2026-11-{on:02}"}, on)
        for one in items[n::2]:
            told.append(
                record(
                    "proof",
                    f"q{one}",
                    {"load": "l", "item": one, "certificate": f"c{n}"},
                    day=on,
                    seq=int(told[-1].seq),
                )
            )
    if draw(st.booleans()):
        add("closed", "z", {}, 29)
    return draw(st.permutations(told))


def moment(one: Written) -> tuple[str, int]:
    return one.happened_at, int(one.seq)


def last(records: list[Written]) -> Written | None:
    return max(records, key=moment, default=None)


@given(histories())
def test_any_history_is_folded_as_a_naive_replay_answers(told: list[Written]) -> None:
    load = now(*told)

    def of(table: str, **wanted: Any) -> list[Written]:
        return [
            one
            for one in told
            if one.table == f"disposal.{table}" and all(one.image.get(k) == v for k, v in wanted.items())
        ]

    plan = last([one for one in of("load") if "of" in one.image]) or BEGUN
    assert (load.carrier_name, load.official) == (NAMES[plan.image["carrier"]], plan.image.get("official", ""))
    assert load.happened_at == max(one.happened_at for one in told)
    assert int(load.seq) == max(int(one.seq) for one in told)
    put = sorted((one for one in of("item") if one.replaces is None), key=moment)
    assert [one.id for one in load.items] == [one.id for one in put]
    for item, born in zip(load.items, put, strict=True):
        off = [one.image["off"] for one in of("item") if one.replaces == born.id]
        said, proofs = last(of("received", item=born.id)), of("proof", item=born.id)
        paper = of("certificate")
        named = [one for one in paper if proofs and one.id == proofs[0].image["certificate"]]
        assert item.code == NAMES[born.image.get("drum") or born.image["unit"]]
        assert item.off == (off[0] if off else "")
        assert item.arrival == (said.image["arrival"] if said else "")
        assert item.certificate == (named[0].image["number"] if named else "")
        assert item.proven_on == (named[0].image["issued_on"] if named else "")
        assert item.owes == (not off and item.arrival != "refused" and not named)
    assert [one.party for one in load.signatures] == [one.image["party"] for one in sorted(of("signature"), key=moment)]
    first = min((one.happened_at for one in of("received")), default="")
    assert load.received_at == first
    parties = {one.image["party"] for one in of("signature")}
    state = "planned"
    if "yard" in parties:
        state = "signed"
    if "carrier" in parties:
        state = "handed_over"
    if first:
        state = "received" if any(one.owes for one in load.items) else "proven"
    assert load.state == ("closed" if of("closed") else state)
