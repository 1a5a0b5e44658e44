"""What somebody could do to a book that is less plain than changing a column, and what must not alarm anybody."""

import json
import threading
import unicodedata
from typing import Any
from uuid import UUID

import pytest
from django.db import DataError, connection, connections

from hazmat.actions.units import log_unit
from hazmat.book import folding, guards
from hazmat.book.aside import Aside
from hazmat.book.entry import Entry
from hazmat.book.prove import prove
from hazmat.book.record import label, record_classes
from hazmat.models import Edition, Erasure, Holder, Look, Person, Space, Unit, UnitStanding, Yard
from tests.book.test_prove import changed, undone
from tests.book.whole import whole_book
from tests.cast import Cast, look_in, order

pytestmark = [pytest.mark.both, pytest.mark.django_db]

NO_YARD = "INSERT INTO hazmat_yard (id, code, seq, head, opened_at) VALUES ('no key', 'ZZZZZZ', 0, '', '2026-11-25')"


@pytest.fixture
def whole() -> Cast:
    """The whole book."""
    return whole_book()


def more(cast: Cast, **told: Any) -> None:
    """One more unit."""
    assert cast.yard_id is not None
    log_unit(order(cast.yard_id, cast.people["boss"].pk), look=look_in(**told), place="NZ")


def last(cast: Cast) -> Entry:
    found: Entry = Entry.objects.filter(yard=cast.yard_id).latest("seq")
    return found


# ------------------------------------------------------------------ rows


def test_an_entry_that_moved_to_another_yard_is_named(whole: Cast) -> None:
    entry, other = last(whole), Yard.objects.get(code=whole.other_yard)
    with changed(Entry, entry.pk, yard=other.pk, seq=other.seq + 1):
        found = prove().faults
        assert any(
            f"yard {other.code}, entry {other.seq + 1}: its text is one of another yard" in says for says in found
        )
        assert any(f"yard {whole.yard}: its head names entry {entry.seq}" in says for says in found)


@pytest.mark.sqlite
def test_bytes_that_are_no_text_are_named(whole: Cast) -> None:
    """A byte that flipped on the disk may leave no text at all."""
    entry, look = Entry.objects.get(verb="log_unit"), Look.objects.exclude(note="").earliest("entry__seq")
    aside, standing = Aside.objects.exclude(body="{}").earliest("record"), UnitStanding.objects.earliest("logged")
    places = [
        ("hazmat_entry", "body", entry.pk, "id", f"entry {entry.seq}: its text or its hash was changed"),
        ("hazmat_look", "note", look.pk, "id", f"hazmat.look {look.pk} differs in note"),
        ("hazmat_look", "line", look.pk, "id", f"hazmat.look {look.pk} differs in line"),
        ("hazmat_aside", "body", aside.record, "record", f"personal data of {aside.record} were changed"),
        ("hazmat_unitstanding", "tag", standing.unit, "unit", str(standing.unit)),
    ]
    for table, column, key, by, says in places:

        def spoil(table: str = table, column: str = column, key: UUID = key, by: str = by) -> None:
            guards.remove(connection)
            with connection.cursor() as cursor:
                cursor.execute(f"UPDATE {table} SET {column} = CAST(x'ff41' AS TEXT) WHERE {by} = %s", [key.hex])

        assert any(says in one for one in undone(spoil)), (table, column)


def test_a_row_that_hides_behind_the_key_of_another_table_is_named(whole: Cast) -> None:
    """Its key stands in its entry, but as that of a record of another table."""
    space = Space.objects.earliest("pk")
    entry = Entry.objects.get(pk=space.entry_id)
    stranger = Holder(id=space.pk, yard_id=space.yard_id, entry=entry, kind="drum")
    found = undone(lambda: stranger.save(force_insert=True))
    assert f"yard {whole.yard}: hazmat.holder {space.pk} is named by no entry: it was added past the book" in found


