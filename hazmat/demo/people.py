"""What the people of the demo were trained for, who went out alone, who signed in at a job, one note, two sheets."""

from collections.abc import Callable, Iterator
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from hazmat.actions.crews import issue_crew_list, sign_in_crew, sign_out_crew
from hazmat.actions.emergency import issue_emergency_sheet, set_emergency
from hazmat.actions.injuries import note_injury
from hazmat.actions.outings import come_back, go_out
from hazmat.actions.training import override_training, record_training
from hazmat.core.outing import instant_of
from hazmat.demo.made import Made, Step
from hazmat.demo.scene import YARDS

TRAINED = (
    ("nz", "rangi", "sampling", "2025-08-20", "2027-08-20", "Tussock Line School"),
    ("nz", "rangi", "raised_care", "2024-10-31", "2026-10-31", "Tussock Line School"),
    ("nz", "rangi", "dead", "2024-12-10", "2026-12-10", "Tussock Line School"),
    ("nz", "rangi", "breathing", "2025-12-04", "2026-12-04", "Pumice Fire Hall"),
    ("nz", "rangi", "first_aid", "2025-11-02", "2027-11-02", "Pumice Fire Hall"),
    ("nz", "rangi", "drums", "2025-08-21", None, "Tamsin Quaich"),
    ("nz", "tamsin", "sampling", "2025-08-20", "2027-08-20", "Tussock Line School"),
    ("nz", "tamsin", "raised_care", "2026-02-12", "2028-02-12", "Tussock Line School"),
    ("nz", "tamsin", "highest_care", "2026-02-13", "2028-02-13", "Tussock Line School"),
    ("nz", "tamsin", "breathing", "2026-02-13", "2027-02-13", "Pumice Fire Hall"),
    ("nz", "tamsin", "spill", "2026-02-13", "2028-02-13", "Pumice Fire Hall"),
    ("nz", "tamsin", "dead", "2026-02-14", "2028-02-14", "Tussock Line School"),
    ("nz", "lio", "drums", "2026-04-16", None, "Tamsin Quaich"),
    ("nz", "hinemoa", "dangerous_goods", "2024-09-09", "2026-09-09", "Estuary Freight College"),
    ("us", "boone", "sampling", "2024-11-18", "2027-11-18", "Larkspur Safety Barn"),
    ("us", "boone", "screening", "2024-11-18", "2027-11-18", "Larkspur Safety Barn"),
    ("us", "boone", "raised_care", "2024-11-19", "2027-11-19", "Larkspur Safety Barn"),
    ("us", "boone", "dead", "2024-11-19", "2027-11-19", "Larkspur Safety Barn"),
    ("us", "boone", "breathing", "2025-11-19", "2026-11-19", "Larkspur Safety Barn"),
    ("us", "paloma", "spill", "2025-05-06", "2027-05-06", "Larkspur Safety Barn"),
    ("us", "paloma", "first_aid", "2025-05-07", "2027-05-07", "Larkspur Safety Barn"),
    ("us", "delphine", "drums", "2026-05-29", None, "Paloma Wickersett"),
    ("us", "ezra", "dangerous_goods", "2024-11-25", "2027-11-25", "Larkspur Safety Barn"),
)  # fmt: skip
"""Yard, who, kind, done on, holds until, given by. Source: invented."""
CARDS = {
    "nz": {
        "numbers": "111", "assembly": "The white gate on Wherry Street", "hospital": "Estuary Hospital, Ferry Road",
        "network": "Kauri Reach Lines, faults: +64 0 000 0190", "first_aiders": "Rangi Ploverton +64 0 000 0103",
    },
    "us": {
        "numbers": "911", "assembly": "The scale house, by the flag pole", "hospital": "Sallow Creek Clinic, Mill Road",
        "first_aiders": "Paloma Wickersett (000) 555-0102",
    },
}  # fmt: skip
"""What each yard wrote down for an emergency; the rest stays empty, as in many a yard. Source: invented."""


def steps() -> list[Step]:
    """Every step of people, in no order."""
    return [*_trained(), *_cards(), *_out(), *_at_work(), *_noted()]


def _at(yard: str, written: str) -> datetime:
    """A moment of a yard: `2026-11-24 16:30`."""
    return instant_of(datetime.fromisoformat(written), ZoneInfo(YARDS[yard].zone))


def _step(yard: str, at: str, by: str, words: tuple[str, ...], run: Callable[[Made], None]) -> Step:
    return Step(at=datetime.fromisoformat(at), yard=yard, role=by, words=words, run=run)


