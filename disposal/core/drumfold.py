"""How a drum's standing follows from what was poured, how its sources are known now, and where it went. Pure.

What was poured goes by the moment at which it happened, then by the sequence of the day-book. A unit whose oil was ever
in a drum stays among its sources: what a drum held is what it may hold again.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from disposal.core.drumnow import DrumPlace
from hazmat.core.measures import figure_words

NOTHING = Fraction(0)
DECIMALS = Decimal("0.001")
"""To what a converted amount is rounded for people; amounts are compared unrounded. Source: our own choice."""


@dataclass(frozen=True, kw_only=True)
class Pour:
    """One move of oil as a fold sees it: out of a unit or a drum, into a drum or out of the yard's hands.

    `litres`, `kg`: decimal text, either may be empty; `density`: kg/L of the unit's line, empty where it has none;
    `all_out`: nothing more ran out of what it came from; `note`: whatever else was written down; `celsius`: how warm it
    was, empty where nobody said.
    """

    id: str
    at: str
    seq: int
    unit: str = ""
    space: str = ""
    from_drum: str = ""
    into_drum: str = ""
    litres: str = ""
    kg: str = ""
    density: str = ""
    all_out: bool = False
    note: str = ""
    celsius: str = ""

    @property
    def place(self) -> tuple[str, int, str]:
        """Where it stands in the order of what happened."""
        return self.at, self.seq, self.id

    @property
    def in_litres(self) -> Fraction | None:
        """Litres as measured, or weighed and divided by the density of its own unit; None where neither is there."""
        if self.litres:
            return Fraction(self.litres)
        density = Fraction(self.density or NOTHING)
        return Fraction(self.kg) / density if self.kg and density else None

    @property
    def in_kg(self) -> Fraction | None:
        """The same in kg."""
        if self.kg:
            return Fraction(self.kg)
        return Fraction(self.litres) * Fraction(self.density) if self.litres and self.density else None


@dataclass(frozen=True)
class Level:
    """How much there is in one measure: at least `low`, at most `high`; None where nothing bounds it."""

    low: Fraction = NOTHING
    high: Fraction | None = NOTHING

    def after_in(self, moved: "Level") -> "Level":
        """After so much came in."""
        high = None if self.high is None or moved.high is None else self.high + moved.high
        return Level(self.low + moved.low, high)

    def after_out(self, moved: "Level", all_out: bool) -> "Level":
        """After so much went out; after all of it, nothing is left."""
        if all_out:
            return Level()
        left = None if self.high is None else max(NOTHING, self.high - moved.low)
        return Level(NOTHING if moved.high is None else max(NOTHING, self.low - moved.high), left)

    @property
    def exact(self) -> Fraction | None:
        """How much it is, where that is known."""
        return self.low if self.low == self.high else None


@dataclass(frozen=True)
class Step:
    """What a drum held just before and just after one pour, and how much was moved, each in litres and in kg."""

    pour: Pour
    before: tuple[Level, Level]
    after: tuple[Level, Level]
    moved: tuple[Level, Level]


Weighs = tuple[Fraction, Fraction]
"""What a litre of oil weighs at least and at most, in kg."""


def moved(pour: Pour, weighs: Weighs | None = None) -> tuple[Level, Level]:
    """How much a pour moved, in litres and in kg; what was not measured so lies within what a litre `weighs`."""
    litres, kg = pour.in_litres, pour.in_kg
    in_litres = in_kg = Level(NOTHING, None)
    if weighs and kg is not None:
        in_litres = Level(kg / weighs[1], kg / weighs[0])
    if weighs and litres is not None:
        in_kg = Level(litres * weighs[0], litres * weighs[1])
    return in_litres if litres is None else Level(litres, litres), in_kg if kg is None else Level(kg, kg)


def steps(pours: Iterable[Pour], drum: str, weighs: Weighs | None = None) -> list[Step]:
    """What a drum held at each pour into it or out of it, in order of happening."""
    found: list[Step] = []
    now = (Level(), Level())
    for pour in sorted(pours, key=lambda one: one.place):
        if drum not in (pour.into_drum, pour.from_drum):
            continue
        litres, kg = moved(pour, weighs)
        if pour.into_drum == drum:
            after = now[0].after_in(litres), now[1].after_in(kg)
        else:
            after = now[0].after_out(litres, pour.all_out), now[1].after_out(kg, pour.all_out)
        found.append(Step(pour, now, after, (litres, kg)))
        now = found[-1].after
    return found


def level_after(pours: Iterable[Pour], drum: str) -> tuple[Level, Level]:
    """What a drum holds after all of it, in litres and in kg."""
    found = steps(pours, drum)
    return found[-1].after if found else (Level(), Level())


def short(step: Step, drum: str) -> Literal["litres", "kg", ""]:
    """In which measure more went out of the drum than can have been in it; empty where in none."""
    if step.pour.from_drum != drum:
        return ""
    if _more(step.moved[0], step.before[0]):
        return "litres"
    return "kg" if _more(step.moved[1], step.before[1]) else ""


def _more(out: Level, held: Level) -> bool:
    """Whether this is more than there can be; whatever it was, it is more than nothing."""
    return held.high is not None and (out.low > held.high or held.high == NOTHING)


def untold(step: Step, drum: str) -> Literal["litres", "kg", ""]:
    """In which measure some was left in the drum when nothing more ran out of it, and no note says where that went."""
    if step.pour.from_drum != drum or not step.pour.all_out or step.pour.note.strip():
        return ""
    left = [
        held.low - (held.low if out.high is None else out.high)
        for held, out in zip(step.before, step.moved, strict=True)
    ]
    return "litres" if left[0] >= DECIMALS else "kg" if left[1] >= DECIMALS else ""


def overfull(step: Step, drum: str, capacity: str) -> bool:
    """Whether so much was poured into the drum that it must be more than it takes to the brim (litres)."""
    return step.pour.into_drum == drum and step.after[0].low > Fraction(capacity)


def over_degree(step: Step, most: Decimal | None) -> bool:
    """Whether more must be in a drum after a step than may be (litres); `most`: None where nothing bounds it."""
    return most is not None and step.after[0].low > Fraction(most)


@dataclass(frozen=True)
class Entered:
    """The oil of one unit in one drum: when it first came in, when it first left the unit, what came straight from it.

    `straight`: litres by direct moves, None where some of it came through another drum or was not measured in litres.
    """

    first_in: str
    drained_at: str
    spaces: tuple[str, ...] = ()
    straight: Fraction | None = None


def contents(pours: Iterable[Pour]) -> dict[str, dict[str, Entered]]:
    """For each drum the units whose oil is in it, or ever was, by the id of each; through other drums as well."""
    found: dict[str, dict[str, Entered]] = {}
    for pour in sorted(pours, key=lambda one: one.place):
        if not pour.into_drum:
            continue
        here = found.setdefault(pour.into_drum, {})
        if pour.unit:
            here[pour.unit] = _straight(here.get(pour.unit), pour)
        for unit, there in found.get(pour.from_drum, {}).items():
            known = here.get(unit)
            first = min(known.drained_at, there.drained_at) if known else there.drained_at
            here[unit] = replace(known or there, first_in=known.first_in if known else pour.at, drained_at=first,
                                 spaces=_joined(known, there.spaces), straight=None)  # fmt: skip
    return found


def reached(pours: Iterable[Pour], pour: Pour) -> set[str]:
    """The drums that one pour gets oil into: the one that it goes into, and those that got oil out of it after that."""
    found = {pour.into_drum}
    for one in sorted(pours, key=lambda one: one.place):
        if one.place > pour.place and one.from_drum in found and one.into_drum:
            found.add(one.into_drum)
    return found


def _straight(known: Entered | None, pour: Pour) -> Entered:
    amount = pour.in_litres
    if known is None:
        return Entered(pour.at, pour.at, (pour.space,), amount)
    total = None if known.straight is None or amount is None else known.straight + amount
    return Entered(known.first_in, min(known.drained_at, pour.at), _joined(known, (pour.space,)), total)


def _joined(known: Entered | None, spaces: Sequence[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*(known.spaces if known else ()), *spaces)))


@dataclass(frozen=True, kw_only=True)
class Carried:
    """What happened to a drum on a load: put `on`, taken `off`, `signed`, `taken`, `refused`, `missing`, `proven`.

    `load`: its number; `certificate`: the number of the one that proves it.
    """

    at: str
    seq: int
    what: Literal["on", "off", "signed", "taken", "yes", "refused", "missing", "proven"]
    load: str
    certificate: str = ""


@dataclass(frozen=True)
class Where:
    """Where a drum is: its place, the load that it is on, the certificate that proves its end, when it was away.

    `lost`: whether the facility never got it, and nobody knows anything since.
    """

    place: DrumPlace = "here"
    load: str = ""
    certificate: str = ""
    away: tuple[tuple[str, str], ...] = ()
    lost: bool = False


PLACES: Mapping[str, DrumPlace] = {
    "on": "on_load", "off": "here", "taken": "gone", "yes": "gone", "missing": "gone", "refused": "here",
    "proven": "destroyed",
}  # fmt: skip
"""Where a drum is after each thing that can happen to it; being signed for moves nothing."""


def whereabouts(carried: Iterable[Carried]) -> Where:
    """Where a drum is after all of it; what is proven stays destroyed, whatever is said of it after that day."""
    now = Where()
    for one in sorted(carried, key=lambda one: (one.at, one.seq)):
        if now.place == "destroyed":
            continue
        open_ = bool(now.away) and not now.away[-1][1]
        away = now.away
        if one.what in ("signed", "taken", "yes", "missing", "proven") and not open_:
            away = (*away, (one.at, ""))
        elif one.what in ("off", "refused") and open_:
            away = (*away[:-1], (away[-1][0], one.at))
        place = PLACES.get(one.what, now.place)
        lost = one.what == "missing"
        now = Where(place, "" if place == "here" else one.load, one.certificate or now.certificate, away, lost)
    return now


def away_at(away: Iterable[tuple[str, str]], at: str) -> bool:
    """Whether it was signed away at this moment."""
    return any(start <= at and (not end or at < end) for start, end in away)


def amount_words(amount: Fraction | None) -> str:
    """An amount as decimal text, rounded where it was converted; empty where it is not known."""
    if amount is None:
        return ""
    return figure_words((Decimal(amount.numerator) / Decimal(amount.denominator)).quantize(DECIMALS))
