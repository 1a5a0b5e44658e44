"""What the page *Next* says of loads: what somebody waits for, the oldest first."""

from datetime import date
from uuid import UUID

from disposal.core.loadnow import LoadState
from disposal.core.odd import unsettled
from disposal.models import LoadStanding
from disposal.queries.loads import taken_in, with_lost
from hazmat.queries.next import SIZE, Line

WAITS: dict[LoadState, str] = {
    "received": "is taken in and not all of it is proven: hold its certificate against it",
    "handed_over": "is handed over: write down what arrived",
    "signed": "is signed by the yard: the carrier signs next",
    "proven": "is proven, all of it: see who still has to sign, then close it",
    "planned": "is planned: see what is on it, then sign",
}
"""What each state waits for, the most pressing first; a closed load waits for nothing."""


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
    return (
        lost
        + settle
        + [
            Line(f"Load {one.number} {says}", "load", {"yard": code, "load": one.number}, "load")
            for state, says in WAITS.items()
            for one in found.filter(state=state)[:SIZE]
        ]
    )
