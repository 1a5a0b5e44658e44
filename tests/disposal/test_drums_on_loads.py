"""Drums on loads: which can go, and what the units learn whose oil is in them."""

from datetime import datetime, timedelta
from uuid import UUID

import pytest

from disposal.actions.certificates import close_load
from disposal.actions.drums import label_drum, pour
from disposal.actions.loads import put_on_load, take_off_load
from disposal.core.drumnow import DrumNow
from disposal.core.loadin import PutOn
from disposal.queries.drums import DRUMS
from disposal.queries.due import due
from disposal.queries.open_loads import next_lines
from hazmat.actions.results import enter_result
from hazmat.actions.verdicts import reading, sign_verdict
from hazmat.book.act import Refused
from hazmat.book.prove import prove
from hazmat.core.codes import spaced
from tests.cast import reported
from tests.disposal.sending import Sender, certified, now, sign, today, unit_now

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def drum(sender: Sender) -> UUID:
    found: UUID = label_drum(sender.order(), kind="drum", capacity_l="200").the("disposal.drum")
    return found


def poured(sender: Sender, into: UUID, litres: str = "20", **more: UUID) -> UUID:
    """Oil from a container of its own, or from a drum; the key of where it came from."""
    unit = None if more else sender.unit(line={"kind": "drum"})
    ends = {"unit": unit, "space": "tank"} if unit else more
    pour(sender.order(), into=into, litres=litres, place="NZ", **ends)  # type: ignore[arg-type]
    return unit or more["from_drum"]


def low(sender: Sender, into: UUID, litres: str) -> UUID:
    """Oil from a container that was released on a result of 1.2 mg/kg; the key of that unit."""
    unit = sender.unit(line={"kind": "drum"})
    enter_result(sender.order(), unit=unit, told=reported("1.2"), place="NZ")
    now = unit_now(unit)
    evidence = [one.id for one in now.counting]
    sign_verdict(sender.order(), unit=unit, decision="release", reason="low", evidence=evidence, read=reading(now))
    pour(sender.order(), into=into, litres=litres, place="NZ", unit=unit, space="tank")
    return unit


def load(sender: Sender, drum: UUID) -> UUID:
    planned = sender.load()
    put_on_load(sender.order(), load=planned, items=[PutOn(thing="drum", of=drum, kg="18")])
    return planned


def drum_now(key: UUID) -> DrumNow:
    found = DRUMS.kept(key)
    assert found is not None
    return found


def test_a_proven_drum_tells_every_unit_whose_oil_was_in_it(sender: Sender) -> None:
    first, into = drum(sender), drum(sender)
    one = poured(sender, first)
    poured(sender, into, "5", from_drum=first)
    code = drum_now(into).code
    sent = load(sender, into)
    assert drum_now(into).place == "on_load"
    sender.signed(sent, "yard", "carrier")
    assert (drum_now(into).place, unit_now(one).stands) == ("gone", "hold")
    sender.arrived(sent, "yes")
    certified(sender, sent, code, number="CD-7")
    kept = drum_now(into)
    assert (kept.place, kept.certificate, kept.load) == ("destroyed", "CD-7", now(sent).number)
    (fate,) = unit_now(one).fates
    assert (fate.what, fate.drum, fate.load, fate.certificate) == ("oil_destroyed", code, now(sent).number, "CD-7")
    assert fate.firm == "Furnace Point"
    assert unit_now(one).stands == "hold"
    assert drum_now(first).place == "here"
    sign(sender, sent, "facility")
    close_load(sender.order(), load=sent)
    assert prove().faults == []


def test_a_refused_drum_is_here_and_free_again(sender: Sender) -> None:
    key = drum(sender)
    poured(sender, key)
    sent = load(sender, key)
    again = sender.load()
    with pytest.raises(Refused, match=f"is on load {now(sent).number} already"):
        put_on_load(sender.order(), load=again, items=[PutOn(thing="drum", of=key)])
    sender.signed(sent, "yard", "carrier")
    sender.arrived(sent, "refused")
    assert drum_now(key).place == "here"
    put_on_load(sender.order(), load=again, items=[PutOn(thing="drum", of=key)])
    take_off_load(sender.order(), load=again, item=UUID(now(again).items[0].id), why="it leaks")
    assert drum_now(key).place == "here"
    assert prove().faults == []


def test_a_drum_that_was_never_filled_stays_and_one_that_was_emptied_may_go(sender: Sender) -> None:
    used, fresh = drum(sender), drum(sender)
    planned = sender.load()
    with pytest.raises(Refused, match="Nothing was ever poured into"):
        put_on_load(sender.order(), load=planned, items=[PutOn(thing="drum", of=used)])
    poured(sender, used)
    poured(sender, fresh, "20", from_drum=used)
    assert drum_now(used).litres == "0"
    put_on_load(sender.order(), load=planned, items=[PutOn(thing="drum", of=used)])
    assert now(planned).items[0].code == drum_now(used).code


