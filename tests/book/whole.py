"""A book in which every kind of record occurs, through real acts."""

from copy import copy
from dataclasses import replace
from datetime import date
from typing import Any
from uuid import UUID

from django.apps import apps
from django.db.models import Model

from disposal.actions.bays import add_bay, put_in_bay
from disposal.actions.certificates import close_load, enter_certificate
from disposal.actions.drums import pour
from disposal.actions.handing import receive_load, settle_arrival, sign_load
from disposal.actions.loads import change_load, plan_load, put_on_load, take_off_load
from disposal.actions.papers import issue_load_sheet
from disposal.actions.partners import add_licence, add_partner
from disposal.core.loadin import Arrived, Line, PutOn, Settling
from disposal.core.loadnow import SIGNING, LoadNow
from disposal.core.odd import odd
from disposal.core.partnernow import WHATS
from disposal.models import Drum
from disposal.queries.loads import LOADS
from hazmat.actions.bottles import hand_bottle
from hazmat.actions.clues import record_clues
from hazmat.actions.emergency import set_emergency
from hazmat.actions.people import add_member, end_member, erase_aside
from hazmat.actions.results import enter_result
from hazmat.actions.screens import read_screen
from hazmat.actions.sidehazards import walk_hazards
from hazmat.actions.spaces import add_space, remove_part
from hazmat.actions.spill_papers import issue_spill_note
from hazmat.actions.spills import close_spill, correct_spill, old_stain, spill_step, told_of_spill
from hazmat.actions.spills import reading as reading_of
from hazmat.actions.training import override_training, record_training
from hazmat.actions.units import add_photographs, correct_unit, law_day, prove_dead
from hazmat.actions.verdicts import reading, second_verdict, sign_verdict
from hazmat.actions.yards import set_yard
from hazmat.book import files
from hazmat.core.clues import CluesIn
from hazmat.core.spill import SpillIn
from hazmat.core.spillnow import StepIn
from hazmat.core.walked import Walk
from hazmat.models import Bottle, Entry, Member, SpillAccount, Unit
from hazmat.queries.spills import spill_now
from hazmat.queries.units import UNITS
from hazmat.queries.yards import particulars
from tests.cast import Cast, look_in, make_cast, order, person, pictured, reported

PROVED = {"dead": "yes", "how": "detector, then earths", "proved_by": "Mere Example", "earthed": True, "permit": "P-7"}


_MADE: list[tuple[Cast, list[list[Model]], list[bytes]]] = []
"""The whole book, its rows and its files, once it was made in this run."""


def whole_book() -> Cast:
    """The whole book in empty tables: made by its acts the first time, and by the same rows and files afterwards."""
    if not _MADE:
        ours = [kind for kind in apps.get_models() if kind._meta.app_label in ("hazmat", "disposal")]
        empty = [kind for kind in ours if not kind._default_manager.exists()]
        cast = _made()
        told = "".join(Entry.objects.values_list("body", flat=True))
        named = [files.path_of(digest).read_bytes() for digest in files.kept() if digest in told]
        _MADE.append((cast, [list(kind._default_manager.all()) for kind in empty], named))
        return cast
    cast, tables, named = _MADE[0]
    for data in named:
        files.keep(data)
    for rows in tables:
        if rows:
            type(rows[0])._default_manager.bulk_create(copy(row) for row in rows)
    return replace(cast, people=dict(cast.people), words=dict(cast.words))


