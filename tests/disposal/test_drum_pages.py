"""The pages of drums and bays: what they show, what they say where something is wrong, and that nothing is lost."""

from typing import Any
from uuid import UUID

import pytest
from django.test import Client
from django.urls import reverse

from disposal.models import Bay, Drum, Move, Put
from hazmat.actions.units import log_unit, prove_dead
from hazmat.book.act import book
from hazmat.models import Particulars, Unit
from tests.cast import Cast, look_in, order
from tests.disposal.pours import DEAD, LAB

pytestmark = pytest.mark.django_db


def token(page: str) -> str:
    return page.split('name="act"', 1)[1].split('value="', 1)[1].split('"', 1)[0]


def at(cast: Cast, name: str, **words: Any) -> str:
    return reverse(name, kwargs={"yard": cast.yard, **words})


def shown(client: Client, where: str) -> str:
    answer = client.get(where)
    assert answer.status_code == 200
    return answer.content.decode()


def sent(client: Client, where: str, **told: str) -> Any:
    return client.post(where, {"act": token(shown(client, where)), **told})


def ours(cast: Cast, **more: Any) -> Any:
    assert cast.yard_id
    return order(cast.yard_id, cast.people["boss"].pk, **more)


def stores(cast: Cast) -> None:
    """From now on the yard keeps drums."""
    now = Particulars.objects.get(yard=cast.yard_id)
    with book(ours(cast), "set_yard") as act:
        told = {name: getattr(now, name) for name in ("name", "country", "state", "zone", "keeps")}
        act.write(Particulars(replaces=now, stores=True, **told))


def drained(cast: Cast, mg_kg: str = "80", litres: str = "30") -> str:
    """A container whose oil went into the drum of the cast; its tag."""
    line = {"kind": "drum", "tests": [{**LAB, "value": mg_kg}]}
    unit = log_unit(ours(cast), look=look_in(line=line), place="NZ").the("hazmat.unit")
    tag: str = Unit.objects.get(pk=unit).tag
    key = str(Drum.objects.get(code=cast.words["drum"]).pk)
    client = cast.client("yard_hand")
    done = sent(client, at(cast, "drain", tag=tag), space="tank", into=key, litres=litres, tool="hose 2")
    assert done["Location"] == at(cast, "drum", drum=cast.words["drum"])
    return tag


def test_the_doors_are_there_only_where_drums_are_kept(cast: Cast) -> None:
    client = cast.client("visitor")
    page = shown(client, at(cast, "units"))
    assert at(cast, "drums") not in page
    assert at(cast, "bays") not in page
    unit = shown(client, at(cast, "unit", tag=cast.words["tag"]))
    assert "Its oil, and where it stands" not in unit
    stores(cast)
    page = shown(client, at(cast, "units"))
    assert at(cast, "drums") in page
    assert at(cast, "bays") in page
    unit = shown(client, at(cast, "unit", tag=cast.words["tag"]))
    assert "Its oil, and where it stands" in unit
    assert at(cast, "drain", tag=cast.words["tag"]) not in unit
    hand = shown(cast.client("yard_hand"), at(cast, "unit", tag=cast.words["tag"]))
    assert at(cast, "drain", tag=cast.words["tag"]) in hand


def test_a_drum_is_labelled_by_its_page_once(cast: Cast) -> None:
    client, where = cast.client("yard_hand"), at(cast, "label_drum")
    told = {"act": token(shown(client, where)), "capacity_l": "205", "un_mark": "UN 1A1"}
    first, again = client.post(where, told), client.post(where, told)
    assert first["Location"] == again["Location"]
    code = Drum.objects.get(un_mark="UN 1A1").code
    page = shown(client, at(cast, "drum", drum=code))
    assert "Nothing was ever poured into it" in page
    assert "205 L" in page
    assert "Drum <a" in shown(client, at(cast, "day_book"))


