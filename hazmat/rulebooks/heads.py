"""Under which head of a page or paper each act is shown."""

from collections.abc import Iterable
from typing import Any

from hazmat.core.law import Act
from hazmat.rulebooks import strict
from hazmat.rulebooks.strict import Shelfmark

PARTS = ("wear", "do_not", "take", "next")
"""Heads of a page or paper under which acts are shown."""


def read_parts(at: Shelfmark, given: Any, acts: Iterable[Act]) -> dict[str, str]:
    """The head of each act; nothing where the book names none. Raises RulebookError for an act without one."""
    if given is None:
        return {}
    found = {name: strict.one_of(at / name, part, PARTS) for name, part in strict.table(at, given).items()}
    missing = {act.act for act in acts} - set(found)
    if missing:
        raise at.refuse(f"it does not name {', '.join(sorted(missing))}", f"give each one of {', '.join(PARTS)}")
    return found
