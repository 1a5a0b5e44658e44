"""The gear card of a task: what is worn, what never, who may, what is within reach, how long, washing, when to stop.

Every line is a sentence of the handling book with its document. Whoever has more to say for a task adds rows to its
section `card`, or hands lines in.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from hazmat.core.findings import Reason, finish
from hazmat.core.law import Cite, LawDay
from hazmat.core.wear import BARRED, HEADS, NOTHING, NOTHING_SAID, Work, Worn, worn

PARTS: Mapping[str, str] = {
    "never": "Never", "who": "Who may", "reach": "Within reach", "mind": "Mind also", "lasts": "How long",
    "wash": "Wash", "stop": "Stop and leave",
}  # fmt: skip
"""Heads of a card below what is worn, by what the name of a line begins with, in order."""
TASK_WORDS: Mapping[str, str] = {
    "look": "Look at it", "sample": "Take a sample", "bench": "Bench screen", "drain": "Drain or pump",
    "drums": "Handle drums", "cut": "Cut or dismantle", "spill": "Clear a spill", "hand_over": "Hand it over",
    "after_fire": "After a fire",
}  # fmt: skip
SUPPLIED, MASK = "supplied", "mask"
POLICIES = (SUPPLIED, MASK)
"""The published rules on respirators, the stricter one first."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a card: its name, its words, its document and how we know it.

    `chosen`: why it stands here and how we know that, where a table chose it; `picture`: name of its drawing, or empty.
    """

    name: str
    says: str
    cite: str
    basis: str
    chosen: str = ""
    chosen_by: str = ""
    chosen_basis: str = ""
    picture: str = ""


@dataclass(frozen=True, slots=True)
class Card:
    """A gear card. `care`: that it goes by; `hands`: the gloves; `wear`: pieces, none where nobody here does it.

    `parts`: lines by head; `raised`: why more is worn than task and care ask for; `air`: both published rules on
    respirators, that of the yard first.
    """

    task: str
    title: str
    care: str
    who: str
    hands: str
    wear: tuple[Line, ...]
    raised: tuple[Line, ...]
    parts: Mapping[str, tuple[Line, ...]]
    air: tuple[Line, ...]

    @property
    def barred(self) -> bool:
        """Whether nobody here does it."""
        return self.who == BARRED

    def every(self) -> Iterator[Line]:
        """Each line, in the order in which it is read."""
        yield from (*self.wear, *self.raised)
        for told in self.parts.values():
            yield from told
        yield from self.air


def card(house: LawDay, task: str, care: str, work: Work = NOTHING_SAID, more: Iterable[Line] = ()) -> Card:
    """The card of a task at a care of hands. `more`: lines of others, each under the head that its name begins with.

    Raises KeyError for a task that is none, LookupError where a table has no row.
    """
    found = worn(house, task, care, work)
    lines = [*_lines(house, found), *more]
    parts = {part: tuple(one for one in lines if one.name.partition("_")[0] == part) for part in PARTS}
    return Card(
        task=task, title=TASK_WORDS[task], care=found.care, who=found.who, hands=found.pieces["hands"],
        wear=tuple(_wear(house, found)),
        raised=tuple(_of(house, one) for one in found.raised), parts=parts, air=_air(house, found, work.policy),
    )  # fmt: skip


def _wear(house: LawDay, found: Worn) -> Iterator[Line]:
    """The pieces that are worn, each with its picture, and why it was chosen; that no mask is worn is said too."""
    for head in HEADS:
        piece, why = found.pieces[head], found.why[head]
        name = f"gear_{piece}"
        if piece in NOTHING and name not in house.book.sentences:
            continue
        said = house.book.sentences[name]
        yield Line(
            name, _words(house, said.says), said.cite.document, said.cite.basis, why.finished(house.words),
            why.cite.document, why.cite.basis, picture=piece,
        )  # fmt: skip


def _lines(house: LawDay, found: Worn) -> Iterator[Line]:
    """The lines of the book that fit this task as it is done."""
    facts = {
        "task": found.task, "care": found.care, "who": found.who, "hands": found.pieces["hands"],
        "breath": found.pieces["breath"],
    }  # fmt: skip
    for one in house.book.card:
        if one.wanted(facts):
            yield _line(house, one.act, one.says, one.cite)


def _air(house: LawDay, found: Worn, policy: str) -> tuple[Line, ...]:
    """Both published rules on respirators, that of the yard first; none where nobody here does it."""
    if found.who == BARRED:
        return ()
    order = sorted(POLICIES, key=lambda one: one != policy)
    return tuple(
        _line(house, name, house.book.sentences[name].says, house.book.sentences[name].cite)
        for name in (f"air_{one}" for one in order)
    )


def _of(house: LawDay, reason: Reason) -> Line:
    return _line(house, reason.key, reason.says, reason.cite)


def _line(house: LawDay, name: str, says: str, cite: Cite) -> Line:
    return Line(name, _words(house, says), cite.document, cite.basis)


def _words(house: LawDay, says: str) -> str:
    return finish(says, house.words)
