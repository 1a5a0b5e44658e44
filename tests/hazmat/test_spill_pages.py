"""The pages of spills: typed on a phone, refused in a sentence, shown to members and to visitors, printed."""

import re
from datetime import timedelta
from html import unescape
from typing import Any
from uuid import UUID

import pytest
from django.utils import timezone

from disposal.models import Drum
from hazmat.actions.papers import private_words
from hazmat.book.canonical import parsed
from hazmat.core.spillnow import SpillNow
from hazmat.models import Paper, Photograph, Spill
from hazmat.papers.render import html, laid_out
from hazmat.queries.spills import spill_now
from hazmat.roles import MAY, ROLES
from tests.browsing import at, jpeg, token
from tests.cast import Cast

pytestmark = pytest.mark.django_db


def plain(answer: Any) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", "", answer.content.decode())))


def shown(cast: Cast, name: str, role: str = "boss", query: str = "", **words: Any) -> str:
    return plain(cast.client(role).get(at(cast, name, **words) + query))


def sent(cast: Cast, to: str, role: str = "boss", of: Any = None, query: str = "", **told: Any) -> Any:
    client, path = cast.client(role), at(cast, to, **(of or {})) + query
    return client.post(path, {"act": token(client.get(path).content.decode()), **told}, follow=True)


def spill_of(cast: Cast, **wanted: Any) -> SpillNow:
    assert cast.yard_id is not None
    found = spill_now(cast.yard_id, Spill.objects.filter(**wanted).latest("entry__seq").pk)
    assert found is not None
    return found


@pytest.mark.parametrize("role", [role for role in ROLES if role != "visitor"])
def test_whoever_works_here_opens_a_note_with_a_picture(cast: Cast, role: str) -> None:
    told = {"source": cast.words["tag"], "grounds": ["soil", "grass"], "amount": "2,5", "measure": "L", "place": "open",
            "public": "yes", "where": "by the creek", "found_by": "Mere Example", "pictures_leak": jpeg()}  # fmt: skip
    page = plain(sent(cast, "open_spill", role, **told))
    now = spill_of(cast)
    assert f"Spill {now.number}" in page
    assert (now.account.told.amount, now.account.told.grounds) == ("2.5", ("soil", "grass"))
    assert (now.account.tag, len(now.photographs)) == (cast.words["tag"], 1)
    assert "by Mere Example; place: by the creek" in page
    assert "ring the authority of the place at once" in page
    assert "No time for telling of a spill was read" in page  # what New Zealand's rule book does not say
    assert "it counts as PCB alone, 1 000 000 mg/kg" in page


def test_a_visitor_reads_no_names_and_no_place(cast: Cast) -> None:
    spill = cast.words["spill"]
    assert "Mere Example" in shown(cast, "spill", spill=spill)
    page = shown(cast, "spill", "visitor", spill=spill)
    assert "Spill" in page
    assert "Mere Example" not in page
    assert "by the shed" not in page
    assert "Write down" not in page


def test_what_is_wrong_stands_beside_its_box_and_nothing_typed_is_lost(cast: Cast) -> None:
    tomorrow = (timezone.localtime() + timedelta(days=2)).strftime("%Y-%m-%dT%H:%M")
    before = Spill.objects.count()
    page = sent(
        cast, "open_spill", source="O0 O0", amount="much", where="the far shed", when=tomorrow, grounds=["soil"],
        found_by="Ana",
    )  # fmt: skip
    text = plain(page)
    assert page.status_code == 422
    for wrong in ("A code never holds 0 or O", "This is no plain number", "This lies in the future"):
        assert wrong in text, wrong
    assert 'value="the far shed"' in page.content.decode()
    assert Spill.objects.count() == before


def test_a_note_that_names_nothing_is_refused_in_a_sentence(cast: Cast) -> None:
    assert "Say what leaked, or where it is" in plain(sent(cast, "open_spill", found_by="Ana", grounds=["soil"]))


def test_nothing_ticked_counts_as_water(cast: Cast) -> None:
    page = plain(sent(cast, "open_spill", what="a can", found_by="Ana"))
    assert "What it fell on is not known: it counts as having reached water" in page
    assert "Whoever runs the drain or the water" in page


def test_a_drum_leaks_by_its_code(cast: Cast) -> None:
    drum = Drum.objects.get(code=cast.words["drum"])
    assert f"?of={drum.code}" in cast.client("boss").get(at(cast, "drum", drum=drum.code)).content.decode()
    form = cast.client("boss").get(at(cast, "open_spill") + f"?of={drum.code}").content.decode()
    assert f'value="{drum.code[:3]} {drum.code[3:]}"' in form
    page = plain(sent(cast, "open_spill", source=drum.code, amount="1", grounds=["concrete"], found_by="Ana"))
    now = spill_of(cast)
    assert (now.account.holder, now.account.code) == (str(drum.holder_id), drum.code)
    assert f"out of drum {drum.code[:3]} {drum.code[3:]}" in page


def test_the_unit_links_to_a_note_and_names_its_spills(cast: Cast) -> None:
    tag = cast.words["tag"]
    page = cast.client("boss").get(at(cast, "unit", tag=tag)).content.decode()
    assert f"{at(cast, 'open_spill')}?of={tag}" in page
    assert at(cast, "spill", spill=cast.words["spill"]) in page
    assert "A spill note was opened" in plain(cast.client("boss").get(at(cast, "unit", tag=tag)))


