"""The demo made through the real acts: run again, it writes only what is not written yet."""

import os
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from datetime import date, datetime, time, timedelta
from multiprocessing import get_context
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from django.contrib.auth import get_user_model

from hazmat.actions.bottles import hand_bottle, label_bottle, may_sample, spaces
from hazmat.actions.papers import issue_paper, print_and_seal
from hazmat.actions.people import add_member, open_yard
from hazmat.actions.units import correct_unit, keep_picture, log_unit
from hazmat.book.act import Order
from hazmat.book.entry import Entry
from hazmat.core.facts import TANK
from hazmat.core.lookin import LookIn
from hazmat.core.trail import Hand
from hazmat.demo.scene import COURIER, LABORATORY, YARDS, DemoPerson, DemoYard
from hazmat.demo.units import DemoUnit, demo_units, drawn_pictures
from hazmat.edge.pictures import Picture
from hazmat.models import Paper, Person
from hazmat.papers import CannotPrint
from hazmat.queries.units import UNITS
from hazmat.roles import ROLES, Role

NAMES = UUID("4f696c77-6172-4764-8000-64656d6f0000")
"""Name space of the ids of the demo, so that each act has the same id in every run. Source: our own."""
BEFORE = timedelta(days=400)
"""How long before the first unit the yards were opened."""
MORNING, BETWEEN = time(9), timedelta(hours=2)
"""When a sample is drawn, and how long after each step the next one follows."""
HANDS: tuple[tuple[Hand, dict[str, str | None]], ...] = (
    ("filled", {"gave": None}), ("handed_on", {"gave": None, "took": COURIER}), ("at_laboratory", {"took": LABORATORY}),
)  # fmt: skip
"""The trail of each bottle of the demo; None stands for the technician."""
PRINTED = 3
"""How many units of each yard get a site sheet at once; the others are printed when somebody asks."""

Progress = Callable[[int, int], None]


def make(progress: Progress) -> tuple[int, int]:
    """Write the whole demo; how many yards and units. `progress`: called with how many units of how many."""
    units = demo_units()
    first = min(unit.look.happened_at for unit in units if unit.look.happened_at)
    people = {one.handle: _person(one) for yard in YARDS.values() for one in yard.people}
    for yard in YARDS.values():
        _open(yard, people, first - BEFORE)
    logged: dict[str, UUID] = {}
    fresh = [unit for unit in units if not Entry.objects.filter(act=_id(unit.yard, "unit", unit.look.tag)).exists()]
    with ProcessPoolExecutor(min(2, os.cpu_count() or 1), mp_context=get_context("spawn")) as drawers:
        drawn = dict(zip((unit.look.tag for unit in fresh), drawers.map(drawn_pictures, fresh), strict=True))
        for place, unit in enumerate(units, 1):
            logged[unit.look.tag] = _log(unit, people, drawn.get(unit.look.tag, []))
            progress(place, len(units))
    for unit in sorted(units, key=lambda one: str(one.results and one.results.happened_at)):
        if unit.results:
            _sample(unit, people, logged[unit.look.tag])
            _answer(unit, people, logged[unit.look.tag])
    for key in YARDS:
        for unit in [one for one in units if one.yard == key][:PRINTED]:
            _print(unit, people, logged[unit.look.tag])
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


def _id(*words: str) -> UUID:
    return uuid5(NAMES, "/".join(words))


def _person(one: DemoPerson) -> Person:
    found = Person.objects.filter(handle=one.handle).first()
    return found or get_user_model().objects.create_user(one.handle, one.called)


def _order(yard: DemoYard, by: Person, at: datetime, *words: str) -> Order:
    return Order(yard=_id(yard.key), by=by.pk, act=_id(yard.key, *words), happened_at=at, zone=yard.zone)


