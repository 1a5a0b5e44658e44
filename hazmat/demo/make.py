"""The demo made through the real acts, as it all happened in turn; run again, it writes only what is missing."""

import os
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from functools import partial
from multiprocessing import get_context
from uuid import UUID
from zoneinfo import ZoneInfo

from django.conf import settings
from django.contrib.auth import get_user_model
from django.utils.module_loading import import_string

from hazmat.actions.bottles import may_sample, spaces
from hazmat.actions.papers import issue_paper
from hazmat.actions.people import add_member, open_yard
from hazmat.actions.units import correct_unit, keep_picture, log_unit
from hazmat.actions.yards import set_yard
from hazmat.book.act import Order
from hazmat.book.entry import Entry
from hazmat.core.facts import TANK
from hazmat.core.lookin import LookIn
from hazmat.demo.made import Made, Step, id_of, sampled
from hazmat.demo.scene import YARDS, DemoPerson, DemoYard
from hazmat.demo.units import DemoUnit, demo_units, drawn_pictures
from hazmat.edge.gear import Answers
from hazmat.edge.pictures import Picture
from hazmat.models import Person
from hazmat.papers.gearsheet import Cards
from hazmat.queries.yards import particulars
from hazmat.roles import ROLES, Role

BEFORE = timedelta(days=30)
"""How long before the first thing that happened the yards were opened."""
MORNING, LATER = time(9), timedelta(minutes=20)
"""When a sample is drawn, and how long after a look its sheet is printed."""
PRINTED = 3
"""How many units of each yard get a site sheet at once; the others are printed when somebody asks."""

CARDS = ("look", "sample", "drain", "spill")
"""Gear cards that the demo prints on one sheet."""

Progress = Callable[[int, int], None]
Drawn = dict[str, list[tuple[Picture, str, str]]]


def make(progress: Progress) -> tuple[int, int]:
    """Write the whole demo; how many yards and units. `progress`: called with how many steps of how many."""
    units = demo_units()
    fresh = [unit for unit in units if not Entry.objects.filter(act=id_of(unit.yard, "unit", unit.look.tag)).exists()]
    drawn: Drawn = {}
    told = [*_of_units(units, drawn), *(step for path in settings.DEMO for step in import_string(path)())]
    told.sort(key=lambda step: step.moment)
    whole = len(fresh) + len(told)
    made = Made({one.handle: _person(one) for yard in YARDS.values() for one in yard.people})
    for yard in YARDS.values():
        _open(made, yard, told[0].moment - BEFORE)
    with ProcessPoolExecutor(min(2, os.cpu_count() or 1), mp_context=get_context("spawn")) as drawers:
        for done, (unit, pictures) in enumerate(zip(fresh, drawers.map(drawn_pictures, fresh), strict=True), 1):
            drawn[unit.look.tag] = pictures
            progress(done, whole)
    for done, step in enumerate(told, len(fresh) + 1):
        made.step = step
        step.run(made)
        progress(done, whole)
    return len(YARDS), len(units)


def handle_of(role: str) -> str:
    """Whose link is printed: somebody with this role in the first yard, else who signs in by this name.

    Raises LookupError, with a sentence, where nobody does. It needs no database.
    """
    if role in ROLES:
        return next(iter(YARDS.values())).who(role).handle
    handles = sorted(one.handle for yard in YARDS.values() for one in yard.people)
    if role not in handles:
        raise LookupError(
            f"nobody in the demo is “{role}”; one of these may stand there: {', '.join((*ROLES, *handles))}"
        )
    return role


def _person(one: DemoPerson) -> Person:
    found = Person.objects.filter(handle=one.handle).first()
    return found or get_user_model().objects.create_user(one.handle, one.called)


def _open(made: Made, yard: DemoYard, at: datetime) -> None:
    """The yard, opened by its manager, who then lets the others in and says that it keeps drums."""

    def asked(*words: str) -> Order:
        return replace(made.order, act=id_of(yard.key, *words))

    made.step = Step(at=at, yard=yard.key, role=yard.manager.handle, words=("open",), run=lambda made: None)
    open_yard(
        asked("open"), name=yard.name, country=yard.country, state=yard.state, keeps=yard.keeps,
        phone=yard.phone, code=yard.code, roles=_roles(yard.manager),
    )  # fmt: skip
    for one in yard.people[1:]:
        add_member(asked("member", one.handle), person=made.people[one.handle].pk, roles=_roles(one))
    if not particulars(id_of(yard.key)).stores:
        first = particulars(id_of(yard.key)).pk
        set_yard(asked("stores"), based_on=first, name=yard.name, phone=yard.phone, keeps=yard.keeps, stores=True)


