"""What arrived of a load, what certificates prove of it, and when it can be closed."""

from datetime import date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest

from disposal.actions.certificates import close_load, enter_certificate
from disposal.actions.handing import receive_load, settle_arrival
from disposal.actions.loads import take_off_load
from disposal.core.loadin import Arrived, Line, Settling
from hazmat.book.act import Refused
from hazmat.book.ids import new_id
from hazmat.book.prove import prove
from hazmat.core.codes import ALPHABET, spaced
from hazmat.models import Person, Yard
from tests.cast import ZONE
from tests.disposal.sending import Sender, certified, now, put, sign, unit_now

pytestmark = [pytest.mark.both, pytest.mark.django_db]


# ------------------------------------------------------------------ what arrived


def test_one_receipt_tells_of_every_item(sender: Sender) -> None:
    load = sender.load(sender.unit(), sender.unit())
    one, two = now(load).items
    yes = [Arrived(item=UUID(item.id), arrival="yes") for item in (one, two)]
    with pytest.raises(Refused, match="The carrier has not signed"):
        receive_load(sender.order(), load=load, lines=yes)
    sender.signed(load, "yard", "carrier")
    with pytest.raises(Refused, match=f"left out: {spaced(two.code)}"):
        receive_load(sender.order(), load=load, lines=yes[:1])
    with pytest.raises(Refused, match="twice"):
        receive_load(sender.order(), load=load, lines=[*yes, yes[0]])
    with pytest.raises(Refused, match="no such item"):
        receive_load(sender.order(), load=load, lines=[*yes, Arrived(item=new_id(), arrival="yes")])
    with pytest.raises(Refused, match="nobody weighed it"):
        receive_load(sender.order(), load=load, lines=[yes[0], Arrived(item=UUID(two.id), arrival="missing", kg="9")])
    gone = datetime.fromisoformat(now(load).handed_over_at)
    with pytest.raises(Refused, match="before the carrier signed"):
        receive_load(sender.order(happened_at=gone - timedelta(microseconds=1)), load=load, lines=yes)
    lines = [Arrived(item=UUID(one.id), arrival="yes", kg="248.5", note="dented"), yes[1]]
    receive_load(sender.order(happened_at=gone), load=load, lines=lines)
    assert [(item.kg_received, item.note) for item in now(load).items] == [("248.5", "dented"), ("", "")]
    with pytest.raises(Refused, match="written down already, and nothing is missing"):
        receive_load(sender.order(), load=load, lines=yes)


def test_what_is_missing_keeps_the_load_open_until_somebody_knows(sender: Sender) -> None:
    load = sender.received(sender.unit(), sender.unit(), arrivals=["yes", "missing"])
    here, lost = now(load).items
    with pytest.raises(
        Refused, match=rf"No certificate names {spaced(here.code)}; the facility never got {spaced(lost.code)}"
    ):
        close_load(sender.order(), load=load)
    certified(sender, load, here.code)
    with pytest.raises(Refused, match=f"^The facility never got {spaced(lost.code)}"):
        close_load(sender.order(), load=load)
    assert unit_now(lost.of).stands == "gone"
    with pytest.raises(Refused, match="written down already; leave it out"):
        receive_load(sender.order(), load=load, lines=[Arrived(item=UUID(here.id), arrival="yes")])
    with pytest.raises(Refused, match="missing already"):
        receive_load(sender.order(), load=load, lines=[Arrived(item=UUID(lost.id), arrival="missing")])
    receive_load(sender.order(), load=load, lines=[Arrived(item=UUID(lost.id), arrival="refused", note="found")])
    assert (now(load).state, now(load).items[1].arrival, unit_now(lost.of).stands) == ("proven", "refused", "hold")
    settle_arrival(sender.order(), load=load, lines=[Settling(item=UUID(lost.id), says="it goes with the next load")])
    close_load(sender.order(), load=load)
    assert prove().faults == []


def test_what_is_missing_can_be_proven_after_all(sender: Sender) -> None:
    load = sender.received(sender.unit(), arrivals=["missing"])
    (lost,) = now(load).items
    certified(sender, load, lost.code)
    assert (now(load).state, unit_now(lost.of).stands) == ("proven", "destroyed")
    close_load(sender.order(), load=load)


# ------------------------------------------------------------------ certificates


def slip(code: str) -> str:
    """The code with its first character changed."""
    return ("3" if code[0] == "2" else "2") + code[1:]


def test_a_code_one_slip_away_is_offered_and_never_taken_alone(sender: Sender) -> None:
    load = sender.received(sender.unit(), sender.unit())
    one, two = now(load).items
    typed = slip(one.code)
    with pytest.raises(Refused, match=f"one slip away from {spaced(one.code)}"):
        certified(sender, load, typed)
    with pytest.raises(Refused, match="one slip away"):
        certified(sender, load, lines=[Line(written=typed, item=two.id)])
    certified(sender, load, lines=[Line(written=typed, item=one.id)])
    assert now(load).items[0].certificate == "CD-1"
    assert now(load).items[1].certificate == ""


