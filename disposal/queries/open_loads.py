"""What the page *Next* says of loads: what somebody waits for, the oldest first."""

from collections.abc import Mapping
from datetime import date
from typing import Any
from uuid import UUID

from disposal.core.loadnow import LoadNow, LoadState
from disposal.core.odd import unsettled
from disposal.models import LoadStanding
from disposal.papers.build import official_name
from disposal.queries.loads import LOADS, taken_in, with_lost
from hazmat.queries.next import SIZE, Line
from hazmat.queries.yards import particulars, yard_facts

WAITS: dict[LoadState, str] = {
    "received": "is taken in and not all of it is proven: hold its certificate against it",
    "handed_over": "is handed over: write down what arrived",
    "signed": "is signed by the yard: the carrier signs next",
    "proven": "is proven, all of it: see who still has to sign, then close it",
    "planned": "is planned: see what is on it, then sign",
}
"""What each state waits for, the most pressing first; a closed load waits for nothing."""
NUMBERED: tuple[LoadState, ...] = ("signed", "handed_over", "received", "proven")
"""States in which a load ought to have its official number: from the first signature on."""


def wanted_number(now: LoadNow, yard: Mapping[str, Any]) -> str:
    """What the law of the yard calls the number that a load still lacks; empty where it lacks none."""
    return "" if now.official or now.closed_at or not now.aboard else official_name(yard)


def _unnumbered(yard: UUID, code: str) -> list[Line]:
    """The signed loads that lack the number that the law of the yard wants, the oldest first."""
    facts = yard_facts(particulars(yard))
    if not official_name(facts):
        return []
    bodies = (
        LoadStanding.objects.filter(yard=yard, state__in=NUMBERED).order_by("logged").values_list("body", flat=True)
    )
    return [
        Line(f"Load {load.number} lacks its {name[0].lower()}{name[1:]}: write it down", "load", words, "load")
        for load in map(LOADS.unpacked, bodies)
        if (name := wanted_number(load, facts))
        for words in [{"yard": code, "load": load.number}]
    ][:SIZE]


def next_lines(yard: UUID, code: str, today: date) -> list[Line]:
    """What is missing, what arrived otherwise and is not settled, then every load of a yard that is not closed."""
    lost = [
        Line(
            f"Load {load.number}: the facility never got {', '.join(one.called for one in load.lost)}. "
            "Find out where that is",
            "load", {"yard": code, "load": load.number}, "late",
        )
        for load in with_lost(yard)[:SIZE]
    ]  # fmt: skip
    settle = [
        Line(f"Load {load.number}: {one.says}. Write down how that was settled", "load", words, "load")
        for load in taken_in(yard)
        for words in [{"yard": code, "load": load.number}]
        for one in unsettled(load)
        if not one.lost
    ][:SIZE]
    found = LoadStanding.objects.filter(yard=yard).defer("body").order_by("logged")
    waits = [
        Line(f"Load {one.number} {says}", "load", {"yard": code, "load": one.number}, "load")
        for state, says in WAITS.items()
        for one in found.filter(state=state)[:SIZE]
    ]
    return [*lost, *settle, *_unnumbered(yard, code), *waits]
