"""A unit as it stands now, or as it stood after a given entry: the frozen value that pages and papers are drawn from.

Days and instants are ISO 8601 text, identifiers are text, so that the whole value is plain data.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from hazmat.core.amended import Amendable, counting
from hazmat.core.clues import CluesNow
from hazmat.core.condition import ConditionNow
from hazmat.core.extended import ExtensionNow, put_off
from hazmat.core.facts import TANK
from hazmat.core.screened import ScreenNow
from hazmat.core.shots import BreakdownNow
from hazmat.core.trail import BottleNow
from hazmat.core.walked import WalkNow

Arrival = Literal["gate", "found"]
Leak = Literal["none", "sweating", "dripping", "pool", "unknown"]
Shows = Literal["whole", "plate", "leak", "other"]
Dead = Literal["yes", "no", "unknown"]
PaperKind = Literal[
    "site_sheet", "notice", "unit_tag", "bottle_label", "owner_letter", "gear_card", "sampling_plan"
]  # fmt: skip
Source = Literal["seen", "said", "guessed"]
Decision = Literal["release", "pcb_route", "hold"]
Stands = Literal["hold", "released", "pcb_route", "gone", "destroyed"]
What = Literal["gone", "back", "destroyed", "oil_destroyed"]
Known = Literal["untested", "low", "high"]
Waits = Literal["", "verdict", "second"]
FREE = frozenset(("released", "gone", "destroyed"))
"""How a unit stands that nothing holds."""
HOLDING = frozenset(("hold", "pcb_route"))
"""Next acts of an answer that hold a unit."""
ESTABLISHED = "established"
LOW_CARE = ("lt2", "2_49")
"""Steps of care that are below the line. Their figures stand in the handling book."""
UNDETERMINED = "undetermined"
NOTHING_PRESUMED = (UNDETERMINED, "ge500")
"""Class and care where no assessment says what to presume."""


@dataclass(frozen=True, kw_only=True)
class Photo:
    """A picture: what it shows, its size in pixels, the files that hold it, when it was taken where that is known."""

    id: str
    sha256: str
    thumb: str
    shows: Shows
    width: int
    height: int
    taken_at: str | None = None
    words: str = ""


@dataclass(frozen=True, kw_only=True)
class ProvedDead:
    """Whether somebody proved it dead, and how; None means not known. Who did stands in the aside of the record."""

    record: str
    dead: Dead
    how: str
    happened_at: str
    detector_before: bool | None = None
    detector_after: bool | None = None
    back_feed: bool | None = None
    earthed: bool | None = None
    permit: str = ""
    approach: str = ""

    @property
    def whole(self) -> bool:
        """Whether it is proof: dead, and every thing that is looked at was answered with yes."""
        looked_at = (self.detector_before, self.detector_after, self.back_feed, self.earthed)
        return self.dead == "yes" and all(looked_at)


@dataclass(frozen=True, kw_only=True)
class PaperNow:
    """A paper of the unit. `sealed`: SHA-256 of its PDF, None until it is sealed; `corrects`: the paper it replaces.

    `bottle`: the code of the bottle whose label it is, empty for a paper of the unit itself; `tasks`: whose gear cards
    stand on it.
    """

    id: str
    kind: PaperKind
    number: str
    code: str
    made_at: str
    sealed: str | None = None
    corrects: str | None = None
    bottle: str = ""
    tasks: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class ResultNow(Amendable):
    """A result of a laboratory. `test`: as a line of a register has it; `bottle`: the code of its bottle, perhaps none.

    `report`: SHA-256 of the file of the report.
    """

    test: Mapping[str, Any]
    reported_on: str
    laboratory: str
    entered_at: str
    bottle: str = ""
    job: str = ""
    report: str = ""
    report_kind: str = ""


@dataclass(frozen=True, kw_only=True)
class VerdictNow:
    """A signed decision. `klass`, `basis`, `care`: how the unit was judged then; `signer`, `second`: ids of people.

    `evidence`: ids of results; `two`: without a second person it decides nothing; `second_at`: when that one signed;
    `seq`: the entry that wrote it.
    """

    id: str
    decision: Decision
    reason: str
    evidence: tuple[str, ...]
    klass: str
    basis: str
    care: str
    signer: str
    signed_at: str
    two: bool = False
    seq: str = "0"
    second: str | None = None
    second_at: str | None = None

    @property
    def signed(self) -> bool:
        """Whether everybody who has to signed it."""
        return not self.two or self.second is not None


@dataclass(frozen=True, kw_only=True)
class FateNow:
    """A step of its way out: what happened, on which load, by which drum, certificate and firm.

    `at`: when it was written down as happening; `on`: the day of destruction, where the certificate names it.
    """

    what: What
    at: str
    load: str = ""
    drum: str = ""
    certificate: str = ""
    firm: str = ""
    on: str = ""


@dataclass(frozen=True, kw_only=True)
class PartOff:
    """An oil space that was taken off: its name, id and tag of the unit that it is now, and when."""

    space: str
    unit: str
    tag: str
    at: str


@dataclass(frozen=True, kw_only=True)
class Oil:
    """What is known of its oil for those who pour it: law class, care of hands, how well it is known.

    `rulebook`: whose class that is, empty where no law decides.
    """

    klass: str
    care: str
    known: Known
    rulebook: str


def with_tests(line: Mapping[str, Any], tests: Sequence[Mapping[str, Any]]) -> Mapping[str, Any]:
    """A line of a register with these tests after its own."""
    return {**line, "tests": [*(line.get("tests") or ()), *tests]} if tests else line


@dataclass(frozen=True, kw_only=True)
class UnitNow:
    """A unit (or a lot of like units) with everything that is on record about it.

    `line`: its facts as one line of a register, without an id; `sources`: for each fact whether it was seen, said or
    guessed; `claims`: what the seller said, kept apart; `seen`: what was seen that is no key of a line; `answer`: the
    assessment as `assess` writes it; `oil_spaces`: the name of each, by its id; `bottles`: in the order in which they
    were labelled; `results`, `verdicts`, `fates`, `screens`, `breakdowns`, `conditions`: in the order in which they
    happened; `presumed`: class and care that it counts as until somebody signs a release; `presumed_book`,
    `presumed_seq`: the rulebook of that class, and the sequence number of the assessment that says so; `logged`,
    `assessed`, `seq`: sequence numbers of the entry that brought it in, of that assessment, and of the last entry that
    is folded in; `happened_at`: the latest moment that is folded in; `parts_off`: what was taken off it; `clues`: to
    its size and year; `extensions`: of its use; `walks`: round it; `parent`, `was`: id of the unit that it was taken
    off, and as which oil space, empty for what nobody took off anything.
    """

    unit: str
    yard: str
    tag: str
    arrival: Arrival
    logged_at: str
    look: str
    line: Mapping[str, Any]
    sources: Mapping[str, str]
    leak: Leak
    note: str
    proved: ProvedDead | None
    answer: Mapping[str, Any]
    assessed_at: str
    seq: str
    happened_at: str
    logged: str = "0"
    assessed: str = "0"
    claims: Mapping[str, str] = field(default_factory=dict)
    seen: Mapping[str, str] = field(default_factory=dict)
    photographs: tuple[Photo, ...] = ()
    papers: tuple[PaperNow, ...] = ()
    oil_spaces: Mapping[str, str] = field(default_factory=dict)
    bottles: tuple[BottleNow, ...] = ()
    results: tuple[ResultNow, ...] = ()
    verdicts: tuple[VerdictNow, ...] = ()
    fates: tuple[FateNow, ...] = ()
    screens: tuple[ScreenNow, ...] = ()
    breakdowns: tuple[BreakdownNow, ...] = ()
    conditions: tuple[ConditionNow, ...] = ()
    presumed: tuple[str, str] = NOTHING_PRESUMED
    presumed_book: str = ""
    presumed_seq: str = "0"
    parts_off: tuple[PartOff, ...] = ()
    clues: tuple[CluesNow, ...] = ()
    extensions: tuple[ExtensionNow, ...] = ()
    walks: tuple[WalkNow, ...] = ()
    parent: str = ""
    was: str = ""

    @property
    def spaces_off(self) -> frozenset[str]:
        """The names of the oil spaces that are no longer on it."""
        return frozenset(one.space for one in self.parts_off)

    @property
    def counting(self) -> tuple[ResultNow, ...]:
        """The results that count: those that nothing amends, of oil that is still on it."""
        return tuple(one for one in counting(self.results) if one.test.get("space", TANK) not in self.spaces_off)

    @property
    def counting_screens(self) -> tuple[ScreenNow, ...]:
        """The screens that count, likewise."""
        return tuple(one for one in counting(self.screens) if one.test.get("space", TANK) not in self.spaces_off)

    @property
    def screened(self) -> list[Mapping[str, Any]]:
        """The tests of the screens that count."""
        return [one.test for one in self.counting_screens]

    @property
    def screened_line(self) -> Mapping[str, Any]:
        """What was seen and said, with every screen that counts, and without what a laboratory found."""
        return self.with_rest(self.line)

    def with_rest(self, line: Mapping[str, Any]) -> Mapping[str, Any]:
        """A line in the place of its own, with the extensions of its use and every screen that counts."""
        return with_tests(put_off(line, self.extensions), self.screened)

    @property
    def judged_line(self) -> Mapping[str, Any]:
        """The line that is judged: what was seen and said, with every screen and result that counts."""
        return with_tests(self.screened_line, [one.test for one in self.counting])

    @property
    def waiting(self) -> VerdictNow | None:
        """The last verdict, as long as it waits for its second person."""
        last = self.verdicts[-1] if self.verdicts else None
        return last if last and not last.signed else None

    @property
    def last_signed(self) -> VerdictNow | None:
        """The last verdict that everybody signed who has to, whether it still stands or not."""
        return next((one for one in reversed(self.verdicts) if one.signed), None)

    @property
    def decided(self) -> VerdictNow | None:
        """The verdict that stands: the last one that is signed. A release stands only as long as what it rests on.

        A later verdict against it ends a release at once and for good, even one that never got its second person.
        """
        last = self.last_signed
        if last is None or last.decision != "release":
            return last
        later = self.verdicts[self.verdicts.index(last) + 1 :]
        against = any(one.decision != "release" for one in later)
        return None if against or not self.rests(last) else last

    def rests(self, verdict: VerdictNow) -> bool:
        """Whether a release still has under it what it was signed on: assessment, evidence, and nothing that holds."""
        named = [one for one in self.counting if one.id in verdict.evidence]
        return self.as_signed(verdict) and not self.asks_hold and not any(self.lost(one) for one in named)

    def lost(self, result: ResultNow) -> bool:
        """Whether its bottle turned out lost or spoiled after the result was entered as proof."""
        broken = {one.code for one in self.bottles if not one.unbroken}
        return result.bottle in broken and not result.test.get("composite")

    def as_signed(self, verdict: VerdictNow) -> bool:
        """Whether the unit is judged as it was when this verdict was signed, and its evidence still counts."""
        then = (verdict.klass, verdict.basis, verdict.care)
        now = (self.answer.get("class"), self.answer.get("basis"), self.answer.get("care"))
        return then == now and {one.id for one in self.counting}.issuperset(verdict.evidence)

    @property
    def lapsed(self) -> VerdictNow | None:
        """The last signed verdict, where it is a release that no longer stands."""
        return self.last_signed if self.decided is None else None

    @property
    def asks_hold(self) -> bool:
        """Whether its assessment holds it, or sends it down the PCB route, or there is none."""
        return not self.answer or any(task["act"] in HOLDING for task in self.answer.get("next", ()))

    @property
    def stands(self) -> Stands:
        """How it stands: gone and destroyed where that is on record, else by the verdict, else on hold."""
        out = [one.what for one in self.fates if one.what != "oil_destroyed"]
        if out and out[-1] == "destroyed":
            return "destroyed"
        if out and out[-1] == "gone":
            return "gone"
        verdict = self.decided
        if verdict and verdict.decision == "pcb_route":
            return "pcb_route"
        return "released" if verdict and verdict.decision == "release" else "hold"

    @property
    def held(self) -> bool:
        """Whether it may not be drained, cut, sold or moved: all but what is released, gone or destroyed."""
        return self.stands not in FREE

    @property
    def waits(self) -> Waits:
        """For whose signature it waits: of the second person, of whoever reads a new result, or of nobody."""
        if self.stands == "destroyed":
            return ""
        if self.waiting:
            return "second"
        entered = max((int(one.seq) for one in self.counting), default=None)
        signed = max((int(one.seq) for one in self.verdicts), default=-1)
        return "verdict" if entered is not None and (self.lapsed or entered > signed) else ""

    def oil_of(self, spaces: Iterable[str]) -> Oil:
        """What is known of oil that came out of these spaces: nothing, where one was taken off since."""
        if self.spaces_off.isdisjoint(spaces):
            return self.oil
        book = str(self.answer.get("rulebook") or "")
        return Oil(klass=NOTHING_PRESUMED[0], care=NOTHING_PRESUMED[1], known="untested", rulebook=book)

    @property
    def oil(self) -> Oil:
        """What whoever pours its oil goes by. A result that nobody signed lowers nothing: what it counted as stays."""
        answer, verdict = self.answer, self.decided
        klass, care = str(answer.get("class", UNDETERMINED)), str(answer.get("care", NOTHING_PRESUMED[1]))
        book = str(answer.get("rulebook") or "")
        if verdict and verdict.decision == "release":
            return Oil(klass=klass, care=care, known="low", rulebook=book)
        acts = {task["act"] for task in answer.get("next", ())}
        high = answer.get("basis") == ESTABLISHED and "pcb_route" in acts
        if high and verdict and verdict.evidence and self.as_signed(verdict) and "settle_figures" not in acts:
            return Oil(klass=klass, care=care, known="high", rulebook=book)
        presumed = self.presumed[0] if self.presumed_book == book else UNDETERMINED
        known: Known = "high" if high and presumed == klass else "untested"
        return Oil(klass=presumed, care=self.presumed[1], known=known, rulebook=book)
