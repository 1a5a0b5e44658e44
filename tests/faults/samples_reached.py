"""A sample of the act that holds what the oil of a unit reached."""

from disposal.actions.reached import hold_reached, readings
from disposal.queries.touched import to_hold
from hazmat.book.act import Order
from tests.cast import Cast
from tests.faults.sampling import Act, asked
from tests.hazmat.gear import Gear


def _hold_reached(cast: Cast) -> tuple[Order, Act]:
    assert cast.yard_id
    gear = Gear(cast.yard_id, cast.people["boss"].pk)
    bad, other, thief = gear.unit(), gear.unit(), gear.tool()
    gear.filled(bad, 10, thief)
    gear.filled(other, 20, thief)
    gear.released(other)
    one, read = asked(cast), readings(to_hold(bad))
    return one, lambda: hold_reached(one, unit=bad, reason="traces of its oil", read=read)
