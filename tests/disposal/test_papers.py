"""Papers of drums and loads through real acts and pages: issued, sealed, replaced, shown, proved."""

import re
from datetime import date
from html import unescape
from typing import Any
from uuid import UUID

import pytest
from django.test import Client
from django.urls import reverse

from disposal.actions.drums import label_drum, pour
from disposal.actions.handing import sign_load
from disposal.actions.loads import put_on_load
from disposal.actions.papers import issue_drum_label, issue_load_sheet
from disposal.actions.partners import add_licence, add_partner
from disposal.core.loadin import PutOn
from disposal.models import Drum, PaperOf
from disposal.queries.papers import papers_of
from hazmat.actions.papers import print_and_seal, private_words
from hazmat.book.act import Refused
from hazmat.book.canonical import parsed
from hazmat.book.entry import Entry
from hazmat.book.prove import prove
from hazmat.core.codes import spaced
from hazmat.models import Paper, Seal, Yard
from hazmat.queries.next import lines
from tests.cast import ZONE, Cast, file_of, order
from tests.disposal.sending import Sender, now, today
from tests.papers.poppler import text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def sender(cast: Cast) -> Sender:
    assert cast.yard_id is not None
    return Sender(cast.yard_id, cast.people["boss"].pk)


def filled(sender: Sender, litres: str = "20") -> UUID:
    """A drum with oil of one container in it."""
    unit = sender.unit(line={"kind": "drum"})
    drum: UUID = label_drum(sender.order(), kind="drum", capacity_l="200", un_mark="1A1/X").the("disposal.drum")
    pour(sender.order(), into=drum, unit=unit, space="tank", litres=litres, place="NZ")
    return drum


def posted(client: Client, at: str, back: str) -> Any:
    """A form of a page sent as it stands there."""
    page = client.get(back).content.decode()
    act = re.search(rf'action="{re.escape(at)}">.*?name="act" value="([^"]+)"', page)
    assert act, f"no form for {at}"
    return client.post(at, {"act": act[1]})


def words(answer: Any) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())).split())


# ------------------------------------------------------------------ acts


def test_a_label_is_frozen_with_what_it_is_of_and_replaces_the_last_one(sender: Sender) -> None:
    drum = filled(sender)
    first = issue_drum_label(sender.order(), drum=drum)
    second = issue_drum_label(sender.order(), drum=drum)
    one, two = (Paper.objects.get(pk=seen.the("hazmat.paper")) for seen in (first, second))
    assert (one.kind, one.unit_id, one.replaces_id) == ("drum_label", None, None)
    assert two.replaces_id == one.pk
    assert one.number == str(first.seq)
    payload = parsed(one.payload)
    code = Drum.objects.get(pk=drum).code
    assert payload["of"] == {"what": "drum", "code": code}
    assert payload["content"].startswith("20 L")
    assert PaperOf.objects.get(paper=one).drum_id == drum
    assert [line.number for line in papers_of(drum=drum)] == [str(first.seq), str(second.seq)]
    assert [line.title for line in papers_of(drum=drum)] == ["Drum label"] * 2
    other = label_drum(sender.order(), kind="drum", capacity_l="60").the("disposal.drum")
    fresh = issue_drum_label(sender.order(), drum=other).the("hazmat.paper")
    assert Paper.objects.get(pk=fresh).replaces_id is None
    assert papers_of(drum=UUID(str(other)))[0].id == fresh
    assert prove().faults == []