def _made() -> Cast:
    """The cast, and one of each act on its unit; the personal data of the first look are erased."""
    cast = make_cast()
    boss, yard = cast.people["boss"], cast.yard_id
    assert yard is not None
    unit = Unit.objects.get(tag=cast.words["tag"])
    taken_apart(cast, unit.pk)
    before = UNITS.kept(unit.pk)
    assert before is not None
    prove_dead(order(yard, boss.pk), unit=unit.pk, proved=PROVED)
    bottle = Bottle.objects.get(code=cast.words["bottle"]).pk
    names = {"gave": "Mere Example", "took": "A Courier"}
    hand_bottle(order(yard, boss.pk), bottle=bottle, what="spoiled", place="NZ", names=names, note="it broke")
    add_photographs(order(yard, boss.pk), unit=unit.pk, pictures=[pictured()])
    look = look_in(
        aside={"owner": "Mere Example"}, note="by the creek", claims={"drained": "yes"}, seen={"plate": "partly"}
    )
    correct_unit(order(yard, boss.pk), unit=unit.pk, based_on=UUID(before.look), look=look, place="NZ")
    now = UNITS.kept(unit.pk)
    assert now is not None
    correct_unit(order(yard, boss.pk, said="again"), unit=unit.pk, based_on=UUID(now.look), look=look, place="NZ")
    erase_aside(order(yard, boss.pk), record=UUID(now.look), why="asked for by the person")
    result = UUID(now.counting[-1].id)
    told = reported("1.3")
    enter_result(order(yard, boss.pk), unit=unit.pk, told=told, place="NZ", replaces=result, why="read off wrongly")
    set_yard(order(yard, boss.pk), based_on=particulars(yard).pk, name="Test Yard", phone="+64 0 000 0000", two=True)
    now = UNITS.kept(unit.pk)
    assert now is not None
    signed: dict[str, Any] = {
        "decision": "release",
        "reason": "report read",
        "evidence": [now.counting[-1].id],
        "read": reading(now),
    }
    verdict = sign_verdict(order(yard, boss.pk), unit=unit.pk, **signed).the("hazmat.verdict")
    now = UNITS.kept(unit.pk)
    assert now is not None
    second_verdict(order(yard, cast.people["manager"].pk), verdict=verdict, read=reading(now))
    read_screen(order(yard, cast.people["manager"].pk), screen=cast.words["screen"], colour="blue_violet", place="NZ")
    poured(cast, unit.pk)
    spilled(cast)
    sent(cast, unit.pk)
    ran_out = {"kind": "sampling", "done_on": date(2020, 1, 5), "until": date(2021, 1, 5), "given_by": "A Teacher"}
    record_training(order(yard, boss.pk), person=boss.pk, **ran_out)  # type: ignore[arg-type]
    override_training(order(yard, boss.pk), person=boss.pk, work="sample", unit=unit.pk, reason="the leak is worse")
    set_emergency(order(yard, boss.pk), told={"numbers": "111"}, based_on=None)
    extra = person("extra")
    add_member(order(yard, boss.pk), person=extra.pk, roles=("technician",))
    end_member(order(yard, boss.pk), member=Member.objects.get(person=extra).pk)
    return cast


def spilled(cast: Cast) -> None:
    """The spill of the cast is told, contained, corrected, ended and printed; a stain is noted out of the drum."""
    boss, yard, spill = cast.people["boss"], cast.yard_id, cast.words["spill"]
    assert yard is not None
    told = {"office": "Regional council", "duties": ["tell_place"], "who": "A Warden", "reference": "R-1"}
    first = told_of_spill(order(yard, boss.pk), spill=spill, place="NZ", **told)  # type: ignore[arg-type]
    again = {"replaces": first.the("hazmat.spilltold"), "why": "its number was misheard", "reference": "R-2"}
    told_of_spill(order(yard, boss.pk), spill=spill, place="NZ", note="rang twice", **{**told, **again})  # type: ignore[arg-type]
    step = StepIn(what="soil_out", where="by the kerb", depth_cm="30", kg="120", note="to the blue tray")
    done = spill_step(order(yard, boss.pk), spill=spill, told=step, place="NZ", pictures=[pictured()])
    again = {"replaces": done.the("hazmat.spillstep"), "why": "weighed again"}
    spill_step(order(yard, boss.pk), spill=spill, told=replace(step, kg="118"), place="NZ", **again)  # type: ignore[arg-type]
    based_on, leaked = SpillAccount.objects.get(spill=spill).pk, SpillIn(amount="3", grounds=("soil",), note="ran on")
    names = {"where": "by the shed", "found": "Mere Example"}
    correct_spill(
        order(yard, boss.pk), spill=spill, based_on=based_on, told=leaked, place="NZ", why="more was under the tray",
        source=cast.words["tag"], space="tank", names=names,
    )  # fmt: skip
    for _ in range(2):
        now = spill_now(yard, spill)
        assert now is not None
        if now.end:
            based_on = UUID(now.account.id)
            correct_spill(order(yard, boss.pk), spill=spill, based_on=based_on, told=leaked, place="NZ", why="no tag")
            now = spill_now(yard, spill)
            assert now is not None
        signed = {
            "reached": "2 mg/kg in soil",
            "statement": "it is done",
            "name": "Mere Example",
            "reason": "owner away",
        }
        close_spill(order(yard, boss.pk), spill=spill, place="NZ", read=reading_of(now), **signed)
    issue_spill_note(order(yard, boss.pk), spill=spill)
    issue_spill_note(order(yard, boss.pk), spill=spill)
    old_stain(
        order(yard, boss.pk), told=SpillIn(grounds=("gravel",)), place="NZ", source=cast.words["drum"], names=names
    )