def test_every_kind_of_row_that_was_added_is_named(whole: Cast) -> None:
    for kind in record_classes():
        row = kind._default_manager.earliest("pk")
        before, unique = str(row.pk), {one.name for one in kind._meta.concrete_fields if one.unique}
        row.id = UUID(int=row.pk.int ^ 1)
        if kind is Unit:
            row.tag = "222222"  # type: ignore[attr-defined]
        if unique & {"holder", "paper", "load", "item", "verdict", "tool", "part", "screen", "outing", "signed_in"}:
            continue
        row.replaces = None
        found = undone(lambda: row.save(force_insert=True))  # noqa: B023
        assert any(f"{label(kind)} {row.pk} is named by no entry" in says for says in found), label(kind)
        assert not any(before in says for says in found)


def test_a_row_that_holds_the_same_in_another_spelling_is_named(whole: Cast) -> None:
    look = Look.objects.earliest("entry__seq")
    with changed(Look, look.pk, line=json.dumps(json.loads(look.line))):
        assert any(f"hazmat.look {look.pk} differs in line" in says for says in prove().faults)


def test_a_column_that_holds_its_neighbour_too_is_named(whole: Cast) -> None:
    """Put together, the two columns read as the entry does; apart they do not."""
    look = Look.objects.exclude(note="").earliest("entry__seq")
    both = f'{look.line},"note":{json.dumps(look.note)}'
    for columns in ({"line": both, "note": ""}, {"line": f"{look.line} "}, {"line": f" {look.line}"}, {"line": ""}):
        with changed(Look, look.pk, **columns):
            assert any(f"hazmat.look {look.pk} differs in line" in says for says in prove().faults), columns


@pytest.mark.sqlite
def test_bytes_in_the_place_of_text_are_named(whole: Cast) -> None:
    """Written as JSON these bytes would read as the text does."""
    more(whole, note="YWJj")
    look = Look.objects.get(note="YWJj")

    def spoil() -> None:
        guards.remove(connection)
        with connection.cursor() as cursor:
            cursor.execute("UPDATE hazmat_look SET note = x'616263' WHERE id = %s", [look.pk.hex])

    assert any(f"hazmat.look {look.pk} differs in note" in says for says in undone(spoil))


def test_text_that_was_typed_in_pieces_is_no_fault(whole: Cast) -> None:
    """Some keyboards send a letter and its accent apart; the row holds what the entry holds."""
    told = unicodedata.normalize("NFD", "café at Wānaka")
    more(whole, note=told, aside={"owner": unicodedata.normalize("NFD", "Zoë Example")})
    assert told != unicodedata.normalize("NFC", told)
    assert Look.objects.latest("entry__recorded_at").note == "café at Wānaka"
    assert prove().faults == []


# ------------------------------------------------------------------ personal data


def test_personal_data_that_came_back_are_named(whole: Cast) -> None:
    erasure = Erasure.objects.get()
    back = Aside(record=erasure.of, yard_id=erasure.yard_id, salt="00" * 16, body='{"owner":"Mere Example"}')
    found = undone(lambda: back.save(force_insert=True))
    assert any(
        f"the personal data of {erasure.of} were erased by entry" in says and "here again" in says for says in found
    )


def test_personal_data_that_nobody_wrote_down_are_named(whole: Cast) -> None:
    space = Space.objects.earliest("pk")
    stranger = Aside(record=space.pk, yard_id=space.yard_id, salt="00" * 16, body='{"owner":"Nobody"}')
    found = undone(lambda: stranger.save(force_insert=True))
    assert f"yard {whole.yard}: the personal data of {space.pk} are named by no entry" in found


def test_personal_data_that_moved_to_another_yard_are_named(whole: Cast) -> None:
    aside = Aside.objects.filter(yard=whole.yard_id).earliest("record")
    other = Yard.objects.get(code=whole.other_yard)
    found = undone(lambda: Aside.objects.filter(pk=aside.pk).update(yard=other.pk))
    assert any(f"the personal data of {aside.record} lie in another yard" in says for says in found)


