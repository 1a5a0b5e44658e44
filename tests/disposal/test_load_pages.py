"""The pages of loads and partners: what is asked, what comes back, what is shown to whom."""

import io
import re
from base64 import b64encode
from datetime import timedelta
from html import unescape
from typing import Any
from uuid import UUID

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image, ImageDraw
from pypdf import PdfWriter

from disposal.actions.loads import put_on_load
from disposal.core.loadin import PutOn
from disposal.models import Certificate, Closed, Item, Licence, Load, Partner, Proof, Received, Signature
from disposal.queries.loads import LOADS
from hazmat.actions.yards import set_yard
from hazmat.book import files
from hazmat.book.entry import Entry
from hazmat.book.prove import prove
from hazmat.queries.yards import particulars
from tests.cast import Cast, file_of, order
from tests.disposal.sending import NOW, Sender, now, today, unit_now

pytestmark = pytest.mark.django_db


@pytest.fixture
def sender(cast: Cast) -> Sender:
    assert cast.yard_id is not None
    return Sender(cast.yard_id, cast.people["boss"].pk)


def path(cast: Cast, name: str, load: UUID | None = None, **words: Any) -> str:
    number = {"load": now(load).number} if load else {}
    return reverse(name, kwargs={"yard": cast.yard, **number, **words})


def text(answer: Any) -> str:
    return unescape(re.sub(r"<[^>]+>", " ", answer.content.decode()))


def token(client: Client, at: str) -> str:
    found = re.search(r'name="act" value="([^"]+)"', client.get(at).content.decode())
    assert found
    return found[1]


def sent(client: Client, at: str, **told: Any) -> Any:
    return client.post(at, {"act": token(client, at), **told})


def png(dark: bool = True) -> str:
    """A drawing as the pad of the page sends it."""
    image = Image.new("RGB", (90, 30), "white")
    if dark:
        ImageDraw.Draw(image).line((5, 5, 80, 25), fill="black", width=3)
    out = io.BytesIO()
    image.save(out, "PNG")
    return f"data:image/png;base64,{b64encode(out.getvalue()).decode()}"


def photograph() -> SimpleUploadedFile:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), "grey").save(out, "JPEG")
    return SimpleUploadedFile("sheet.jpg", out.getvalue(), "image/jpeg")


def test_the_whole_thread_by_page(cast: Cast, sender: Sender) -> None:
    client, tag = cast.client("manager"), cast.words["tag"]
    plan = path(cast, "plan_load")
    told = {"carrier": str(sender.carrier), "facility": str(sender.facility), "official": "N-77"}
    done = sent(client, plan, **told)
    load = Load.objects.get().pk
    assert done["Location"] == path(cast, "load", load)
    assert "It is planned." in text(client.get(done["Location"]))
    assert sent(client, path(cast, "put_on_load", load), code=tag, kg="250").status_code == 302
    page = text(client.get(path(cast, "load", load)))
    assert "The yard signs" in page
    assert "Lab says" in page
    assert "it goes as the worst that it may be" in page
    for party in ("yard", "carrier", "facility"):
        at = path(cast, "sign_load", load, party=party)
        assert sent(client, at, name="Mere Example", inked="typed", tick="on").status_code == 302
    unit = text(client.get(reverse("unit", kwargs={"yard": cast.yard, "tag": tag})))
    assert "What is on it has left" in unit
    at = path(cast, "receive_load", load)
    assert sent(client, at, arrival_0="yes", kg_0="248", note_0="dented").status_code == 302
    at = path(cast, "enter_certificate", load)
    day = today(NOW).isoformat()
    done = sent(client, at, number="CD-1", issued_on=day, done_on=day, written=f"{tag[:3]}-{tag[3:].lower()}")
    assert done.status_code == 302
    page = text(client.get(path(cast, "load", load)))
    for words in (
        "all of it accounted for",
        "Proven destroyed",
        "certificate CD-1",
        "248 kg",
        "dented",
        "Mere Example",
    ):
        assert words in page
    assert "a typed name with a tick" in page
    close = sent(client, path(cast, "close_load", load))
    assert (close.status_code, "was 250 kg as loaded and 248 kg there" in text(close)) == (422, True)
    assert "Settle what arrived otherwise" in page
    assert sent(client, path(cast, "settle_arrival", load), says_0="two scales").status_code == 302
    assert sent(client, path(cast, "close_load", load)).status_code == 302
    assert now(load).state == "closed"
    assert Proof.objects.get().written == f"{tag[:3]}-{tag[3:].lower()}"
    assert f"Load {now(load).number}" in text(client.get(path(cast, "loads")))
    assert "Load" in text(client.get(reverse("day_book", kwargs={"yard": cast.yard})))
    assert prove().faults == []