def test_a_sheet_names_what_travels_with_whom_and_who_signed(sender: Sender) -> None:
    """Licences of the day alone: the one that ended in 2021 is not named; what came off is not either."""
    drum = filled(sender)
    add_licence(sender.order(), partner=sender.carrier, what="carry", number="OLD", since=date(2020, 1, 1),
                until=date(2021, 1, 1))  # fmt: skip
    load = sender.load(sender.unit(), official="N-17")
    put_on_load(sender.order(), load=load, items=[PutOn(thing="drum", of=drum, kg="44.5")])
    sign_load(sender.order(), load=load, party="yard", inked="typed", name="Sina Signer")
    seen = issue_load_sheet(sender.order(), load=load)
    paper = Paper.objects.get(pk=seen.the("hazmat.paper"))
    payload = parsed(paper.payload)
    assert payload["of"] == {"what": "load", "number": now(load).number}
    assert [row["kg"] for row in payload["rows"]] == ["250", "44.5"]
    assert payload["rows"][1]["code"] == spaced(Drum.objects.get(pk=drum).code)
    assert payload["totals"]["kg"] == "294.5"
    assert [(firm["name"], firm["licences"]) for firm in payload["firms"]] == [
        ("Harbour Haulage", ["carry-1"]), ("Furnace Point", ["take_in-1"]),
    ]  # fmt: skip
    assert payload["official"] == {"says": "Number of the official paper", "number": "N-17"}
    assert [box["inked"] for box in payload["boxes"]] == ["a typed name with a tick", "", ""]
    before = Entry.objects.get(yard=sender.yard, seq=seen.seq - 1)
    assert payload["chain"] == {"entry": str(seen.seq - 1), "hash": before.hash[:16]}
    beside = private_words(paper)
    assert beside["yard_signed_by"] == "Sina Signer"
    assert "Sina Signer" not in paper.payload
    again = issue_load_sheet(sender.order(), load=load).the("hazmat.paper")
    assert Paper.objects.get(pk=again).replaces_id == paper.pk
    assert [line.title for line in papers_of(load=load)] == ["Hand-over sheet"] * 2
    assert prove().faults == []


def test_a_telephone_of_a_firm_stands_beside_the_words(sender: Sender) -> None:
    firm = add_partner(sender.order(), name="Ring Us", aside={"phone": "+64 0 000 0011"}).the("disposal.partner")
    until = date(today().year + 1, 6, 30)
    add_licence(sender.order(), partner=firm, what="carry", number="T", issued_by="The Council", since=today(),
                until=until)  # fmt: skip
    load = sender.load(sender.unit(), carrier=firm)
    paper = Paper.objects.get(pk=issue_load_sheet(sender.order(), load=load).the("hazmat.paper"))
    assert private_words(paper)["carrier_phone"] == "+64 0 000 0011"
    assert "+64 0 000 0011" not in paper.payload
    assert parsed(paper.payload)["firms"][0]["licences"] == [f"T, The Council, to 30 Jun {until.year}"]


def test_an_empty_load_has_no_sheet(sender: Sender) -> None:
    load = sender.load()
    with pytest.raises(Refused, match="Nothing is on this load"):
        issue_load_sheet(sender.order(), load=load)


def test_nothing_is_printed_of_another_yard(sender: Sender, cast: Cast) -> None:
    drum, load = filled(sender), sender.load(sender.unit())
    yard = Yard.objects.get(code=cast.other_yard)
    outsider = cast.people["outsider"].pk
    with pytest.raises(Refused, match="no such drum"):
        issue_drum_label(order(yard.pk, outsider), drum=drum)
    with pytest.raises(Refused, match="no such load"):
        issue_load_sheet(order(yard.pk, outsider), load=load)


def test_what_is_not_sealed_stands_on_next(sender: Sender, cast: Cast) -> None:
    drum = filled(sender)
    paper = issue_drum_label(sender.order(), drum=drum).the("hazmat.paper")
    number = Paper.objects.get(pk=paper).number
    says = f"Paper {number} is not sealed: print it"
    assert says in [line.says for line in lines(sender.yard, cast.yard, today())]
    print_and_seal(sender.yard, sender.by, ZONE, paper)
    assert says not in [line.says for line in lines(sender.yard, cast.yard, today())]
    assert Seal.objects.get(paper=paper).unit_id is None
    assert prove().faults == []


# ------------------------------------------------------------------ pages


def test_a_label_is_printed_from_the_page_of_its_drum(sender: Sender, cast: Cast) -> None:
    drum = filled(sender)
    code = Drum.objects.get(pk=drum).code
    client = cast.client("yard_hand")
    back = reverse("drum", kwargs={"yard": cast.yard, "drum": code})
    at = reverse("issue_drum_label", kwargs={"yard": cast.yard, "drum": code})
    answer = posted(client, at, back)
    paper = Paper.objects.get(kind="drum_label")
    shown = reverse("paper", kwargs={"yard": cast.yard, "paper": paper.pk})
    assert (answer.status_code, answer.headers["Location"]) == (302, shown)
    page = words(client.get(shown))
    assert f"Drum label {paper.number}" in page
    assert f"Drum {spaced(code)}" in page
    assert "Treat as PCB: not known" in page
    assert f'href="{back}"' in client.get(shown).content.decode()
    pdf = file_of(client.get(reverse("paper_pdf", kwargs={"yard": cast.yard, "paper": paper.pk})))
    assert spaced(code) in text_of(pdf)
    listed = words(client.get(back))
    assert f"Drum label {paper.number}" in listed
    assert f"A drum label, number {paper.number}, was issued for drum {spaced(code)}" in listed
    assert posted(client, at, back).status_code == 302
    assert "A newer paper stands in its place." in words(client.get(shown))


