"""How long a thing may still stay: the day that its clock counts from, the day on which it runs out, and whose rule.

The law of the thing decides where its rulebook has a duty with a clock; else a practice of the house stands in, marked
as such. Figures and sentences stand in the rulebooks; the counting itself is `LawDay.due`, the same for each of them.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Literal

from disposal.core.drumnow import DrumNow
from hazmat.core.findings import Finding, finish
from hazmat.core.law import UNDETERMINED, Duty, LawDay, Rulebook
from hazmat.core.measures import add_time, day_words
from hazmat.core.telling import NAMES
from hazmat.core.unitnow import UnitNow

Thing = Literal["unit", "drum"]
OUT = ("gone", "destroyed")
"""Places of what has left: it has no clock here."""
ANY_ROLE = "unknown"
"""The role of whoever did not say which it has."""
DAYS = ("decided_waste", "arrived", "in_use_before")
"""Keys of a line that a duty may count from."""
FIRST_POUR = "first_pour"
YEAR, EXTENSION = "storage_limit", "extension"
"""The figure of the year of storage; the sentence of what one more year asks, beside the figures that it names."""
NOTICE, ATTEMPTS = "extension_notice", "extension_attempts"
TRANSFERRED, AWAITED, REPORT = "transferred_within", "certificate_awaited", "exception_report"
"""Figures of the report after a year: handed over, certificate awaited, report sent."""
CERTIFICATE = "certificate_within"
"""The figure of the time within which a certificate is sent."""
REPORTS = {
    "report_no_certificate": "No certificate by", "report_late_disposal": "Its certificate came",
    "report_of_facility": "The year ended",
}  # fmt: skip
"""What the day is called that the clock of each report counts from."""
SILENCE = "storage_time"
"""The row by which a law says that it gives no time."""


@dataclass(frozen=True, kw_only=True)
class Kept:
    """A thing that is kept: its class, care of hands and law, and the days that a clock may count from, by name.

    `role`: the role of the yard towards it; `carried`: the one day of a drum, whichever day its law counts from; `of`:
    the tags of the units whose day that is, or whose day is missing; `stands_in`: whether it is that of the first pour.
    """

    thing: Thing
    code: str
    klass: str
    care: str
    rulebook: str
    role: str = ANY_ROLE
    days: tuple[tuple[str, date], ...] = ()
    carried: date | None = None
    of: tuple[str, ...] = ()
    stands_in: bool = False

    def day(self, name: str) -> date | None:
        """The day of this name that a clock counts from, None where nobody wrote it down."""
        return self.carried if self.thing == "drum" else dict(self.days).get(name)


@dataclass(frozen=True, kw_only=True)
class Clock:
    """A clock that runs. `left`: days from `on` to `due`, which counts whole: below nought it is overdue.

    `counts_from`: the key of the day that it counts from, `started` what that day is called; `law`: False for a
    practice of the house; `notes`: what else is said of it; `good_until`: the last day on which its rule is known to
    hold.
    """

    thing: Thing
    code: str
    name: str
    counts_from: str
    started: str
    start: date
    due: date
    on: date
    law: bool
    rulebook: str
    edition: date
    says: Finding
    notes: tuple[Finding, ...] = ()
    of: tuple[str, ...] = ()
    good_until: date | None = None

    @property
    def left(self) -> int:
        """Whole days left after `on`: nought on the last day."""
        return (self.due - self.on).days

    @property
    def begun(self) -> bool:
        """Whether it runs on that day: nothing counts before its first day."""
        return self.start <= self.on

    @property
    def overdue(self) -> bool:
        """Whether its last day has passed."""
        return self.left < 0

    @property
    def words(self) -> str:
        """The days left, in words."""
        if not self.begun:
            return "not begun"
        if self.left == 0:
            return "last day today"
        days = "1 day" if abs(self.left) == 1 else f"{abs(self.left)} days"
        return f"overdue by {days}" if self.overdue else f"{days} left"


@dataclass(frozen=True, kw_only=True)
class Unclocked:
    """A thing that would have a clock if a day were on record, and the sentence that says what is missing."""

    thing: Thing
    code: str
    says: Finding


def kept_unit(unit: UnitNow, *, lost: bool = False) -> Kept | None:
    """A unit as its clock sees it; None for one that is gone or destroyed. `lost`: it left, and never arrived.

    A low result that nobody signed lowers nothing: the presumption stays until then. One that is released is low.
    """
    if unit.stands in OUT and not lost:
        return None
    oil, line = unit.oil, unit.line
    days = [(name, date.fromisoformat(str(line[name]))) for name in DAYS if line.get(name)]
    return Kept(
        thing="unit", code=unit.tag, klass=oil.klass, care=oil.care, rulebook=oil.rulebook,
        role=str(line.get("role") or ANY_ROLE), days=tuple(days),
    )  # fmt: skip


def kept_drum(drum: DrumNow, *, lost: bool = False) -> Kept | None:
    """A drum as its clock sees it; None for one that is gone or destroyed, or that nothing was ever poured into.

    `lost`: it left, and never arrived. It carries its oldest day. Emptied, it is still what that oil was in, so that
    its clock runs on.
    """
    if not drum.date or (drum.place in OUT and not lost):
        return None
    stands_in = drum.dated_by == "poured"
    whose = [one.tag for one in drum.sources if (not one.date if stands_in else one.date == drum.date)]
    return Kept(
        thing="drum", code=drum.code, klass=drum.klass, care=drum.care, rulebook=drum.rulebook,
        carried=date.fromisoformat(drum.date), of=tuple(dict.fromkeys(whose)),
        stands_in=stands_in,
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Sent:
    """What left with a load, as the reports of its law see it; every day in the zone of the yard.

    `removed`: the day on which it was decided to be waste, None where nobody wrote it down; `certified`: the day on
    which its certificate came, `disposed` the day that this names, each None before.
    """

    thing: Thing
    code: str
    klass: str
    rulebook: str
    handed: date
    removed: date | None = None
    certified: date | None = None
    disposed: date | None = None


def report_of(sent: Sent, law: LawDay | None, house: LawDay) -> Clock | Unclocked | None:
    """The clock of the report that a law asks for after a year, of what left; None where it asks for none.

    `law`: its rulebook on the day of `house`. One runs until its load is closed: no report of ours is kept.
    """
    if law is None or not law.in_force or REPORT not in law.numbers or sent.klass == law.book.classes[0]:
        return None
    if sent.removed is None:
        return Unclocked(thing=sent.thing, code=sent.code, says=said_by(house, "clock_no_day"))
    year, awaited = _end(law, YEAR, sent.removed), _end(law, AWAITED, sent.removed)
    late = sent.disposed is None or sent.disposed > year
    if sent.handed > _end(law, TRANSFERRED, sent.removed):
        return _report(sent, "report_of_facility", year, law, house) if late else None
    if sent.certified is None or sent.certified > awaited:
        return _report(sent, "report_no_certificate", awaited, law, house)
    return _report(sent, "report_late_disposal", sent.certified, law, house) if late else None


def _end(law: LawDay, figure: str, start: date) -> date:
    """The end of a time that a figure of this law names."""
    return add_time(start, int(law.number(figure)), law.book.figures[figure].unit)


def _report(sent: Sent, name: str, start: date, law: LawDay, house: LawDay) -> Clock:
    return Clock(
        thing=sent.thing, code=sent.code, name=name, counts_from=name, started=REPORTS[name], start=start,
        due=_end(law, REPORT, start), on=house.on, law=True, rulebook=law.book.name, edition=law.book.edition,
        says=said_by(law, name), notes=(said_by(law, "report_counted"),), good_until=law.holds_until(),
    )  # fmt: skip


def certificate_due(disposed: date, law: LawDay | None) -> date | None:
    """The last day on which a certificate is to be sent; None where the law names none."""
    return _end(law, CERTIFICATE, disposed) if law and CERTIFICATE in law.numbers else None


def clock_of(kept: Kept, law: LawDay | None, house: LawDay) -> Clock | Unclocked | None:
    """The clock of a thing under its law, as at the day of `house`; None where it needs none.

    `law`: its rulebook on the same day, None where none is held.
    """
    timed = _timed(law.book.duties, law.book) if law else []
    if law and law.in_force and kept.klass == law.book.classes[0]:
        return None
    if law and law.in_force and timed and kept.klass != UNDETERMINED:
        owed = _timed(law.duties(kept.klass, kept.role), law.book)
        if not owed:
            return None
        if kept.day(str(owed[0].counts_from)) is None or law.due(owed[0], house.on):
            return _clock(kept, owed[0], law, house, law=True)
    practice = _timed(house.duties(kept.care, kept.role), house.book)
    return _clock(kept, practice[0], house, house, law=False, silent=law) if practice else None


def _timed(duties: Iterable[Duty], book: Rulebook) -> list[Duty]:
    """The duties of storage: those whose time counts from where the storage clock of the book does."""
    return [duty for duty in duties if duty.time and duty.counts_from == book.clock_counts_from]


def _clock(
    kept: Kept, duty: Duty, book: LawDay, house: LawDay, *, law: bool, silent: LawDay | None = None
) -> Clock | Unclocked:
    """The clock of one duty of a book; `silent`: the law that gives no time, where practice stands in."""
    counts_from = str(duty.counts_from)
    start = kept.day(counts_from)
    due = book.due(duty, start)
    if start is None or due is None:
        return Unclocked(thing=kept.thing, code=kept.code, says=said_by(house, "clock_no_day"))
    notes = []
    if kept.thing == "drum":
        notes.append(said_by(house, "clock_first_pour" if kept.stands_in else "clock_oldest"))
    if not law:
        notes += _silence(silent, house)
    elif duty.time == YEAR and NOTICE in book.numbers:
        notes.append(_extension(book, start, due))
    return Clock(
        thing=kept.thing, code=kept.code, name=duty.name, counts_from=FIRST_POUR if kept.stands_in else counts_from,
        started=FIRST_POUR.replace("_", " ").capitalize() if kept.stands_in else NAMES[counts_from][0], start=start,
        due=due, on=house.on, law=law, rulebook=book.book.name, edition=book.book.edition,
        says=Finding(duty.name, finish(duty.says, book.words), duty.cite.document, duty.cite.basis),
        notes=tuple(notes), of=kept.of, good_until=book.holds_until(),
    )  # fmt: skip


def _extension(law: LawDay, start: date, due: date) -> Finding:
    """By which days what is asked for one more year."""
    notice = add_time(due, -int(law.number(NOTICE)), law.book.figures[NOTICE].unit)
    sentence, days = law.book.sentences[EXTENSION], {"notice_by": notice, "attempts_by": _end(law, ATTEMPTS, start)}
    says = finish(sentence.says, {name: day_words(day) for name, day in days.items()})
    return Finding(EXTENSION, says, sentence.cite.document, sentence.cite.basis)


def _silence(law: LawDay | None, house: LawDay) -> list[Finding]:
    """Why no law gives a time: its own words, or that no law is held."""
    if law is None:
        return [said_by(house, "clock_no_law")]
    silence = law.book.silences.get(SILENCE)
    if silence is None:
        return []
    return [Finding(silence.key, finish(silence.says, {}), silence.cite.document, silence.cite.basis)]


def said_by(book: LawDay, name: str) -> Finding:
    """A sentence of a rulebook as on its day, with its document."""
    sentence = book.book.sentences[name]
    return Finding(name, finish(sentence.says, book.words), sentence.cite.document, sentence.cite.basis)


def soonest(clocks: Iterable[Clock]) -> list[Clock]:
    """Clocks in order: what is longest overdue first."""
    return sorted(clocks, key=lambda one: (one.due, one.thing, one.code))
