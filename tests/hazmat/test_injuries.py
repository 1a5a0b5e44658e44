"""Notes of injuries: health data that only the person, the safety officer and the manager read, and that can go."""

import re
from datetime import UTC, datetime
from html import unescape
from typing import Any

import pytest
import time_machine

from hazmat.actions.injuries import KEYS, note_injury
from hazmat.book.act import Refused
from hazmat.book.aside import words_of
from hazmat.book.entry import Entry
from hazmat.book.prove import prove
from hazmat.core.accident import EVENTS, HARMS
from hazmat.forms.injuries import CAME
from hazmat.models import Erasure, InjuryNote
from hazmat.queries.injuries import notes
from tests.browsing import at, token
from tests.cast import Cast
from tests.hazmat.crewing import People

pytestmark = pytest.mark.django_db
WHAT = "A splash in the left eye, seen by nobody else."
TOLD: dict[str, Any] = {"what": WHAT, "harms": ["eyes"], "event": "eye_loss", "done": "rinsed", "where": "pad 2"}
READERS = {"technician": True, "yard_hand": False, "safety_officer": True, "manager": True, "visitor": False}


@pytest.fixture
def crew(cast: Cast) -> People:
    return People(cast)


def text_of(answer: Any) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())).split())


def noted(crew: People, about: str | None = "technician", by: str = "yard_hand", **more: Any) -> Any:
    told = {**TOLD, "about": crew.id(about) if about else None, **more}
    return note_injury(crew.order(by), told=told)


def test_the_entry_says_only_that_there_is_a_note(crew: People) -> None:
    seen = noted(crew)
    record = InjuryNote.objects.get(pk=seen.the("hazmat.injurynote"))
    assert record.image() == {}
    body = Entry.objects.get(yard=crew.yard, seq=seen.seq).body
    for word in (WHAT, "eye", "rinsed", "pad 2", str(crew.id("technician"))):
        assert word not in body
    assert words_of([record.pk])["what"] == WHAT


def test_a_note_has_no_column_of_its_own() -> None:
    """Whatever a column held would stand in the hashed image."""
    spine = {"id", "yard", "entry", "replaces", "aside"}
    assert {field.name for field in InjuryNote._meta.concrete_fields} == spine


@pytest.mark.parametrize(("who", "reads"), READERS.items())
def test_who_reads_it(crew: People, who: str, reads: bool) -> None:
    """The technician is the one it is about; the yard hand wrote it, and does not read it again."""
    noted(crew)
    answer = crew.cast.client(who).get(at(crew.cast, "injuries"))
    assert (answer.status_code == 403) == (who == "visitor")
    assert (WHAT in answer.content.decode()) == reads


def test_no_other_page_tells_of_it(crew: People) -> None:
    noted(crew)
    client = crew.cast.client("boss")
    for name in ("next", "day_book", "people", "who", "out", "keeping", "emergency", "units"):
        page = client.get(at(crew.cast, name)).content.decode()
        assert WHAT not in page, name
        assert "left eye" not in page, name
    assert "A note of an injury or an exposure was written." in text_of(client.get(at(crew.cast, "day_book")))


def test_what_was_saved_is_said_without_it(crew: People) -> None:
    client, path = crew.cast.client("technician"), at(crew.cast, "note_injury")
    form = token(client.get(path).content.decode().partition("novalidate")[2])
    with time_machine.travel(datetime(2026, 11, 27, 2, 5, tzinfo=UTC)):
        sent = client.post(
            path,
            {"act": form, "about": str(crew.id("technician")), "what": WHAT, "event": "hospital", "harms": ["eyes"]},
            follow=True,
        )
    done = re.search(r'<p class="done"[^>]*>([^<]+)', sent.content.decode())
    assert done
    assert done[1].strip().endswith("A note of an injury or an exposure was written. What it says stands apart.")
    told = words_of([InjuryNote.objects.latest("entry__seq").pk])
    assert told["when"] == "27 Nov 2026, 15:05"
    page = text_of(sent)
    assert "Tell WorkSafe as soon as possible" in page
    assert "at least 10 minutes" in page


