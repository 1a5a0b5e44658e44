"""Every act killed at every statement and just after its commit: written whole or not at all, and once.

No list of acts stands here: an act without a sample fails the test.
"""

import importlib
import os
import pkgutil
import signal
import sys
import warnings
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.db import connection, connections

import disposal.actions
import hazmat.actions
from hazmat.actions.bottles import hand_bottle, label_bottle
from hazmat.actions.papers import issue_paper, seal_paper
from hazmat.actions.people import add_member, end_member, erase_aside, leave_yard, new_door, open_yard
from hazmat.actions.reassess import reassess_units
from hazmat.actions.results import enter_result
from hazmat.actions.tools import add_tool
from hazmat.actions.units import add_photographs, correct_unit, log_unit, prove_dead
from hazmat.actions.verdicts import reading, second_verdict, sign_verdict
from hazmat.actions.yards import set_yard
from hazmat.book import files
from hazmat.book.act import VERBS, Order
from hazmat.book.entry import Entry
from hazmat.book.ids import new_id
from hazmat.book.prove import prove
from hazmat.core.tools import Kind, ToolIn
from hazmat.models import Look, Member, Person, Unit
from hazmat.queries.units import UNITS
from hazmat.queries.yards import particulars
from tests.cast import Cast, look_in, order, person, pictured, reported
from tests.faults.sampling import Act, Sample, asked, boss, unit_of

pytestmark = pytest.mark.both

for _app in (hazmat.actions, disposal.actions):
    for _found in pkgutil.iter_modules(_app.__path__):
        importlib.import_module(f"{_app.__name__}.{_found.name}")


def _open_yard(cast: Cast) -> tuple[Order, Act]:
    one = order(new_id(), boss(cast).pk)
    return one, lambda: open_yard(one, name="Another", country="NZ", phone="+64 0 000 0000")


def _add_member(cast: Cast) -> tuple[Order, Act]:
    one, who = asked(cast), person(f"p{new_id().hex[-12:]}")
    return one, lambda: add_member(one, person=who.pk, roles=("technician", "yard_hand"))


def _end_member(cast: Cast) -> tuple[Order, Act]:
    who = person(f"p{new_id().hex[-12:]}")
    add_member(asked(cast), person=who.pk, roles=("visitor",))
    one, member = asked(cast), Member.objects.get(person=who)
    return one, lambda: end_member(one, member=member.pk)


def _leave_yard(cast: Cast) -> tuple[Order, Act]:
    who = person(f"p{new_id().hex[-12:]}")
    add_member(asked(cast), person=who.pk, roles=("technician", "visitor"))
    new_door(who)
    assert cast.yard_id is not None
    one = order(cast.yard_id, who.pk)
    return one, lambda: leave_yard(one)


def _erase_aside(cast: Cast) -> tuple[Order, Act]:
    seen = log_unit(asked(cast), look=look_in(aside={"owner": "Mere Example"}), place="NZ")
    one, record = asked(cast), Look.objects.get(unit=seen.the("hazmat.unit")).pk
    return one, lambda: erase_aside(one, record=record, why="asked for")


def _log_unit(cast: Cast) -> tuple[Order, Act]:
    one, proved = asked(cast), {"dead": "yes", "how": "detector", "proved_by": "Mere Example"}
    look = look_in(aside={"owner": "Mere Example"}, proved=proved)
    return one, lambda: log_unit(one, look=look, place="NZ", pictures=[pictured()])


def _correct_unit(cast: Cast) -> tuple[Order, Act]:
    now = UNITS.kept(unit_of(cast))
    assert now is not None
    one, based_on = asked(cast), UUID(now.look)
    return one, lambda: correct_unit(one, unit=UUID(now.unit), based_on=based_on, look=look_in(note="x"), place="NZ")


def _prove_dead(cast: Cast) -> tuple[Order, Act]:
    one, unit = asked(cast), unit_of(cast)
    return one, lambda: prove_dead(one, unit=unit, proved={"dead": "no", "proved_by": "Mere Example"})


def _add_photographs(cast: Cast) -> tuple[Order, Act]:
    one, unit = asked(cast), unit_of(cast)
    return one, lambda: add_photographs(one, unit=unit, pictures=[pictured(), pictured()])


def _issue_paper(cast: Cast) -> tuple[Order, Act]:
    one, unit = asked(cast), unit_of(cast)
    return one, lambda: issue_paper(one, unit=unit, kind="notice")


def _seal_paper(cast: Cast) -> tuple[Order, Act]:
    paper = issue_paper(asked(cast), unit=unit_of(cast), kind="site_sheet").the("hazmat.paper")
    one, digest = asked(cast), files.keep(b"%PDF-1.7 of no page")
    return one, lambda: seal_paper(one, paper=paper, digest=digest, size=19)


def _label_bottle(cast: Cast) -> tuple[Order, Act]:
    one, unit = asked(cast), unit_of(cast)
    return one, lambda: label_bottle(one, unit=unit, space="tank")


