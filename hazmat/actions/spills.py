"""Spills and old stains: written down, corrected, told of, cleaned up step by step, and ended by a signature."""

from collections.abc import Callable, Mapping, Sequence
from datetime import timedelta
from decimal import Decimal
from uuid import UUID

from django.utils import timezone

from hazmat.actions.units import Kept, current, write_pictures
from hazmat.book.act import Act, Order, Refused, book, verb
from hazmat.book.canonical import instant
from hazmat.book.receipt import Receipt
from hazmat.core.amended import Amendable, counting
from hazmat.core.spill import Asked, SpillIn
from hazmat.core.spillnow import SpillNow, StepIn, kept, kept_step, still_open
from hazmat.models import Holder, Spill, SpillAccount, SpillEnd, SpillStep, SpillTold
from hazmat.queries.spills import judged, leaker, spill_now
from hazmat.rulebooks import said

SPILL = "spill"
SLACK = timedelta(minutes=1)
"""How far two clocks may lie apart before a moment counts as one that has not come. Source: our own choice."""
NONE = "This yard has no such spill; open it from the list of spills."


@verb
def open_spill(
    order: Order, *, told: SpillIn, place: str, source: str = "", space: str = "",
    names: Mapping[str, str] | None = None, pictures: Sequence[Kept] = (),
) -> Receipt:  # fmt: skip
    """Open a spill note; it happened when the spill was found. `source`: the tag or code of what leaked, perhaps none.

    `place`: the yard's own country code; `names`: `where` it is and who `found` it. Raises Refused for a moment that
    has not come, a source that the yard does not have, and a note that says neither what leaked nor where.
    """
    with book(order, "open_spill") as act:
        _write_spill(act, False, told, source, space, names or {}, pictures)
    return act.receipt


@verb
def old_stain(
    order: Order, *, told: SpillIn, place: str, source: str = "", space: str = "",
    names: Mapping[str, str] | None = None, pictures: Sequence[Kept] = (),
) -> Receipt:  # fmt: skip
    """Note an old stain, which nobody saw fall: it has no clock. Raises Refused as for a spill."""
    with book(order, "old_stain") as act:
        _write_spill(act, True, told, source, space, names or {}, pictures)
    return act.receipt


def _write_spill(
    act: Act, old: bool, told: SpillIn, source: str, space: str, names: Mapping[str, str], pictures: Sequence[Kept]
) -> None:
    _refuse_future(act.order)
    if not (source or told.what.strip() or names.get("where", "").strip()):
        raise Refused("Say what leaked, or where it is: a note that names neither helps nobody to find it.")
    holder = act.write(Holder(kind=SPILL))
    spill = act.write(Spill(number=str(act.seq), old=old, holder=holder))
    _write_account(act, spill.id, told, source, space, names)
    write_pictures(act, None, pictures, spill=spill.id)


def _write_account(
    act: Act, spill: UUID, told: SpillIn, source: str, space: str, names: Mapping[str, str],
    replaces: UUID | None = None, why: str = "",
) -> None:  # fmt: skip
    _refuse_told(told)
    unit, holder, code = None, None, ""
    if source:
        found = leaker(act.order.yard, source)
        if found is None:
            raise Refused(f"Nothing of this yard has the code {source}; look at it once more, or leave it empty.")
        unit, holder, code = found.unit, found.holder, "" if found.unit else source
        if unit and space and space not in current(act.order.yard, unit).oil_spaces.values():
            raise Refused("This unit has no oil space of that name; pick one of its own.")
    record = SpillAccount(
        spill_id=spill, unit_id=unit, space=space if unit else "", source_id=holder, code=code, told=kept(told),
        note=told.note, why=why, replaces_id=replaces,
    )  # fmt: skip
    act.write(record, aside={key: names.get(key, "").strip() for key in ("where", "found")})


def _refuse_told(told: SpillIn) -> None:
    """Refuse an amount or a figure of nothing, and grounds that nobody named."""
    if told.amount and not Decimal(told.amount):
        raise Refused("An amount of nothing is no spill; leave it empty where nobody knows how much it was.")
    if told.mg_kg and not Decimal(told.mg_kg):
        raise Refused(
            "A figure of nought says nothing; write the limit below which nothing was found, or leave it empty."
        )
    if not told.grounds:
        raise Refused("Tick what it fell on; where nobody has looked, tick the don't-know.")


def _refuse_future(order: Order) -> None:
    if order.happened_at > timezone.now() + SLACK:
        raise Refused("This lies in the future; write when it was found.")


@verb
def correct_spill(
    order: Order, *, spill: UUID, based_on: UUID, told: SpillIn, place: str, why: str, source: str = "",
    space: str = "", names: Mapping[str, str] | None = None,
) -> Receipt:  # fmt: skip
    """Write a new account in the place of the one that the form was filled from; it happened when it was found.

    An end that was signed before lapses. Raises Refused where somebody corrected it meanwhile, or without a reason.
    """
    with book(order, "correct_spill") as act:
        _refuse_future(order)
        now = the_spill(order.yard, spill)
        if now.account.id != str(based_on):
            raise Refused("Somebody corrected this spill in the meantime; read what stands there now and correct that.")
        if not why.strip():
            raise Refused("Say why it is corrected; the old words stay in the book beside it.")
        _write_account(act, spill, told, source, space, names or {}, based_on, why.strip())
    return act.receipt


