"""Whatever is changed past the book is named: each column of each record, each entry, aside, file, paper, standing."""

import json
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, datetime, timedelta
from hashlib import sha256
from typing import Any
from uuid import UUID

import pytest
from django.db import connection, models, transaction

from hazmat.book import files, guards
from hazmat.book.aside import Aside
from hazmat.book.entry import Entry
from hazmat.book.prove import prove
from hazmat.book.record import Record, label, record_classes
from hazmat.models import Erasure, Isolation, Paper, Seal, Unit, UnitStanding, Yard
from tests.book.whole import whole_book
from tests.cast import Cast

pytestmark = [pytest.mark.both, pytest.mark.django_db]


@pytest.fixture
def whole() -> Cast:
    """The whole book."""
    return whole_book()


def guards_on() -> None:
    """Put the guards on again, where that does not make the database look at broken references at once."""
    if connection.vendor == "sqlite":
        guards.install(connection)


class Undone(Exception):
    """Takes a change back."""


@contextmanager
def changed(model: type[models.Model], row: Any, **columns: Any) -> Iterator[None]:
    """The row as it is after somebody went past the guards; afterwards everything is as it was."""
    try:
        with transaction.atomic():
            guards.remove(connection)
            assert model._default_manager.filter(pk=row).update(**columns) == 1
            guards_on()
            yield
            raise Undone
    except Undone:
        return


def another(value: Any, field: Any) -> Any:
    """A value of the same sort that is not this one; text differs in one byte."""
    if isinstance(field, models.BooleanField):
        return not value
    if field.name == "replaces" or (isinstance(field, models.UUIDField) and not field.is_relation):
        return UUID(int=7)
    if isinstance(field, models.ForeignKey):
        return _other_key(field, value)
    if isinstance(field, models.DateTimeField | models.DateField):
        return (value or date(2026, 1, 1)) + timedelta(days=1)
    if isinstance(field, models.IntegerField):
        return (value or 0) + 1
    if not value:
        return "x"
    return value[:-1] + chr(ord(value[-1]) ^ 1)


def _other_key(field: Any, value: Any) -> Any:
    others = field.related_model._default_manager.exclude(pk=value)
    if field.unique:
        others = others.exclude(pk__in=field.model._default_manager.values(field.attname))
    return others.values_list("pk", flat=True).first() or UUID(int=7)


def test_a_whole_book_is_whole(whole: Cast) -> None:
    proof = prove()
    assert proof.faults == []
    assert proof.entries == Entry.objects.count()
    assert proof.records == sum(kind._default_manager.count() for kind in record_classes())
    assert any(re.search(r"erased by entry \d+", says) for says in proof.remarks)


def test_every_kind_of_record_occurs(whole: Cast) -> None:
    assert [label(kind) for kind in record_classes() if not kind._default_manager.exists()] == []


def test_a_naive_replay_agrees(whole: Cast) -> None:
    """Chain and images once more with the standard library alone, against tables read by plain SQL."""
    for yard in Yard.objects.all():
        previous = bytes(32)
        for entry in Entry.objects.filter(yard=yard).order_by("seq"):
            assert sha256(b"\x02" + previous + entry.body.encode()).hexdigest() == entry.hash
            previous = bytes.fromhex(entry.hash)
            body = json.loads(entry.body)
            assert (body["seq"], body["act"]) == (str(entry.seq), str(entry.act))
            for record in body["records"]:
                kind = next(one for one in record_classes() if label(one) == record["table"])
                row = kind._default_manager.filter(pk=record["id"]).values().get()
                for name, value in record["image"].items():
                    field = kind._meta.get_field(name)
                    held = row[field.attname]
                    assert _as_text(held) == (value if isinstance(value, str) else _as_text(value)), (
                        record["table"],
                        name,
                    )
        assert previous.hex() == yard.head


def _as_text(value: Any) -> str:
    if isinstance(value, bool):
        return str(value)
    if isinstance(value, dict | list):
        return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    if isinstance(value, datetime):
        return value.strftime("%Y-%m-%dT%H:%M:%S.%fZ")
    return str(value)