def test_no_drum_goes_on_a_load_before_its_last_pour(sender: Sender) -> None:
    key, planned = drum(sender), sender.load()
    poured(sender, key)
    last = datetime.fromisoformat(drum_now(key).moves[-1].at)
    early = sender.order(happened_at=last - timedelta(microseconds=1))
    with pytest.raises(Refused, match=f"before the last pour into or out of {spaced(drum_now(key).code)}"):
        put_on_load(early, load=planned, items=[PutOn(thing="drum", of=key)])
    put_on_load(sender.order(happened_at=last), load=planned, items=[PutOn(thing="drum", of=key)])
    assert len(now(planned).items) == 1


@pytest.mark.parametrize("said", [True, False])
def test_a_proven_drum_tells_nothing_of_oil_that_was_poured_on(sender: Sender, said: bool) -> None:
    """All of it went on, told by a tick or by the litres: that oil stands in the second drum, and nothing is proven."""
    first, second = drum(sender), drum(sender)
    gone_on = low(sender, first, "20")
    pour(sender.order(), into=second, litres="20", place="NZ", from_drum=first, all_out=said)
    later = low(sender, first, "5")
    sent = load(sender, first)
    sender.signed(sent, "yard", "carrier")
    sender.arrived(sent, "yes")
    certified(sender, sent, drum_now(first).code)
    assert unit_now(gone_on).fates == ()
    assert [one.what for one in unit_now(later).fates] == ["oil_destroyed"]
    assert (drum_now(second).place, drum_now(second).litres) == ("here", "20")


def test_what_went_through_an_emptied_drum_is_no_longer_there(sender: Sender) -> None:
    """Oil of one unit went on before that of another came into the drum between."""
    between, last, other = drum(sender), drum(sender), drum(sender)
    before = low(sender, between, "20")
    pour(sender.order(), into=other, litres="20", place="NZ", from_drum=between, all_out=True)
    after = low(sender, between, "8")
    poured(sender, last, "3", from_drum=between)
    sent = load(sender, last)
    sender.signed(sent, "yard", "carrier")
    sender.arrived(sent, "yes")
    certified(sender, sent, drum_now(last).code)
    assert unit_now(before).fates == ()
    assert [one.what for one in unit_now(after).fates] == ["oil_destroyed"]


def test_what_is_missing_keeps_its_clock_and_is_named_on_next(sender: Sender) -> None:
    """Nobody knows where it is, so nobody knows that its time has ended; taken in or proven, it has no clock here."""
    key = drum(sender)
    poured(sender, key)
    unit = sender.unit(line={"kind": "capacitor", "built": "1970", "decided_waste": "2026-03-07"})
    load = sender.load(unit)
    put_on_load(sender.order(), load=load, items=[PutOn(thing="drum", of=key)])
    codes = {drum_now(key).code, unit_now(unit).tag}

    def clocks() -> set[str]:
        found = due(sender.yard, today())
        return {one.code for one in (*found.clocks, *found.apart)} & codes

    def missing() -> list[str]:
        return [one.says for one in next_lines(sender.yard, "y", today()) if "never got" in one.says]

    assert clocks() == codes
    sender.signed(load, "yard", "carrier")
    assert (clocks(), missing()) == (set(), [])
    sender.arrived(load, "missing", "missing")
    assert clocks() == codes
    (says,) = missing()
    assert says.startswith(f"Load {now(load).number}: ")
    assert all(spaced(code) in says for code in codes)
    certified(sender, load, drum_now(key).code)
    assert clocks() == {unit_now(unit).tag}
    certified(sender, load, unit_now(unit).tag, number="CD-2")
    assert (clocks(), missing()) == (set(), [])


def test_nobody_signs_before_the_last_pour_out_of_what_goes(sender: Sender) -> None:
    """What is signed for is what it was then: a unit that was drained since is another thing."""
    into, source = drum(sender), sender.unit(line={"kind": "drum"})
    planned = sender.load()
    put_on_load(sender.order(), load=planned, items=[PutOn(thing="unit", of=source)])
    early, last = sender.order().happened_at, sender.order().happened_at
    pour(sender.order(happened_at=last), into=into, litres="5", place="NZ", unit=source, space="tank")
    with pytest.raises(Refused, match="before the last pour into or out of what is on this load"):
        sign(sender, planned, "yard", at=early)
    sign(sender, planned, "yard", at=last)
    assert now(planned).signed == {"yard"}