def test_the_doors_stand_only_where_a_yard_sends_loads(cast: Cast, sender: Sender) -> None:
    client, at = cast.client("manager"), reverse("next", kwargs={"yard": cast.yard})
    doors = [f'href="{path(cast, name)}"' for name in ("loads", "partners")]
    assert not [door for door in doors if door in client.get(at).content.decode()]
    named = particulars(sender.yard)
    set_yard(order(sender.yard, sender.by), based_on=named.pk, name=named.name, stores=True)
    assert [door for door in doors if door in client.get(at).content.decode()] == doors


def test_a_drawn_signature_is_kept_as_a_picture(cast: Cast, sender: Sender) -> None:
    client, load = cast.client("manager"), sender.load(sender.unit())
    at = path(cast, "sign_load", load, party="yard")
    told = {"name": "Mere Example", "inked": "drawn"}
    for drawing, says in (
        ("", "Nothing was drawn"), (png(dark=False), "Nothing was drawn"), ("javascript:1", "not come whole"),
        ("data:image/png;base64,AAAA", "not come whole"),
    ):  # fmt: skip
        page = sent(client, at, **told, drawing=drawing)
        assert page.status_code == 422
        assert says in text(page)
        assert "Mere Example" in page.content.decode()
    assert not Signature.objects.exists()
    assert sent(client, at, **told, drawing=png()).status_code == 302
    kept = Signature.objects.get()
    assert (kept.inked, files.path_of(kept.file).is_file()) == ("drawn", True)
    picture = path(cast, "signature", signature=kept.pk)
    assert Image.open(io.BytesIO(file_of(client.get(picture)))).size == (90, 30)
    assert cast.client("visitor").get(picture).status_code == 403
    assert "Mere Example" not in text(cast.client("visitor").get(path(cast, "load", load)))
    assert prove().faults == []


def test_ink_needs_a_photograph_which_waits_for_the_rest(cast: Cast, sender: Sender) -> None:
    client, load = cast.client("manager"), sender.load(sender.unit())
    at = path(cast, "sign_load", load, party="yard")
    page = sent(client, at, name="Mere Example", inked="ink")
    assert (page.status_code, "Add a photograph of the signed sheet" in text(page)) == (422, True)
    act = token(client, at)
    page = client.post(at, {"act": act, "inked": "ink", "pictures": photograph()})
    assert (page.status_code, "Write the name of whoever signs" in text(page)) == (422, True)
    assert "1 picture came already and waits" in re.sub(r"\s+", " ", text(page))
    assert client.post(at, {"act": act, "inked": "ink", "name": "Mere Example"}).status_code == 302
    assert files.path_of(Signature.objects.get().file).is_file()
    bad = SimpleUploadedFile("sheet.jpg", b"no picture", "image/jpeg")
    page = sent(client, path(cast, "sign_load", load, party="carrier"), name="x", inked="ink", pictures=bad)
    assert (page.status_code, "text and not a picture" in text(page)) == (422, True)