def test_a_drum_tells_its_story(cast: Cast) -> None:
    stores(cast)
    tag = drained(cast)
    client = cast.client("visitor")
    page = shown(client, at(cast, "drum", drum=cast.words["drum"]))
    assert "PCB: it leaves only with licensed people" in page
    assert "Lab says: PCB under the notice, over 50 ppm" in page
    assert 'aria-label="Safety band: 50 to below 500 mg/kg, by laboratory"' in page
    assert at(cast, "unit", tag=tag) in page
    assert "30 L, not weighed" in page
    assert "through hose 2" in page
    assert "stands in" in page
    assert "Pour out of it" not in page
    assert "Print its label" not in page
    listed = shown(client, at(cast, "drums"))
    assert 'aria-label="Safety band: 50 to below 500 mg/kg, by laboratory"' in listed
    assert "30 L, not weighed" in listed
    unit = shown(client, at(cast, "unit", tag=tag))
    assert at(cast, "drum", drum=cast.words["drum"]) in unit
    assert "30 L of oil went into drum" in " ".join(unit.split())


def test_the_code_of_a_drum_finds_it(cast: Cast) -> None:
    code = cast.words["drum"]
    found = cast.client("visitor").get(at(cast, "units"), {"search": f"{code[:3]} {code[3:]}"})
    assert found["Location"] == at(cast, "drum", drum=code)


def test_draining_asks_for_a_proof_of_death_first(cast: Cast) -> None:
    client, where = cast.client("technician"), at(cast, "drain", tag=cast.words["tag"])
    key = str(Drum.objects.get(code=cast.words["drum"]).pk)
    page = shown(client, where)
    assert "It is not drained: nobody has written down that it was proved dead" in page
    assert "A held unit is drained only where it must be" in page
    assert "What to wear" in page
    told = {"act": token(page), "space": "tank", "into": key, "litres": "30", "note": "by the creek"}
    refused = client.post(where, told)
    assert refused.status_code == 422
    assert "It is not drained" in refused.content.decode()
    assert "by the creek" in refused.content.decode()
    assert not Move.objects.exists()
    prove_dead(ours(cast), unit=Unit.objects.get(tag=cast.words["tag"]).pk, proved=DEAD)
    assert client.post(where, told).status_code == 302
    assert client.post(where, told).status_code == 302
    assert Move.objects.get().litres == "30"


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"litres": ""}, "Write how much it was, in litres or in kilograms"),
        ({"litres": "a bucket"}, "This is no plain number"),
        ({"litres": "500"}, "To the brim drum"),
        ({"into": ""}, "Pick the drum that it went into"),
        ({"into": "018f3e1a-0000-7000-8000-000000000000"}, "No such drum is here"),
        ({"space": "moon"}, "none of the answers"),
        ({"when": "2999-01-01T00:00"}, "This lies in the future"),
        ({"when": "1960-01-01T00:00"}, "was labelled"),
    ],
)
def test_what_is_wrong_with_a_pour_is_said_and_nothing_is_lost(cast: Cast, told: dict[str, str], says: str) -> None:
    line = {"kind": "drum", "tests": [{**LAB, "value": "80"}]}
    unit = log_unit(ours(cast), look=look_in(line=line), place="NZ").the("hazmat.unit")
    key = str(Drum.objects.get(code=cast.words["drum"]).pk)
    where = at(cast, "drain", tag=Unit.objects.get(pk=unit).tag)
    filled = {"space": "tank", "into": key, "litres": "5", "note": "by the creek", **told}
    page = sent(cast.client("yard_hand"), where, **filled)
    assert page.status_code == 422
    assert says in page.content.decode()
    assert "by the creek" in page.content.decode()
    assert not Move.objects.exists()


def test_a_refusal_names_its_document(cast: Cast) -> None:
    drained(cast, "80")
    line = {"kind": "drum", "tests": [{**LAB, "value": "620"}]}
    worse = log_unit(ours(cast), look=look_in(line=line), place="NZ").the("hazmat.unit")
    key = str(Drum.objects.get(code=cast.words["drum"]).pk)
    where = at(cast, "drain", tag=Unit.objects.get(pk=worse).tag)
    page = sent(cast.client("yard_hand"), where, space="tank", into=key, litres="5").content.decode()
    assert "of a worse class than what is in the drum" in page
    assert "40 CFR 761.60(g)(1)" in page


