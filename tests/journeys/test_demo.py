"""The whole demo, made through the real acts: what must occur in it, and the book proved afterwards."""

import json
from collections import Counter
from typing import Any, get_args
from uuid import UUID

import pytest
from django.utils import timezone

from disposal.core.drumnow import DrumKind
from disposal.models import DrumStanding, LoadStanding
from disposal.queries.touched import touched
from hazmat.book.entry import Entry
from hazmat.book.prove import prove
from hazmat.core.unitnow import Decision, Stands
from hazmat.demo.made import id_of
from hazmat.demo.make import make
from hazmat.demo.scene import YARDS
from hazmat.models import InjuryNote, Outing, Override, Paper, SignIn, Space, Training, Unit, UnitStanding
from hazmat.queries.outings import open_outings
from hazmat.queries.tools import doubts_of, tools
from hazmat.queries.units import unpacked

pytestmark = pytest.mark.django_db(transaction=True)


def bodies(table: Any) -> list[dict[str, Any]]:
    return [json.loads(one) for one in table.objects.order_by("logged").values_list("body", flat=True)]


def test_the_demo_holds_two_years_of_the_whole_thread_and_is_proved() -> None:
    seen: list[tuple[int, int]] = []
    yards, units = make(lambda done, of: seen.append((done, of)))
    assert (yards, units) == (len(YARDS), Unit.objects.filter(parent=None).count())
    assert Unit.objects.exclude(parent=None).exists()
    assert seen[-1][0] == seen[-1][1]

    drums, loads = bodies(DrumStanding), bodies(LoadStanding)
    assert len(drums) == 13
    assert {one["kind"] for one in drums} == set(get_args(DrumKind))
    assert {one["known"] for one in drums} == {"low", "untested", "high"}
    assert {one["place"] for one in drums} == {"here", "on_load", "gone", "destroyed"}
    states = Counter(LoadStanding.objects.values_list("state", flat=True))
    assert len(loads) >= 4
    assert {"planned", "handed_over", "received", "closed"} <= set(states)
    refused = [item for one in loads for item in one["items"] if item["arrival"] == "refused"]
    assert [item["thing"] for item in refused] == ["drum"]

    stood = [unpacked(one) for one in UnitStanding.objects.values_list("body", flat=True)]
    assert {one.stands for one in stood} == set(get_args(Stands))
    amended = [one for unit in stood for one in unit.results if one.amends]
    assert len(amended) == 1
    (source,) = (unit for unit in stood if any(one.amends for one in unit.results))
    reached = touched(Space.objects.filter(unit=UUID(source.unit)).values_list("holder", flat=True)).went.oil
    assert [(one.thing.what, one.hops, one.gone) for one in reached if one.thing.what == "drum"] == [
        ("drum", 1, True), ("drum", 2, False),
    ]  # fmt: skip
    assert {one.decision for unit in stood for one in unit.verdicts} >= set(get_args(Decision)) - {"hold"}
    assert {"owner_letter", "drum_label", "hand_over_sheet"} <= set(Paper.objects.values_list("kind", flat=True))
    first, last = (Entry.objects.order_by(way)[0].happened_at for way in ("happened_at", "-happened_at"))
    assert (last - first).days >= 700

    gear = [one for yard in {unit.yard for unit in stood} for one in tools(UUID(yard))]
    assert len(gear) == 4
    assert sorted((one.told.kind, one.told.kept, one.in_use) for one in gear) == [
        ("cell", True, True), ("syringe", False, False), ("thief", False, True), ("tube", False, False),
    ]  # fmt: skip
    doubted = {unit.tag[:5]: doubts for unit in stood if (doubts := doubts_of(unit))}
    assert {tag: [met.use.tag[:5] for one in doubts for met in one.before] for tag, doubts in doubted.items()} == {
        "MU6DW": ["LR4HB"]
    }

    kept_from_harm()
    before = Entry.objects.count()
    assert not prove().faults
    make(lambda done, of: None)
    assert Entry.objects.count() == before


def kept_from_harm() -> None:
    """Training that holds, ran out and was let through; somebody late, somebody back; a job, a note, a sheet a yard."""
    assert {one.kind for one in Training.objects.all()} >= {"sampling", "dead", "breathing", "dangerous_goods"}
    assert Override.objects.count() == 1
    assert sorted(SignIn.objects.values_list("part", flat=True)) == ["looks_on", "looks_on", "works"]
    assert SignIn.objects.filter(person=None).count() == 1
    assert InjuryNote.objects.count() == 1
    assert Outing.objects.exclude(replaces=None).count() == 1
    out = [one for yard in YARDS for one in open_outings(id_of(yard))]
    assert [one.called for one in out] == ["Lio Saltgrass"]
    assert out[0].late(timezone.now())
    assert Paper.objects.filter(kind="emergency_sheet").count() == len(YARDS)
    assert Paper.objects.filter(kind="toolbox_list").count() == 1