def test_a_typed_name_needs_its_tick(cast: Cast, sender: Sender) -> None:
    client, load = cast.client("manager"), sender.load(sender.unit())
    at = path(cast, "sign_load", load, party="yard")
    for told, says in (
        ({"inked": "typed"}, "Tick this box"), ({"tick": "on"}, "Pick how they sign"),
        ({"inked": "typed", "tick": "on", "when": "2999-01-01T00:00"}, "lies in the future"),
    ):  # fmt: skip
        page = sent(client, at, name="Mere Example", **told)
        assert (page.status_code, says in text(page)) == (422, True)
        assert "Mere Example" in page.content.decode()
    assert client.get(path(cast, "sign_load", load, party="stranger")).status_code == 404


def test_a_missing_licence_is_said_before_and_at_the_hand_over(cast: Cast, sender: Sender) -> None:
    client = cast.client("manager")
    old = sender.firm("Old Haulage", "carry", until=today() - timedelta(1))
    load = sender.load(sender.unit(), carrier=old)
    says = "Old Haulage has no licence to carry on record that is in force"
    assert says in text(client.get(path(cast, "load", load)))
    sender.signed(load, "yard")
    at = path(cast, "sign_load", load, party="carrier")
    assert says in text(client.get(at))
    page = sent(client, at, name="Mere Example", inked="typed", tick="on")
    assert (page.status_code, says in text(page)) == (422, True)


def test_two_taps_and_a_reason_take_an_item_off(cast: Cast, sender: Sender) -> None:
    client, load = cast.client("manager"), sender.load(sender.unit(), sender.unit())
    sender.signed(load, "yard")
    item = now(load).items[0].id
    off = path(cast, "take_off_load", load, item=item)
    assert off in client.get(path(cast, "load", load)).content.decode()
    page = sent(client, off, why="  ")
    assert (page.status_code, "Write why it comes off" in text(page)) == (422, True)
    assert sent(client, off, why="driver: it leaks").status_code == 302
    assert "driver: it leaks" in text(client.get(path(cast, "load", load)))
    assert len(now(load).aboard) == 1
    assert client.get(path(cast, "take_off_load", load, item=load)).status_code == 404


def test_a_receipt_that_leaves_one_out_keeps_what_was_typed(cast: Cast, sender: Sender) -> None:
    client, load = cast.client("manager"), sender.load(sender.unit(), sender.unit())
    sender.signed(load, "yard", "carrier")
    at = path(cast, "receive_load", load)
    act = token(client, at)
    page = client.post(at, {"act": act, "arrival_0": "yes", "kg_0": "248.5", "note_0": "dented"})
    assert (page.status_code, "Say of" in text(page)) == (422, True)
    for words in ("248.5", "dented"):
        assert words in page.content.decode()
    assert not Received.objects.exists()
    told = {"act": act, "arrival_0": "yes", "kg_0": "248.5", "arrival_1": "missing"}
    assert client.post(at, told).status_code == 302
    assert client.post(at, told).status_code == 302
    assert Received.objects.count() == 2
    page = text(client.get(path(cast, "load", load)))
    assert "The facility never got" not in page.partition("What is still owed")[0]
    assert "the facility never got" in page
    assert "Write down what became of what is missing" in page
    assert sent(client, at, arrival_0="").status_code == 422
    assert sent(client, at, arrival_0="refused").status_code == 302
    assert now(load).items[1].arrival == "refused"


def certify(client: Client, at: str, **told: Any) -> Any:
    return sent(client, at, number="CD-1", issued_on=today().isoformat(), **told)


def slip(code: str) -> str:
    return ("3" if code[0] == "2" else "2") + code[1:]


def test_a_near_miss_comes_back_as_a_choice(cast: Cast, sender: Sender) -> None:
    client, load = cast.client("manager"), sender.received(sender.unit(), sender.unit())
    at, (one, two) = path(cast, "enter_certificate", load), now(load).items
    written = f"{slip(one.code)}\n{two.code}"
    page = certify(client, at, written=written)
    assert page.status_code == 422
    assert "is one slip away from" in text(page)
    assert "CD-1" in page.content.decode()
    choice = f"{one.id}|{slip(one.code)}"
    assert choice in page.content.decode()
    assert not Certificate.objects.exists()
    for pick in (f"{two.id}|{slip(one.code)}", f"{one.id}|{one.code}", "x"):
        assert certify(client, at, written=written, pick_0=pick).status_code == 422
    assert certify(client, at, written=written, pick_0=choice).status_code == 302
    assert now(load).state == "proven"
    assert set(Proof.objects.values_list("written", flat=True)) == {slip(one.code), two.code}


