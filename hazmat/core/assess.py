"""One unit judged: what the law makes us treat it as, how cautious hands must be, why, and what to do next.

Facts are read to a pattern (column values, classes and bands of the evidence, the plate), the pattern is judged, and
figures are filled into the sentences last. Units with one pattern are judged once.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from hazmat.core import care, gear, presume
from hazmat.core.evidence import NO_WORDS, Reading
from hazmat.core.facts import Unit
from hazmat.core.findings import Finding, Reason, Shared, finish, of_row, of_sentence, spoken
from hazmat.core.identity import Names
from hazmat.core.law import UNDETERMINED, Duty, Force, LawDay, Row
from hazmat.core.measures import day_words
from hazmat.core.presume import Ruling
from hazmat.core.view import View, Viewer

SCREENS = ("screen_above", "screen_shows")
"""Readings that speak against a maker's document, as long as no laboratory has answered them."""
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
    """The answer for one unit.

    `klass`: a class of the rulebook, or undetermined; `basis`: presumed, plate, screened, established or undetermined;
    `force`: must, may or care of a presumption, else None; `band`: lt2, 2_49, 50_499, ge500 or unknown; `care`: the
    same without unknown; `size`: of a capacitor where the law sizes them; `instrument`: the governing text;
    `good_until`: the last day on which nothing in the rulebooks used changes, None where no change is known.
    """

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