def test_an_erasure_in_another_yard_excuses_nothing(whole: Cast) -> None:
    """Somebody who keeps a yard of his own cannot erase what stands in this one."""
    from hazmat.book.act import book

    aside = Aside.objects.filter(yard=whole.yard_id).exclude(body="{}").earliest("record")
    other = Yard.objects.get(code=whole.other_yard)
    with book(order(other.pk, whole.people["outsider"].pk), "erase_aside") as act:
        act.write(Erasure(of=aside.record, why="because"))
    found = undone(lambda: Aside.objects.filter(pk=aside.pk).delete())
    assert any(f"the personal data of {aside.record} are gone, and no entry erased them" in says for says in found)


# ------------------------------------------------------------------ heads, guards, standings


def test_a_yard_that_was_noted_and_is_gone_is_named(whole: Cast) -> None:
    assert "yard K7M4PK was noted elsewhere and is not in this book" in prove(heads=[("K7M4PK", 3, "0" * 64)]).faults


def test_each_of_several_noted_heads_counts(whole: Cast) -> None:
    entries = Entry.objects.filter(yard=whole.yard_id).order_by("seq")
    noted = [(whole.yard, one.seq, one.hash) for one in entries]
    assert prove(heads=noted).faults == []
    wrong = [(code, seq, "0" * 64 if seq == 2 else hash) for code, seq, hash in noted]
    (says,) = prove(heads=wrong).faults
    assert "entry 2: its hash is not the one that was noted elsewhere" in says
    assert any(
        "entry 0 was noted elsewhere and is not here" in one for one in prove(heads=[(whole.yard, 0, "0" * 64)]).faults
    )


@pytest.mark.parametrize("place", [0, 1])
def test_a_guard_that_does_nothing_is_named(place: int, whole: Cast) -> None:
    table = "hazmat_look"
    name = guards.names(table, connection.vendor)[place]

    def hollow() -> None:
        guards.settle(connection)
        with connection.cursor() as cursor:
            if connection.vendor == "postgresql":
                cursor.execute(f'ALTER TABLE "{table}" DISABLE TRIGGER "{name}"')
                return
            cursor.execute(f'DROP TRIGGER "{name}"')
            what = ("UPDATE", "DELETE")[place]
            cursor.execute(f'CREATE TRIGGER "{name}" BEFORE {what} ON "{table}" BEGIN SELECT 1; END')

    assert undone(hollow) == [f"the table {table} has lost its guard; run manage.py migrate"]
    if connection.vendor == "postgresql":

        def hollowed() -> None:
            with connection.cursor() as cursor:
                cursor.execute(
                    "CREATE OR REPLACE FUNCTION hazmat_stays() RETURNS trigger LANGUAGE plpgsql AS "
                    "$$ BEGIN RETURN NEW; END $$"
                )

        assert len(undone(hollowed)) == len(guards.guarded())


