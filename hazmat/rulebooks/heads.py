"""Under which head of a page or paper each act is shown, and which act is told first."""

from collections.abc import Iterable, Mapping
from typing import Any

from hazmat.core.gear import ACTS_OF_TABLES
from hazmat.core.law import Act
from hazmat.core.parts import HEADS
from hazmat.rulebooks import strict
from hazmat.rulebooks.strict import Shelfmark


def read_parts(at: Shelfmark, given: Any, acts: Iterable[Act], tables: Iterable[str]) -> dict[str, str]:
    """The head of each act of a book, those told from its tables among them.

    Raises RulebookError for an act without a head, and for a head of what is no act.
    """
    told = [act for name in tables for act in ACTS_OF_TABLES.get(name, ())]
    known = list(dict.fromkeys([*(act.act for act in acts), *told]))
    found = {
        name: strict.one_of(at / name, part, HEADS)
        for name, part in strict.table(at, {} if given is None else given).items()
    }
    missing = [act for act in known if act not in found]
    if missing:
        raise at.refuse(f"it does not name {', '.join(missing)}", f"give each one of {', '.join(HEADS)}")
    for name in found:
        if name not in known:
            raise (at / name).refuse("it is no act of this rulebook", f"use one of: {', '.join(known) or '(none)'}")
    return found


def read_first(at: Shelfmark, given: Any, acts: Iterable[Act], parts: Mapping[str, str]) -> tuple[str, ...]:
    """Which act is told first, in order; behind them comes what always stands under what to do next.

    Raises RulebookError for what is no act, and where an answer could be left without a first act.
    """
    known = {act.act: act for act in acts}
    if given is None:
        return ()
    found = tuple(strict.one_of(at, name, known) for name in strict.words(at, given))
    if not any(not act.when and parts[act.act] == "next" for act in known.values()):
        raise at.refuse("some answer could be left without a first act", 'put a row with when = {} under "next"')
    return found