def test_lines_that_prove_nothing(sender: Sender) -> None:
    load = sender.load(sender.unit(), sender.unit(), sender.unit())
    off, back, went = now(load).items
    take_off_load(sender.order(), load=load, item=UUID(off.id), why="leaks")
    sender.signed(load, "yard", "carrier")
    with pytest.raises(Refused, match="Write down first what the facility took in"):
        certified(sender, load, went.code)
    sender.arrived(load, "refused", "yes")
    stranger = 6 * next(one for one in ALPHABET if one not in off.code + back.code + went.code)
    cases = [
        ([off.code], "came off this load before it left"), ([back.code], "was refused and came back"),
        ([stranger], "is the code of nothing that went with this load"),
        ([went.code, f"{went.code[:3]} {went.code[3:].lower()}"], "stands twice"), ([], "at least one item"),
        ([went.code, stranger], "nothing that went"),
    ]  # fmt: skip
    for written, says in cases:
        with pytest.raises(Refused, match=says):
            certified(sender, load, *written)
    with pytest.raises(Refused, match="Write the number"):
        certified(sender, load, went.code, number=" ")
    assert now(load).certificates == ()
    certified(sender, load, went.code)
    with pytest.raises(Refused, match="proven already, by certificate CD-1"):
        certified(sender, load, went.code, number="CD-2")
    with pytest.raises(Refused, match=r"The nearest: .* proven already"):
        certified(sender, load, slip(went.code), number="CD-2")
    assert len(now(load).certificates) == 1


def test_days_of_a_certificate(yard: Yard, boss: Person) -> None:
    """Handed over on 7 March in Auckland, an hour after its midnight: 6 March in UTC. Both sides of each day."""
    sender = Sender(yard.pk, boss.pk)
    sender.now = datetime(2026, 3, 7, 1, 0, tzinfo=ZoneInfo(ZONE))
    load = sender.received(sender.unit())
    code = now(load).items[0].code
    at = datetime(2026, 3, 20, 12, 0, tzinfo=ZoneInfo(ZONE))

    def certify(issued: int, done: int | None = None) -> None:
        done_on = None if done is None else date(2026, 3, done)
        lines = [Line(written=code)]
        asked = sender.order(happened_at=at)
        enter_certificate(
            asked, load=load, number="CD-1", issued_on=date(2026, 3, issued), done_on=done_on, lines=lines
        )

    for issued, done, says in (
        (6, None, "dated before the load was handed over"), (21, None, "dated after the day on which it came"),
        (20, 6, "destruction lies before the load was handed over"), (19, 20, "destruction lies after the day"),
    ):  # fmt: skip
        with pytest.raises(Refused, match=says):
            certify(issued, done)
    taken = datetime.fromisoformat(now(load).received_at)
    with pytest.raises(Refused, match="before the facility took it in"):
        enter_certificate(
            sender.order(happened_at=taken - timedelta(microseconds=1)), load=load, number="CD-1",
            issued_on=date(2026, 3, 7), lines=[Line(written=code)],
        )  # fmt: skip
    certify(7, 7)
    assert now(load).state == "proven"


def test_the_last_day_of_a_certificate(yard: Yard, boss: Person) -> None:
    sender = Sender(yard.pk, boss.pk)
    sender.now = datetime(2026, 3, 7, 1, 0, tzinfo=ZoneInfo(ZONE))
    load = sender.received(sender.unit())
    at = datetime(2026, 3, 20, 0, 30, tzinfo=ZoneInfo(ZONE))
    enter_certificate(
        sender.order(happened_at=at), load=load, number="CD-1", issued_on=date(2026, 3, 20), done_on=date(2026, 3, 20),
        lines=[Line(written=now(load).items[0].code)],
    )  # fmt: skip
    assert now(load).state == "proven"


# ------------------------------------------------------------------ closing


def test_a_load_is_closed_when_nothing_owes_a_proof(sender: Sender) -> None:
    load = sender.load(sender.unit())
    with pytest.raises(Refused, match="Nobody has written down what the facility took in"):
        close_load(sender.order(), load=load)
    sender.signed(load, "yard", "carrier")
    with pytest.raises(Refused, match="Nobody has written down what the facility took in"):
        close_load(sender.order(), load=load)
    sender.arrived(load, "yes")
    (item,) = now(load).items
    with pytest.raises(Refused, match=f"No certificate names {spaced(item.code)}"):
        close_load(sender.order(), load=load)
    certified(sender, load, item.code)
    with pytest.raises(Refused, match=r"^The facility has not signed for what it took in, so take its signature\.$"):
        close_load(sender.order(), load=load)
    sign(sender, load, "facility")
    close_load(sender.order(), load=load)
    with pytest.raises(Refused, match="closed already"):
        close_load(sender.order(), load=load)
    with pytest.raises(Refused, match="closed"):
        certified(sender, load, item.code)
    with pytest.raises(Refused, match="closed"):
        put(sender, load, sender.unit())
    assert (now(load).state, now(load).signed) == ("closed", {"yard", "carrier", "facility"})


def test_a_load_with_which_nothing_goes_can_be_closed(sender: Sender) -> None:
    load = sender.load()
    close_load(sender.order(), load=load)
    assert now(load).state == "closed"
    assert not now(load).handed_over_at


def test_a_facility_that_took_in_nothing_owes_no_signature(sender: Sender) -> None:
    load = sender.load(sender.unit())
    sender.signed(load, "yard", "carrier")
    sender.arrived(load, "refused")
    back = UUID(now(load).items[0].id)
    settle_arrival(sender.order(), load=load, lines=[Settling(item=back, says="its lid is shut anew")])
    close_load(sender.order(), load=load)
    assert now(load).state == "closed"