def _open(yard: DemoYard, people: dict[str, Person], at: datetime) -> None:
    """The yard, opened by its manager, who then lets the others in."""
    boss = people[yard.manager.handle]
    open_yard(
        _order(yard, boss, at, "open"), name=yard.name, country=yard.country, state=yard.state, keeps=yard.keeps,
        phone=yard.phone, code=yard.code, roles=_roles(yard.manager),
    )  # fmt: skip
    for one in yard.people[1:]:
        add_member(_order(yard, boss, at, "member", one.handle), person=people[one.handle].pk, roles=_roles(one))


def _roles(one: DemoPerson) -> tuple[Role, ...]:
    return tuple(role for role in ROLES if role in one.roles)


def _log(unit: DemoUnit, people: dict[str, Person], drawn: list[tuple[Picture, str, str]]) -> UUID:
    """Log one unit with its drawn pictures; the id of the unit."""
    yard = YARDS[unit.yard]
    asked = _order(yard, people[unit.by], _moment(unit.look), "unit", unit.look.tag)
    pictures = [keep_picture(picture, shows, words) for picture, shows, words in drawn]
    place = yard.state or yard.country
    return log_unit(asked, look=unit.look, place=place, pictures=pictures, tag=unit.look.tag).the("hazmat.unit")


def _sample(unit: DemoUnit, people: dict[str, Person], logged: UUID) -> None:
    """The bottle behind each laboratory result of this unit, on its day; none where no sampling steps are given."""
    yard, now = YARDS[unit.yard], UNITS.kept(logged)
    place = yard.state or yard.country
    if now is None or unit.results is None or not may_sample(now, place):
        return
    by = people[yard.who("technician").handle]
    for test in unit.results.line.get("tests", ()):
        space, day = str(test.get("space", TANK)), str(test.get("on", ""))
        at = _day(day, yard)
        if test["how"] != "laboratory" or at is None or at < _moment(unit.look) or space not in spaces(now):
            continue
        words = (unit.look.tag, space, day)
        bottle = label_bottle(_order(yard, by, at, "label", *words), unit=logged, space=space).the("hazmat.bottle")
        for later, (what, names) in enumerate(HANDS, 1):
            asked = _order(yard, by, at + later * BETWEEN, what, *words)
            who = {role: by.called if name is None else name for role, name in names.items()}
            hand_bottle(asked, bottle=bottle, what=what, place=place, names=who)


def _day(written: str, yard: DemoYard) -> datetime | None:
    """The morning of a day in the zone of a yard; None where only a month or a year is known."""
    try:
        return datetime.combine(date.fromisoformat(written), MORNING, ZoneInfo(yard.zone))
    except ValueError:
        return None


def _answer(unit: DemoUnit, people: dict[str, Person], logged: UUID) -> None:
    """What the tests said, written down on the day of the last one."""
    yard, results = YARDS[unit.yard], unit.results
    asked = _order(yard, people[unit.results_by], _moment(results), "results", unit.look.tag) if results else None
    now = UNITS.kept(logged)
    if asked is None or results is None or now is None or Entry.objects.filter(act=asked.act).exists():
        return
    place = yard.state or yard.country
    correct_unit(asked, unit=logged, based_on=UUID(now.look), look=results, place=place)


def _moment(look: LookIn) -> datetime:
    """When it was looked at. Raises LookupError where the demo does not say."""
    if look.happened_at is None:
        raise LookupError(f"{look.tag}: no day")
    return look.happened_at


def _print(unit: DemoUnit, people: dict[str, Person], logged: UUID) -> None:
    """A site sheet; where this machine cannot print, it waits unsealed, as any other paper would."""
    yard, by = YARDS[unit.yard], people[unit.by]
    asked = _order(yard, by, _moment(unit.look) + timedelta(minutes=20), "sheet", unit.look.tag)
    paper = issue_paper(asked, unit=logged, kind="site_sheet").the("hazmat.paper")
    if Paper.objects.filter(pk=paper, seal=None).exists():
        try:
            print_and_seal(asked.yard, by.pk, yard.zone, paper)
        except CannotPrint:
            return
