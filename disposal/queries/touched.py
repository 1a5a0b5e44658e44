"""What a thing touched, for its page: where its oil came from, what it went into, what is in doubt, what left."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal
from uuid import UUID

from disposal.core.drumnow import DrumNow
from disposal.core.drumtold import told as told_of
from disposal.core.loadnow import LoadNow
from disposal.core.reach import Reach, Step
from disposal.models import Drum, DrumStanding
from disposal.queries.drums import DRUMS
from disposal.queries.loads import load_now
from disposal.queries.reach import Event, Followed, Gear, followed, in_handfuls
from hazmat import rulebooks
from hazmat.core import carryover, parts
from hazmat.core.tools import WORDS
from hazmat.core.unitnow import ResultNow, UnitNow
from hazmat.models import Bottle, Space, Tool, UnitStanding
from hazmat.queries.tools import Use
from hazmat.queries.units import unpacked

SHOWN = 50
"""How many containers of each sort a page shows, the nearest first. Source: our own choice."""
AWAY = ("gone", "destroyed")
"""How a drum or a unit stands that is not here any more."""
GEAR_WORDS: Mapping[str, str] = {str(kind): says for kind, says in WORDS.items()}
"""What each kind of gear is called."""
What = Literal["unit", "drum", "slop_can", "gear", "bottle"]


@dataclass(frozen=True, kw_only=True)
class Thing:
    """A container as a page names it. `code`: its own, or the tag of its unit; `of`: the oil space of a unit, the tag
    of the unit of a bottle, what gear is; `key`: of the record of the unit or the drum itself.
    """

    holder: str
    what: What
    code: str
    of: str = ""
    key: str = ""


@dataclass(frozen=True, kw_only=True)
class Passed:
    """One step of oil between two things. `at`: an instant."""

    event: Event
    at: str
    source: Thing
    target: Thing


@dataclass(frozen=True, kw_only=True)
class Line:
    """A thing that was reached: how far it is, the step that joins it on, all steps to it in the order in which oil
    went, how strongly its oil is known, where it is.

    `mark`: what its ring is drawn from, None for gear and bottles; `gone`: it is not here any more; `gear`: only traces
    on gear reached it.
    """

    thing: Thing
    hops: int
    last: Passed
    way: tuple[Passed, ...]
    gear: bool
    mark: Mapping[str, Any] | None = None
    strength: str = ""
    gone: bool = False

    @property
    def ahead(self) -> bool:
        """Whether oil went into it, and not out of it, by the step that joins it on."""
        return self.last.target == self.thing

    @property
    def other(self) -> Thing:
        """The thing at the other end of that step."""
        return self.last.source if self.ahead else self.last.target


@dataclass(frozen=True, kw_only=True)
class Side:
    """One way in time: the nearest things that oil reached, those that only traces on gear did, and how many each."""

    oil: tuple[Line, ...]
    gear: tuple[Line, ...]
    oil_many: int
    gear_many: int

    @property
    def lines(self) -> list[Line]:
        """All that is shown, the nearest first."""
        return sorted((*self.oil, *self.gear), key=lambda one: one.hops)


@dataclass(frozen=True, kw_only=True)
class Left:
    """A thing that got of the oil, or held it from the first, and left: on which load, to whom, when the carrier took
    it, and the certificate that proves its end.
    """

    thing: Thing
    load: str = ""
    facility: str = ""
    taken_at: str = ""
    certificate: str = ""


@dataclass(frozen=True, kw_only=True)
class Doubted:
    """A sample or a test of other oil that this oil may have spoiled. `by`: the use of the gear before it.

    `results`: figures that a laboratory gave of that sample, and that count.
    """

    gear: Thing
    use: Use
    by: Use
    results: tuple[ResultNow, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Touched:
    """All of it. `drums`, `units`: how many of each that got of the oil are on site."""

    came: Side
    went: Side
    doubts: tuple[Doubted, ...]
    left: tuple[Left, ...]
    drums: int
    units: int


def touched(begun: Collection[UUID]) -> Touched:
    """What these holders touched, both ways in time."""
    came, went = followed(begun, backwards=True), followed(begun)
    names = named({*came.begun, *came.whole.near, *went.whole.near})
    far = [names[one] for one in (*sorted(went.begun), *went.whole.nearest())]
    away = _away(far)
    behind, ahead = _side(came, names, True), _side(went, names, False)
    doubts = _doubts(went, names)
    units = {names[one].key for one in went.whole.near if names[one].what == "unit"}
    units -= {names[one].key for one in went.begun}
    drums = {names[one].key for one in went.whole.near if names[one].what in ("drum", "slop_can")}
    return Touched(
        came=behind, went=ahead, doubts=doubts, left=_left(far, away),
        drums=len(drums - away), units=len(units - away),
    )  # fmt: skip


# ------------------------------------------------------------------ names


def named(holders: Collection[str]) -> dict[str, Thing]:
    """What these holders are called."""
    found: dict[str, Thing] = {}
    for handful in in_handfuls(holders):
        some = [UUID(one) for one in handful]
        for one in (*_spaces(some), *_drums(some), *_gear(some), *_bottles(some)):
            found[one.holder] = one
    return found


def _spaces(some: list[UUID]) -> list[Thing]:
    rows = Space.objects.filter(holder__in=some).values_list("holder", "name", "unit", "unit__tag")
    return [
        Thing(holder=str(holder), what="unit", code=tag, of=name, key=str(unit)) for holder, name, unit, tag in rows
    ]


def _drums(some: list[UUID]) -> list[Thing]:
    rows = Drum.objects.filter(holder__in=some).values_list("holder", "kind", "code", "pk")
    return [
        Thing(holder=str(holder), what="slop_can" if kind == "slop_can" else "drum", code=code, key=str(pk))
        for holder, kind, code, pk in rows
    ]


def _gear(some: list[UUID]) -> list[Thing]:
    rows = Tool.objects.filter(holder__in=some).values_list("holder", "kind", "code", "pk")
    return [
        Thing(holder=str(holder), what="gear", code=code, of=GEAR_WORDS[kind], key=str(pk))
        for holder, kind, code, pk in rows
    ]


def _bottles(some: list[UUID]) -> list[Thing]:
    rows = Bottle.objects.filter(holder__in=some).values_list("holder", "code", "unit__tag", "pk")
    return [Thing(holder=str(holder), what="bottle", code=code, of=tag, key=str(pk)) for holder, code, tag, pk in rows]


# ------------------------------------------------------------------ lines


def _side(found: Followed, names: Mapping[str, Thing], backwards: bool) -> Side:
    oil, gear = found.oil.nearest(), found.by_gear
    shown = [names[one] for one in (*oil[:SHOWN], *gear[:SHOWN])]
    units, drums = units_of(shown), drums_of(shown)

    def line(key: str, reach: Reach, by_gear: bool) -> Line:
        way = [_passed(step, names, backwards) for step in reach.way(key)]
        return Line(
            thing=names[key], hops=len(way), gear=by_gear, last=way[-1], way=tuple(way[::-1] if backwards else way),
            **_told(names[key], units, drums),
        )  # fmt: skip

    return Side(
        oil=tuple(line(one, found.oil, False) for one in oil[:SHOWN]), oil_many=len(oil),
        gear=tuple(line(one, found.whole, True) for one in gear[:SHOWN]), gear_many=len(gear),
    )  # fmt: skip


def _passed(step: Step, names: Mapping[str, Thing], backwards: bool) -> Passed:
    """A step with the names of its ends, in the direction in which oil went."""
    ends = (step.target, step.source) if backwards else (step.source, step.target)
    return Passed(event=step.of, at=step.at, source=names[ends[0]], target=names[ends[1]])


def units_of(things: Collection[Thing]) -> dict[str, UnitNow]:
    """The units among these as they stand, by key."""
    wanted = {one.key for one in things if one.what == "unit"}
    bodies = UnitStanding.objects.filter(unit__in=wanted).values_list("body", flat=True) if wanted else ()
    return {unit.unit: unit for unit in map(unpacked, bodies)}


def drums_of(things: Collection[Thing]) -> dict[str, DrumNow]:
    """The drums among these as they stand, by key."""
    wanted = {one.key for one in things if one.what in ("drum", "slop_can")}
    bodies = DrumStanding.objects.filter(drum__in=wanted).values_list("body", flat=True) if wanted else ()
    return {drum.drum: drum for drum in map(DRUMS.unpacked, bodies)}


def to_hold(unit: UUID) -> list[UnitNow]:
    """The units on site that the oil of this one reached and that nothing holds, by tag; as many as one act holds."""
    found = followed(Space.objects.filter(unit=unit).values_list("holder", flat=True))
    names = named(found.whole.near)
    keys = {one.key for one in names.values() if one.what == "unit"} - {str(unit)}
    bodies = [
        body
        for some in in_handfuls(keys)
        for body in UnitStanding.objects.filter(unit__in=some, held=False, left=False).values_list("body", flat=True)
    ]
    return sorted(map(unpacked, bodies), key=lambda one: one.tag)[:SHOWN]


def _told(thing: Thing, units: Mapping[str, UnitNow], drums: Mapping[str, DrumNow]) -> dict[str, Any]:
    """How its oil is known and whether it is here."""
    house = rulebooks.rulebook(rulebooks.HANDLING)
    if drum := drums.get(thing.key):
        words = told_of(drum, rulebooks.law, house)
        return {"mark": words.mark, "strength": words.strength, "gone": drum.place in AWAY}
    if unit := units.get(thing.key):
        oil = unit.oil_of((thing.of,))
        strength = parts.oil_strength(oil.klass, oil.care, oil.known, rulebooks.law(oil.rulebook), house)
        mark = {"band": oil.care, "basis": parts.BASIS[oil.known]}
        return {"mark": mark, "strength": strength, "gone": unit.stands in AWAY}
    return {}


# ------------------------------------------------------------------ what left


def _away(things: Collection[Thing]) -> set[str]:
    """The keys of the drums and units among these that are not here any more."""
    found: set[str] = set()
    for some in in_handfuls({one.key for one in things if one.what in ("unit", "drum", "slop_can")}):
        drums = DrumStanding.objects.filter(drum__in=some, place__in=AWAY).values_list("drum", flat=True)
        units = UnitStanding.objects.filter(unit__in=some, left=True).values_list("unit", flat=True)
        found |= {str(one) for one in (*drums, *units)}
    return found


def _left(things: Sequence[Thing], away: Collection[str]) -> tuple[Left, ...]:
    """The things that left, each once, the nearest first."""
    gone = list({one.key: one for one in things if one.key in away}.values())
    units, drums = units_of(gone), drums_of(gone)
    loads: dict[str, LoadNow | None] = {}
    found = []
    for one in gone:
        now: UnitNow | DrumNow = drums.get(one.key) or units[one.key]
        number, certificate = _end(now)
        if number and number not in loads:
            loads[number] = load_now(UUID(now.yard), number)
        load = loads.get(number)
        to = {"facility": load.facility_name, "taken_at": load.handed_over_at} if load else {}
        found.append(Left(thing=one, load=number, certificate=certificate, **to))
    return tuple(found)


def _end(now: UnitNow | DrumNow) -> tuple[str, str]:
    """The load on which something left, and the certificate that proves its end."""
    if isinstance(now, DrumNow):
        return now.load, now.certificate
    out = [one for one in now.fates if one.what in AWAY]
    return (out[-1].load, out[-1].certificate) if out else ("", "")


# ------------------------------------------------------------------ doubt


def _doubts(found: Followed, names: Mapping[str, Thing]) -> tuple[Doubted, ...]:
    """The samples and tests of other oil that this oil may have spoiled, in order of time; results of those shown."""
    doubts = [one for gear in found.gear if gear.holder in names for one in _doubts_by(gear, found, names)]
    doubts.sort(key=lambda one: (one.use.at, one.use.id))
    shown = {one.use.unit for one in doubts[:SHOWN] if one.use.bottle}
    bodies = UnitStanding.objects.filter(unit__in=shown).values_list("body", flat=True) if shown else ()
    results = [one for body in bodies for one in unpacked(body).counting]
    return tuple(
        replace(one, results=tuple(found for found in results if one.use.bottle and found.bottle == one.use.bottle))
        for one in doubts
    )


def _doubts_by(gear: Gear, found: Followed, names: Mapping[str, Thing]) -> list[Doubted]:
    """The uses of one piece of gear that carried this oil into other oil; oil that it reached by then counts as it."""
    uses = {one.id: one for one in gear.uses}
    told = [
        carryover.Touch(id=one.id, oil=one.oil, at=one.at, low=not found.there_by(one.oil, one.at))
        for one in gear.uses
    ]  # fmt: skip
    moments = [one.at for one in gear.wiped]
    return [
        Doubted(gear=names[gear.holder], use=uses[one.id], by=uses[before[0].id])
        for one in told
        if one.oil not in found.begun and (before := carryover.doubt(one, told, moments))
    ]
