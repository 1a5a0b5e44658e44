"""What arrived otherwise than it was sent stays said until it is settled, and keeps its load open."""

from datetime import timedelta
from uuid import UUID

import pytest

from disposal.actions.certificates import close_load
from disposal.actions.handing import receive_load, settle_arrival
from disposal.core.loadin import Arrived, Settling
from disposal.core.loadnow import ItemNow
from disposal.core.odd import odd, other_weight, unsettled
from disposal.queries.open_loads import next_lines
from hazmat.book.act import Refused
from hazmat.book.ids import new_id
from hazmat.book.prove import prove
from hazmat.core.codes import spaced
from tests.cast import Cast
from tests.disposal.sending import Sender, certified, now, today
from tests.disposal.test_load_pages import path, sent, text

pytestmark = pytest.mark.django_db


@pytest.fixture
def sender(cast: Cast) -> Sender:
    assert cast.yard_id is not None
    return Sender(cast.yard_id, cast.people["boss"].pk)


@pytest.mark.parametrize(
    ("here", "there", "differs"),
    [
        ("250", "250", False),
        ("250", "250.0", False),
        ("250", "249.9", True),
        ("250", "250.1", True),
        ("", "250", False),
        ("250", "", False),
    ],
)
def test_another_weight(here: str, there: str, differs: bool) -> None:
    item = ItemNow(id="i", thing="drum", of="d", code="K7M4PX", kg=here, kg_received=there)
    assert other_weight(item) == differs


def received(sender: Sender) -> UUID:
    """Four units: one lighter there, one refused, one missing, one as sent; and a tray that stands on no list."""
    load = sender.load(*(sender.unit() for _ in range(4)))
    sender.signed(load, "yard", "carrier", "facility")
    told = (("yes", "249"), ("refused", ""), ("missing", ""), ("yes", "250"))
    items = zip(now(load).items, told, strict=True)
    lines = [Arrived(item=UUID(item.id), arrival=arrival, kg=kg) for item, (arrival, kg) in items]  # type: ignore[arg-type]
    receive_load(sender.order(), load=load, lines=lines, extra="a steel tray, 40 kg")
    return load


def test_each_difference_is_told(sender: Sender) -> None:
    load = received(sender)
    light, back, lost, _ = (spaced(one.code) for one in now(load).items)
    assert [one.says for one in odd(now(load))] == [
        f"{light} was 250 kg as loaded and 249 kg there",
        f"{back} was refused and is back here",
        f"the facility never got {lost}",
        "the facility got what stands on no list: a steel tray, 40 kg",
    ]
    assert unsettled(now(load)) == odd(now(load))
    assert prove().faults == []


def test_a_load_is_closed_once_all_of_it_is_settled(sender: Sender) -> None:
    load = received(sender)
    light, back, lost, same = now(load).items
    certified(sender, load, light.code, same.code)
    with pytest.raises(Refused, match=r"never got .*write down how that was settled"):
        close_load(sender.order(), load=load)
    settle = [Settling(item=UUID(light.id), says="two scales"), Settling(item=UUID(back.id), says="goes again")]
    settle_arrival(sender.order(), load=load, lines=settle)
    assert [one.settled for one in odd(now(load))] == ["two scales", "goes again", "", ""]
    settle_arrival(sender.order(), load=load, lines=[Settling(says="the tray came back")])
    with pytest.raises(Refused, match=r"^The facility never got"):
        close_load(sender.order(), load=load)
    receive_load(sender.order(), load=load, lines=[Arrived(item=UUID(lost.id), arrival="yes", kg="250")])
    certified(sender, load, lost.code, number="CD-2")
    assert [one.says for one in unsettled(now(load))] == []
    close_load(sender.order(), load=load)
    assert now(load).state == "closed"
    assert prove().faults == []


def test_a_missing_item_that_a_certificate_names_is_settled_by_it(sender: Sender) -> None:
    load = sender.received(sender.unit(), arrivals=["missing"])
    certified(sender, load, now(load).items[0].code)
    assert [one.settled for one in odd(now(load))] == ["certificate CD-1 names it"]


def test_what_cannot_be_settled_is_refused(sender: Sender) -> None:
    load = sender.load(sender.unit())
    item = UUID(now(load).items[0].id)
    one = [Settling(item=item, says="x")]
    with pytest.raises(Refused, match="Write down first what the facility took in"):
        settle_arrival(sender.order(), load=load, lines=one)
    load = received(sender)
    light, _, lost, same = (UUID(one.id) for one in now(load).items)
    for lines, says in (
        ([], "at least one difference"), ([Settling(item=light, says="x")] * 2, "only once"),
        ([Settling(item=light, says=" ")], "Write how it was settled"),
        ([Settling(item=lost, says="x")], "did not arrive otherwise"),
        ([Settling(item=same, says="x")], "did not arrive otherwise"),
        ([Settling(item=new_id(), says="x")], "did not arrive otherwise"),
    ):  # fmt: skip
        with pytest.raises(Refused, match=says):
            settle_arrival(sender.order(), load=load, lines=lines)
    early = sender.now - timedelta(minutes=1)
    with pytest.raises(Refused, match="before the facility took it in"):
        settle_arrival(sender.order(happened_at=early), load=load, lines=[Settling(item=light, says="x")])
    settle_arrival(sender.order(), load=load, lines=[Settling(item=light, says="x")])
    with pytest.raises(Refused, match="settled already"):
        settle_arrival(sender.order(), load=load, lines=[Settling(item=light, says="y")])


def test_it_stays_said_on_its_page_and_on_next(cast: Cast, sender: Sender) -> None:
    client, load = cast.client("manager"), sender.load(sender.unit())
    code = spaced(now(load).items[0].code)
    sender.signed(load, "yard", "carrier")
    told = {"arrival_0": "yes", "kg_0": "248", "extra": "a steel tray"}
    assert sent(client, path(cast, "receive_load", load), **told).status_code == 302
    says = f"Load {now(load).number}: {code} was 250 kg as loaded and 248 kg there. Write down how that was settled"

    def waiting() -> list[str]:
        return [one.says for one in next_lines(sender.yard, cast.yard, today()) if "settled" in one.says]

    assert waiting()[0] == says
    assert "stands on no list: a steel tray" in waiting()[1]
    page = text(client.get(path(cast, "load", load)))
    assert f"{code} was 250 kg as loaded and 248 kg there. Not settled yet." in " ".join(page.split())
    assert "and, on no list: a steel tray" in page
    at = path(cast, "settle_arrival", load)
    empty = sent(client, at)
    assert (empty.status_code, "Write of at least one difference" in text(empty)) == (422, True)
    assert sent(client, at, says_0="two scales").status_code == 302
    assert len(waiting()) == 1
    page = " ".join(text(client.get(path(cast, "load", load))).split())
    assert "248 kg there. Settled: two scales" in page
    assert f"{code} : two scales" in page
    assert sent(client, at, says_0="it came back").status_code == 302
    assert waiting() == []
    assert "Nothing of this load is to be settled in words" in text(client.get(at))
    assert "Settle what arrived otherwise" not in text(client.get(path(cast, "load", load)))
