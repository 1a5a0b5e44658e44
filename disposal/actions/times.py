"""What every act on drums and their units checks first: that they are there, and that the time can be."""

from datetime import datetime
from uuid import UUID

from disposal.core.drumfold import away_at, whereabouts
from disposal.core.drumnow import DrumNow
from disposal.queries.carried import carried
from disposal.queries.drums import DRUMS
from hazmat.book.act import Act, Order, Refused
from hazmat.book.canonical import instant
from hazmat.core.codes import spaced


def the_drum(yard: UUID, drum: UUID) -> DrumNow:
    """The drum as it stands, under the lock of its yard. Raises Refused where the yard has no such drum."""
    now = DRUMS.kept(drum)
    if now is None or now.yard != str(yard):
        raise Refused("This yard has no such drum; open it from the list of drums.")
    return now


def refuse_future(act: Act) -> None:
    """Refuse what has not happened yet."""
    if act.order.happened_at > act.recorded_at:
        raise Refused("This lies in the future; write when it was.")


def refuse_before(order: Order, since: str, words: str) -> None:
    """Refuse what lies before a thing was in the book. `since`: an instant; `words`: what happened then."""
    if order.happened_at < datetime.fromisoformat(since):
        raise Refused(f"This lies before {words}; look at both times and write when it was.")


def refuse_on_load(drum: DrumNow, onward: str = "") -> None:
    """Refuse to move oil into or out of a drum that is on a load. `onward`: what is said before that."""
    if drum.place == "on_load":
        raise Refused(
            f"{onward}Drum {spaced(drum.code)} is on load {drum.load}; take it off there first, so that what the load "
            "says of it stays true."
        )


def refuse_unit_away(order: Order, unit: UUID) -> None:
    """Refuse to drain a unit that is signed away, or was at that time."""
    where = whereabouts(one for one, _ in carried([unit], None, None, "unit").get(unit, []))
    if where.away and not where.away[-1][1]:
        raise Refused(f"This unit is signed away with load {where.load}: nothing comes out of it.")
    if away_at(where.away, instant(order.happened_at)):
        raise Refused("This unit was signed away at that time; look at the time once more.")


def refuse_away(order: Order, drum: DrumNow) -> None:
    """Refuse whatever would change a drum that is signed away, or was at that time, or was not labelled yet."""
    refuse_before(order, drum.made_at, f"drum {spaced(drum.code)} was labelled")
    if drum.place == "destroyed":
        raise Refused(f"Drum {spaced(drum.code)} is destroyed, so nothing is done with it any more.")
    if drum.signed_away:
        raise Refused(
            f"Drum {spaced(drum.code)} is signed away with load {drum.load}: nothing comes out of it, and nothing goes "
            "into it."
        )
    if away_at(drum.away, instant(order.happened_at)):
        raise Refused(f"Drum {spaced(drum.code)} was signed away at that time; look at the time once more.")