@verb
def told_of_spill(
    order: Order, *, spill: UUID, office: str, duties: Sequence[str] = (), who: str = "", reference: str = "",
    note: str = "", place: str, replaces: UUID | None = None, why: str = "",
) -> Receipt:  # fmt: skip
    """Write down that an office was told of a spill. `duties`: what of all that is asked this fulfils; `who`: a person.

    `replaces`: what it corrects, with the reason `why`. Raises Refused without an office, or before it was found.
    """
    with book(order, "told_of_spill") as act:
        now = the_spill(order.yard, spill)
        _refuse_moment(order, now)
        if not office.strip():
            raise Refused("Write who was told: the office, or the owner; “told” alone proves nothing.")
        _refuse_duties(duties, now, place, lambda one: one.tells)
        _amended(now.told, replaces, why)
        record = SpillTold(
            spill_id=spill, office=office.strip(), duties=list(dict.fromkeys(duties)), reference=reference.strip(),
            note=note, why=why.strip(), replaces_id=replaces,
        )  # fmt: skip
        act.write(record, aside={"who": who.strip()})
    return act.receipt


@verb
def spill_step(
    order: Order, *, spill: UUID, told: StepIn, place: str, pictures: Sequence[Kept] = (),
    replaces: UUID | None = None, why: str = "",
) -> Receipt:  # fmt: skip
    """Write down a step of a cleanup. `replaces`: what it corrects, with the reason `why`.

    Raises Refused before the spill was found, for half a result, and for soil or waste without any figure or word.
    """
    with book(order, "spill_step") as act:
        now = the_spill(order.yard, spill)
        _refuse_moment(order, now)
        if bool(told.result) != bool(told.unit):
            raise Refused("A result has a figure and a unit; write both, or neither.")
        if told.what in ("soil_out", "waste") and not (told.depth_cm or told.kg or told.note.strip()):
            raise Refused("Write how deep or how many kilograms, or say in a note why nobody knows.")
        if told.what == "other" and not told.note.strip():
            raise Refused("Say in the note what was done; “something else” alone tells nobody.")
        _refuse_duties(told.duties, now, place, lambda one: not one.tells)
        _amended(now.steps, replaces, why)
        record = SpillStep(
            spill_id=spill, what=told.what, told=kept_step(told), note=told.note, why=why.strip(), replaces_id=replaces
        )
        act.write(record)
        write_pictures(act, None, pictures, spill=spill)
    return act.receipt


@verb
def close_spill(
    order: Order, *, spill: UUID, reached: str, statement: str, name: str, place: str, read: str, reason: str = ""
) -> Receipt:
    """Sign the end of a spill. `reached`: what was reached against the level asked for; `read`: the last entry read.

    Raises Refused while something that is asked is open and no reason is given, without a statement or a name, and
    where something was written since it was read.
    """
    with book(order, "close_spill") as act:
        now = the_spill(order.yard, spill)
        _refuse_moment(order, now)
        if now.end:
            raise Refused("This spill is ended and signed already; correct what is on record, and it is open again.")
        if read != reading(now):
            raise Refused("Something was written about this spill in the meantime; read what stands there, then sign.")
        if not name.strip():
            raise Refused("Write your name, as you say it: it stands beside the signature.")
        if not reached.strip() or not statement.strip():
            raise Refused("Write what was reached and what you state; both stay with the signature.")
        left = still_open(now, judged(now, place).asked)
        if left and not reason.strip():
            names = "; ".join(f"{one.to or one.name.replace('_', ' ')}" for one in left)
            raise Refused(said("spill_open_duties", {"duties": names}))
        record = SpillEnd(
            spill_id=spill, statement=statement.strip(), reached=reached.strip(), reason=reason.strip(),
            signer_id=order.by, replaces_id=UUID(now.ends[-1].id) if now.ends else None,
        )  # fmt: skip
        act.write(record, aside={"name": name.strip()})
    return act.receipt


def reading(now: SpillNow) -> str:
    """What somebody who signs has read: it goes out with a form and comes back."""
    written = [one.seq for every in (now.accounts, now.told, now.steps, now.ends) for one in every]
    return str(max(map(int, written)))


def the_spill(yard: UUID, spill: UUID) -> SpillNow:
    """The spill as it stands, under the lock of its yard. Raises Refused where the yard has no such spill."""
    now = spill_now(yard, spill)
    if now is None:
        raise Refused(NONE)
    return now


def _refuse_moment(order: Order, now: SpillNow) -> None:
    _refuse_future(order)
    if instant(order.happened_at) < now.found_at:
        raise Refused("This lies before the spill was found; write when it was.")


def _refuse_duties(duties: Sequence[str], now: SpillNow, place: str, fits: Callable[[Asked], bool]) -> None:
    known = {one.name for one in judged(now, place).asked if one.owed and fits(one)}
    if not set(duties) <= known:
        raise Refused(
            "What is ticked is no longer asked of this spill; open the page again and tick what stands there."
        )


def _amended(every: Sequence[Amendable], replaces: UUID | None, why: str) -> None:
    if replaces is None:
        return
    if str(replaces) not in {one.id for one in counting(every)}:
        raise Refused("This line was amended already; open the one that counts and amend that.")
    if not why.strip():
        raise Refused("Say why it is amended; the old line stays in the book beside it.")
