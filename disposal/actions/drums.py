"""Drums and slop cans: labelling one, and pouring oil into one; each checked under the lock of the yard."""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from uuid import UUID

from disposal.actions.pouring import asked_of, refuse_amount, refuse_mixture, refuse_onward
from disposal.actions.times import refuse_away, refuse_before, refuse_future, refuse_on_load, refuse_unit_away, the_drum
from disposal.core.drumnow import DrumKind
from disposal.models import Drum, Move
from disposal.queries.afresh import placed
from disposal.queries.filling import no_warmth
from hazmat import rulebooks
from hazmat.actions.bottles import no_such_space, space_of, spaces
from hazmat.actions.codes import fresh_code
from hazmat.actions.units import current
from hazmat.book.act import Act, Order, Refused, book, verb
from hazmat.book.canonical import instant
from hazmat.book.receipt import Receipt
from hazmat.core.codes import spaced
from hazmat.core.findings import finish
from hazmat.core.measures import figure_words
from hazmat.core.unitfold import PROOF
from hazmat.core.unitnow import ProvedDead, UnitNow
from hazmat.edge.shapes import LARGEST, PLAIN_NUMBER
from hazmat.edge.story import UNPROVED, steps_of
from hazmat.models import Holder, Isolation

THINGS: Mapping[DrumKind, str] = {"drum": "drum", "slop_can": "slop can"}
LONGEST = 12
"""Characters of an amount. Source: the columns of the tables."""
SEALED = "sealed"
"""The step of sampling that says that nothing is opened."""


def amount(text: str, words: str) -> str:
    """An amount as decimal text, empty where none is given. Raises Refused for what is none, with its `words`."""
    if not text:
        return ""
    number = Decimal(text) if PLAIN_NUMBER.fullmatch(text) else None
    if number is None or not 0 < number <= LARGEST or len(figure_words(number)) > LONGEST:
        raise Refused(f"“{text}” is no amount; write the {words} in digits, such as 12.5, and more than nought.")
    return figure_words(number)


def warmth(text: str) -> str:
    """How warm a liquid was in °C, as decimal text with its sign, empty where nobody said. Raises Refused."""
    if not text:
        return ""
    if says := no_warmth(text):
        raise Refused(says)
    return figure_words(Decimal(text))


@verb
def label_drum(
    order: Order, *, kind: DrumKind, capacity_l: str, un_mark: str = "", for_unit: UUID | None = None
) -> Receipt:
    """Give a drum or a slop can its code. `capacity_l`: litres to the brim; `for_unit`: whose slop can it is.

    Raises Refused for a slop can of no unit, for a second one while there is room in the first, and for a drum of one.
    """
    with book(order, "label_drum") as act:
        refuse_future(act)
        if kind not in THINGS:
            raise Refused("This is neither a drum nor a slop can; pick one of them.")
        capacity = amount(capacity_l, "litres that it takes")
        if not capacity:
            raise Refused("Write how many litres it takes to the brim, as it stands on it.")
        if (kind == "slop_can") != (for_unit is not None):
            raise Refused(
                "A slop can is for one unit, and a drum for none: open the page of the unit and label it there."
            )
        if for_unit:
            _refuse_second_can(order, current(order.yard, for_unit))
        code = fresh_code(order.yard, act.seq, THINGS[kind])
        holder = act.write(Holder(kind=kind))
        act.write(Drum(kind=kind, code=code, holder=holder, capacity_l=capacity, un_mark=un_mark, for_unit_id=for_unit))
    return act.receipt


def _refuse_second_can(order: Order, unit: UnitNow) -> None:
    """One slop can for one unit until its result exists, unless the first one is full or not here any more."""
    refuse_before(order, unit.logged_at, "the unit was logged")
    if unit.oil.known != "untested":
        return
    for can in Drum.objects.filter(yard=order.yard, for_unit=UUID(unit.unit)):
        now = the_drum(order.yard, can.pk)
        if now.place == "here" and Decimal(now.between_l[0]) < Decimal(now.capacity_l):
            raise Refused(
                f"This unit has a slop can already, {spaced(now.code)}, with room in it; use that one until the result "
                "of the unit exists."
            )


