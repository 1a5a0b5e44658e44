"""A fixed cast: one person in each role of a yard, and one outsider who holds every role of another yard."""

from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any
from uuid import UUID

from django.test import Client
from django.utils import timezone

from disposal.actions.bays import add_bay
from disposal.actions.drums import label_drum
from disposal.models import Drum
from hazmat.actions.bottles import label_bottle
from hazmat.actions.breakdowns import record_breakdown
from hazmat.actions.conditions import record_condition
from hazmat.actions.crews import sign_in_crew, sign_out_crew
from hazmat.actions.extensions import extend_use
from hazmat.actions.injuries import note_injury
from hazmat.actions.outings import come_back, go_out
from hazmat.actions.papers import issue_paper, seal_paper
from hazmat.actions.people import add_member, open_yard
from hazmat.actions.results import enter_result
from hazmat.actions.screens import record_screen
from hazmat.actions.spills import open_spill
from hazmat.actions.tools import add_tool, clean_tool, retire_tool
from hazmat.actions.training import record_training
from hazmat.actions.units import Kept, log_unit
from hazmat.actions.verdicts import reading, sign_verdict
from hazmat.book import files
from hazmat.book.act import Order
from hazmat.book.entry import Entry
from hazmat.book.ids import new_id
from hazmat.core.condition import ConditionIn
from hazmat.core.extended import ExtensionIn
from hazmat.core.lookin import LookIn
from hazmat.core.reported import KeptReport, Reported
from hazmat.core.screened import ScreenIn
from hazmat.core.shots import ShotsIn
from hazmat.core.spill import SpillIn
from hazmat.core.tools import ToolIn
from hazmat.models import Bottle, Member, Paper, Person, Photograph, Tool, Unit, Yard
from hazmat.queries.units import UNITS
from hazmat.roles import ROLES

ZONE = "Pacific/Auckland"
LINE: dict[str, Any] = {
    "kind": "transformer", "mounting": "pole", "built": "1968", "found_in": "NZ", "state": "intact",
    "fluid_volume_l": "75", "plate_words": ["25 KVA", "OIL 75 L"],
}  # fmt: skip


def order(yard: UUID, by: UUID, **more: Any) -> Order:
    """An order for an act that happens now."""
    return Order(**{"yard": yard, "by": by, "act": new_id(), "happened_at": timezone.now(), "zone": ZONE, **more})


def look_in(**more: Any) -> LookIn:
    """A look at the pole transformer of these tests."""
    told: dict[str, Any] = {
        "arrival": "found",
        "line": LINE,
        "sources": {"built": "guessed"},
        "leak": "none",
        "note": "",
    }
    return LookIn(**{**told, **more})


def person(handle: str, called: str | None = None) -> Person:
    """Somebody new."""
    return Person.objects.create_user(handle, called or handle.replace("_", " ").title())


def opened(by: Person, name: str = "Test Yard", country: str = "NZ", **more: Any) -> Yard:
    """A yard with this person in the four roles."""
    receipt = open_yard(order(new_id(), by.pk), name=name, country=country, **more)
    return Yard.objects.get(pk=receipt.yard)


def pictured() -> Kept:
    """A kept picture: the bytes are no picture, since nothing here looks into them."""
    whole, small = files.keep(b"a picture"), files.keep(b"a small picture")
    return Kept(sha256=whole, thumb=small, shows="whole", width=4, height=3, latitude="-41.1", longitude="174.8")


def reported(value: str = "1.2", **more: Any) -> Reported:
    """What a report says of a sample that was drawn before it came into this book; its file is no real report."""
    test = {
        "how": "laboratory", "on": "2026-01-05", "value": value, "unit": "mg/kg", "reporting_limit": "0.5",
        "uncertainty": {"value": "0.2", "kind": "absolute", "k": "2"},
    }  # fmt: skip
    kept = KeptReport(sha256=files.keep(b"%PDF-1.7 of no page, a report"), kind="pdf", name="report.pdf")
    told: dict[str, Any] = {"laboratory": "Example Laboratory", "job": "J-1", "report": kept, "test": test}
    return Reported(**{**told, "reported_on": date(2026, 1, 9), **more})


def file_of(answer: Any) -> bytes:
    """The bytes of an answer that streams a file, which is then closed; nothing for any other answer."""
    if not answer.streaming:
        return b""
    data = b"".join(answer.streaming_content)
    for close in answer._resource_closers:
        close()
    return data


@dataclass
class Cast:
    """Who is there, and one thing of each sort in the yard."""

    people: dict[str, Person] = field(default_factory=dict)
    yard: str = ""
    other_yard: str = ""
    yard_id: UUID | None = None
    words: dict[str, Any] = field(default_factory=dict)
    entries_before: int = 0

    def client(self, role: str) -> Client:
        """A browser in which this one is signed in."""
        client = Client()
        client.force_login(self.people[role])
        return client

    def entries(self) -> int:
        """How many entries stand in all books."""
        return Entry.objects.count()