def test_ticked_items_and_a_copy(cast: Cast, sender: Sender) -> None:
    client, load = cast.client("manager"), sender.received(sender.unit(), sender.unit())
    at, one = path(cast, "enter_certificate", load), now(load).items[0]
    for told, says in (
        ({}, "Tick or type at least one"), ({"items": [one.id], "written": one.code}, "stands twice"),
        ({"items": [one.id], "written": "ZZZZZZ"}, "code of nothing that went"),
        ({"items": ["x"]}, "none of the answers"),
        ({"items": [one.id], "issued_on": "2999-01-01"}, "has not come yet"),
        ({"items": [one.id], "issued_on": ""}, "Write the day that stands on the certificate"),
        ({"items": [one.id], "number": ""}, "Write the number of the certificate"),
    ):  # fmt: skip
        page = client.post(at, {"act": token(client, at), "number": "CD-1", "issued_on": today().isoformat(), **told})
        assert (page.status_code, says in text(page)) == (422, True), says
    act = token(client, at)
    told = {"act": act, "number": "CD-1", "issued_on": today().isoformat(), "items": [one.id]}
    page = client.post(at, {**told, "number": "", "report": photograph()})
    assert (page.status_code, "The copy that you chose (sheet.jpg) is kept" in text(page)) == (422, True)
    assert client.post(at, told).status_code == 302
    kept = Certificate.objects.get()
    assert (kept.file_kind, Proof.objects.get().item_id) == ("picture", UUID(one.id))
    assert cast.client("visitor").get(path(cast, "certificate", certificate=kept.pk)).status_code == 403
    copy = client.get(path(cast, "certificate", certificate=kept.pk))
    assert (copy["Content-Type"], len(file_of(copy)) > 100) == ("image/jpeg", True)
    assert text(client.get(path(cast, "load", load))).count("No proof yet") == 1
    close = sent(client, path(cast, "close_load", load))
    assert (close.status_code, "No certificate names" in text(close)) == (422, True)
    assert not Closed.objects.exists()
    assert prove().faults == []


def test_a_copy_can_be_a_pdf_that_holds_together(cast: Cast, sender: Sender) -> None:
    client, load = cast.client("manager"), sender.received(sender.unit())
    at, item = path(cast, "enter_certificate", load), now(load).items[0].id
    broken = SimpleUploadedFile("cd.pdf", b"%PDF-1.7 cut off", "application/pdf")
    page = certify(client, at, items=[item], report=broken)
    assert (page.status_code, "damaged or cut off" in text(page)) == (422, True)
    whole = pdf()
    assert (
        certify(client, at, items=[item], report=SimpleUploadedFile("cd.pdf", whole, "application/pdf")).status_code
        == 302
    )
    copy = client.get(path(cast, "certificate", certificate=Certificate.objects.get().pk))
    assert copy["Content-Disposition"].startswith("attachment")
    assert (copy["Content-Type"], file_of(copy)) == ("application/pdf", whole)


def pdf() -> bytes:
    """A PDF of one empty page, as another library writes it."""
    out = io.BytesIO()
    writer = PdfWriter()
    writer.add_blank_page(width=100, height=100)
    writer.write(out)
    return out.getvalue()


def test_what_is_wrong_with_a_put_is_said(cast: Cast, sender: Sender) -> None:
    client, load, tag = cast.client("manager"), sender.load(), cast.words["tag"]
    at = path(cast, "put_on_load", load)
    for told, says in (
        ({}, "at least one drum or unit"), ({"code": tag, "kg": "heavy"}, "no plain number"),
        ({"code": tag, "kg": "0"}, "cannot weigh nothing"), ({"code": "OOOOOO"}, "A code never holds"),
        ({"code": cast.words["bottle"]}, "neither a unit nor a drum"),
    ):  # fmt: skip
        page = sent(client, at, **told)
        assert (page.status_code, says in text(page)) == (422, True), says
    assert not Item.objects.exists()


