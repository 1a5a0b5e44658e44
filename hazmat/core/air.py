"""Limits in air by country and day, what a figure is against them, and the line that vapour adds beside the gear.

All of it only ever asks for more care: no limit that is kept clears anybody to go in.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Context, Decimal
from typing import Literal, NamedTuple

from hazmat.core.bulk import CARE
from hazmat.core.care import rank
from hazmat.core.dated import Figure, Sentence, Version
from hazmat.core.findings import Reason
from hazmat.core.law import LawDay
from hazmat.core.measures import figure_words
from hazmat.core.sums.frame import Fixed
from hazmat.core.sums.vapour import NEAT, by_weight, over_oil

Kind = Literal["shift", "short", "ceiling", "danger", "unborn"]
"""A mean over a working day; one over some minutes; never to be passed; danger at once; where harm to the unborn is not
expected below."""
Stands = Literal["over", "under", "not_judged"]
Hot = Literal["yes", "no", "unknown"]
HIGH_CARE = CARE[2:]
TELLING = Context(prec=2)
"""How finely an estimate is told in a sentence. Source: our own choice."""
PPM = "ppm"


@dataclass(frozen=True, slots=True)
class Substance:
    """What limits speak of: its words, what it belongs to, and g/mol where limits are told in ppm."""

    key: str
    says: str
    group: str
    molar: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Recheck:
    """From this day a limit has to be looked up again, and why."""

    on: date
    says: Sentence


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit in air. `place`: a country, or an area of several; `minutes`: over which it is a mean, 0 at any moment.

    `notes`: notations such as skin; `law`: whether it binds there; `figure`: its values in mg/m3 or ppm.
    """

    name: str
    body: str
    short: str
    place: str
    substance: Substance
    kind: Kind
    minutes: int
    law: bool
    figure: Figure
    notes: tuple[str, ...] = ()
    more: Sentence | None = None
    recheck: Recheck | None = None


class LimitNow(NamedTuple):
    """A limit as it stands on a day: its version, in mg/m3, and what has to be looked up again."""

    limit: Limit
    version: Version
    mg_m3: Decimal
    recheck: Recheck | None


class Against(NamedTuple):
    """A figure against a limit: how many times it, and how it stands to it."""

    now: LimitNow
    times: Decimal
    stands: Stands


@dataclass(frozen=True)
class AirBook:
    """Every limit that is held.

    `areas`: the countries of an area; `silences`: of a place and a substance, why no limit stands, or not every kind.
    """

    limits: tuple[Limit, ...]
    substances: Mapping[str, Substance]
    places: Mapping[str, str]
    areas: Mapping[str, frozenset[str]]
    silences: Mapping[tuple[str, str], Sentence]

    def standing(self, on: date, group: str, country: str | None = None) -> list[LimitNow]:
        """The limits of a substance on a day, of one country or of all that are held, in the order of the book."""
        return [
            now
            for limit in self.limits
            if limit.substance.group == group
            and (country is None or self.reaches(limit.place, country))
            and (now := _on(limit, on))
        ]

    def reaches(self, place: str, country: str) -> bool:
        """Whether what stands in a place stands in this country."""
        return country == place or country in self.areas.get(place, ())

    def silence(self, group: str, country: str) -> Sentence | None:
        """Why a country has no limit, or lacks one of some kind, in a sentence; None where nothing is held about it."""
        return next(
            (says for (place, of), says in self.silences.items() if of == group and self.reaches(place, country)), None
        )


def _on(limit: Limit, on: date) -> LimitNow | None:
    version = limit.figure.at(on)
    if version is None or not isinstance(version.value, Decimal):
        return None
    molar = limit.substance.molar
    mg_m3 = by_weight(version.value, molar) if limit.figure.unit == PPM and molar else version.value
    again = limit.recheck if limit.recheck and limit.recheck.on <= on else None
    return LimitNow(limit, version, mg_m3, again)


def against(mg_m3: Decimal, limits: Iterable[LimitNow], minutes: int | None = None) -> list[Against]:
    """A figure against each limit. `minutes`: over which it is a mean; None: a bound, never passed at any moment.

    A mean over a longer time that is over a limit was over it for a shorter one too; under it, it says nothing.
    """
    return [Against(now, mg_m3 / now.mg_m3, _stands(mg_m3, now, minutes)) for now in limits]


def _stands(mg_m3: Decimal, now: LimitNow, minutes: int | None) -> Stands:
    spans = now.limit.minutes
    if mg_m3 > now.mg_m3 and (minutes is None or minutes >= spans):
        return "over"
    return "under" if minutes is None or minutes == spans else "not_judged"


class Oil(NamedTuple):
    """What is known of the oil of a unit: the care of hands, the highest mg/kg that is shown, and whether it is hot.

    `shown` None: nobody has shown any figure, or none that speaks for all of its oil.
    """

    care: str
    shown: Decimal | None = None
    hot: Hot = "unknown"


def counts_as(oil: Oil, house: LawDay) -> Decimal:
    """The mg/kg that vapour is reckoned with: what is shown, else the most that its care allows; at the top, all of it.

    A figure of a lower band than the care explains nothing of it, so it is as if there were none.
    """
    if oil.shown is not None and rank(house.book.class_words[house.class_of(oil.shown, "=")].band) >= rank(oil.care):
        return min(oil.shown, NEAT)
    above = [at for at, _, klass in house.lines if rank(house.book.class_words[klass].band) > rank(oil.care)]
    return min(above, default=NEAT)


def air_line(oil: Oil, limits: Iterable[LimitNow], fixed: Fixed, house: LawDay) -> Reason | None:
    """The line beside the gear where vapour over this oil could pass a published limit in a closed tank; else None.

    `limits`: those of PCB as at a day, of every country; `fixed`: figures of the sum on vapour; `house`: handling book.
    It adds care and never takes any away: nothing said is no clearance. Below the high bands of care it is silent.
    """
    if oil.care not in HIGH_CARE:
        return None
    celsius = house.number("tank_cool" if oil.hot == "no" else "tank_hot")
    found = over_oil(counts_as(oil, house), fixed.text("line_mixture"), celsius, fixed, "heat_most").mg_m3
    passed = [one.now for one in against(found, limits) if one.stands == "over"]
    for kind, key in (("danger", "air_danger"), ("shift", "air_over")):
        lowest = min((now for now in passed if now.limit.kind == kind), key=lambda now: now.mg_m3, default=None)
        if lowest:
            said = house.book.sentences[key]
            slots = {
                "vapour": figure_words(TELLING.plus(found)), "celsius": figure_words(celsius),
                "limit": figure_words(lowest.mg_m3), "body": lowest.limit.body,
            }  # fmt: skip
            return Reason(key, said.says.format_map(slots), said.cite)
    return None