def make_cast() -> Cast:
    """The whole cast, through real acts."""
    cast = Cast()
    boss = cast.people["boss"] = person("boss")
    yard = opened(boss)
    cast.yard, cast.yard_id = yard.code, yard.pk
    for role in ROLES:
        one = cast.people[role] = person(role)
        add_member(order(yard.pk, boss.pk), person=one.pk, roles=(role,))
    outsider = cast.people["outsider"] = person("outsider")
    cast.other_yard = opened(outsider, "Other Yard", "US", state="US-OR").code
    seen = log_unit(order(yard.pk, boss.pk), look=look_in(), place="NZ", pictures=[pictured()])
    unit = Unit.objects.get(pk=seen.the("hazmat.unit"))
    paper = issue_paper(order(yard.pk, boss.pk), unit=unit.pk, kind="unit_tag").the("hazmat.paper")
    pdf = b"%PDF-1.7 of no page"
    seal_paper(order(yard.pk, boss.pk), paper=paper, digest=files.keep(pdf), size=len(pdf))
    entered = enter_result(order(yard.pk, boss.pk), unit=unit.pk, told=reported(), place="NZ")
    now = UNITS.kept(unit.pk)
    assert now is not None
    told: dict[str, Any] = {"decision": "hold", "reason": "until its second bottle is in", "evidence": []}
    verdict = sign_verdict(order(yard.pk, boss.pk), unit=unit.pk, read=reading(now), **told)
    drum = label_drum(order(yard.pk, boss.pk), kind="drum", capacity_l="200").the("disposal.drum")
    bay = add_bay(order(yard.pk, boss.pk), name="B1").the("disposal.bay")
    label = label_bottle(order(yard.pk, boss.pk), unit=unit.pk, space="tank").the("hazmat.bottle")
    tube = ScreenIn(way="colour", space="tank", set_point="50", colours=("blue_violet",), apart=True)
    screen = record_screen(order(yard.pk, boss.pk), unit=unit.pk, told=tube, place="NZ").the("hazmat.screen")
    shots = ShotsIn(asked={"method": "iec_60156", "shots": "48 55 60 52 58 63"}, space="tank")
    cell, thief = (
        add_tool(order(yard.pk, boss.pk), told=told).the("hazmat.tool")
        for told in (ToolIn(kind="cell", kept=True), ToolIn(kind="thief", words="brass"))
    )
    clean_tool(order(yard.pk, boss.pk), tool=cell, with_what="kerosene", how="rinsed three times")
    retire_tool(order(yard.pk, boss.pk), tool=thief, reason="bent")
    asked: dict[str, Any] = {"unit": unit.pk, "told": shots, "cell": cell}
    broke = record_breakdown(order(yard.pk, boss.pk), **asked).the("hazmat.breakdown")
    slip = ConditionIn(
        asked={"water": "12", "flash": "148", "cup": "closed"}, space="tank", methods={"water": "coulometer"}
    )
    slipped = record_condition(order(yard.pk, boss.pk), unit=unit.pk, told=slip).the("hazmat.condition")
    letter = ExtensionIn(until=date(2029, 12, 31), given_on=date(2026, 1, 20), by="The Minister")
    extended = extend_use(order(yard.pk, boss.pk), unit=unit.pk, told=letter, place="NZ").the("hazmat.extension")
    leaked = SpillIn(what="old oil", amount="2", grounds=("concrete",), place="restricted", public="no")
    names = {"where": "by the shed", "found": "Mere Example"}
    spilled = open_spill(order(yard.pk, boss.pk), told=leaked, place="NZ", source=unit.tag, names=names)
    cast.words = {
        **of_people(cast, unit.pk),
        "spill": spilled.the("hazmat.spill"),
        "result": entered.the("hazmat.result"), "verdict": verdict.the("hazmat.verdict"),
        "bottle": Bottle.objects.get(pk=label).code, "drum": Drum.objects.get(pk=drum).code, "bay": bay,
        "tag": unit.tag, "picture": Photograph.objects.get().pk, "size": "thumb",
        "paper": Paper.objects.get().pk,
        "member": Member.objects.get(person=cast.people["visitor"]).pk, "person": cast.people["visitor"].pk,
        "sum": "density", "task": "sample", "screen": screen, "breakdown": broke, "condition": slipped,
        "extension": extended, "tool": Tool.objects.get(pk=cell).code,
    }  # fmt: skip
    cast.entries_before = cast.entries()
    return cast


def of_people(cast: Cast, unit: UUID) -> dict[str, UUID]:
    """One of each thing that is written down of people: training, a job with somebody at it, an outing, a note."""
    boss, yard = cast.people["boss"].pk, cast.yard_id
    assert yard is not None
    trained = record_training(
        order(yard, boss), person=cast.people["visitor"].pk, kind="first_aid", done_on=date(2026, 1, 5)
    ).the("hazmat.training")
    seen = sign_in_crew(order(yard, boss), unit=unit, work="look", person=boss, read=True)
    sign_out_crew(order(yard, boss), signed_in=seen.the("hazmat.signin"))
    due = timezone.now() + timedelta(hours=2)
    went = go_out(order(yard, boss), due_back=due, where="the creek", whom="A Friend").the("hazmat.outing")
    come_back(order(yard, boss), outing=went)
    told = {"about": boss, "what": "a drop on the sleeve", "harms": ["skin"], "event": "other"}
    note = note_injury(order(yard, boss), told=told).the("hazmat.injurynote")
    return {
        "training": trained, "crew": seen.the("hazmat.crew"), "signed": seen.the("hazmat.signin"), "outing": went,
        "note": note,
    }  # fmt: skip