def poured(cast: Cast, unit: UUID) -> None:
    """The unit is proved dead with all that belongs to a proof, drained into the drum, and the drum put into a bay."""
    boss, yard, drum = cast.people["boss"], cast.yard_id, Drum.objects.get(code=cast.words["drum"]).pk
    assert yard is not None
    whole = dict.fromkeys(("detector_before", "detector_after", "back_feed", "earthed"), True)
    prove_dead(order(yard, boss.pk), unit=unit, proved={**PROVED, **whole})
    told = {"litres": "20", "kg": "17.6", "tool": "hose 2", "note": "slow", "all_out": True}
    pour(order(yard, boss.pk), into=drum, unit=unit, space="tank", place="NZ", **told)  # type: ignore[arg-type]
    put_in_bay(order(yard, boss.pk), bay=cast.words["bay"], drum=drum)
    add_bay(order(yard, boss.pk), name="North", note="under the roof", instead_of=cast.words["bay"])


def taken_apart(cast: Cast, unit: UUID) -> None:
    """Clues to its size, and a bushing of it that was found and taken off."""
    boss, yard, now = cast.people["boss"], cast.yard_id, UNITS.kept(unit)
    assert yard is not None
    assert now is not None
    told = CluesIn(asked={"phases": "3", "kv": "11", "fuse_a": "15"}, sources={"fuse_a": "said"})
    record_clues(order(yard, boss.pk), unit=unit, told=told, note="read from the ground")
    walk_hazards(order(yard, boss.pk), unit=unit, walk=Walk(seen={"lifting": "yes"}, lead="1.2", note="both lugs"))
    space = {"name": "bushing", "kind": "bushing"}
    add_space(order(yard, boss.pk), unit=unit, based_on=UUID(now.look), space=space, place="NZ")
    whole = dict.fromkeys(("detector_before", "detector_after", "back_feed", "earthed"), True)
    prove_dead(order(yard, boss.pk), unit=unit, proved={**PROVED, **whole})
    remove_part(order(yard, boss.pk), unit=unit, space="bushing", place="NZ")


def sent(cast: Cast, unit: UUID) -> None:
    """The unit and the drum go with a load to their last proof; the drum came off it once."""
    boss, yard, drum = cast.people["boss"], cast.yard_id, Drum.objects.get(code=cast.words["drum"]).pk
    assert yard is not None
    day = date(2020, 1, 1)
    firm = add_partner(order(yard, boss.pk), name="A Firm", aside={"phone": "+64 0"}).the("disposal.partner")
    for what in WHATS:
        add_licence(order(yard, boss.pk), partner=firm, what=what, number="L-1", since=day, until=date(2999, 1, 1))
    load = plan_load(order(yard, boss.pk), carrier=firm, facility=firm, note="by noon").the("disposal.load")
    told = {"carrier": firm, "facility": firm, "official": "N-7"}
    change_load(order(yard, boss.pk), load=load, based_on=load_of(load).seq, **told)
    items = [PutOn(thing="drum", of=drum, kg="40"), PutOn(thing="unit", of=unit, kg="250.5")]
    put_on_load(order(yard, boss.pk), load=load, items=items)
    take_off_load(order(yard, boss.pk), load=load, item=UUID(load_of(load).items[0].id), why="its bung leaks")
    put_on_load(order(yard, boss.pk), load=load, items=items[:1])
    issue_load_sheet(order(yard, boss.pk), load=load)
    for party in SIGNING:
        drawn = files.keep(b"a drawn name")
        sign_load(order(yard, boss.pk), load=load, party=party, inked="drawn", name="Mere Example", file=drawn)
    arrived = [Arrived(item=UUID(one.id), arrival="yes", kg="39", note="dented") for one in load_of(load).aboard]
    receive_load(order(yard, boss.pk), load=load, lines=arrived, extra="a tray")
    differences = [Settling(item=UUID(one.item) if one.item else None, says="two scales") for one in odd(load_of(load))]
    settle_arrival(order(yard, boss.pk), load=load, lines=differences)
    lines = [Line(written=one.code) for one in load_of(load).aboard]
    issued = law_day(order(yard, boss.pk))
    copy = {"file": files.keep(b"%PDF-1.7 of no page, a certificate"), "file_kind": "pdf"}
    enter_certificate(
        order(yard, boss.pk), load=load, number="CD-1", issued_on=issued, done_on=issued, lines=lines, **copy
    )
    close_load(order(yard, boss.pk), load=load)


def load_of(load: UUID) -> LoadNow:
    found = LOADS.kept(load)
    assert found is not None
    return found
