"""Whether one more pour can be, and may be: held against all that was ever poured, whenever it is written down."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from disposal.actions.times import refuse_on_load
from disposal.core.drumfold import (
    Pour,
    Step,
    Weighs,
    amount_words,
    contents,
    moved,
    over_degree,
    overfull,
    reached,
    short,
    steps,
    untold,
)
from disposal.core.drumnow import DrumNow, Source
from disposal.core.filling import liquid_of
from disposal.core.mixture import worst
from disposal.core.pour import Lot, asked, decided
from disposal.models import Drum, Move
from disposal.queries.afresh import placed
from disposal.queries.drums import DRUMS, law_on, network, sources_of
from disposal.queries.filling import most_litres, over_words
from disposal.queries.flows import as_pour, downstream, space_names
from hazmat import rulebooks
from hazmat.actions.units import law_day
from hazmat.book.act import Act, Order, Refused
from hazmat.book.standing import Moment
from hazmat.core.codes import spaced
from hazmat.core.facts import TANK
from hazmat.core.measures import moment_words
from hazmat.core.unitnow import UnitNow

UNITS_OF = {"litres": "L", "kg": "kg"}
MEASURES = tuple(UNITS_OF)
ONWARD = "Oil went on from there into {}. "


@dataclass(frozen=True)
class Asked:
    """A pour that is asked for, beside everything that was poured into or out of the drums that it reaches."""

    order: Order
    pour: Pour
    before: tuple[Pour, ...]
    units: Mapping[str, UnitNow]
    drums: Mapping[str, DrumNow]
    drained: tuple[Pour, ...] = ()
    """Whatever came out of the unit before, into any drum."""

    @property
    def weighs(self) -> Weighs:
        """What a litre of oil weighs at least and at most."""
        house = rulebooks.house(law_day(self.order))
        return Fraction(house.number("lightest_oil")), Fraction(house.number("heaviest_oil"))

    @property
    def all(self) -> tuple[Pour, ...]:
        """Everything, this pour among it."""
        return (*self.before, self.pour)

    def called(self, drum: str) -> str:
        """`drum K7M 4PX`."""
        return f"drum {spaced(self.drums[drum].code)}"

    def moment(self, at: str) -> str:
        """`7 Mar 2026, 14:30` in the zone of the yard."""
        return moment_words(datetime.fromisoformat(at).astimezone(ZoneInfo(self.order.zone)))


def asked_of(act: Act, move: Move) -> Asked:
    """What a move is held against: every drum downstream of it, and whatever ever came into those."""
    order = act.order
    reached = downstream(drums=[move.into_drum_id]) if move.into_drum_id else set()
    ends = reached | ({move.from_drum_id} if move.from_drum_id else set())
    when = Moment(order.happened_at, act.recorded_at, act.seq)
    found = network(ends, None, when, {move.unit_id} if move.unit_id else set())
    spaces = {move.space_id: move.space.name} if move.space_id and move.space else {}
    pour = as_pour(move, when, spaces, found.units)
    drums = {str(drum): now for drum in ends if (now := DRUMS.kept(drum))}
    return Asked(order, pour, tuple(found.pours), found.units, drums, tuple(_drained(move, when, found.units)))


def _drained(move: Move, when: Moment, units: Mapping[str, UnitNow]) -> Iterator[Pour]:
    """Whatever came out of the unit of a move before, into any drum."""
    out = placed(Move, None, when, unit=move.unit_id) if move.unit_id else []
    spaces = space_names(one for one, _ in out)
    return (as_pour(one, moment, spaces, units) for one, moment in out)


# ------------------------------------------------------------------ how much


def refuse_amount(asked: Asked) -> None:
    """Refuse more than there was, and more than fits, at that time or at any later one."""
    pour = asked.pour
    _refuse_two_oils(asked)
    if pour.unit and pour.space == TANK:
        _refuse_more_than_unit(asked)
    if pour.from_drum:
        _refuse_short(asked, pour.from_drum)
        _refuse_untold(asked, pour.from_drum)
    _refuse_overfull(asked, pour.into_drum)
    _refuse_over_degree(asked, pour.into_drum)
    _refuse_untold(asked, pour.into_drum)


def _refuse_more_than_unit(asked: Asked) -> None:
    """Out of the tank of a unit no more can come, into all drums, than it holds by what is on record, where known."""
    before = [moved(one, asked.weighs) for one in asked.drained if one.space == TANK]
    now = moved(asked.pour, asked.weighs)
    for measure, (word, has) in enumerate(_held(asked.units[asked.pour.unit]).items()):
        out = sum((one[measure].low for one in before), Fraction(0))
        if has is not None and out + now[measure].low > has:
            sign = UNITS_OF[word]
            raise Refused(
                f"By what is on record this unit held {amount_words(has)} {sign}, and {amount_words(out)} {sign} came "
                f"out already; {amount_words(now[measure].low)} {sign} more cannot be. Where the record is wrong, "
                "correct the unit first."
            )


def _refuse_two_oils(asked: Asked) -> None:
    """Refuse litres and kg of one pour that no oil weighs."""
    litres, kg = (Fraction(one or 0) for one in (asked.pour.litres, asked.pour.kg))
    light, heavy = asked.weighs
    if not litres or not kg or light <= kg / litres <= heavy:
        return
    bound = f"heavier than {amount_words(heavy)}" if kg > litres * heavy else f"lighter than {amount_words(light)}"
    raise Refused(
        f"{amount_words(litres)} L of oil do not weigh {amount_words(kg)} kg: no oil is {bound} kg/L; look at both "
        "amounts."
    )


def _held(unit: UnitNow) -> dict[str, Fraction | None]:
    """What the tank of a unit, or those of a lot, held at most by its line, in litres and in kg; None: not known."""
    line, count = unit.line, int(str(unit.line.get("count") or 1))
    litres, kg, density = (
        Fraction(str(line[name])) if line.get(name) else None
        for name in ("fluid_volume_l", "fluid_mass_kg", "density_kg_l")
    )
    if litres is None and kg is not None and density:
        litres = kg / density
    if kg is None and litres is not None and density:
        kg = litres * density
    return {"litres": litres and litres * count, "kg": kg and kg * count}


def _steps(asked: Asked, drum: str, wrong: Callable[[Step], Any]) -> list[Step]:
    """The steps of a drum that are wrong with this pour, and were not so without it."""
    known = {step.pour.id for step in steps(asked.before, drum, asked.weighs) if wrong(step)}
    return [step for step in steps(asked.all, drum, asked.weighs) if wrong(step) and step.pour.id not in known]


def _refuse_short(asked: Asked, drum: str) -> None:
    for step in _steps(asked, drum, lambda step: short(step, drum)):
        if step.pour.id != asked.pour.id:
            raise Refused(
                f"With this, more would have come out of {asked.called(drum)} on {asked.moment(step.pour.at)} than was "
                "in it then; look at the amounts and times."
            )
        word = short(step, drum)
        was = step.before[MEASURES.index(word)].high
        if not was:
            raise Refused(f"Nothing was in {asked.called(drum)} at that time; look at the drum and the time once more.")
        raise Refused(
            f"In {asked.called(drum)} was {amount_words(was)} {UNITS_OF[word]} at that time; {_poured(step, word)} "
            "cannot have come out of it."
        )


def _poured(step: Step, word: str) -> str:
    """How much was poured, as it was measured, and what that is at the least where it was measured otherwise."""
    measure = MEASURES.index(word)
    least = f"{amount_words(step.moved[measure].low)} {UNITS_OF[word]}"
    if step.moved[measure].exact is not None:
        return least
    other = MEASURES[1 - measure]
    return f"{amount_words(step.moved[1 - measure].low)} {UNITS_OF[other]}, which are at least {least},"


def _refuse_overfull(asked: Asked, drum: str) -> None:
    capacity = asked.drums[drum].capacity_l
    for step in _steps(asked, drum, lambda step: overfull(step, drum, capacity)):
        if step.pour.id == asked.pour.id:
            raise Refused(
                f"To the brim {asked.called(drum)} takes {capacity} L, and {amount_words(step.before[0].low)} L was in "
                f"it at that time; {_poured(step, 'litres')} more does not fit."
            )
        raise Refused(
            f"With this, {asked.called(drum)} would have held more than the {capacity} L that it takes to the brim on "
            f"{asked.moment(step.pour.at)}; look at the amounts and times."
        )


def _refuse_over_degree(asked: Asked, drum: str) -> None:
    """Refuse more than may be in a drum at the temperature of a pour, so that the liquid has room to grow."""
    now, units = asked.drums[drum], contents(asked.all).get(drum, {})
    liquid = liquid_of(asked.units[unit].line for unit in units)
    on = law_day(asked.order)

    def most(step: Step) -> Decimal | None:
        warm = step.pour.celsius if step.pour.into_drum == drum else ""
        return most_litres(now, liquid, warm, on) if warm else None

    for step in _steps(asked, drum, lambda step: over_degree(step, most(step))):
        allowed = most(step) or Decimal(0)
        when = "" if step.pour.id == asked.pour.id else f"On {asked.moment(step.pour.at)}: "
        litres = Decimal(amount_words(step.after[0].low))
        raise Refused(when + over_words("pour_over", step.pour.celsius, allowed, litres, asked.called(drum)))


def _refuse_untold(asked: Asked, drum: str) -> None:
    """Refuse to let oil vanish: what was left in a drum when nothing more ran out of it went somewhere."""
    for step in _steps(asked, drum, lambda step: untold(step, drum)):
        if step.pour.id != asked.pour.id:
            raise Refused(
                f"With this, more would have been in {asked.called(drum)} than came out of it when nothing more ran "
                f"out, on {asked.moment(step.pour.at)}; look at the amounts and times."
            )
        word = untold(step, drum)
        measure, sign = MEASURES.index(word), UNITS_OF[word]
        raise Refused(
            f"In {asked.called(drum)} was {amount_words(step.before[measure].low)} {sign} at that time and "
            f"{amount_words(step.moved[measure].high)} {sign} came out of it; if nothing more ran out, write as a note "
            "where the rest is."
        )


# ------------------------------------------------------------------ where it went on to


def refuse_onward(asked: Asked) -> None:
    """Refuse a late entry that would change whose oil is in a drum further on that is on a load, or away."""
    before, after = contents(asked.before), contents(asked.all)
    for drum in reached(asked.before, asked.pour) - {asked.pour.into_drum}:
        now = asked.drums[drum]
        if before.get(drum) == after.get(drum):
            continue
        onward = ONWARD.format(asked.called(drum))
        if now.signed_away:
            how = "is destroyed" if now.place == "destroyed" else f"is signed away with load {now.load}"
            raise Refused(f"{onward}It {how}, so what was in it stays as it was written; look at the time once more.")
        refuse_on_load(now, onward)


# ------------------------------------------------------------------ what meets what


def refuse_mixture(asked_: Asked) -> None:
    """Refuse what the rules of pouring forbid: in the drum itself, and in every drum that got oil out of it since.

    What a drum ever held counts, whenever it came in: so a late entry cannot walk past a rule.
    """
    day = law_day(asked_.order)
    house = rulebooks.house(day)
    poured = _lot(_poured_sources(asked_), day)
    gets = reached(asked_.before, asked_.pour)
    own = dict(Drum.objects.filter(pk__in=[UUID(drum) for drum in asked_.drums]).values_list("pk", "for_unit"))
    for drum, now in asked_.drums.items():
        if drum not in gets:
            continue
        held = Lot(
            units=frozenset(one.unit for one in now.sources), klass=now.klass, care=now.care, known=now.known,
            rulebook=now.rulebook,
        )  # fmt: skip
        answer = decided(asked(poured, held, str(own[UUID(drum)] or ""), _classes((poured, held))), house)
        if not answer.may:
            where = "" if drum == asked_.pour.into_drum else ONWARD.format(asked_.called(drum))
            raise Refused(f"{where}{answer.says} ({answer.cite})")


def _poured_sources(asked_: Asked) -> tuple[Source, ...]:
    """The units whose oil is poured, as they are known now: what was ever in the drum that it came out of, by then."""
    pour = asked_.pour
    if pour.unit:
        return sources_of(contents([pour])[pour.into_drum], asked_.units)
    earlier = [one for one in asked_.before if one.place < pour.place]
    return sources_of(contents(earlier).get(pour.from_drum, {}), asked_.units)


def _lot(sources: tuple[Source, ...], day: date) -> Lot:
    found = worst(sources, lambda name: law_on(name, day))
    return Lot(
        units=frozenset(one.unit for one in sources), klass=found.klass, care=found.care, known=found.known,
        rulebook=found.rulebook,
    )  # fmt: skip


def _classes(lots: Iterable[Lot]) -> dict[str, tuple[str, ...]]:
    names = {lot.rulebook for lot in lots} & set(rulebooks.laws())
    return {name: rulebooks.rulebook(name).classes for name in names}