def test_oil_is_poured_on_from_the_page_of_a_drum(cast: Cast) -> None:
    drained(cast)
    client = cast.client("yard_hand")
    page = shown(client, at(cast, "drum", drum=cast.words["drum"]))
    where = at(cast, "pour", drum=cast.words["drum"])
    assert where in page
    label = sent(client, at(cast, "label_drum"), capacity_l="60")
    other = Drum.objects.exclude(code=cast.words["drum"]).get()
    assert label["Location"] == at(cast, "drum", drum=other.code)
    own = str(Drum.objects.get(code=cast.words["drum"]).pk)
    assert f'value="{own}"' not in shown(client, where)
    too_much = sent(client, where, into=str(other.pk), litres="50")
    assert too_much.status_code == 422
    assert "was 30 L at that time; 50 L cannot have come out of it" in too_much.content.decode()
    assert sent(client, where, into=str(other.pk), litres="30", all_out="on")["Location"] == label["Location"]
    assert "nothing more ran out" in shown(client, at(cast, "drum", drum=cast.words["drum"]))
    assert "30 L" in shown(client, label["Location"])


def test_a_slop_can_by_page(cast: Cast) -> None:
    client, where = cast.client("technician"), at(cast, "label_slop_can", tag=cast.words["tag"])
    assert "One slop can for one unit" in shown(client, where)
    done = sent(client, where, capacity_l="20")
    can = Drum.objects.get(kind="slop_can")
    assert done["Location"] == at(cast, "drum", drum=can.code)
    assert "Slop can of" in shown(client, done["Location"])
    again = sent(client, where, capacity_l="20")
    assert again.status_code == 422
    assert "has a slop can already" in again.content.decode()
    for wrong in ("", "0", "much"):
        assert sent(client, at(cast, "label_drum"), capacity_l=wrong).status_code == 422


def test_bays_by_page(cast: Cast) -> None:
    manager, hand = cast.client("manager"), cast.client("yard_hand")
    assert "Nothing stands here" in shown(hand, at(cast, "bays"))
    assert sent(manager, at(cast, "add_bay"), name="Q1", note="under the roof")["Location"] == at(cast, "bays")
    assert "There is a bay “q1” already" in sent(manager, at(cast, "add_bay"), name="q1").content.decode()
    assert sent(manager, at(cast, "add_bay"), name=" ").status_code == 422
    q1 = Bay.objects.get(name="Q1")
    put = at(cast, "put_drum", drum=cast.words["drum"])
    assert sent(hand, put, bay=str(q1.pk))["Location"] == at(cast, "drum", drum=cast.words["drum"])
    assert sent(hand, put, bay="moon").status_code == 422
    unit = at(cast, "put_unit", tag=cast.words["tag"])
    assert sent(hand, unit, bay=str(q1.pk))["Location"] == at(cast, "unit", tag=cast.words["tag"])
    assert Put.objects.count() == 2
    page = shown(hand, at(cast, "bays"))
    assert "under the roof" in page
    assert at(cast, "drum", drum=cast.words["drum"]) in page
    assert at(cast, "unit", tag=cast.words["tag"]) in page
    assert "bay Q1" in shown(hand, at(cast, "drum", drum=cast.words["drum"]))
    rename = at(cast, "rename_bay", bay=q1.pk)
    assert sent(manager, rename, name="North")["Location"] == at(cast, "bays")
    assert "bay North" in shown(hand, at(cast, "drum", drum=cast.words["drum"]))
    assert manager.get(at(cast, "rename_bay", bay=UUID(int=7))).status_code == 404
    book_ = " ".join(shown(hand, at(cast, "day_book")).split())
    assert "Bay Q1 is now called North." in book_
    assert "into bay Q1" in book_
    stores(cast)
    assert "It stands in bay North." in shown(hand, at(cast, "unit", tag=cast.words["tag"]))


def test_older_drums_are_on_the_next_page(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("disposal.views.drums.PAGE", 1)
    client = cast.client("yard_hand")
    sent(client, at(cast, "label_drum"), capacity_l="60")
    page = shown(client, at(cast, "drums"))
    assert at(cast, "drum", drum=cast.words["drum"]) not in page
    below = page.split("?below=", 1)[1].split('"', 1)[0]
    assert at(cast, "drum", drum=cast.words["drum"]) in client.get(at(cast, "drums"), {"below": below}).content.decode()
