"""The emergency sheet of a yard and the list of a job, as they come."""

from datetime import date, timedelta
from typing import Any

from hazmat import papers
from hazmat.core.training import Let
from hazmat.core.unitnow import UnitNow
from hazmat.forms.emergency import EACH, LINES
from hazmat.papers.people import BOXES, Card, emergency_sheet, toolbox_list
from hazmat.queries.crews import Job, Signed
from tests.papers.conftest import AT, LINE, YARDS, unit

BY = "Ana Example"
FULL = {
    "numbers": "111, then 0 for an outside line", "assembly": "The white gate on Wherry Street, upwind of the pad",
    "hospital": "Estuary Hospital, 4 Ferry Road, +64 0 000 0201", "network": "Kauri Reach Lines, +64 0 000 0190",
    "regulator": "Work: +64 0 000 0301\nWater and land: +64 0 000 0302\nElectricity: +64 0 000 0303",
    "first_aiders": "Mere Example +64 0 000 0401\nDev Driver +64 0 000 0402\nBo Second +64 0 000 0403",
}  # fmt: skip
LONGEST = dict.fromkeys(BOXES, "\n".join(["A NAME of somebody at his place, +64 0 000 000 00"[:EACH]] * LINES))
"""As many lines of as many characters as a box of the form takes."""


def emergency(card: dict[str, str] | None = None, country: str = "nz") -> papers.Made:
    kept = None if card is None else Card(id="00000000-0000-7000-8000-000000000001", words=card)
    return emergency_sheet(kept, YARDS[country], "17", AT, BY)


def signed(place: int, **more: Any) -> Signed:
    told: dict[str, Any] = {
        "id": str(place), "person": f"p{place}", "name": f"Person Number {place}", "part": "works", "read": "self",
        "by": "", "at": AT,
    }  # fmt: skip
    return Signed(**{**told, **more})


def job(*there: Signed, first_aid: bool = True) -> Job:
    return Job(
        id="00000000-0000-7000-8000-0000000000c1", unit="u", tag="K7M4PK", work="spill", on=date(2026, 11, 25),
        care="50_499", signed=there, first_aid=first_aid,
    )  # fmt: skip


def crew_list(of: Job, country: str = "nz", now: UnitNow | None = None) -> papers.Made:
    let = {"p2": [Let(work="spill", on=date(2026, 11, 25), who="Mere", why="the pan is full")]}
    return toolbox_list(of, now or unit(LINE, country), let, YARDS[country], "17", AT, BY)


def sheets(country: str) -> dict[str, papers.Made]:
    """Each sheet, empty and full."""
    late = AT + timedelta(hours=1)
    few = [signed(1, left_at=late), signed(2), signed(3, person="", name="", part="looks_on", read="leader", by="Bo")]
    return {
        "emergency": emergency(FULL, country), "emergency of nobody": emergency(None, country),
        "list": crew_list(job(*few), country), "list of many": crew_list(job(*map(signed, range(60))), country),
    }  # fmt: skip
