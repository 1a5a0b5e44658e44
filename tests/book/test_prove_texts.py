"""Texts that are no entry, or not in the one spelling: each is named, and none is stumbled over."""

import json
from collections.abc import Callable
from hashlib import sha256
from typing import Any
from uuid import UUID

import pytest
import rfc8785
from django.db import connection
from hypothesis import given
from hypothesis import strategies as st

from hazmat.book import guards
from hazmat.book.entry import Entry
from hazmat.book.prove import prove
from hazmat.book.told import images, in_one_spelling, read
from hazmat.models import Seal, Yard
from tests.book.test_prove import changed, undone
from tests.book.test_prove_odd import last, more
from tests.book.whole import whole_book
from tests.cast import Cast
from tests.conftest import DEEP

pytestmark = [pytest.mark.both, pytest.mark.django_db]


@pytest.fixture
def whole() -> Cast:
    """The whole book."""
    return whole_book()


@pytest.mark.parametrize("verb", ["log_unit", "erase_aside", "seal_paper"])
def test_a_flipped_byte_anywhere_is_named_and_never_stumbled_over(verb: str, whole: Cast) -> None:
    entry = Entry.objects.filter(verb=verb).earliest("seq")
    step = 1 if DEEP else max(1, len(entry.body) // 60)
    for place in range(0, len(entry.body), step):
        flipped = list(entry.body)
        flipped[place] = chr(ord(flipped[place]) ^ 1)
        with changed(Entry, entry.pk, body="".join(flipped)):
            assert any(f"entry {entry.seq}: its text or its hash was changed" in says for says in prove().faults), place


BODIES: dict[str, Callable[[dict[str, Any]], Any]] = {
    "no object": lambda body: [body],
    "nothing": lambda body: None,
    "a number": lambda body: 7,
    "a text": lambda body: "log_unit",
    "an image that is none": lambda body: {**body, "records": [{**body["records"][0], "image": []}]},
    "an image of nothing": lambda body: {**body, "records": [{**body["records"][0], "image": None}]},
    "a sequence number that is none": lambda body: {**body, "seq": 3},
    "a verb that is none": lambda body: {**body, "verb": {"a": [None, 1]}},
    "records that are none": lambda body: {**body, "records": {}},
    "a record without a table": lambda body: {**body, "records": [{"id": "x"}]},
    "a key that is none": lambda body: {**body, "records": [{**body["records"][0], "id": "no key"}]},
    "a key of other digits": lambda body: {**body, "records": [{**body["records"][0], "id": "\u0660" * 36}]},
    "a replaced one that is none": lambda body: {**body, "records": [{**body["records"][0], "replaces": "x"}]},
    "another format": lambda body: {**body, "v": 2},
    "one key too many": lambda body: {**body, "more": None},
    "one key too few": lambda body: {key: value for key, value in body.items() if key != "device"},
    "files that are none": lambda body: {**body, "files": ["x"]},
}


DEEP_IMAGE, DEEP_LINE = "[" * 200_000 + "]" * 200_000, "[" * 900 + "]" * 900
TEXTS: dict[str, Callable[[str], str]] = {
    "too deep": lambda body: "[" * 200_000,
    "an image too deep": lambda body: body.replace('"image":{', '"image":{"a":' + DEEP_IMAGE + ",", 1),
    "a number too large": lambda body: body.replace('"image":{', '"image":{"a":1e999,', 1),
    "half a character": lambda body: body.replace('"image":{', '"image":{"a":"\\ud800",', 1),
    "cut off": lambda body: body[:-1],
    "no text at all": lambda body: "",
}


@pytest.mark.parametrize("name", TEXTS)
def test_a_text_that_cannot_be_read_is_named(name: str, whole: Cast) -> None:
    entry = Entry.objects.get(verb="log_unit")
    body = TEXTS[name](entry.body)
    assert body != entry.body
    with changed(Entry, entry.pk, body=body):
        assert any(f"entry {entry.seq}: its text is no entry" in says for says in prove().faults)


ODD = ["1", "1.5", "-0", "1e3", "null", "true", '""', "[]", "{}", '{"a":{"b":[null,1.0]}}', "9" * 400, DEEP_LINE]


@pytest.mark.parametrize("odd", ODD, ids=lambda odd: odd[:12])
def test_whatever_stands_in_an_image_is_named(odd: str, whole: Cast) -> None:
    """Valid JSON of any sort in the place of what an image says, by a forger who knows the chain."""
    more(whole)
    entry = last(whole)
    for name in ("line", "unit", "leak", "on", "answer", "tag", "nothing"):
        body = json.loads(entry.body)
        for record in body["records"]:
            if name in record["image"] or name == "nothing":
                record["image"][name] = "HERE"
        text = rfc8785.dumps(body).decode().replace('"HERE"', odd).encode()
        assert text != entry.body.encode()
        found = undone(lambda: rewritten(entry, text))  # noqa: B023
        assert any(f"entry {entry.seq}: " in says for says in found), (name, found)


@pytest.mark.parametrize("name", BODIES)
def test_a_text_that_is_no_entry_is_named(name: str, whole: Cast) -> None:
    entry = Entry.objects.get(verb="log_unit")
    body = BODIES[name](json.loads(entry.body))
    with changed(Entry, entry.pk, body=rfc8785.dumps(body).decode()):
        assert any(f"entry {entry.seq}: its text is no entry" in says for says in prove().faults)


def rewritten(entry: Entry, body: bytes) -> None:
    """The last entry with another text, its hash and the head of its yard made to fit: a forger who knows the chain."""
    before = Entry.objects.filter(yard=entry.yard_id, seq=entry.seq - 1).get().hash
    hash = sha256(b"\x02" + bytes.fromhex(before) + body).hexdigest()
    guards.remove(connection)
    Entry.objects.filter(pk=entry.pk).update(body=body.decode(), hash=hash)
    Yard.objects.filter(pk=entry.yard_id).update(head=hash)


SPELLINGS: dict[str, Callable[[dict[str, Any]], str]] = {
    "with blanks": json.dumps,
    "in another order": lambda body: json.dumps(dict(reversed(body.items())), separators=(",", ":")),
    "with needless escapes": lambda body: json.dumps(body, sort_keys=True, separators=(",", ":")).replace(
        "a", "\\u0061"
    ),
}


@pytest.mark.parametrize("name", SPELLINGS)
def test_another_spelling_of_the_same_is_named(name: str, whole: Cast) -> None:
    entry = last(whole)
    body = SPELLINGS[name](json.loads(entry.body)).encode()
    found = undone(lambda: rewritten(entry, body))
    assert any(f"entry {entry.seq}: its text is not in the one spelling" in says for says in found)
    assert not any("hash was changed" in says for says in found)


def test_a_record_named_twice_is_named(whole: Cast) -> None:
    entry = last(whole)
    body = json.loads(entry.body)
    body["records"].append(body["records"][0])
    found = undone(lambda: rewritten(entry, rfc8785.dumps(body)))
    assert any("is named twice" in says for says in found)


def test_a_table_that_is_not_known_is_named(whole: Cast) -> None:
    entry = last(whole)
    body = json.loads(entry.body)
    body["records"][0]["table"] = "hazmat.nothing"
    found = undone(lambda: rewritten(entry, rfc8785.dumps(body)))
    assert any("no table hazmat.nothing is known here" in says for says in found)


@pytest.mark.parametrize("of", ["g" * 36, "no key", "", None, ["x"]])
def test_an_erasure_of_nothing_is_named(of: object, whole: Cast) -> None:
    entry = Entry.objects.get(verb="erase_aside")
    body = json.loads(entry.body)
    (erasure,) = [one for one in body["records"] if one["table"] == "hazmat.erasure"]
    erasure["image"]["of"] = of
    with changed(Entry, entry.pk, body=rfc8785.dumps(body).decode()):
        assert any(f"hazmat.erasure {erasure['id']} differs in of" in says for says in prove().faults)


def test_a_file_that_no_entry_names_is_missed(whole: Cast) -> None:
    """The paper's seal stands, but its entry does not name the printed bytes, so that nobody would look at them."""
    more(whole)
    seal = Seal.objects.get()
    entry = Entry.objects.get(pk=seal.entry_id)
    body = json.loads(entry.body)
    assert body["files"] != []
    body["files"] = []
    with changed(Entry, entry.pk, body=rfc8785.dumps(body).decode()):
        assert any(f"the file in sha256 of hazmat.seal {seal.pk} is named by no entry" in one for one in prove().faults)


@given(text=st.text(st.characters(exclude_categories=["Cs"]), max_size=8), key=st.text(min_size=1, max_size=3))
def test_the_quick_spelling_is_the_one_spelling(text: str, key: str) -> None:
    """Held against an unrelated writer; keys beyond the first plane are sorted otherwise there."""
    image = {key: text, "a": {"\ufb33": "1", key: [text]}}
    record = {"aside": None, "id": str(UUID(int=1)), "image": image, "replaces": None, "table": text}
    words = dict.fromkeys(("act", "by", "happened_at", "recorded_at", "seq", "verb", "yard", "zone"), text)
    raw = rfc8785.dumps({**words, "device": None, "said": text, "files": [], "records": [record], "v": 1})
    told = read(raw)
    assert told is not None
    found = images(told)
    assert found == [image]
    assert in_one_spelling(told, found, raw)
    assert not in_one_spelling(told, found, raw.replace(b'"v":1', b'"v": 1'))


@pytest.mark.parametrize("spelled", [b'{"b":"1","a":"2"}', b'{ "a":"2"}', b'{"a":"2","a":"2"}', b'{"a":"\\u0041"}'])
def test_another_spelling_of_an_image_is_seen(spelled: bytes) -> None:
    record = {"aside": None, "id": str(UUID(int=1)), "image": "here", "replaces": None, "table": "t"}
    words = dict.fromkeys(("act", "by", "happened_at", "recorded_at", "seq", "verb", "yard", "zone"), "w")
    whole = rfc8785.dumps({**words, "device": None, "said": None, "files": [], "records": [record], "v": 1})
    raw = whole.replace(b'"here"', spelled)
    told = read(raw)
    assert told is not None
    found = images(told)
    assert found is not None
    assert not in_one_spelling(told, found, raw)
    right = whole.replace(b'"here"', rfc8785.dumps(found[0]))
    told = read(right)
    assert told is not None
    assert in_one_spelling(told, found, right)


def test_a_good_entry_is_read_and_a_bad_one_is_not(whole: Cast) -> None:
    body = last(whole).body.encode()
    assert read(body) is not None
    assert read(body[:-1]) is None
    assert read(b"\xff") is None
