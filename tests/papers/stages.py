"""One unit at every stage of its way: made values, as a fold would give them."""

from dataclasses import replace
from typing import Any

from hazmat.core.unitnow import FateNow, ResultNow, UnitNow, VerdictNow
from tests.papers.conftest import LINE, unit

BOTTLE = "B3TTLE"
LOW = {
    "how": "laboratory", "on": "2026-10-07", "value": "12.5", "unit": "mg/kg",
    "uncertainty": {"value": "20", "kind": "percent", "k": "2"}, "reporting_limit": "1",
}  # fmt: skip
HIGH = {**LOW, "value": "620"}
STAGES = (
    "untested", "leaking", "result", "unusable", "waiting", "released", "two", "fell", "route", "held", "gone",
    "destroyed",
)  # fmt: skip


def stage(name: str, country: str = "nz", line: dict[str, Any] | None = None) -> UnitNow:
    """The unit of these tests at one stage; its signers are `p1` and `p2`."""
    base = line or LINE
    if name == "untested":
        return unit(base, country)
    if name == "leaking":
        return unit({**base, "state": "leaking"}, country)
    test = {"unusable": {**LOW, "unit": "mg/L"}, "route": HIGH, "gone": HIGH, "destroyed": HIGH}.get(name, LOW)
    judged = unit({**base, "tests": [test]}, country)
    now = replace(judged, line=base, results=(result(test),))
    if name in ("result", "unusable"):
        return now
    decision = {"route": "pcb_route", "gone": "pcb_route", "destroyed": "pcb_route", "held": "hold"}.get(
        name, "release"
    )
    signed = verdict(now, decision, two=name in ("waiting", "two"), second="p2" if name == "two" else None)
    if name == "fell":
        signed = replace(signed, care="ge500")
    now = replace(now, verdicts=(signed,))
    left = FateNow(what="gone", at="2026-11-01T22:30:00.000000Z", load="41", firm="Carry Ltd")
    burned = FateNow(
        what="destroyed",
        at="2026-11-20T01:00:00.000000Z",
        load="41",
        certificate="C-7781",
        firm="Burn & Sons",
        on="2026-11-17",
    )
    fates = {"gone": (left,), "destroyed": (left, burned)}
    return replace(now, fates=fates.get(name, ()))


def result(test: dict[str, Any], **more: Any) -> ResultNow:
    """A result of the bottle of these tests."""
    told = {
        "id": "r1", "test": test, "reported_on": "2026-10-20", "laboratory": "Oil Works Laboratory", "job": "J-1177",
        "entered_at": "2026-10-21T00:00:00.000000Z", "bottle": BOTTLE, "report": "ab" * 32, "report_kind": "pdf",
    }  # fmt: skip
    return ResultNow(**{**told, **more})


def verdict(now: UnitNow, decision: Any, **more: Any) -> VerdictNow:
    """A verdict on the unit as it is judged."""
    answer = now.answer
    told = {
        "id": "v1", "decision": decision, "reason": "Read the report against the bottle and the plate",
        "evidence": ("r1",), "klass": answer["class"], "basis": answer["basis"], "care": answer["care"],
        "signer": "p1", "signed_at": "2026-10-22T23:30:00.000000Z", "second_at": None,
    }  # fmt: skip
    if more.get("second"):
        told["second_at"] = "2026-10-24T03:00:00.000000Z"
    return VerdictNow(**{**told, **more})