def _roles(one: DemoPerson) -> tuple[Role, ...]:
    return tuple(role for role in ROLES if role in one.roles)


def _of_units(units: tuple[DemoUnit, ...], drawn: Drawn) -> Iterator[Step]:
    """Every look, every sample behind a result, every result that came later, and the first sheets of each yard."""
    for unit in units:
        tag, at = unit.look.tag, _moment(unit.look)
        step = partial(Step, yard=unit.yard, role=unit.by)
        yield step(at=at, words=("unit", tag), run=partial(_log, unit, drawn))
        if [one for one in units if one.yard == unit.yard].index(unit) < PRINTED:
            yield step(at=at + LATER, words=("sheet", tag), run=partial(_print, unit))
            yield step(at=at + LATER, words=("gear", tag), run=partial(_print_gear, unit))
        if unit.results:
            yield from _samples(unit)
            yield Step(
                at=_moment(unit.results), yard=unit.yard, role=unit.results_by, words=("results", tag),
                run=partial(_answer, unit),
            )  # fmt: skip


def _log(unit: DemoUnit, drawn: Drawn, made: Made) -> None:
    """Log one unit with its drawn pictures."""
    pictures = [keep_picture(picture, shows, words) for picture, shows, words in drawn.get(unit.look.tag, [])]
    log_unit(made.order, look=unit.look, place=made.place, pictures=pictures, tag=unit.look.tag)


def _samples(unit: DemoUnit) -> Iterator[Step]:
    """The bottle behind each laboratory result of this unit, on its day; none from before anybody looked at it."""
    tests = unit.results.line.get("tests", ()) if unit.results else ()
    for test in tests:
        space, day = str(test.get("space", TANK)), str(test.get("on", ""))
        at = _day(day, YARDS[unit.yard])
        if test["how"] == "laboratory" and at is not None and at >= _moment(unit.look):
            yield Step(
                at=at, yard=unit.yard, role="technician", words=("sample", unit.look.tag, space, day),
                run=partial(_sample, unit.look.tag, space),
            )  # fmt: skip


def _sample(tag: str, space: str, made: Made) -> None:
    """Sample an oil space, where sampling steps are given for it."""
    now = made.standing(made.unit(tag[:-1]))
    if may_sample(now, made.place) and space in spaces(now):
        sampled(made, UUID(now.unit), space)


def _day(written: str, yard: DemoYard) -> datetime | None:
    """The morning of a day in the zone of a yard; None where only a month or a year is known."""
    try:
        return datetime.combine(date.fromisoformat(written), MORNING, ZoneInfo(yard.zone))
    except ValueError:
        return None


def _answer(unit: DemoUnit, made: Made) -> None:
    """What the tests said, written down on the day of the last one."""
    if unit.results is None or Entry.objects.filter(act=made.order.act).exists():
        return
    now = made.standing(made.unit(unit.look.tag[:-1]))
    correct_unit(made.order, unit=UUID(now.unit), based_on=UUID(now.look), look=unit.results, place=made.place)


def _moment(look: LookIn) -> datetime:
    """When it was looked at. Raises LookupError where the demo does not say."""
    if look.happened_at is None:
        raise LookupError(f"{look.tag}: no day")
    return look.happened_at


def _print(unit: DemoUnit, made: Made) -> None:
    """A site sheet."""
    made.printed(issue_paper(made.order, unit=made.unit(unit.look.tag[:-1]), kind="site_sheet").the("hazmat.paper"))


def _print_gear(unit: DemoUnit, made: Made) -> None:
    """Four gear cards on one sheet: cool oil in the open, as whoever printed them said."""
    cards = Cards(tasks=CARDS, answers=Answers(said={"hot": "no", "indoors": "no", "mist": "no"}))
    its = made.unit(unit.look.tag[:-1])
    made.printed(issue_paper(made.order, unit=its, kind="gear_card", cards=cards).the("hazmat.paper"))