@dataclass(frozen=True, slots=True)
class Judgement:
    """The answer for a pattern. Reasons without figures of the unit are words already; the others point at a reading.

    `whole`: all of them, where every one is in words. `owed`: the duties in words, of a unit without the day from which
    a clock counts; `clocks`: the facts from which one counts.
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
    clocks: tuple[str, ...]
    mends: tuple[tuple[int, Reason], ...]


@dataclass(frozen=True, slots=True)
class PartSaid:
    """What one oil space counts as by itself: class of the law, on what basis, band, and the reasons in words."""

    name: str
    kind: str
    sealed: bool
    klass: str
    basis: str
    band: str
    because: tuple[Finding, ...]


class Judge:
    """Judges units under one law (or none) as at one day, remembering the patterns it has judged.

    `law` None: no rulebook is held for the country; the band alone then decides the care.
    """

    def __init__(self, law: LawDay | None, house: LawDay, names: Names, on: date) -> None:
        self.given, self.house, self.on = law, house, on
        self.law = law if law and law.in_force else None
        self.view = Viewer(law, self.law, house, names).view
        self.says = {**house.book.sentences, **(law.book.sentences if law else {})}
        self.good_until = min((day for day in (law and law.holds_until(), house.holds_until()) if day), default=None)
        self._due: dict[tuple[tuple[int, date | None, date | None], ...], tuple[Owed, ...]] = {}
        self._words: dict[str, Finding] = {}
        self._tasks: dict[tuple[str, ...], tuple[Task, ...]] = {}
        self._judged: dict[tuple[object, ...], Judgement] = {}
        book = law.book if law else None
        self.name = book.name if book else None
        self.edition = book.stamp if book else None
        self.instrument = self.law.words.get("instrument") if self.law else None
        asked = law.book.mends.get("state_asked") if law and law.book.territories and not law.territory else None
        self._state_asked = tuple([Problem("found_in", finish(sentence.says, {})) for sentence in (asked,) if sentence])
        self._slots = {**house.words, **(law.words if law else {}), "on": day_words(on)}

    def assess(self, unit: Unit) -> Assessment:
        """The whole answer for one unit, in words."""
        return self.answer(unit, self.view(unit))

    def answer(self, unit: Unit, view: View) -> Assessment:
        """The same, of a unit whose view is made."""
        return self.fill(unit, view, self.judgement(view))

    def test_by_test(self, unit: Unit) -> dict[str, str]:
        """What each test of a unit says by itself, as a finished sentence, by its place in the line (`tests[0]`)."""
        readings = self.view(unit).readings
        return {
            one.at: self._said(of_sentence(self.says[one.key], n), readings).says
            for n, one in enumerate(readings)
            if one.at.startswith("tests[")
        }

    def part_by_part(self, unit: Unit) -> list[PartSaid]:
        """What each oil space of a unit counts as by itself, the tank first."""
        view = self.view(unit)
        by_part = _by_part(view)
        rulings = self._rulings(view, by_part)
        found = []
        for place, (part, mine) in enumerate(zip(view.parts, by_part, strict=True)):
            band = care.band_of(mine, view.bands[place], self.house, self.says)
            ruling = rulings[place] if rulings else None
            reasons = ruling.reasons if ruling else band.reasons
            found.append(
                PartSaid(
                    name=part.name, kind=part.kind, sealed=part.sealed, klass=ruling.klass if ruling else UNDETERMINED,
                    basis=ruling.basis if ruling else UNDETERMINED, band=band.raised_to or band.band,
                    because=tuple(self._said(one, view.readings) for one in _once([*reasons])),
                )
            )  # fmt: skip
        return found

    def judgement(self, view: View) -> Judgement:
        """The judgement of a pattern, made once."""
        pattern = view.pattern
        known = self._judged.get(pattern)
        if known is None:
            if len(self._judged) >= KEPT_PATTERNS:
                self._judged.clear()
            known = self._judged[pattern] = self.judge(view)
        return known

    # ------------------------------------------------------------------ a pattern judged

    def judge(self, view: View) -> Judgement:
        """Judge a pattern: class, band, care, reasons, what to do next, duties, what to mend."""
        by_part = _by_part(view)
        bands = [care.band_of(mine, view.bands[place], self.house, self.says) for place, mine in enumerate(by_part)]
        worst_band = max(bands, key=lambda one: care.rank(one.band))
        rulings = self._rulings(view, by_part)
        decided = self._decided(view, rulings)
        taken = care.care_of(bands, decided.klass, self.law, any(r.unread for r in view.readings))
        size, duties = self._size(view), self._duties(view, decided.klass)
        reasons = _once([
            *decided.reasons, *([of_row(size)] if size else []), *self._other(view, decided), *worst_band.reasons,
            *self._apart(decided.klass, taken),
        ])  # fmt: skip
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
            next=self._acts(view, decided, taken, bands, rulings),
            duties=duties,
            owed=Shared([_owed(duty, self._slots, self.law) for duty in duties]),
            clocks=tuple(dict.fromkeys(day for duty in duties for day in (duty.counts_from, duty.extended_by) if day)),
            mends=self._mends(view, bands),
        )

    def _rulings(self, view: View, by_part: list[list[tuple[int, Reading]]]) -> list[Ruling]:
        """The class of each oil space; nothing where no law answers."""
        if self.law is None:
            return []
        return [
            presume.ruling(mine, view.named, view.presumption[place], self.law, self.says)
            for place, mine in enumerate(by_part)
        ]

    def _decided(self, view: View, rulings: list[Ruling]) -> Ruling:
        """The class of the unit: that of the oil space which decides, or undetermined where no law answers."""
        if self.law is None:
            country = None if self.given else len(view.readings) - 1
            why = of_sentence(self.says["not_in_force" if self.given else "no_rulebook"], country)
            return Ruling(UNDETERMINED, UNDETERMINED, None, (why,))
        place = presume.worst(rulings, self.law)
        found = rulings[place]
        if len(rulings) == 1 or found.basis == "established":
            return found
        stands = of_sentence(self.says["space_stands"])
        words = {**self._slots, "where": f"the {spoken(view.parts[place].name)}"}
        named_space = Reason(stands.key, _plain(stands.finished(words)), stands.cite)
        return Ruling(found.klass, found.basis, found.force, (*found.reasons, named_space))

    def _size(self, view: View) -> Row | None:
        if not view.size or self.law is None:
            return None
        decision = self.law.tables["capacitor_size"].decide(view.size)
        return decision.rows[0] if decision else None

    def _duties(self, view: View, klass: str) -> tuple[Duty, ...]:
        if self.law is None:
            return ()
        return self.law.duties(klass, view.role, dict(zip(self.law.duty_columns, view.owed, strict=True)))

    def _other(self, view: View, decided: Ruling) -> list[Reason]:
        """Every other reading, so that nothing that was given goes unanswered; what was just said is not said again."""
        keys = {reading.key for reading in view.readings}
        silent = {view.named.reading} if view.named and decided.basis == "established" else set()
        return [
            of_sentence(self.says[reading.key], n)
            for n, reading in enumerate(view.readings)
            if n not in silent and not (reading.key == "plate_claim" and "label_establishes" in keys)
        ]

    def _apart(self, klass: str, taken: str) -> list[Reason]:
        """Why care stands above the class that the law allows, where it does."""
        if self.law is None or klass == UNDETERMINED:
            return []
        reaches = [self.law.book.class_words[klass].band]
        if klass == self.law.book.classes[0]:
            reaches.append(self.house.class_of(self.law.lines[0][0], "<"))
        lower = max(map(care.rank, reaches)) < care.rank(taken)
        return [of_sentence(self.says["care_above_class"])] if lower else []

    def _mends(self, view: View, bands: list[care.Band]) -> tuple[tuple[int, Reason], ...]:
        """What to mend in the line, with the reading that each is about."""
        mends = self.house.book.mends
        found = [(n, of_sentence(mends[r.mend], n)) for n, r in enumerate(view.readings) if r.mend]
        disputes = [band.disputed_by for band in bands if band.disputed_by is not None]
        return (*found, *((n, of_sentence(mends["disagree"], n)) for n in disputes))

    def _acts(
        self, view: View, decided: Ruling, taken: str, bands: list[care.Band], rulings: list[Ruling]
    ) -> tuple[Task, ...]:
        """What to do next; asked once for each set of facts."""
        low = self.law is not None and decided.klass == self.law.book.classes[0]
        settled = "established_low" if low else "established_high"
        standing = settled if decided.basis == "established" else "not_established"
        open_parts = [
            part for n, part in enumerate(view.parts) if not rulings or rulings[n].basis != "established"
        ] or view.parts
        tested = any(r.decides_band for r in view.readings)
        spoken_against = standing == "established_low" and any(
            r.key in care.AGAINST_LOW or (r.key in SCREENS and not tested) for r in view.readings
        )
        facts = {
            "standing": standing, "care": taken, "state": view.state, "unit_of_measure": "fine", "grade": "fine",
            "reach": gear.reach_of([(part.kind, part.sealed) for part in open_parts], self.house),
            "charge": gear.charge_of([(part.kind, part.sealed) for part in view.parts], self.house),
            "screen": "fine", "evidence": "fine", "history": "fine",
            "figures": "disagree" if spoken_against or any(band.raised_to for band in bands) else "fine",
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
        if judged.clocks and any(getattr(unit, day) for day in judged.clocks):
            owed = self._counted(unit, judged)
        mends = [Problem(readings[n].at, self._said(mend, readings).says) for n, mend in judged.mends]
        return Assessment(
            str(unit.id), self.name, self.edition, self.on, judged.klass, judged.basis, judged.force, judged.band,
            judged.care, judged.size, self.instrument, because, judged.next, owed,
            (*self._state_asked, *mends), self.good_until,
        )  # fmt: skip

    def _counted(self, unit: Unit, judged: Judgement) -> tuple[Owed, ...]:
        """The duties with their days; the same for every unit that owes the same and whose clocks began together."""
        key = tuple([
            (id(duty), _day(unit, duty.counts_from), _day(unit, duty.extended_by)) for duty in judged.duties
        ])  # fmt: skip
        known = self._due.get(key)
        if known is None:
            if len(self._due) >= KEPT_PATTERNS:
                self._due.clear()
            pairs = zip(judged.duties, judged.owed, strict=True)
            known = self._due[key] = Shared([_counted(duty, said, unit, self.law) for duty, said in pairs])
        return known

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


def _by_part(view: View) -> list[list[tuple[int, Reading]]]:
    """The readings of each oil space, each with its place among all of them."""
    found: list[list[tuple[int, Reading]]] = [[] for _ in view.parts]
    for n, reading in enumerate(view.readings):
        found[view.part_of[n]].append((n, reading))
    return found


def _once(reasons: list[Reason]) -> tuple[Reason, ...]:
    """Each reason once, in the order in which it first came."""
    seen: dict[tuple[str, int | None], Reason] = {}
    for reason in reasons:
        seen.setdefault((reason.key, reason.reading), reason)
    return tuple(seen.values())


def _plain(text: str) -> str:
    """Words of a register inside a sentence that is still to be filled: no slot can open in them."""
    return text.replace("{", "(").replace("}", ")")


def _owed(duty: Duty, words: Mapping[str, str], law: LawDay | None) -> Owed:
    return Owed(duty.name, finish(duty.says, words), law.due(duty, None) if law else None, duty.cite.document)


def _counted(duty: Duty, said: Owed, unit: Unit, law: LawDay | None) -> Owed:
    """The same duty with its day, where the day that its clock counts from is known."""
    due = law.due(duty, _day(unit, duty.counts_from), _day(unit, duty.extended_by)) if law else None
    return said if due is None else Owed(said.name, said.says, due, said.cite)


def _day(unit: Unit, fact: str | None) -> date | None:
    """The day that a unit gives under this name; None where it gives none, or no fact is named."""
    found: date | None = getattr(unit, fact) if fact else None
    return found
