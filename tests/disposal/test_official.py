"""The official number of a load: typed until the load closes, and asked for where the law of the yard wants one."""

from uuid import UUID

import pytest
from django.test import Client

from disposal.actions.certificates import close_load
from disposal.actions.drums import label_drum, pour
from disposal.actions.loads import number_load, plan_load, put_on_load
from disposal.core.loadin import PutOn
from disposal.models import Load
from disposal.queries.loads import LOADS
from disposal.queries.open_loads import next_lines
from hazmat.book.act import Refused
from hazmat.book.ids import new_id
from hazmat.book.prove import prove
from hazmat.models import Person, Yard
from tests.cast import Cast, opened
from tests.disposal.sending import Sender, certified, now, today
from tests.disposal.test_load_pages import path, sent, text

pytestmark = pytest.mark.django_db


@pytest.fixture
def here(cast: Cast) -> Sender:
    """A yard in New Zealand."""
    assert cast.yard_id is not None
    return Sender(cast.yard_id, cast.people["boss"].pk)


@pytest.fixture
def oregon(boss: Person) -> Sender:
    """A yard where 40 CFR 761.207 asks for a manifest."""
    return Sender(opened(boss, "Oregon Yard", "US", state="US-OR").pk, boss.pk)


def test_it_is_typed_and_mended_until_the_load_closes(here: Sender) -> None:
    load = here.load(here.unit(), note="by noon")
    number_load(here.order(), load=load, official=" N-1 ")
    here.signed(load, "yard", "carrier", "facility")
    number_load(here.order(), load=load, official="N-2")
    here.arrived(load, "yes")
    with pytest.raises(Refused, match="on record already"):
        number_load(here.order(), load=load, official="N-2")
    with pytest.raises(Refused, match="Write the number"):
        number_load(here.order(), load=load, official=" ")
    certified(here, load, now(load).items[0].code)
    number_load(here.order(), load=load, official="N-3")
    kept = now(load)
    assert (kept.official, kept.note, kept.carrier_name, kept.facility_name) == (
        "N-3",
        "by noon",
        "Harbour Haulage",
        "Furnace Point",
    )
    assert (kept.state, len(kept.signatures), Load.objects.count()) == ("proven", 3, 4)
    close_load(here.order(), load=load)
    with pytest.raises(Refused, match="closed"):
        number_load(here.order(), load=load, official="N-4")
    with pytest.raises(Refused, match="no such load"):
        number_load(here.order(), load=new_id(), official="N-4")
    assert LOADS.fold([load])[load].official == "N-3"
    assert prove().faults == []


def test_no_law_here_wants_one_and_the_page_still_takes_it(cast: Cast, here: Sender) -> None:
    client, load = cast.client("manager"), here.load(here.unit())
    here.signed(load, "yard")
    assert [one for one in next_lines(here.yard, cast.yard, today()) if "lacks its" in one.says] == []
    page = text(client.get(path(cast, "load", load)))
    assert "the law of this place wants one" not in page
    assert "Write down its number" in page
    at = path(cast, "number_load", load)
    empty = sent(client, at, official="")
    assert (empty.status_code, "Write the number as it stands" in text(empty)) == (422, True)
    assert sent(client, at, official="N-1").status_code == 302
    page = text(client.get(path(cast, "load", load)))
    assert "Correct its number" in page
    assert "has the official number N-1" in page


def loaded(sender: Sender) -> UUID:
    """A load of a drum with oil in it."""
    unit = sender.unit(line={"kind": "drum", "found_in": "US-OR"})
    drum: UUID = label_drum(sender.order(), kind="drum", capacity_l="200").the("disposal.drum")
    pour(sender.order(), into=drum, unit=unit, space="tank", litres="20", place="US-OR")
    load: UUID = plan_load(sender.order(), carrier=sender.carrier, facility=sender.facility).the("disposal.load")
    put_on_load(sender.order(), load=load, items=[PutOn(thing="drum", of=drum)])
    return load


def test_where_the_law_wants_one_it_is_asked_for(oregon: Sender, boss: Person) -> None:
    browser, code = Client(), Yard.objects.get(pk=oregon.yard).code
    browser.force_login(boss)
    load = loaded(oregon)
    number = now(load).number

    def asked() -> list[str]:
        return [one.says for one in next_lines(oregon.yard, code, today()) if "lacks its" in one.says]

    wants = "Number of the manifest: the law of this place wants one, and none is on record."
    at = f"/{code}/loads/{number}/"
    assert asked() == []
    assert wants in text(browser.get(at))
    oregon.signed(load, "yard")
    assert asked() == [f"Load {number} lacks its number of the manifest: write it down"]
    assert wants in text(browser.get(f"{at}sign/carrier/"))
    oregon.signed(load, "carrier")
    assert len(asked()) == 1
    assert wants in text(browser.get(f"{at}close/"))
    number_load(oregon.order(), load=load, official="012345678 JJK")
    assert asked() == []
    assert wants not in text(browser.get(at))