def test_a_sheet_is_printed_from_the_page_of_its_load(sender: Sender, cast: Cast) -> None:
    load = sender.load(sender.unit(), sender.unit())
    number = now(load).number
    client = cast.client("manager")
    back = reverse("load", kwargs={"yard": cast.yard, "load": number})
    at = reverse("issue_load_sheet", kwargs={"yard": cast.yard, "load": number})
    posted(client, at, back)
    paper = Paper.objects.get(kind="hand_over_sheet")
    shown = reverse("paper", kwargs={"yard": cast.yard, "paper": paper.pk})
    page = words(client.get(shown))
    assert f"Hand-over sheet {paper.number}" in page
    assert f"Load {number} , 2 items" in page
    assert "It says" not in page
    assert "Its strip" not in page
    listed = words(client.get(back))
    assert f"Hand-over sheet {paper.number}" in listed
    assert f"A hand-over sheet, number {paper.number}, was issued for load {number}" in listed
    pdf = file_of(client.get(reverse("paper_pdf", kwargs={"yard": cast.yard, "paper": paper.pk})))
    assert f"Hand-over sheet {paper.number}" in text_of(pdf)


def test_a_form_sent_twice_prints_once(sender: Sender, cast: Cast) -> None:
    code = Drum.objects.get(pk=filled(sender)).code
    client = cast.client("yard_hand")
    back = reverse("drum", kwargs={"yard": cast.yard, "drum": code})
    at = reverse("issue_drum_label", kwargs={"yard": cast.yard, "drum": code})
    act = re.search(r'name="act" value="([^"]+)"', client.get(back).content.decode().split(at)[1])
    assert act
    first, second = (client.post(at, {"act": act[1]}).headers["Location"] for _ in range(2))
    assert first == second
    assert Paper.objects.filter(kind="drum_label").count() == 1
    assert Seal.objects.filter(paper__kind="drum_label").count() == 1


def test_what_is_refused_goes_back_with_its_sentence(sender: Sender, cast: Cast) -> None:
    full, empty = sender.load(sender.unit()), sender.load()
    client = cast.client("manager")
    shown = client.get(reverse("load", kwargs={"yard": cast.yard, "load": now(empty).number})).content.decode()
    assert "hand-over sheet" not in shown
    page = client.get(reverse("load", kwargs={"yard": cast.yard, "load": now(full).number})).content.decode()
    act = re.search(r'name="act" value="([^"]+)"', page)
    assert act
    at = reverse("issue_load_sheet", kwargs={"yard": cast.yard, "load": now(empty).number})
    answer = client.post(at, {"act": act[1]}, follow=True)
    assert "Nothing is on this load: put drums or units on it, and print its sheet then." in words(answer)
    assert not Paper.objects.filter(kind="hand_over_sheet").exists()


@pytest.mark.parametrize("name", ["issue_drum_label", "issue_load_sheet"])
def test_what_is_not_there_is_not_found(name: str, sender: Sender, cast: Cast) -> None:
    told = {"issue_drum_label": {"drum": "222222"}, "issue_load_sheet": {"load": 999_999}}[name]
    client = cast.client("manager")
    at = reverse(name, kwargs={"yard": cast.yard, **told})
    assert client.post(at).status_code == 404


def test_a_visitor_sees_no_button(sender: Sender, cast: Cast) -> None:
    code = Drum.objects.get(pk=filled(sender)).code
    back = reverse("drum", kwargs={"yard": cast.yard, "drum": code})
    assert "Print its label" not in words(cast.client("visitor").get(back))
    assert "Print its label" in words(cast.client("yard_hand").get(back))