def test_standings_are_folded_from_the_tables_where_too_many_are_open(
    whole: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    for _ in range(3):
        more(whole)
    quick = prove()
    monkeypatch.setattr(folding, "OPEN", 0)
    slow = prove()
    assert (slow.faults, slow.standings) == (quick.faults, quick.standings) == ([], 7)
    row = UnitStanding.objects.latest("logged")
    with changed(UnitStanding, row.pk, care="lt2" if row.care != "lt2" else "ge500"):
        assert any(f"({row.pk}) differs in care" in says for says in prove().faults)


def test_a_naive_fold_agrees(whole: Cast) -> None:
    """The kept standing of the unit from the texts of the entries, with the standard library alone."""
    standing = json.loads(UnitStanding.objects.earliest("logged").body)
    bodies = [json.loads(one.body) for one in Entry.objects.filter(yard=whole.yard_id).order_by("happened_at", "seq")]
    told = [(body, record) for body in bodies for record in body["records"]]
    by = {label: [(b, r) for b, r in told if r["table"] == f"hazmat.{label}"] for label in
          ("unit", "look", "assessment", "isolation", "photograph", "paper", "seal",
           "result", "verdict", "second", "fate")}  # fmt: skip
    unit = by["unit"][0][1]
    of = {label: [(b, r) for b, r in by[label] if r["image"]["unit"] == unit["id"]] for label in ("look", "assessment")}
    look, answer = of["look"][-1][1], max(of["assessment"], key=lambda one: int(one[0]["seq"]))
    assert (standing["unit"], standing["tag"]) == (unit["id"], unit["image"]["tag"])
    assert (standing["look"], standing["line"]) == (look["id"], look["image"]["line"])
    assert (standing["note"], standing["leak"]) == (look["image"].get("note", ""), look["image"]["leak"])
    assert (standing["claims"], standing["seen"]) == (look["image"]["claims"], look["image"]["seen"])
    assert standing["answer"] == answer[1]["image"]["answer"]
    assert standing["assessed_at"] == answer[0]["recorded_at"]
    assert [one["id"] for one in standing["photographs"]] == [
        r["id"] for _, r in by["photograph"] if r["image"].get("unit") == unit["id"]
    ]
    assert [one["code"] for one in standing["papers"]] == [
        r["image"]["code"] for _, r in by["paper"] if r["image"].get("unit") == unit["id"]
    ]
    assert standing["papers"][0]["sealed"] == by["seal"][0][1]["image"]["sha256"]
    assert standing["proved"]["record"] == by["isolation"][-1][1]["id"]
    assert standing["proved"]["permit"] == by["isolation"][-1][1]["image"]["permit"]
    assert [one["test"] for one in standing["results"]] == [r["image"]["test"] for _, r in by["result"]]
    replaced = {r["replaces"]: r["id"] for _, r in by["result"]}
    assert [one["amended_by"] for one in standing["results"]] == [replaced.get(r["id"]) for _, r in by["result"]]
    assert [one["evidence"] for one in standing["verdicts"]] == [r["image"]["evidence"] for _, r in by["verdict"]]
    (second,) = [r["image"] for _, r in by["second"]]
    assert [one["second"] for one in standing["verdicts"] if one["id"] == second["verdict"]] == [second["signer"]]
    assert [one["firm"] for one in standing["fates"]] == [r["image"]["firm"] for _, r in by["fate"]]
    assert standing["seq"] == str(max(int(b["seq"]) for b, r in told if r["table"][7:] in by))


def test_who_writes_meanwhile_alarms_nobody(live_cast: Cast) -> None:
    """Somebody logs a unit while the book is being proved: it is proved as at the moment when that began."""
    done: list[bool] = []

    def written() -> None:
        more(live_cast)
        connections.close_all()

    def meanwhile(_: int) -> None:
        if not done:
            done.append(True)
            other = threading.Thread(target=written)
            other.start()
            other.join()

    before = Entry.objects.count()
    proof = prove(meanwhile)
    assert (proof.faults, proof.entries) == ([], before)
    assert Entry.objects.count() == before + 1
    assert prove().entries == before + 1


@pytest.mark.parametrize("role", ["boss", "visitor"])
def test_somebody_who_is_gone_is_named(role: str, whole: Cast) -> None:
    """One who wrote entries, and one who only has a role: a backup without them could never be taken up."""
    who = whole.people[role]
    gone = Person.objects.filter(pk=who.pk)
    found = undone(lambda: gone._raw_delete(connection.alias))
    says = [fault for fault in found if f"names the person {who.pk}, who is gone" in fault]
    tables = {"boss": ["hazmat.entry", "hazmat.member"], "visitor": ["hazmat.member"]}[role]
    assert says == found == [f"yard {whole.yard}: {table} names the person {who.pk}, who is gone" for table in tables]


@pytest.mark.parametrize("column", ["content", "digest"])
def test_a_law_that_was_rewritten_is_named(column: str, whole: Cast) -> None:
    """The kept text of a rulebook is what an old answer is read beside."""
    edition = Edition.objects.filter(rulebook="us")
    assert edition.count() == 1
    word = edition.get().content.replace("50", "500", 1) if column == "content" else "0" * 64
    found = undone(lambda: edition.update(**{column: word}))
    assert [fault.partition(" (")[0] for fault in found] == ["the kept edition of the rulebook us"]


@pytest.mark.sqlite
def test_a_yard_that_is_none_is_named(whole: Cast) -> None:
    with connection.cursor() as cursor:
        cursor.execute(NO_YARD)
    with pytest.raises(DataError, match="the row of a yard was changed into none"):
        prove()