def test_a_change_of_the_plan_by_page(cast: Cast, sender: Sender) -> None:
    client, load = cast.client("manager"), sender.load(sender.unit())
    at = path(cast, "change_load", load)
    page = client.get(at).content.decode()
    based_on = re.search(r'name="based_on" value="(\d+)"', page)
    assert based_on
    told = {
        "carrier": str(sender.carrier),
        "facility": str(sender.facility),
        "note": "by noon",
        "based_on": based_on[1],
    }
    put = sender.unit()
    put_on_load(sender.order(), load=load, items=[PutOn(thing="unit", of=put)])
    page = sent(client, at, **told)
    assert (page.status_code, "in the meantime" in text(page), "by noon" in text(page)) == (422, True, True)
    assert sent(client, at, **{**told, "based_on": now(load).seq}).status_code == 302
    assert now(load).note == "by noon"


def test_partners_by_page(cast: Cast, sender: Sender) -> None:
    client = cast.client("manager")
    add = path(cast, "add_partner")
    page = sent(client, add, name="", phone="+64 0 000")
    assert (page.status_code, "what the firm is called" in text(page), "+64 0 000" in page.content.decode()) == (
        422,
        True,
        True,
    )
    done = sent(client, add, name="Third Firm", phone="+64 0 000", country="NZ")
    firm = Partner.objects.get(name="Third Firm")
    assert done["Location"] == path(cast, "partner", partner=firm.pk)
    assert "+64 0 000" in text(client.get(done["Location"]))
    assert "New Zealand (NZ)" in text(client.get(done["Location"]))
    assert "Third Firm , New Zealand (NZ)" in text(client.get(path(cast, "partners")))
    assert "+64 0 000" not in text(cast.client("visitor").get(done["Location"]))
    licence = path(cast, "add_licence", partner=firm.pk)
    day = today(NOW)
    for told, says in (
        ({"number": "1", "since": day}, "Pick what the licence allows"),
        ({"what": "carry", "since": day}, "number of the licence"),
        ({"what": "carry", "number": "1"}, "from which day"),
        ({"what": "carry", "number": "1", "since": day, "until": day - timedelta(1)}, "ends before it begins"),
    ):  # fmt: skip
        page = sent(client, licence, **told)
        assert (page.status_code, says in text(page)) == (422, True), says
    assert sent(client, licence, what="carry", number="L-1", since=day, until=day).status_code == 302
    assert "in force today" in text(client.get(done["Location"]))
    assert "May today carry this waste" in text(client.get(path(cast, "partners")))
    kept = Licence.objects.get(number="L-1")
    correct = path(cast, "correct_licence", partner=firm.pk, licence=kept.pk)
    assert "L-1" in client.get(correct).content.decode()
    ended = {"what": "carry", "number": "L-1", "since": day - timedelta(9), "until": day - timedelta(1)}
    assert sent(client, correct, **ended).status_code == 302
    assert "not in force any more" in text(client.get(done["Location"]))
    assert client.get(correct).status_code == 404
    correct = path(cast, "correct_partner", partner=firm.pk)
    assert "+64 0 000" in client.get(correct).content.decode()
    assert sent(client, correct, name="Third Firm Ltd", phone="+64 1").status_code == 302
    page = text(client.get(path(cast, "partner", partner=firm.pk)))
    assert ("Third Firm Ltd" in page, "+64 1" in page, "it is called" in page) == (True, True, True)
    assert prove().faults == []


def test_what_stands_on_the_page_stays_in_its_yard(cast: Cast, sender: Sender) -> None:
    load = sender.load(sender.unit())
    at = reverse("load", kwargs={"yard": cast.other_yard, "load": now(load).number})
    assert cast.client("outsider").get(at).status_code == 404
    assert LOADS.kept(load) is not None
    assert unit_now(now(load).items[0].of).stands == "hold"
    assert Entry.objects.exists()
