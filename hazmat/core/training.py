"""Who is trained for which work: what a kind of training is, whether it holds on a day, and what that allows."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal, NamedTuple

from hazmat.core.bulk import CARE, COLUMN_VALUES
from hazmat.core.findings import finish
from hazmat.core.law import LawDay, Rulebook
from hazmat.core.measures import day_words

TABLE = "training"
"""The table of the handling book that says which training a piece of work needs."""
WORKS: tuple[str, ...] = COLUMN_VALUES["work"]
NOTHING, NOBODY = "nothing", "nobody"
"""The two answers of the table that name no kind."""
KIND = "training_"
"""How a sentence of the handling book begins that tells of one kind of training: its name, a colon, what it covers."""
SOON = "training_soon"
WORDS: Mapping[str, str] = {
    "look": "Look at it", "prove": "Prove it dead", "sample": "Draw a sample", "screen": "Screen its oil",
    "drain": "Drain or pour", "drums": "Handle drums", "cut": "Take it apart", "spill": "Take up spills",
    "hand_over": "Hand over loads", "fire": "After a fire",
}  # fmt: skip
"""What each piece of work is called."""

State = Literal["holds", "run_out", "not_yet", "unknown"]
Word = Literal["yes", "let", "no"]


class Kind(NamedTuple):
    """A kind of training: its key, its name, what it covers, its document and how we know it."""

    key: str
    name: str
    about: str
    cite: str
    basis: str


@dataclass(frozen=True, kw_only=True)
class Held:
    """Training of one person, as written down. `until`: the last day on which it holds, None where it has none.

    `own`: the person wrote it down about himself; `file`: whether a certificate is kept; `seq`: of its entry.
    """

    id: str
    kind: str
    done_on: date
    until: date | None
    own: bool = False
    file: bool = False
    seq: int = 0


@dataclass(frozen=True, kw_only=True)
class Let:
    """Somebody let one piece of work go ahead on one day although training ran out: who, why, and where if anywhere."""

    work: str
    on: date
    who: str
    why: str
    unit: str = ""


@dataclass(frozen=True)
class Needs:
    """What the table answers for a piece of work: the kinds that it needs, whether nobody may do it, in which words."""

    kinds: tuple[str, ...]
    nobody: bool
    says: str
    cite: str


@dataclass(frozen=True)
class May:
    """Whether somebody may do a piece of work today, and why, each a sentence. `cite`: of what the work needs."""

    word: Word
    why: tuple[str, ...]
    cite: str = ""


def kinds(house: Rulebook) -> tuple[Kind, ...]:
    """Every kind of training that the handling book knows, in its order."""
    found = []
    for key, one in house.sentences.items():
        if key.startswith(KIND):
            name, _, about = one.says.partition(": ")
            found.append(Kind(key.removeprefix(KIND), name, finish(about, {}), one.cite.document, one.cite.basis))
    return tuple(found)


def current(held: Iterable[Held]) -> dict[str, Held]:
    """By kind the training that counts: the last one done, and of one day the one that was written down last."""
    return {one.kind: one for one in sorted(held, key=lambda one: (one.done_on, one.seq))}


def state(one: Held | None, on: date) -> State:
    """Whether training holds on a day; its own last day counts whole. What nobody wrote down is not known."""
    if one is None:
        return "unknown"
    if on < one.done_on:
        return "not_yet"
    return "holds" if one.until is None or on <= one.until else "run_out"


def ends_soon(one: Held, on: date, house: LawDay) -> bool:
    """Whether training that holds on this day runs out within the time that the handling book names."""
    last = on + timedelta(days=int(house.number(SOON)))
    return state(one, on) == "holds" and one.until is not None and one.until <= last


def worst(*cares: str) -> str:
    """The worst of these steps of care."""
    return max(cares, key=CARE.index)


def needs(work: str, care: str, house: LawDay) -> Needs:
    """Which training a piece of work needs at this care. Raises LookupError where no row is in force."""
    asked = house.tables[TABLE]
    decision = asked.decide(tuple({"work": work, "care": care}[column] for column in asked.columns))
    if decision is None:
        raise LookupError(f"the table {TABLE} has no row in force")
    row = decision.rows[0]
    named = () if decision.then in (NOTHING, NOBODY) else tuple(decision.then.split())
    return Needs(named, decision.then == NOBODY, finish(row.says, house.words), row.cite.document)


def may_do(
    work: str, care: str, role: bool, roles: str, held: Mapping[str, Held], let: Sequence[Let], on: date, house: LawDay
) -> May:
    """Whether somebody may do a piece of work on a day. `role`: whether a role allows it; `roles`: those that are held.

    `held`: training that counts, by kind; `let`: what was let go ahead for this person on this day, for this work.
    """
    asked = needs(work, care, house)
    if asked.nobody:
        return May("no", (asked.says,), asked.cite)
    if not role:
        return May("no", (_said(house, "may_role", roles=roles),), asked.cite)
    states = {kind: state(held.get(kind), on) for kind in asked.kinds}
    names = {one.key: one.name[0].lower() + one.name[1:] for one in kinds(house.book)}
    wrong = tuple(_wrong(states, names, held, house))
    run_out = [kind for kind, found in states.items() if found == "run_out"]
    if not wrong:
        return May("yes", tuple(_trained(asked, names, house)), asked.cite)
    if let and len(run_out) == sum(found != "holds" for found in states.values()):
        return May("let", (*wrong, _said(house, "may_let", who=let[-1].who, why=let[-1].why.rstrip("."))), asked.cite)
    return May("no", (*wrong, asked.says), asked.cite)


def _trained(asked: Needs, names: Mapping[str, str], house: LawDay) -> Iterable[str]:
    if asked.kinds:
        yield _said(house, "may_trained", kinds=together(names[kind] for kind in asked.kinds))
    else:
        yield asked.says


def _wrong(
    states: Mapping[str, State], names: Mapping[str, str], held: Mapping[str, Held], house: LawDay
) -> Iterable[str]:
    """What speaks against it: what was never written down first, then what ran out, then what is yet to come."""
    if missing := [names[kind] for kind, found in states.items() if found == "unknown"]:
        yield _said(house, "may_missing", kinds=together(missing))
    for kind, found in states.items():
        until = held[kind].until if kind in held else None
        if found == "run_out" and until is not None:
            yield _said(house, "may_run_out", kind=names[kind], day=day_words(until))
        if found == "not_yet":
            yield _said(house, "may_not_yet", kind=names[kind], day=day_words(held[kind].done_on))


def together(words: Iterable[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last


def _said(house: LawDay, name: str, **slots: str) -> str:
    return finish(house.book.sentences[name].says, slots)
