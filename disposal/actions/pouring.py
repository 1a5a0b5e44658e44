"""Whether one more pour can be, and may be: held against all that was ever poured, whenever it is written down."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from uuid import UUID
from zoneinfo import ZoneInfo

from disposal.core.drumfold import Pour, Step, amount_words, contents, overfull, reached, short, steps
from disposal.core.drumnow import DrumNow, Source
from disposal.core.mixture import worst
from disposal.core.pour import Lot, asked, decided
from disposal.models import Drum, Move
from disposal.queries.drums import DRUMS, law_on, network, sources_of
from disposal.queries.flows import as_pour, downstream
from hazmat import rulebooks
from hazmat.actions.units import law_day
from hazmat.book.act import Act, Order, Refused
from hazmat.book.standing import Moment
from hazmat.core.codes import spaced
from hazmat.core.facts import TANK
from hazmat.core.law import LawDay
from hazmat.core.measures import moment_words
from hazmat.core.unitnow import UnitNow

UNITS_OF = {"litres": "L", "kg": "kg"}


@dataclass(frozen=True)
class Asked:
    """A pour that is asked for, beside everything that was poured into or out of the drums that it reaches."""

    order: Order
    pour: Pour
    before: tuple[Pour, ...]
    units: Mapping[str, UnitNow]
    drums: Mapping[str, DrumNow]

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
    return Asked(order, pour, tuple(found.pours), found.units, drums)


# ------------------------------------------------------------------ how much


def refuse_amount(asked: Asked) -> None:
    """Refuse more than there was, and more than fits, at that time or at any later one."""
    pour = asked.pour
    if pour.unit and pour.space == TANK:
        _refuse_more_than_unit(asked)
    if pour.from_drum:
        _refuse_short(asked, pour.from_drum)
    _refuse_overfull(asked, pour.into_drum)


def _refuse_more_than_unit(asked: Asked) -> None:
    """Out of the tank of a unit no more can come than it holds by what is on record, where that is known."""
    outs = [one for one in asked.all if one.unit == asked.pour.unit and one.space == TANK]
    for word, has in _held(asked.units[asked.pour.unit]).items():
        amounts = [amount for one in outs if (amount := one.in_litres if word == "litres" else one.in_kg) is not None]
        if has is not None and sum(amounts) > has:
            out = amount_words(sum(amounts[:-1], Fraction(0)))
            more, sign = amount_words(amounts[-1]), UNITS_OF[word]
            raise Refused(
                f"By what is on record this unit held {amount_words(has)} {sign}, and {out} {sign} came out already; "
                f"{more} {sign} more cannot be. Where the record is wrong, correct the unit first."
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


def _refuse_short(asked: Asked, drum: str) -> None:
    known = {step.pour.id for step in steps(asked.before, drum) if short(step, drum)}
    for step in steps(asked.all, drum):
        word = short(step, drum)
        if not word or step.pour.id in known:
            continue
        if step.pour.id != asked.pour.id:
            raise Refused(
                f"With this, more would have come out of {asked.called(drum)} on {asked.moment(step.pour.at)} than was "
                "in it then; look at the amounts and times."
            )
        was = step.before[0 if word == "litres" else 1].high
        if not was:
            raise Refused(f"Nothing was in {asked.called(drum)} at that time; look at the drum and the time once more.")
        raise Refused(
            f"In {asked.called(drum)} was {amount_words(was)} {UNITS_OF[word]} at that time; {_poured(step, word)} "
            "cannot have come out of it."
        )


def _poured(step: Step, word: str) -> str:
    amount = step.pour.in_litres if word == "litres" else step.pour.in_kg
    return f"{amount_words(amount)} {UNITS_OF[word]}"


def _refuse_overfull(asked: Asked, drum: str) -> None:
    capacity = asked.drums[drum].capacity_l
    known = {step.pour.id for step in steps(asked.before, drum) if overfull(step, drum, capacity)}
    for step in steps(asked.all, drum):
        if not overfull(step, drum, capacity) or step.pour.id in known:
            continue
        if step.pour.id == asked.pour.id:
            raise Refused(
                f"To the brim {asked.called(drum)} takes {capacity} L, and {amount_words(step.before[0].low)} L was in "
                f"it at that time; {_poured(step, 'litres')} more does not fit."
            )
        raise Refused(
            f"With this, {asked.called(drum)} would have held more than the {capacity} L that it takes to the brim on "
            f"{asked.moment(step.pour.at)}; look at the amounts and times."
        )


# ------------------------------------------------------------------ what meets what


def refuse_mixture(asked_: Asked) -> None:
    """Refuse what the rules of pouring forbid: in the drum itself, and in every drum that got oil out of it since.

    What a drum ever held counts, whenever it came in: so a late entry cannot walk past a rule.
    """
    day = law_day(asked_.order)
    house = LawDay(rulebooks.rulebook(rulebooks.HANDLING), day)
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
            where = "" if drum == asked_.pour.into_drum else f"Oil went on from there into {asked_.called(drum)}. "
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
