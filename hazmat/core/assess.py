"""One unit judged: what the law makes us treat it as, how cautious hands must be, why, and what to do next.

Facts are read to a pattern (column values, classes and bands of the evidence, the plate), the pattern is judged, and
figures are filled into the sentences last. Units with one pattern are judged once.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from hazmat.core import care, gear, presume
from hazmat.core.bulk import CAPACITORS, Part, Seam
from hazmat.core.evidence import NO_WORDS, Bench, Reading, read_tests
from hazmat.core.facts import TANK, Space, Unit
from hazmat.core.findings import Finding, Reason, Shared, finish, of_row, of_sentence
from hazmat.core.identity import NO_PLATE, Names, Plate, read_plate
from hazmat.core.law import UNDETERMINED, Duty, Force, LawDay, Row
from hazmat.core.measures import add_years, day_words
from hazmat.core.presume import Named, Standing
from hazmat.core.signs import read_signs

KEPT_PATTERNS = 50_000
"""How many judged patterns are kept in memory at once. Source: our own choice, some 100 MB at most."""


@dataclass(frozen=True, slots=True)
class Task:
    """Something to do next, in words."""

    act: str
    says: str


@dataclass(frozen=True, slots=True)
class Owed:
    """What the law asks of this role, in words; `due` where the day that its clock counts from is known."""

    name: str
    says: str
    due: date | None
    cite: str


@dataclass(frozen=True, slots=True)
class Problem:
    """A field of the line that needs mending, and how."""

    field: str
    says: str


class Assessment(NamedTuple):
    """The answer for one unit. `good_until`: the last day on which nothing that it used changes, None where none is
    known."""

    id: str
    rulebook: str | None
    edition: str | None
    on: date
    klass: str
    basis: str
    force: Force | None
    band: str
    care: str
    size: str | None
    instrument: str | None
    because: tuple[Finding, ...]
    next: tuple[Task, ...]
    duties: tuple[Owed, ...]
    problems: tuple[Problem, ...]
    good_until: date | None


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

    @property
    def pattern(self) -> tuple[object, ...]:
        """All that the judgement hangs on; equal patterns are judged once."""
        first = self.parts[0]
        names = tuple([part.name for part in self.parts]) if len(self.parts) > 1 else ()
        readings = tuple([r.pattern for r in self.readings]) if self.readings else ()
        return (
            first.kind, names, self.presumption, self.bands, readings, self.part_of, self.named, self.size, self.role,
            self.state,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Judgement:
    """The answer for a pattern. Reasons without figures of the unit are words already; the others point at a reading.

    `whole`: all of them, where every one is in words. `owed`: the duties in words, of a unit without the day from which
    a clock counts.
    """

    klass: str
    basis: str
    force: Force | None
    band: str
    care: str
    size: str | None
    because: tuple[Finding | Reason, ...]
    whole: tuple[Finding, ...] | None
    next: tuple[Task, ...]
    duties: tuple[Duty, ...]
    owed: tuple[Owed, ...]
    mends: tuple[tuple[int, Reason], ...]


class Judge:
    """Judges units under one law (or none) as at one day, remembering the patterns it has judged.

    `law` None: no rulebook is held for the country; the band alone then decides the care.
    """

    def __init__(self, law: LawDay | None, house: LawDay, names: Names, on: date) -> None:
        self.given, self.house, self.names, self.on = law, house, names, on
        self.law = law if law and law.in_force else None
        self.seam = Seam(self.law, house)
        self.claim_below: Decimal = house.number("label_claim")
        self.says = {**house.book.sentences, **(law.book.sentences if law else {})}
        self.good_until = min((day for day in (law and law.holds_until(), house.holds_until()) if day), default=None)
        self._plates: dict[tuple[str, ...], Plate] = {}
        self._words: dict[str, Finding] = {}
        self._tasks: dict[tuple[str, ...], tuple[Task, ...]] = {}
        self._judged: dict[tuple[object, ...], Judgement] = {}
        book = law.book if law else None
        self.name = book.name if book else None
        self.edition = f"{book.edition.isoformat()}.{book.digest[:10]}" if book else None
        self.instrument = self.law.words.get("instrument") if self.law else None
        self._slots = {**house.words, **(law.words if law else {}), "on": day_words(on)}

    def assess(self, unit: Unit) -> Assessment:
        """The whole answer for one unit, in words."""
        return self.answer(unit, self.view(unit))

    def answer(self, unit: Unit, view: View) -> Assessment:
        """The same, of a unit whose view is made."""
        return self.fill(unit, view, self.judgement(view))

    def judgement(self, view: View) -> Judgement:
        """The judgement of a pattern, made once."""
        pattern = view.pattern
        known = self._judged.get(pattern)
        if known is None:
            if len(self._judged) >= KEPT_PATTERNS:
                self._judged.clear()
            known = self._judged[pattern] = self.judge(view)
        return known

    # ------------------------------------------------------------------ facts to columns

    def view(self, unit: Unit) -> View:
        """A unit as the tables see it. With no test and no listed space it has one part, the tank."""
        plate = self._plate(unit.plate_words) if unit.plate_words else NO_PLATE
        alone = not (unit.tests or unit.spaces)
        readings = [] if alone or not unit.tests else read_tests(Bench(unit, plate, self.law, self.house))
        if alone:
            parts: tuple[Part, ...] = (Part(unit, TANK, unit.kind, unit.built, False, True, False, plate),)
        else:
            parts = _parts(unit, plate, readings)
        named = None
        if unit.marks or unit.history or plate.reads != "none" or unit.fluid == "askarel":
            readings += read_signs(Bench(unit, plate, self.law, self.house), parts[0], self.seam)
            named = self._named(unit, plate, readings)
        if self.given is None:
            where = str(unit.found_in or "a country that is not given")
            readings.append(Reading("no_rulebook", at="found_in", values={"country": where}))
        size, role, state = self._size_columns(parts[0]), unit.role or "unknown", _state(unit)
        presumption, band = self.seam.columns(parts[0])
        if len(parts) == 1:
            part_of = (0,) * len(readings)
            return View(parts, (presumption,), (band,), tuple(readings), part_of, named, size, role, state)
        asked = [(presumption, band), *map(self.seam.columns, parts[1:])]
        place = {part.name: n for n, part in enumerate(parts)}
        part_of = tuple([place[r.space] for r in readings])
        presumptions, bands = zip(*asked, strict=True)
        return View(parts, presumptions, bands, tuple(readings), part_of, named, size, role, state)

    def _plate(self, texts: tuple[str, ...]) -> Plate:
        """What the words of a plate come to; the same words are read once."""
        known = self._plates.get(texts)
        if known is None:
            if len(self._plates) >= KEPT_PATTERNS:
                self._plates.clear()
            known = self._plates[texts] = read_plate(texts, self.names, self.name or "", self.claim_below)
        return known

    def _size_columns(self, part: Part) -> tuple[str, ...]:
        law = self.law
        if law is None or part.unit.kind not in CAPACITORS or "capacitor_size" not in law.tables:
            return ()
        return self.seam.capacitor_size(part, law)

    def _named(self, unit: Unit, plate: Plate, readings: list[Reading]) -> Named | None:
        """A listed PCB fluid on the plate, or askarel said; its words become a reading of their own."""
        if plate.reads == "pcb":
            key, at, word = "plate_pcb", "plate_words", plate.word
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

    # ------------------------------------------------------------------ a pattern judged

    def judge(self, view: View) -> Judgement:
        """Judge a pattern: class, band, care, reasons, what to do next, duties, what to mend."""
        by_part = [
            [(n, r) for n, r in enumerate(view.readings) if view.part_of[n] == place]
            for place in range(len(view.parts))
        ]
        bands = [care.band_of(mine, view.bands[place], self.house, self.says) for place, mine in enumerate(by_part)]
        worst_band = max(bands, key=lambda one: care.rank(one.band))
        decided = self._class(view, by_part)
        taken = care.care_of(bands, decided.klass, self.law, any(r.unread for r in view.readings))
        size = self._size(view)
        reasons = _once([*decided.reasons, *([of_row(size)] if size else []), *self._other(view), *worst_band.reasons])
        mends = tuple((n, of_sentence(self.house.book.mends[r.mend], n)) for n, r in enumerate(view.readings) if r.mend)
        disputes = tuple(
            (b.disputed_by, of_sentence(self.house.book.mends["disagree"], b.disputed_by))
            for b in bands
            if b.disputed_by is not None
        )
        duties = (
            tuple(d for d in self.law.book.duties if decided.klass in d.classes and view.role in d.roles)
            if self.law
            else ()
        )
        because = tuple([self._settled(r) if r.reading is None else r for r in reasons])
        whole = Shared([one for one in because if isinstance(one, Finding)])
        return Judgement(
            klass=decided.klass,
            basis=decided.basis,
            force=decided.force,
            band=worst_band.band,
            care=taken,
            size=size.then if size else None,
            because=because,
            whole=whole if len(whole) == len(because) else None,
            next=self._acts(view, decided, taken, bands),
            duties=duties,
            owed=Shared([_owed(duty, self._slots) for duty in duties]),
            mends=mends + disputes,
        )

    def _class(self, view: View, by_part: list[list[tuple[int, Reading]]]) -> Standing:
        if self.law is None:
            why = (
                of_sentence(self.says["not_in_force"])
                if self.given
                else of_sentence(self.says["no_rulebook"], len(view.readings) - 1)
            )
            return Standing(UNDETERMINED, UNDETERMINED, None, (why,))
        law = self.law
        found = [
            presume.standing(mine, view.named, view.presumption[place], law, self.says)
            for place, mine in enumerate(by_part)
        ]
        place = presume.worst(found, law)
        if len(found) == 1 or found[place].basis == "established":
            return found[place]
        stands = of_sentence(self.says["space_stands"])
        words = {**self._slots, "space": view.parts[place].name}
        named_space = Reason(stands.key, _plain(stands.finished(words)), stands.cite)
        return Standing(
            found[place].klass, found[place].basis, found[place].force, (*found[place].reasons, named_space)
        )

    def _size(self, view: View) -> Row | None:
        if not view.size or self.law is None:
            return None
        decision = self.law.tables["capacitor_size"].decide(view.size)
        return decision.rows[0] if decision else None

    def _other(self, view: View) -> list[Reason]:
        """Every other reading, so that nothing that was given goes unanswered."""
        return [of_sentence(self.says[reading.key], n) for n, reading in enumerate(view.readings)]

    def _acts(self, view: View, decided: Standing, taken: str, bands: list[care.Band]) -> tuple[Task, ...]:
        low = self.law is not None and decided.klass == self.law.book.classes[0]
        standing = (
            "not_established" if decided.basis != "established" else "established_low" if low else "established_high"
        )
        facts = {
            "standing": standing, "care": taken, "reach": gear.reach_of(view.parts[0].kind, self.house),
            "state": view.state, "unit_of_measure": "fine", "grade": "fine", "screen": "fine", "history": "fine",
            "figures": "disagree" if any(band.raised_to for band in bands) else "fine",
        }  # fmt: skip
        for reading in view.readings:
            facts.update(reading.wants)
        asked = (*facts.values(), view.role)
        if asked not in self._tasks:
            acts = gear.next_acts(facts, self.name or gear.NO_LAW, view.role, self.house)
            self._tasks[asked] = Shared([Task(act.key, self._settled(act).says) for act in acts])
        return self._tasks[asked]

    # ------------------------------------------------------------------ words last

    def fill(self, unit: Unit, view: View, judged: Judgement) -> Assessment:
        """Put figures and days of the unit into the sentences of a judged pattern."""
        readings, because, owed = view.readings, judged.whole, judged.owed
        if because is None:
            because = tuple([one if isinstance(one, Finding) else self._said(one, readings) for one in judged.because])
        if owed and unit.decided_waste:
            owed = tuple([_counted(duty, said, unit, self.law) for duty, said in zip(judged.duties, owed, strict=True)])
        mends = [Problem(readings[n].at, self._said(mend, readings).says) for n, mend in judged.mends]
        return Assessment(
            str(unit.id), self.name, self.edition, self.on, judged.klass, judged.basis, judged.force, judged.band,
            judged.care, judged.size, self.instrument, because, judged.next, owed, tuple(mends), self.good_until,
        )  # fmt: skip

    def _said(self, reason: Reason, readings: tuple[Reading, ...]) -> Finding:
        """A reason with the figures of its reading; a slot that the reading does not fill is a figure of the law."""
        values = NO_WORDS if reason.reading is None else readings[reason.reading].values
        try:
            return self._finding(reason, values)
        except KeyError:
            return self._finding(reason, {**self._slots, **values})

    def _settled(self, reason: Reason) -> Finding:
        """A reason that needs no figure of the unit, put in words once."""
        known = self._words.get(reason.says)
        if known is None or known.key != reason.key:
            known = self._words[reason.says] = self._finding(reason, self._slots)
        return known

    def _finding(self, reason: Reason, words: Mapping[str, str]) -> Finding:
        return Finding(reason.key, reason.finished(words), reason.cite.document, reason.cite.basis)


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


def _once(reasons: list[Reason]) -> tuple[Reason, ...]:
    """Each reason once, in the order in which it first came."""
    seen: dict[tuple[str, int | None], Reason] = {}
    for reason in reasons:
        seen.setdefault((reason.key, reason.reading), reason)
    return tuple(seen.values())


def _plain(text: str) -> str:
    """Words of a register inside a sentence that is still to be filled: no slot can open in them."""
    return text.replace("{", "(").replace("}", ")")


def _owed(duty: Duty, words: Mapping[str, str]) -> Owed:
    return Owed(duty.name, finish(duty.says, words), None, duty.cite.document)


def _counted(duty: Duty, said: Owed, unit: Unit, law: LawDay | None) -> Owed:
    """The same duty with its day, where the day that its clock counts from is known."""
    start = getattr(unit, duty.counts_from) if duty.counts_from else None
    if start is None or law is None or duty.years is None:
        return said
    return Owed(said.name, said.says, add_years(start, int(law.numbers[duty.years])), said.cite)
