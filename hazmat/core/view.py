"""A unit as the tables see it: facts to parts, readings and column values; all that its judgement hangs on."""

from decimal import Decimal
from typing import NamedTuple

from hazmat.core.bulk import CAPACITORS, Part, Seam
from hazmat.core.evidence import WATER_KG_L, Context, Reading, read_tests
from hazmat.core.facts import TANK, Space, Unit
from hazmat.core.identity import NO_PLATE, Names, Plate, read_plate
from hazmat.core.law import LawDay
from hazmat.core.presume import Named
from hazmat.core.signs import read_signs

KEPT_PLATES = 50_000
"""How many readings of plates are kept at once. Source: our own choice."""


class View(NamedTuple):
    """A unit as the tables see it: parts, readings with the part that each speaks for, and the rest that decides."""

    parts: tuple[Part, ...]
    presumption: tuple[tuple[str, ...], ...]
    bands: tuple[tuple[str, ...], ...]
    readings: tuple[Reading, ...]
    part_of: tuple[int, ...]
    named: Named | None
    size: tuple[str, ...]
    role: str
    state: str
    owed: tuple[str, ...] = ()

    @property
    def pattern(self) -> tuple[object, ...]:
        """All that the judgement hangs on; equal patterns are judged once."""
        first = self.parts[0]
        names = tuple([part.name for part in self.parts]) if len(self.parts) > 1 else ()
        readings = tuple([r.pattern for r in self.readings]) if self.readings else ()
        return (
            first.kind, names, self.presumption, self.bands, readings, self.part_of, self.named, self.size, self.role,
            self.state, self.owed,
        )  # fmt: skip


class Viewer:
    """Makes views under one law. `given`: the law asked for; `law`: the same where it is in force on that day."""

    def __init__(self, given: LawDay | None, law: LawDay | None, house: LawDay, names: Names) -> None:
        self.given, self.law, self.house, self.names = given, law, house, names
        self.name = given.book.name if given else ""
        self.seam = Seam(law, house)
        self.claim_below: Decimal = house.number("label_claim")
        self._asks_amounts = law is not None and any(line.also for line in law.book.lines)
        self._plates: dict[tuple[str, ...], Plate] = {}

    def view(self, unit: Unit) -> View:
        """A unit as the tables see it. With no test and no listed space it has one part, the tank."""
        plate = self._plate(unit.plate_words) if unit.plate_words else NO_PLATE
        readings, sinks, alone = [], False, not unit.spaces
        if unit.tests or unit.density_kg_l:
            context = self._context(unit, plate)
            readings = read_tests(context) + _heavy(context)
            for reading in readings:
                sinks = sinks or reading.sinks
                alone = alone and reading.space == TANK
        if alone:
            parts: tuple[Part, ...] = (Part(unit, TANK, unit.kind, unit.built, False, True, sinks, plate),)
        else:
            parts = _parts(unit, plate, readings)
        named = None
        if unit.marks or unit.history or plate.reads != "none" or unit.fluid == "askarel":
            readings += read_signs(self._context(unit, plate), parts[0], self.seam)
            named = self._named(unit, plate, readings)
        if self.given is None:
            where = str(unit.found_in or self.house.book.whys["no_country"].says)
            readings.append(Reading("no_rulebook", at="found_in", values={"country": where}))
        size, role, state = self._size_columns(parts[0]), unit.role or "unknown", _state(unit)
        owed = self.seam.owed_columns(parts[0])
        presumption, band = self.seam.columns(parts[0])
        if len(parts) == 1:
            part_of = (0,) * len(readings)
            return View(parts, (presumption,), (band,), tuple(readings), part_of, named, size, role, state, owed)
        asked = [(presumption, band), *map(self.seam.columns, parts[1:])]
        place = {part.name: n for n, part in enumerate(parts)}
        part_of = tuple([place[r.space] for r in readings])
        presumptions, bands = zip(*asked, strict=True)
        return View(parts, presumptions, bands, tuple(readings), part_of, named, size, role, state, owed)

    def _context(self, unit: Unit, plate: Plate) -> Context:
        """What a reader of evidence needs; how much there is only where the law asks."""
        if not self._asks_amounts:
            return Context(unit, plate, self.law, self.house)
        tank = Part(unit, TANK, unit.kind, unit.built, False, True, False, plate)
        return Context(unit, plate, self.law, self.house, self.seam.amounts(tank))

    def _plate(self, texts: tuple[str, ...]) -> Plate:
        """What the words of a plate come to; the same words are read once."""
        known = self._plates.get(texts)
        if known is None:
            if len(self._plates) >= KEPT_PLATES:
                self._plates.clear()
            known = self._plates[texts] = read_plate(texts, self.names, self.name, self.claim_below)
        return known

    def _size_columns(self, part: Part) -> tuple[str, ...]:
        law = self.law
        if law is None or part.unit.kind not in CAPACITORS or "capacitor_size" not in law.tables:
            return ()
        return self.seam.capacitor_size(part, law)

    def _named(self, unit: Unit, plate: Plate, readings: list[Reading]) -> Named | None:
        """A listed PCB fluid on the plate, or askarel said; its words become a reading of their own."""
        if plate.reads == "pcb":
            key, at, word = "plate_bare" if plate.bare else "plate_pcb", "plate_words", plate.word
        elif unit.fluid == "askarel":
            key, at, word = "askarel_said", "fluid", "askarel"
        else:
            return None
        klass = (
            self.law.book.class_words[self.law.book.top].says
            if self.law
            else self.house.book.class_words[self.house.book.top].says
        )
        readings.append(Reading(key, at=at, values={"word": word, "class": klass}))
        return Named(key, len(readings) - 1)


def _heavy(context: Context) -> list[Reading]:
    """A liquid whose density, given for the unit or with a result, is above that of water sinks in it."""
    unit, found = context.unit, []
    if unit.density_kg_l and unit.density_kg_l > WATER_KG_L:
        found.append(("density_kg_l", TANK))
    for place, test in enumerate(unit.tests):
        if test.density_kg_l and test.how != "density" and test.density_kg_l > WATER_KG_L:
            found.append((f"tests[{place}].density_kg_l", test.space))
    return [Reading("sinks", sinks=True, at=at, space=s, values={"where": context.where(s)}) for at, s in found]


def _state(unit: Unit) -> str:
    return unit.state if unit.state in ("leaking", "drained") else "other"


def _parts(unit: Unit, plate: Plate, tests: list[Reading]) -> tuple[Part, ...]:
    """The tank, every space that is listed, and every space that a test names."""
    listed = {space.name: space for space in unit.spaces}
    order = dict.fromkeys([TANK, *listed, *(r.space for r in tests)])
    sinking = {r.space for r in tests if r.sinks}
    return tuple(_part(unit, name, listed.get(name), name in sinking, plate) for name in order)


def _part(unit: Unit, name: str, space: Space | None, sinks: bool, plate: Plate) -> Part:
    kind = space.kind if space and space.kind else unit.kind
    return Part(
        unit=unit,
        name=name,
        kind=kind,
        built=space.built if space and space.built else unit.built,
        sealed=bool(space and space.sealed),
        like_unit=kind == unit.kind,
        sinks=sinks,
        plate=plate,
    )