def _trained() -> Iterator[Step]:
    """Each training, written down by the safety officer in the evening of its day."""
    for yard, who, kind, done, until, given_by in TRAINED:

        def run(
            made: Made, who: str = who, kind: str = kind, done: str = done, until: str | None = until,
            given_by: str = given_by,
        ) -> None:  # fmt: skip
            record_training(
                made.order, person=made.people[who].pk, kind=kind, done_on=date.fromisoformat(done), given_by=given_by,
                until=date.fromisoformat(until) if until else None,
            )  # fmt: skip

        by = "manager" if who in ("tamsin", "paloma") else "safety_officer"
        yield _step(yard, f"{done} 17:00", by, ("train", who, kind), run)


def _cards() -> Iterator[Step]:
    for yard, told in CARDS.items():

        def run(made: Made, told: dict[str, str] = told) -> None:
            set_emergency(made.order, told=told, based_on=None)
            made.printed(issue_emergency_sheet(made.more("sheet")).the("hazmat.paper"))

        yield _step(yard, "2026-02-16 09:00", "manager", ("card",), run)


def _out() -> Iterator[Step]:
    """Rangi puts off being back and comes back; Boone comes back; Lio went to the shed, and nobody wrote more."""

    def gone(due: str, where: str, whom: str, phone: str, unit: str) -> Callable[[Made], None]:
        def run(made: Made) -> None:
            made.keep(made.now.role, go_out(
                made.order, due_back=_at(made.now.yard, due), where=where, whom=whom, phone=phone,
                unit=made.unit(unit) if unit else None,
            ).the("hazmat.outing"))  # fmt: skip

        return run

    def back(made: Made) -> None:
        come_back(made.order, outing=made.known[made.now.role])

    paddock, ring = "Pukeko Paddock, past the second gate", "Tamsin Quaich, +64 0 000 0102"
    yield _step(
        "nz", "2026-11-24 14:30", "rangi", ("out", "rangi"), gone("2026-11-24 16:30", paddock, ring, "channel 3", "")
    )
    yield _step(
        "nz",
        "2026-11-24 16:20",
        "rangi",
        ("off", "rangi"),
        gone("2026-11-24 18:00", paddock, ring, "channel 3", "W8FZY"),
    )
    yield _step("nz", "2026-11-24 17:40", "rangi", ("back", "rangi"), back)
    shed = ("2026-11-24 18:30", "The old wool shed on Shearers Lane", "Hinemoa Fencewright, +64 0 000 0101")
    yield _step("nz", "2026-11-24 17:00", "lio", ("out", "lio"), gone(*shed, "+64 0 000 0104", ""))
    creek = ("2026-11-22 11:00", "The dead line over Sallow Creek", "Paloma Wickersett, (000) 555-0102")
    yield _step("us", "2026-11-22 08:30", "boone", ("out", "boone"), gone(*creek, "(000) 555-0103", ""))
    yield _step("us", "2026-11-22 10:40", "boone", ("back", "boone"), back)


def _at_work() -> Iterator[Step]:
    """Rangi samples although his training ran out, Lio and a neighbour look on; the list is printed."""

    def let(made: Made) -> None:
        reason = "the owner waits for the result, and the next course is on 3 December"
        override_training(made.order, person=made.people["rangi"].pk, work="sample", reason=reason)

    def work(made: Made) -> None:
        unit = made.unit("W7TRK")
        told: dict[str, Any] = {"unit": unit, "work": "sample", "read": True}
        seen = sign_in_crew(made.order, person=made.by.pk, **told)
        sign_in_crew(made.more("lio"), person=made.people["lio"].pk, part="looks_on", **told)
        sign_in_crew(made.more("neighbour"), name="Wiremu Gatepost", part="looks_on", **told)
        made.printed(issue_crew_list(made.more("list"), crew=seen.the("hazmat.crew")).the("hazmat.paper"))
        made.keep("at work", seen.the("hazmat.signin"))

    def leave(made: Made) -> None:
        sign_out_crew(made.order, signed_in=made.known["at work"])

    yield _step("nz", "2026-11-19 08:40", "manager", ("let",), let)
    yield _step("nz", "2026-11-19 09:10", "rangi", ("work",), work)
    yield _step("nz", "2026-11-19 10:30", "rangi", ("leave",), leave)


def _noted() -> Iterator[Step]:
    def run(made: Made) -> None:
        told = {
            "about": made.people["lio"].pk, "when": "8 Sep 2026, 16:05", "where": "the pad", "harms": ["skin"],
            "what": "A drop of oil on the wrist, between glove and sleeve.", "event": "other",
            "done": "Sleeve off, washed with warm soapy water for ten minutes.",
        }  # fmt: skip
        note_injury(made.order, told=told)

    yield _step("nz", "2026-09-08 16:40", "tamsin", ("note",), run)
