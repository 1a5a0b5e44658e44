"""What the law makes us treat an oil space as: established, said by its plate, or presumed and perhaps lifted."""

from dataclasses import dataclass

from hazmat.core.bulk import CARE
from hazmat.core.evidence import Reading
from hazmat.core.findings import Reason, of_row, of_sentence
from hazmat.core.law import UNDETERMINED, Force, LawDay, Sentence

SentenceOf = dict[str, Sentence]
PAPER = ("label_establishes", "similar_establishes")
"""Routes that a listed PCB fluid on the plate overrules: only a test of the oil gets past it."""
BASES = (UNDETERMINED, "presumed", "plate", "screened", "established")
FORCES: tuple[Force | None, ...] = (None, "may", "care", "must")
LOW_BANDS = CARE[:2]
"""Bands of the classes that lift no class that is undetermined: not knowing is more careful than they are."""


@dataclass(frozen=True, slots=True)
class Ruling:
    """The class of one oil space, on what basis, with what force, and the reasons in order."""

    klass: str
    basis: str
    force: Force | None
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class Named:
    """A listed PCB fluid: which sentence says so, and where its words stand."""

    key: str
    reading: int


def ruling(
    readings: list[tuple[int, Reading]], named: Named | None, columns: tuple[str, ...], law: LawDay, says: SentenceOf
) -> Ruling:
    """Judge one oil space. `readings` come with their place in the list of all readings; `columns` are those of the
    presumption table."""
    established = [(place, r) for place, r in readings if r.establishes and r.klass]
    tested = any(r.key not in PAPER for _, r in established)
    if established and (tested or not named):
        return _established(established, named, law, says)
    if named:
        found = Ruling(law.book.top, "plate", None, (of_sentence(says[named.key], named.reading),))
    else:
        found = _presumed(readings, columns, law, says)
    return _bounded(found, readings, law, says)


def _established(established: list[tuple[int, Reading]], named: Named | None, law: LawDay, says: SentenceOf) -> Ruling:
    """The highest result that establishes decides; a plate stays among the reasons."""
    established.sort(key=lambda one: -law.rank[one[1].klass or law.book.top])
    reasons = [of_sentence(says[reading.key], place) for place, reading in established]
    if named:
        reasons.append(of_sentence(says["plate_stays"], named.reading))
    basis = "screened" if established[0][1].key in ("screen_above", "screen_below") else "established"
    return Ruling(established[0][1].klass or law.book.top, basis, None, tuple(reasons))


def _presumed(readings: list[tuple[int, Reading]], columns: tuple[str, ...], law: LawDay, says: SentenceOf) -> Ruling:
    """The row of the table, lifted by evidence of harm that reaches a higher class."""
    decision = law.tables["presumption"].decide(columns)
    if decision is None:
        raise LookupError(f"{law.book.name}: no row of the presumption is in force on {law.on}")
    rows = tuple(of_row(row) for row in decision.rows)
    lifting = [(place, r) for place, r in readings if r.klass and _lifts(r.klass, decision.then, law)]
    if not lifting:
        basis = UNDETERMINED if decision.then == UNDETERMINED else "presumed"
        return Ruling(decision.then, basis, decision.force, rows)
    lifting.sort(key=lambda one: -law.rank[one[1].klass or law.book.top])
    lifted = tuple(_lifted(says, r.key, place) for place, r in lifting)
    overruled = tuple(_overruled(row, says) for row in rows)
    return Ruling(lifting[0][1].klass or law.book.top, "presumed", "care", lifted + overruled)


def _lifts(klass: str, presumed: str, law: LawDay) -> bool:
    """Whether evidence of harm that reaches this class is worse than what the law presumes."""
    if presumed == UNDETERMINED:
        return law.book.class_words[klass].band not in LOW_BANDS
    return law.rank[klass] > law.rank[presumed]


def _lifted(says: SentenceOf, key: str, place: int) -> Reason:
    """What follows from evidence of harm, and the evidence, in one sentence."""
    evidence = says[key].says
    return Reason(
        key, says["lifted"].says.replace("{evidence}", evidence[:1].lower() + evidence[1:]), says[key].cite, place
    )


def _overruled(row: Reason, says: SentenceOf) -> Reason:
    """A row of the law that would have decided; what it says no longer stands."""
    return row._replace(says=says["overruled"].says.replace("{row}", row.says))


def _bounded(found: Ruling, readings: list[tuple[int, Reading]], law: LawDay, says: SentenceOf) -> Ruling:
    """A "less than" of the laboratory leaves no class worse than its own; it proves nothing below that."""
    bounds = [(law.rank[r.bound], place, r) for place, r in readings if r.bound]
    if not bounds or found.klass == UNDETERMINED:
        return found
    rank, place, reading = min(bounds)
    if rank >= law.rank[found.klass]:
        return found
    reasons = (of_sentence(says[reading.key], place), *(_overruled(reason, says) for reason in found.reasons))
    return Ruling(law.book.classes[rank], "established", None, reasons)


def worst(rulings: list[Ruling], law: LawDay) -> int:
    """Which oil space decides: one in the top class, else one that is undetermined, else the worst class.

    Among equals the one best shown decides; in the lowest class the one least shown, for a space that nobody tested
    is not shown low by its neighbour. So the order of spaces does not matter.
    """

    def weight(place: int) -> tuple[int, int, int]:
        one = rulings[place]
        unsettled = len(law.rank) - 1 if one.klass == UNDETERMINED else 0
        rank = len(law.rank) if one.klass == law.book.top else unsettled or law.rank[one.klass]
        shown = (BASES.index(one.basis), FORCES.index(one.force))
        return (rank, *shown) if rank else (rank, -shown[0], -shown[1])

    return max(range(len(rulings)), key=weight)