def _hand_bottle(cast: Cast) -> tuple[Order, Act]:
    whole = dict.fromkeys(("detector_before", "detector_after", "back_feed", "earthed"), True)
    proved = {"dead": "yes", "how": "detector", "proved_by": "Mere Example", **whole}
    prove_dead(asked(cast), unit=unit_of(cast), proved=proved)
    bottle = label_bottle(asked(cast), unit=unit_of(cast), space="tank").the("hazmat.bottle")
    kinds: tuple[Kind, ...] = ("thief", "syringe")
    gear = [add_tool(asked(cast), told=ToolIn(kind=kind)).the("hazmat.tool") for kind in kinds]
    one = asked(cast)
    told: dict[str, Any] = {"names": {"gave": "Mere Example"}, "point": "bottom", "gear": gear}
    return one, lambda: hand_bottle(one, bottle=bottle, what="filled", place="NZ", **told)


def _enter_result(cast: Cast) -> tuple[Order, Act]:
    now = UNITS.kept(unit_of(cast))
    assert now is not None
    one, unit, old = asked(cast), unit_of(cast), UUID(now.counting[-1].id)
    return one, lambda: enter_result(one, unit=unit, told=reported("1.3"), place="NZ", replaces=old, why="a slip")


def _sign_verdict(cast: Cast) -> tuple[Order, Act]:
    now = UNITS.kept(unit_of(cast))
    assert now is not None
    one, unit, evidence = asked(cast), unit_of(cast), [now.counting[-1].id]
    told: dict[str, Any] = {"decision": "release", "reason": "read", "evidence": evidence, "read": reading(now)}
    return one, lambda: sign_verdict(one, unit=unit, **told)


def _second_verdict(cast: Cast) -> tuple[Order, Act]:
    _set_yard(cast)[1]()
    first, act = _sign_verdict(cast)
    act()
    now = UNITS.kept(unit_of(cast))
    assert now is not None
    assert now.waiting is not None
    second = order(first.yard, cast.people["manager"].pk)
    return second, lambda: second_verdict(second, verdict=UUID(now.verdicts[-1].id), read=reading(now))


def _set_yard(cast: Cast) -> tuple[Order, Act]:
    one, phone = asked(cast), "+64 0 000 0000"
    based_on = particulars(one.yard).pk
    return one, lambda: set_yard(one, based_on=based_on, name="Test Yard", phone=phone, stores=True, two=True)


def _reassess_units(cast: Cast) -> tuple[Order, Act]:
    before_any_law = asked(cast, happened_at=datetime(2006, 1, 2, tzinfo=UTC))
    unit = log_unit(before_any_law, look=look_in(), place="NZ").the("hazmat.unit")
    one = asked(cast)
    return one, lambda: reassess_units(one, units=[unit], place="NZ")


def samples_in(module: Any) -> dict[str, Sample]:
    """The samples of a module: its functions that are named like an act, with a stroke in front."""
    found = {name.removeprefix("_"): value for name, value in dict(vars(module)).items() if name.startswith("_")}
    return {name: value for name, value in found.items() if callable(value) and name in VERBS}


SAMPLES: dict[str, Sample] = samples_in(sys.modules[__name__])
for _file in sorted(Path(__file__).parent.glob("samples_*.py")):
    SAMPLES |= samples_in(importlib.import_module(f"tests.faults.{_file.stem}"))


def test_every_act_has_a_sample() -> None:
    assert set(SAMPLES) == set(VERBS)


class Killer:
    """Counts the statements of this connection, and dies at one of them."""

    def __init__(self, at: int | None) -> None:
        self.seen, self.at = 0, at

    def __call__(self, execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        self.seen += 1
        if self.seen == self.at:
            os.kill(os.getpid(), signal.SIGKILL)
        return execute(sql, params, many, context)


def statements(act: Act) -> int:
    """How many statements an act asks of the database."""
    counter = Killer(None)
    with connection.execute_wrapper(counter):
        act()
    return counter.seen


def killed(act: Act, at: int | None) -> None:
    """Run an act in a process of its own that is killed at its statement `at`, or just after its commit."""
    connections.close_all()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # newer Pythons warn of forking beside threads
        child = os.fork()
    if child == 0:
        try:
            with connection.execute_wrapper(Killer(at)):
                act()
        finally:
            os.kill(os.getpid(), signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status)
    assert os.WTERMSIG(status) == signal.SIGKILL


@pytest.mark.parametrize("name", sorted(SAMPLES))
def test_an_act_that_is_killed_is_whole_or_not_there(name: str, live_cast: Cast) -> None:
    sample = SAMPLES[name]
    count = statements(sample(live_cast)[1])
    assert count >= 4
    for at in [*range(1, count + 1), None]:
        one, act = sample(live_cast)
        before = Entry.objects.count()
        killed(act, at)
        assert Entry.objects.filter(act=one.act).count() == int(at is None), f"killed at statement {at} of {count}"
        assert Entry.objects.count() == before + int(at is None)
        assert prove().faults == []
        receipt = act()
        assert receipt.again == (at is None)
        assert Entry.objects.filter(act=one.act).count() == 1
        assert Entry.objects.count() == before + 1
    assert prove().faults == []


def test_a_careless_act_would_be_noticed(live_cast: Cast) -> None:
    """Planted: an act that saves outside of the book is half there after a kill, and `prove` says so."""

    def careless() -> None:
        entry = Entry.objects.first()
        assert entry is not None
        Unit(yard_id=entry.yard_id, entry=entry, tag="222222", arrival="gate").save(force_insert=True)
        person("never_there")

    killed(careless, 3)
    assert not Person.objects.filter(handle="never_there").exists()
    assert any("is named by no entry" in says for says in prove().faults)
