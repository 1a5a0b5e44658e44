"""A unit that drips never goes on the road: the carrier cannot sign until it is off the load or contained."""

from uuid import UUID

import pytest

from disposal.actions.handing import sign_load
from disposal.actions.loads import take_off_load
from hazmat.book.act import Refused
from tests.cast import Cast, make_cast
from tests.disposal.sending import Sender, now

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def cast() -> Cast:
    return make_cast()


@pytest.mark.parametrize("leak", ["dripping", "pool"])
def test_what_drips_is_not_signed_away(cast: Cast, leak: str) -> None:
    assert cast.yard_id is not None
    sender = Sender(cast.yard_id, cast.people["boss"].pk)
    load = sender.load(sender.unit(leak=leak), sender.unit())
    sender.signed(load, "yard")
    with pytest.raises(Refused, match=rf"leaks \({leak}\), and a leaking unit never goes on the road"):
        sign_load(sender.order(), load=load, party="carrier", inked="typed", name="Mere Example")
    take_off_load(sender.order(), load=load, item=UUID(now(load).items[0].id), why="it drips")
    sender.signed(load, "carrier")
    assert now(load).state == "handed_over"


@pytest.mark.parametrize("leak", ["none", "sweating", "unknown"])
def test_what_does_not_drip_may_go(cast: Cast, leak: str) -> None:
    assert cast.yard_id is not None
    sender = Sender(cast.yard_id, cast.people["boss"].pk)
    load = sender.load(sender.unit(leak=leak))
    sender.signed(load, "yard", "carrier")
    assert now(load).state == "handed_over"