@pytest.mark.parametrize("kind", record_classes(), ids=label)
def test_every_changed_column_of_a_record_is_named(kind: type[Record], whole: Cast) -> None:
    for record in kind._default_manager.all()[:2]:
        for field in [one for one in kind._meta.concrete_fields if one.name != "id"]:
            value = another(getattr(record, field.attname), field)
            with changed(kind, record.pk, **{field.attname: value}):
                found = [says for says in prove().faults if str(record.pk) in says]
                words = {
                    "yard": "lies in another yard", "entry": "points at", "replaces": "replaces another record",
                    "aside": "digest of its personal data",
                }.get(field.name, f"differs in {field.name}")  # fmt: skip
                assert any(words in says for says in found), (field.name, found)


def test_every_changed_column_of_an_entry_is_named(whole: Cast) -> None:
    entry = Entry.objects.filter(verb="log_unit").get()
    for field in [one for one in Entry._meta.concrete_fields if one.name not in ("id", "yard")]:
        value = another(getattr(entry, field.attname), field)
        if field.name == "seq":
            value = 99_999
        with changed(Entry, entry.pk, **{field.attname: value}):
            found = prove().faults
            assert any(f"entry {value if field.name == 'seq' else entry.seq}" in says for says in found), field.name


@pytest.mark.parametrize("place", [0, 10, 200, -1])
def test_one_flipped_byte_of_an_entry_is_named(place: int, whole: Cast) -> None:
    entry = Entry.objects.filter(verb="correct_unit").first()
    assert entry is not None
    flipped = list(entry.body)
    flipped[place] = chr(ord(flipped[place]) ^ 1)
    with changed(Entry, entry.pk, body="".join(flipped)):
        assert any(f"entry {entry.seq}: its text or its hash was changed" in says for says in prove().faults)


def test_two_entries_that_changed_places_are_named(whole: Cast) -> None:
    first, second = Entry.objects.filter(yard__code=whole.yard).order_by("seq")[2:4]
    with (
        changed(Entry, first.pk, seq=0),
        changed(Entry, second.pk, seq=first.seq),
        changed(Entry, first.pk, seq=second.seq),
    ):
        assert any("was changed" in says for says in prove().faults)


def removed(model: type[models.Model], **where: Any) -> int:
    guards.remove(connection)
    gone = model._default_manager.filter(**where)._raw_delete(connection.alias)
    guards_on()
    return int(gone or 0)


def undone(change: Callable[[], Any]) -> list[str]:
    """What is found wrong after a change that is then taken back."""
    found: list[str] = []
    try:
        with transaction.atomic():
            change()
            found = prove().faults
            raise Undone
    except Undone:
        return found


@pytest.mark.parametrize("kind", record_classes(), ids=label)
def test_a_row_that_is_gone_is_named(kind: type[Record], whole: Cast) -> None:
    record = kind._default_manager.first()
    assert record is not None
    found = undone(lambda: removed(kind, pk=record.pk))
    assert any(f"{label(kind)} {record.pk} is gone" in says for says in found)


def test_an_entry_that_is_gone_is_named(whole: Cast) -> None:
    entry = Entry.objects.filter(yard__code=whole.yard, seq=3).get()
    assert any("entry 3 should stand here" in says for says in undone(lambda: removed(Entry, pk=entry.pk)))


def test_a_row_that_was_added_is_named(whole: Cast) -> None:
    entry = Entry.objects.filter(verb="log_unit").get()
    unit = Unit.objects.earliest("pk")
    stranger = Isolation(yard_id=entry.yard_id, entry=entry, unit=unit, dead="yes", how="nobody did")
    found = undone(lambda: stranger.save(force_insert=True))
    assert any(f"hazmat.isolation {stranger.pk} is named by no entry" in says for says in found)