def test_told_stepped_corrected_and_ended(cast: Cast) -> None:
    of = {"spill": cast.words["spill"]}
    told = plain(sent(cast, "told_of_spill", "yard_hand", of, "?of=tell_place", duties=["tell_place"], who="A Warden"))
    assert "Authority of the place for the environment was told of a spill" in told
    assert "A Warden" in told
    assert "Tick who was told, or write it" in plain(sent(cast, "told_of_spill", "boss", of))
    assert "Pick what was done" in plain(sent(cast, "spill_step", "boss", of))
    step = plain(
        sent(cast, "spill_step", "yard_hand", of, what="soil_out", depth_cm="30", kg="120", pictures_leak=jpeg())
    )
    assert "Soil dug out: 30 cm deep, 120 kg" in step
    assert Photograph.objects.filter(spill=of["spill"]).count() == 1
    first = spill_of(cast, pk=of["spill"]).steps[0]
    amended = sent(
        cast, "spill_step", "boss", of, f"?instead={first.id}", what="soil_out", kg="118", why="weighed again"
    )
    assert "Soil dug out: 118 kg" in plain(amended)
    assert "120 kg" not in plain(amended).partition("What is on record")[0]
    wrong = plain(sent(cast, "close_spill", "safety_officer", of, reached="none", statement="done", name="Ana"))
    assert "These are not written down as done: Owner of the ground, owner of what leaked" in wrong
    signed = {"reached": "no trace", "statement": "it is done", "name": "Ana", "reason": "owner away"}
    ended = plain(sent(cast, "close_spill", "safety_officer", of, **signed))
    assert "Ended and signed" in ended
    assert "Ana: it is done" in ended
    assert "Ended with something open: owner away" in ended
    assert MAY["close_spill"] == {"safety_officer"}
    number = f"Spill {spill_of(cast, pk=of['spill']).number},"
    assert number in shown(cast, "spills").partition("Ended")[2]
    assert number not in shown(cast, "next")
    page = cast.client("boss").get(at(cast, "correct_spill", **of)).content.decode()
    based_on = re.search(r'name="based_on" value="([^"]+)"', page)
    assert based_on
    again = {
        "based_on": based_on[1],
        "amount": "9",
        "grounds": ["soil"],
        "why": "more under the tray",
        "found_by": "Ana",
    }
    opened = plain(sent(cast, "correct_spill", "boss", of, source=cast.words["tag"], **again))
    assert "It was signed, and then corrected" in opened
    assert number in shown(cast, "spills").partition("Ended")[0]


def test_the_list_has_open_spills_first(cast: Cast) -> None:
    sent(cast, "old_stain", what="a dark stain", grounds=["gravel"], found_by="Ana")
    page = shown(cast, "spills")
    open_ones, _, ended = page.partition("Ended")
    assert f"Spill {spill_of(cast, pk=cast.words['spill']).number}" in open_ones
    assert "a dark stain" in open_ones
    assert "None, as of" in ended
    stain = spill_of(cast, old=True)
    told = shown(cast, "spill", spill=stain.id)
    assert "Photograph the stain" in told
    assert "At once" in told
    assert "left" not in told.partition("Who was told")[0].partition("Who is told")[2]


def test_a_line_that_is_not_there_cannot_be_amended(cast: Cast) -> None:
    path = at(cast, "spill_step", spill=cast.words["spill"])
    assert cast.client("boss").get(f"{path}?instead={UUID(int=0)}").status_code == 404


# ------------------------------------------------------------------ on paper


def test_a_spill_note_is_one_sheet_with_boxes_and_names_only_in_its_aside(cast: Cast) -> None:
    of = {"spill": cast.words["spill"]}
    sent(cast, "told_of_spill", "boss", of, duties=["tell_place"], office="Regional council", who="A Warden")
    sent(cast, "spill_step", "boss", of, what="contained", where="by the kerb")
    client = cast.client("boss")
    act = token(client.get(at(cast, "spill", **of)).content.decode())
    page = plain(client.post(at(cast, "issue_spill_note", **of), {"act": act}, follow=True))
    paper = Paper.objects.get(kind="spill_note")
    assert f"Spill note {paper.number}" in page
    assert paper.unit_id is None
    payload, aside = parsed(paper.payload), private_words(paper)
    for name in ("Mere Example", "by the shed", "A Warden"):
        assert name not in paper.payload
        assert name in aside.values()
    words = re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", html(payload, aside, paper.code))))
    for told in (
        "Spill note", "by the shed", "A Warden", "Regional council", "Contained: by the kerb", "not written down",
        "1 000 000 mg/kg", "Safety officer", "name, signature, day and time", "fenced or walled",
    ):  # fmt: skip
        assert told in words, told
    assert len(laid_out(payload, aside, paper.code).pages) == 1
    assert payload["size"] == "A4"
    assert f"Spill note {paper.number}" in shown(cast, "spill", **of)


def test_a_second_note_takes_the_place_of_the_first(cast: Cast) -> None:
    of = {"spill": cast.words["spill"]}
    client = cast.client("boss")
    for _ in range(2):
        act = token(client.get(at(cast, "spill", **of)).content.decode())
        client.post(at(cast, "issue_spill_note", **of), {"act": act})
    first, second = Paper.objects.filter(kind="spill_note").order_by("entry__seq")
    assert second.replaces_id == first.pk