def test_an_electrical_accident_asks_for_one_authority_more(crew: People) -> None:
    noted(crew, harms=["shock"])
    page = text_of(crew.cast.client("technician").get(at(crew.cast, "injuries")))
    assert page.count("An electrical accident is often told to the electricity authority") == 2
    noted(crew, harms=["skin"])
    page = text_of(crew.cast.client("technician").get(at(crew.cast, "injuries")))
    assert page.count("An electrical accident is often told to the electricity authority") == 2


def test_the_country_of_the_yard_decides_whom_to_tell(crew: People) -> None:
    """The other yard of the cast is in Oregon."""
    page = text_of(crew.cast.client("outsider").get(f"/{crew.cast.other_yard}/people/notes/"))
    assert "Report a death from work to OSHA within 8 hours" in page
    assert "WorkSafe" not in page


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"about": None}, "Pick whom it is about"), ({"what": "  "}, "Write what happened"),
        ({"harms": ["pride"]}, "Pick what was hurt"), ({"event": "doom"}, "Pick what was hurt"),
        ({"diagnosis": "x"}, "does not say diagnosis"),
    ],
)  # fmt: skip
def test_what_is_not_taken(crew: People, more: dict[str, Any], says: str) -> None:
    with pytest.raises(Refused, match=says):
        noted(crew, **more)


def test_only_somebody_of_this_yard_or_a_name(crew: People) -> None:
    with pytest.raises(Refused, match="Nobody of this yard"):
        noted(crew, "outsider")
    noted(crew, about="technician", by="technician")
    stranger = note_injury(crew.order("yard_hand"), told={"name": "A Driver", "what": "fell", "event": "unknown"})
    names = [one.who for one in notes(crew.yard, crew.id("manager"), all_of_them=True)]
    assert names[0] == "A Driver"
    assert stranger.verb == "note_injury"
    assert notes(crew.yard, crew.id("yard_hand"), all_of_them=False) == []


def test_every_word_of_a_form_has_its_sentence() -> None:
    assert set(CAME) == set(EVENTS)
    assert "about" in KEYS
    assert len(HARMS) == 7


# ------------------------------------------------------------------ erasing


def erased(crew: People, who: str, why: str) -> Any:
    client = crew.cast.client(who)
    note = InjuryNote.objects.latest("entry__seq").pk
    page = crew.cast.client("manager").get(at(crew.cast, "injuries")).content.decode()
    if who == "manager":
        page = client.get(at(crew.cast, "injuries")).content.decode()
    act = unescape(re.findall(rf'{note}/erase/"><input[^>]+><input type="hidden" name="act" value="([^"]+)"', page)[0])
    return client.post(at(crew.cast, "erase_note", note=note), {"act": act, "why": why}, follow=True)


def test_the_manager_erases_it_and_the_book_still_proves(crew: People) -> None:
    noted(crew)
    assert "Say which law or request" in text_of(erased(crew, "manager", " "))
    assert not Erasure.objects.exists()
    done = erased(crew, "manager", "asked for by the person")
    assert WHAT not in done.content.decode()
    assert "Erased" in text_of(done)
    assert words_of([InjuryNote.objects.latest("entry__seq").pk]) == {}
    assert not prove().faults


@pytest.mark.parametrize("who", ["safety_officer", "technician"])
def test_nobody_else_erases_it(crew: People, who: str) -> None:
    noted(crew)
    assert erased(crew, who, "because").status_code == 403
    assert not Erasure.objects.exists()


def test_the_form_comes_back_with_what_was_typed(crew: People) -> None:
    client, path = crew.cast.client("yard_hand"), at(crew.cast, "note_injury")
    form = token(client.get(path).content.decode().partition("novalidate")[2])
    back = client.post(
        path, {"act": form, "about": "stranger", "what": WHAT, "event": "unknown", "when": "2999-01-01T10:00"}
    )
    assert back.status_code == 422
    assert "Write a name; a first name will do." in text_of(back)
    assert "This lies in the future" in text_of(back)
    assert WHAT in back.content.decode()
