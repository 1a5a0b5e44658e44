"""The shelf: every rulebook that ships, loaded once, strictly, and proved.

`us.toml`, `nz.toml` are laws; `handling.toml` is the same in every country; `fluids.toml` lists fluid names.
"""

from functools import cache
from pathlib import Path

from hazmat.core.law import Rulebook
from hazmat.rulebooks.load import load

HERE = Path(__file__).parent
HANDLING = "handling"
FLUIDS = "fluids"


@cache
def rulebook(name: str) -> Rulebook:
    """One rulebook by name. Raises KeyError where none of that name ships, RulebookError where it is broken."""
    path = HERE / f"{name}.toml"
    if name not in names():
        raise KeyError(name)
    return load(path)


@cache
def names() -> tuple[str, ...]:
    """The names of all rulebooks that ship, laws and handling."""
    return tuple(sorted(path.stem for path in HERE.glob("*.toml") if path.stem != FLUIDS))


def laws() -> tuple[str, ...]:
    """The names of the laws."""
    return tuple(name for name in names() if name != HANDLING)


def law(name: str | None) -> Rulebook | None:
    """The law of this name; None where none of that name is held."""
    return rulebook(name) if name in laws() else None


def shelf() -> dict[str, Rulebook]:
    """Every rulebook that ships, by name."""
    return {name: rulebook(name) for name in names()}


@cache
def law_of(place: str) -> str | None:
    """The name of the law of a country code, or None where no rulebook is held for it."""
    return next(
        (name for name in laws() if place[:2] in rulebook(name).found_in or place in rulebook(name).found_in), None
    )
