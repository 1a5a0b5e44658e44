"""The items of a load as pages show them: how strongly each is known, in the words of its own page."""

from dataclasses import dataclass
from uuid import UUID

from disposal.core.drumnow import DrumNow
from disposal.core.loadnow import ItemNow, LoadNow
from disposal.queries.drums import DRUMS
from disposal.views.drums import words_of
from hazmat import rulebooks
from hazmat.core import parts
from hazmat.core.telling import kind_word
from hazmat.core.unitnow import UnitNow
from hazmat.queries.units import UNITS


@dataclass(frozen=True)
class Shown:
    """An item with its kind in words, its strength, and whether it goes unproven, as the worst that it may be."""

    item: ItemNow
    kind: str
    strength: str
    presumed: bool


def shown(load: LoadNow) -> list[Shown]:
    """Every item of a load, those that came off last."""
    return [_shown(one) for one in sorted(load.items, key=lambda one: bool(one.off))]


def _shown(item: ItemNow) -> Shown:
    if item.thing == "drum":
        drum = DRUMS.kept(UUID(item.of))
        words = drum_strength(drum) if drum else ""
        return Shown(item, "drum", words, drum is not None and drum.known == "untested")
    unit = UNITS.kept(UUID(item.of))
    if unit is None:
        return Shown(item, "unit", "", False)
    kind = ", ".join(filter(None, (kind_word(unit.line.get("kind")), item.lot)))
    return Shown(item, kind, unit_strength(unit), unit.stands == "hold")


def unit_strength(unit: UnitNow) -> str:
    """How strongly the class of a unit is known, as its own page says it."""
    law = rulebooks.law(unit.answer.get("rulebook"))
    return parts.strength(unit.answer, law, rulebooks.rulebook(rulebooks.HANDLING))


def drum_strength(drum: DrumNow) -> str:
    """How strongly the class of what is, or was, in a drum is known, as its own page says it."""
    return str(words_of(drum).strength)
