"""Where things are once they left: in the unit list under a filter, in the words of a missing drum; what was saved."""

import re
from html import unescape
from typing import Any
from uuid import UUID

import pytest

from disposal.actions.drums import label_drum, pour
from disposal.actions.handing import receive_load
from disposal.actions.loads import put_on_load
from disposal.core.loadin import Arrived, PutOn
from disposal.models import Load
from disposal.queries.drums import DRUMS
from hazmat.book.prove import prove
from hazmat.core.codes import spaced
from hazmat.models import UnitStanding
from tests.browsing import the_look
from tests.cast import Cast
from tests.disposal.sending import Sender, certified, now, unit_now
from tests.disposal.test_load_pages import path, sent, text

pytestmark = pytest.mark.django_db


@pytest.fixture
def sender(cast: Cast) -> Sender:
    assert cast.yard_id is not None
    return Sender(cast.yard_id, cast.people["boss"].pk)


def test_what_left_stands_in_the_list_under_its_filter(cast: Cast, sender: Sender) -> None:
    client = cast.client("manager")
    here, back, gone, burnt = sender.unit(), sender.unit(), sender.unit(), sender.unit()
    load = sender.load(back, gone, burnt)
    sender.signed(load, "yard", "carrier", "facility")
    sender.arrived(load, "refused", "yes", "yes")
    certified(sender, load, unit_now(burnt).tag)

    def listed(where: str | None) -> set[UUID]:
        page = text(client.get(path(cast, "units"), {"where": where} if where is not None else {}))
        return {one for one in (here, back, gone, burnt) if spaced(unit_now(one).tag) in page}

    assert listed(None) == listed("") == listed("nowhere") == {here, back}
    assert listed("left") == {gone, burnt}
    assert listed("any") == {here, back, gone, burnt}
    assert "LEFT" in text(client.get(path(cast, "units"), {"where": "left"}))
    assert "LEFT" not in text(client.get(path(cast, "units")))
    assert UnitStanding.objects.filter(left=True).count() == 2
    assert prove().faults == []


def test_a_missing_drum_has_words(cast: Cast, sender: Sender) -> None:
    client, load = cast.client("manager"), sender.load()
    drum: UUID = label_drum(sender.order(), kind="drum", capacity_l="200").the("disposal.drum")
    unit = sender.unit(line={"kind": "drum"})
    pour(sender.order(), into=drum, unit=unit, space="tank", litres="20", place="NZ")
    put_on_load(sender.order(), load=load, items=[PutOn(thing="drum", of=drum)])
    sender.signed(load, "yard", "carrier")
    now_ = DRUMS.kept(drum)
    assert now_ is not None

    def words() -> str:
        return " ".join(text(client.get(path(cast, "drum", drum=now_.code))).split())

    missing = "Missing: it left, and the facility never got it"
    assert missing not in words()
    sender.arrived(load, "missing")
    assert missing in words()
    assert missing.lower() in text(client.get(path(cast, "drums")))
    found = [Arrived(item=UUID(now(load).items[0].id), arrival="yes")]
    receive_load(sender.order(), load=load, lines=found)
    assert missing not in words()
    assert prove().faults == []


def told(client: Any, answer: Any) -> str:
    """What the next page says in its status line."""
    page = client.get(answer["Location"]).content.decode()
    found = re.search(r'<p class="done" role="status">(.*?)</p>', page, re.DOTALL)
    assert found, page[:600]
    return unescape(re.sub(r"<[^>]+>", "", found[1]))


def test_each_write_says_in_one_sentence_what_was_saved(cast: Cast, sender: Sender) -> None:
    client, tag = cast.client("boss"), cast.words["tag"]
    firms = {"carrier": str(sender.carrier), "facility": str(sender.facility)}
    done = sent(client, path(cast, "plan_load"), **firms)
    load = Load.objects.get().pk
    number = now(load).number
    assert re.fullmatch(rf"Saved as entry \d+: Load {number} was planned\.", told(client, done))
    done = sent(client, path(cast, "put_on_load", load), code=tag, kg="250")
    assert told(client, done).endswith(f": Put on load {number}: {spaced(tag)} (250 kg).")
    done = sent(client, path(cast, "number_load", load), official="N & <1>")
    assert told(client, done).endswith(f"Load {number} has the official number N & <1>.")
    done = sent(client, path(cast, "sign_load", load, party="yard"), name="Mere Example", inked="typed", tick="on")
    assert told(client, done).endswith(f"The yard signed for load {number} (a typed name with a tick).")
    done = sent(client, path(cast, "add_bay"), name="North")
    assert told(client, done).endswith("Bay North was added.")
    done = sent(client, path(cast, "add_partner"), name="Third Firm")
    assert told(client, done).endswith("A firm was written down: Third Firm.")
    done = sent(client, path(cast, "label_drum"), capacity_l="200")
    assert "was labelled, 200 L to the brim." in told(client, done)
    look = client.post(path(cast, "look"), the_look(client, cast))
    assert "was logged, " in told(client, look)
