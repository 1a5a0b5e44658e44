"""The class and care of oil of several units in one container: the worst of all, as each is known now. Pure.

Dilution lowers nothing: no share of a source, and no later figure of the mixture, has a say.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import permutations

from disposal.core.drumnow import Source
from hazmat.core.bulk import CARE
from hazmat.core.findings import finish
from hazmat.core.law import UNDETERMINED, LawDay
from hazmat.core.unitnow import Known

COMMON = "common_container"
"""The table of a law for oil of several units in one container; a law may have none."""
DOUBT: tuple[Known, ...] = ("low", "high", "untested")
"""How well a class is known, the least known last."""


@dataclass(frozen=True)
class Worst:
    """The worst of several oils; `common`: a sentence of the law by which all of it counts as worse than each."""

    klass: str = UNDETERMINED
    care: str = CARE[-1]
    known: Known = "untested"
    rulebook: str = ""
    common: str = ""


def worst(sources: Sequence[Source], law_of: Callable[[str], LawDay | None]) -> Worst:
    """The worst of these. Where the laws of sources differ no law decides, and the worst care stands.

    `law_of`: a law by its name, on the day that counts; None where there is none.
    """
    if not sources:
        return Worst()
    care = max((one.care for one in sources), key=CARE.index)
    known = max((one.known for one in sources), key=DOUBT.index)
    names = {one.rulebook for one in sources}
    law = law_of(next(iter(names))) if len(names) == 1 else None
    if law is None:
        return Worst(care=care, known=known)
    klass = _worst_class((one.klass for one in sources), law.book.classes)
    least, says = _common(sources, law)
    if klass != UNDETERMINED and law.rank[least] > law.rank[klass]:
        care = max(care, law.book.class_words[least].band, key=CARE.index)
        return Worst(least, care, known, law.book.name, says)
    return Worst(klass, care, known, law.book.name)


def _worst_class(klasses: Iterable[str], classes: tuple[str, ...]) -> str:
    """The worst class in the order of the law; an undetermined one could be any, so it gives way to the top alone."""
    order = (*classes[:-1], UNDETERMINED, classes[-1])
    return max(klasses, key=order.index)


def _common(sources: Sequence[Source], law: LawDay) -> tuple[str, str]:
    """The class that the law gives all of it at least, with its sentence: each untested oil beside each other one."""
    found = (law.book.classes[0], "")
    table = law.tables.get(COMMON)
    for one, other in permutations(sources, 2) if table else ():
        if one.known != "untested":
            continue
        shown = "low" if other.known == "low" else "not_low"
        asked = {"untested_kind": one.unit_kind, "other_kind": other.unit_kind, "other_shown": shown}
        decision = table.decide(tuple(asked[column] for column in table.columns)) if table else None
        if decision and law.rank[decision.then] > law.rank[found[0]]:
            found = decision.then, finish(decision.rows[0].says, law.words)
    return found
