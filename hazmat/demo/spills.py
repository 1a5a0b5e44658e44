"""The spills of the demo, read from the fixtures: each step becomes one real act."""

import tomllib
from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from hazmat.actions.spill_papers import issue_spill_note
from hazmat.actions.spills import close_spill, old_stain, open_spill, reading, spill_step, told_of_spill
from hazmat.core.spill import SpillIn
from hazmat.core.spillnow import StepIn
from hazmat.demo.made import Made, Step, id_of
from hazmat.demo.units import FIXTURES
from hazmat.queries.spills import spill_now

Told = Mapping[str, Any]


def steps() -> list[Step]:
    """Every step in the order of the file. Raises KeyError for a step that nobody knows."""
    told = tomllib.loads((FIXTURES / "spills.toml").read_text(encoding="utf-8"))["step"]
    return [_step(place, one) for place, one in enumerate(told)]


def _step(place: int, told: Told) -> Step:
    do = DOES[told["do"]]
    return Step(
        at=datetime.fromisoformat(told["at"]), yard=told["yard"], role=told["by"],
        words=(told["do"], str(place)), run=lambda made: do(made, told),
    )  # fmt: skip


def _spill_in(told: Told) -> SpillIn:
    return SpillIn(**{**told["told"], "grounds": tuple(told["told"]["grounds"])})


def _opened(made: Made, told: Told) -> None:
    act = old_stain if told["do"] == "old_stain" else open_spill
    source = made.tag(told["unit"]) if "unit" in told else ""
    names = {"where": told["where"], "found": made.by.called}
    made.keep(
        told["as"],
        act(made.order, told=_spill_in(told), place=made.place, source=source, names=names).the("hazmat.spill"),
    )


def _told(made: Made, told: Told) -> None:
    words = {name: told[name] for name in ("office", "duties", "who", "reference", "note") if name in told}
    told_of_spill(made.order, spill=made.known[told["spill"]], place=made.place, **words)


def _did(made: Made, told: Told) -> None:
    step = StepIn(**{**told["step"], "duties": tuple(told["step"].get("duties", ()))})
    spill_step(made.order, spill=made.known[told["spill"]], told=step, place=made.place)


def _ended(made: Made, told: Told) -> None:
    spill = made.known[told["spill"]]
    now = spill_now(id_of(made.yard.key), UUID(str(spill)))
    if now is None:
        raise LookupError(f"no spill {spill}")
    words = {name: told[name] for name in ("reached", "statement", "reason") if name in told}
    close_spill(made.order, spill=spill, name=made.by.called, place=made.place, read=reading(now), **words)


def _printed(made: Made, told: Told) -> None:
    made.printed(issue_spill_note(made.order, spill=made.known[told["spill"]]).the("hazmat.paper"))


DOES = {
    "open_spill": _opened, "old_stain": _opened, "told_of_spill": _told, "spill_step": _did, "close_spill": _ended,
    "issue_spill_note": _printed,
}  # fmt: skip
"""What each step of the file does."""