@verb
def pour(
    order: Order, *, into: UUID, place: str, unit: UUID | None = None, space: str = "", from_drum: UUID | None = None,
    litres: str = "", kg: str = "", tool: str = "", all_out: bool = False, note: str = "", celsius: str = "",
) -> Receipt:  # fmt: skip
    """Write down that oil was poured into a drum, out of an oil space of a unit or out of another drum.

    `litres`, `kg`: decimal text, one of them or both; `all_out`: nothing more ran out; `celsius`: how warm it was;
    `place`: the yard's country. Raises Refused where there was not so much, where it does not fit or has no room to
    grow, where a time cannot be, and where the rules of pouring forbid it.
    """
    with book(order, "pour") as act:
        refuse_future(act)
        amounts = {"litres": amount(litres, "litres"), "kg": amount(kg, "kg")}
        if not any(amounts.values()):
            raise Refused("Write how much was poured, in litres or in kg.")
        target = the_drum(order.yard, into)
        refuse_away(order, target)
        refuse_on_load(target)
        if unit:
            move = _out_of_unit(act, unit, space, place)
        elif from_drum and from_drum != into:
            source = the_drum(order.yard, from_drum)
            refuse_away(order, source)
            refuse_on_load(source)
            move = Move(from_drum_id=from_drum, source_id=UUID(source.holder))
        else:
            raise Refused("Say out of which unit or which other drum it came.")
        move.into_drum_id, move.target_id = into, UUID(target.holder)
        move.tool, move.all_out, move.note, move.litres, move.kg, move.celsius = (
            tool, all_out, note, amounts["litres"], amounts["kg"], warmth(celsius),
        )  # fmt: skip
        asked = asked_of(act, move)
        refuse_amount(asked)
        refuse_onward(asked)
        refuse_mixture(asked)
        act.write(move)
    return act.receipt


def _out_of_unit(act: Act, unit: UUID, space: str, place: str) -> Move:
    """A move out of a unit. Raises Refused where the unit is not there, not dead, or has no such oil space."""
    now = current(act.order.yard, unit)
    refuse_before(act.order, now.logged_at, "the unit was logged")
    if now.stands in ("gone", "destroyed"):
        raise Refused("This unit is not here any more, so nothing is drained from it.")
    refuse_unit_away(act.order, unit)
    if says := not_drained(now, place):
        raise Refused(says)
    if not_drained(replace(now, proved=_proved_by(act.order, unit)), place):
        raise Refused(
            "It is not drained before its proof of death: by what is written down, nobody had proved it dead by that "
            "time; look at both times and write when it was."
        )
    if space not in spaces(now):
        raise Refused(no_such_space(now, space))
    from_space = space_of(act, unit, space)
    return Move(unit_id=unit, space=from_space, source_id=from_space.holder_id)


def _proved_by(order: Order, unit: UUID) -> ProvedDead | None:
    """What somebody had said by the time of an act of whether the unit is dead; None where nobody had."""
    told = [
        (row, moment)
        for row, moment in placed(Isolation, None, None, unit=unit)
        if moment.happened_at <= order.happened_at
    ]
    if not told:
        return None
    row, moment = told[-1]
    return ProvedDead(
        record=str(row.pk), happened_at=instant(moment.happened_at), **{name: getattr(row, name) for name in PROOF}
    )


def not_drained(unit: UnitNow, place: str) -> str:
    """Why nothing is drained from this unit, as a sentence of the handling book; empty where it can be."""
    steps = {step["act"] for step in steps_of(unit, place)}
    house = rulebooks.rulebook(rulebooks.HANDLING)
    for step, sentence in ((UNPROVED, "drain_not_proved"), (SEALED, "drain_sealed")):
        if steps == {step}:
            return finish(house.sentences[sentence].says, {})
    return ""
