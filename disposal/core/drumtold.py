"""A drum in words: what holds it, how strongly its class is known, how hands take it, what is in it. Pure.

What law and good practice ask is said by sentences of the handling book; here is only chosen which.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from disposal.core.drumnow import DrumNow, Source
from hazmat.core import parts
from hazmat.core.findings import finish
from hazmat.core.law import Rulebook
from hazmat.core.telling import KNOWN_WORDS

Laws = Callable[[str], Rulebook | None]
"""A law by its name; None where none of that name is held."""
PLACES: Mapping[str, str] = {
    "here": "here", "on_load": "on a load", "gone": "gone", "destroyed": "proven destroyed",
}  # fmt: skip
MISSING = "missing: it left, and the facility never got it"
"""Said of a drum of which nobody knows where it is."""


@dataclass(frozen=True)
class SourceTold:
    """A source: itself, how strongly its class is known, and how well."""

    source: Source
    strength: str
    how: str


@dataclass(frozen=True)
class DrumTold:
    """What the page and the label of a drum say of it.

    `mark`: what the inked ring is drawn from; `strength`, `hands`: empty while nothing was poured into it; `hold`: its
    strip; `content`: what is in it, in litres and in kg; `dated`: what dated it; `worst`: why its class is what it is.
    """

    mark: Mapping[str, Any]
    strength: str
    hands: str
    hold: parts.Hold
    content: str
    dated: str
    worst: str
    place: str
    sources: tuple[SourceTold, ...]


def told(drum: DrumNow, law_of: Laws, house: Rulebook) -> DrumTold:
    """The words of a drum."""
    answer = parts.oil_answer(drum.klass, drum.care, drum.known)
    law = law_of(drum.rulebook)
    dated = {"law": "drum_dated_by_law", "poured": "drum_dated_by_pour"}.get(drum.dated_by)
    return DrumTold(
        mark={"band": drum.care, "basis": parts.BASIS[drum.known]},
        strength=parts.strength(answer, law, house) if drum.sources else "",
        hands=parts.hands(answer, law, house) if drum.sources else "",
        hold=_hold(drum, house), content=content(drum), dated=_says(house, dated) if dated else "",
        worst=_worst(drum, house), place=MISSING if drum.lost else PLACES[drum.place],
        sources=tuple(source_told(one, law_of(one.rulebook), house) for one in drum.sources),
    )  # fmt: skip


def source_told(source: Source, law: Rulebook | None, house: Rulebook) -> SourceTold:
    """The words of one source."""
    strength = parts.oil_strength(source.klass, source.care, source.known, law, house)
    return SourceTold(source, strength, KNOWN_WORDS[source.known])


def _says(house: Rulebook, name: str) -> str:
    return finish(house.sentences[name].says, {})


def _hold(drum: DrumNow, house: Rulebook) -> parts.Hold:
    """What its strip says: held while a source has no signed result, and as PCB where that is shown."""
    if not drum.sources:
        return parts.Hold(False, _says(house, "drum_empty"), "")
    if drum.known == "untested":
        return parts.Hold(True, _says(house, "drum_hold"), _says(house, "drum_hold_lifts"))
    if drum.known == "high":
        return parts.Hold(True, _says(house, "drum_high"), "")
    return parts.Hold(False, _says(house, "drum_low"), "")


def _worst(drum: DrumNow, house: Rulebook) -> str:
    if drum.common or not drum.sources:
        return drum.common
    laws = {one.rulebook for one in drum.sources}
    return _says(house, "drum_of_two_laws" if len(laws) > 1 else "drum_worst")


def content(drum: DrumNow) -> str:
    """What is in it: `30 L, 26.4 kg`, or what is known of that where not all was measured."""
    if not drum.moves:
        return "nothing"
    litres = _measured(drum.litres, drum.between_l, "L", "measured in litres")
    kg = _measured(drum.kg, drum.between_kg, "kg", "weighed")
    return f"{litres}, {kg}"


def _measured(exact: str, between: tuple[str, str], sign: str, how: str) -> str:
    least, most = between
    if exact:
        return f"{exact} {sign}"
    if most:
        return f"{least} to {most} {sign}, not all of it {how}"
    return f"not {how}" if least == "0" else f"at least {least} {sign}, not all of it {how}"
