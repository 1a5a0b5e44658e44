"""Records of one unit as the fold reads them, made in a line each, for the tests of what a unit is."""

from collections.abc import Mapping, Sequence
from typing import Any

from hazmat.core.unitfold import Written, folded
from hazmat.core.unitnow import UnitNow

HELD, LOW, HIGH = ("presumed", "2_49", "hold"), ("established", "lt2", ""), ("established", "50_499", "pcb_route")


def written(table: str, id: str, image: Mapping[str, Any], day: int, seq: int, replaces: str | None = None) -> Written:
    """A record that happened on this day of November 2026 and was written as this entry, an hour of December each."""
    return Written(
        table=f"hazmat.{table}", id=id, yard="y", replaces=replaces, image=image,
        happened_at=f"2026-11-{day:02}T08:00:00.000000Z", recorded_at=f"2026-12-01T{seq:02}:00:00.000000Z",
        seq=str(seq),
    )  # fmt: skip


def in_order(records: Sequence[Written]) -> UnitNow:
    """The standing of a unit logged as entry 1 on the first, with these records in the order of happening."""
    begun = written("unit", "u", {"tag": "K7M4PX", "arrival": "gate"}, 1, 1)
    placed = sorted(records, key=lambda one: (one.happened_at, int(one.seq), one.table, one.id))
    now = folded([begun, *placed])
    assert now is not None
    return now


def assessed(how: tuple[str, str, str], day: int, seq: int, book: str = "nz", **more: Any) -> Written:
    basis, care, act = how
    answer = {
        "class": {"lt2": "up_to_50", "2_49": "undetermined", "50_499": "over_50"}[care], "basis": basis, "care": care,
        "rulebook": book, "next": [{"act": act or "test_lot", "says": "."}],
    }  # fmt: skip
    return written("assessment", f"a{seq}", {"answer": answer, **more}, day, seq)


def result(id: str, day: int, seq: int, value: str = "1.2", replaces: str | None = None, **more: Any) -> Written:
    image = {
        "test": {"how": "laboratory", "on": "2026-11-01", "value": value, "unit": "mg/kg", "sample": "AAA222"},
        "reported_on": "2026-11-02", "laboratory": "Example Laboratory", **more,
    }  # fmt: skip
    return written("result", id, image, day, seq, replaces)


def verdict(id: str, decision: str, day: int, seq: int, evidence: Sequence[str] = (), **more: Any) -> Written:
    judged = {"klass": "up_to_50", "basis": "established", "care": "lt2"}
    image = {"decision": decision, "reason": "read", "evidence": list(evidence), "signer": "p1", "two": False}
    return written("verdict", id, {**image, **judged, **more}, day, seq)


def second(of: str, day: int, seq: int) -> Written:
    return written("second", f"s{seq}", {"verdict": of, "signer": "p2"}, day, seq)


def fate(what: str, day: int, seq: int) -> Written:
    return written("fate", f"f{seq}", {"what": what, "load": "L-7", "firm": "A Firm"}, day, seq)