def test_the_end_cut_off_is_seen_from_outside_only(whole: Cast) -> None:
    yard = Yard.objects.get(code=whole.yard)
    last = Entry.objects.filter(yard=yard).latest("seq")
    before = Entry.objects.get(yard=yard, seq=last.seq - 1)
    records = json.loads(last.body)["records"]

    def cut() -> None:
        kinds = {label(kind): kind for kind in record_classes()}
        for record in records:
            removed(kinds[record["table"]], pk=record["id"])
        removed(Entry, pk=last.pk)
        Yard.objects.filter(pk=yard.pk).update(seq=before.seq, head=before.hash)

    found: list[str] = []
    try:
        with transaction.atomic():
            cut()
            assert [says for says in prove().faults if "lost its guard" not in says] == []
            found = prove(heads=[(yard.code, last.seq, last.hash)]).faults
            raise Undone
    except Undone:
        pass
    assert any("the end of the book is cut off" in says for says in found)
    assert prove(heads=[(yard.code, last.seq, last.hash)]).faults == []
    assert any("noted elsewhere" in says for says in prove(heads=[(yard.code, last.seq, "0" * 64)]).faults)


def test_a_changed_head_is_named(whole: Cast) -> None:
    yard = Yard.objects.get(code=whole.yard)
    found = undone(lambda: Yard.objects.filter(pk=yard.pk).update(seq=yard.seq + 1))
    assert any("its head names" in says for says in found)
    found = undone(lambda: Yard.objects.filter(pk=yard.pk).update(head="0" * 64))
    assert any("its head holds another hash" in says for says in found)


def test_changed_personal_data_are_named(whole: Cast) -> None:
    aside = Aside.objects.exclude(body="{}").first()
    assert aside is not None
    for column in ({"body": aside.body.replace("}", " }")}, {"salt": "00" * 16}, {"salt": "no hex"}):
        found = undone(lambda: Aside.objects.filter(pk=aside.pk).update(**column))  # noqa: B023
        assert any(f"personal data of {aside.record}" in says and "were changed" in says for says in found)
    gone = undone(lambda: Aside.objects.filter(pk=aside.pk).delete())
    assert any("are gone, and no entry erased them" in says for says in gone)


def test_erased_personal_data_are_no_fault(whole: Cast) -> None:
    assert Erasure.objects.count() == 1
    assert not Aside.objects.filter(record=Erasure.objects.get().of).exists()
    assert prove().faults == []


@pytest.mark.parametrize("kept", ["picture", "paper"])
def test_one_flipped_byte_of_a_file_is_named(kept: str, whole: Cast) -> None:
    digest = Seal.objects.get().sha256 if kept == "paper" else sha256(b"a picture").hexdigest()
    path = files.path_of(digest)
    data = path.read_bytes()
    try:
        path.write_bytes(bytes([data[0] ^ 1]) + data[1:])
        assert any(f"({digest}) was changed" in says for says in prove().faults)
        path.unlink()
        assert any(f"({digest}) is gone" in says for says in prove().faults)
    finally:
        path.write_bytes(data)
    assert prove().faults == []


def test_a_changed_paper_is_named(whole: Cast) -> None:
    paper = Paper.objects.get(kind="unit_tag")
    with changed(Paper, paper.pk, payload=paper.payload.replace("transformer", "transformed")):
        assert any("its words are not those of its digest" in says for says in prove().faults)
    with changed(Paper, paper.pk, code="22222222222"):
        assert any("check code" in says for says in prove().faults)


def test_every_changed_column_of_a_standing_is_named(whole: Cast) -> None:
    row = UnitStanding.objects.get(tag=whole.words["tag"])
    for field in [one for one in UnitStanding._meta.concrete_fields if one.name not in ("unit", "yard")]:
        value = another(getattr(row, field.attname), field)
        with changed(UnitStanding, row.pk, **{field.attname: value}):
            assert any(f"differs in {field.name}" in says for says in prove().faults), field.name


def test_a_lost_or_strange_standing_is_named(whole: Cast) -> None:
    row = UnitStanding.objects.get(tag=whole.words["tag"])
    assert any("is missing" in says for says in undone(lambda: UnitStanding.objects.all().delete()))
    row.unit = UUID(int=3)
    row.logged = 77
    assert any("has no unit behind it" in says for says in undone(lambda: row.save(force_insert=True)))


def test_a_lost_guard_is_named(whole: Cast) -> None:
    found = undone(lambda: guards.remove(connection))
    assert len([says for says in found if "has lost its guard" in says]) == len(guards.guarded())
