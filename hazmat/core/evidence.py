"""Evidence about oil spaces: what each test, mark, plate and change of fluid says, and what it may do.

A reading may establish a class (only where a row of the law says so), lift what is presumed (evidence of harm always
may), decide or raise the safety band, or say nothing. A low reading that does not establish lowers nothing.
"""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from types import MappingProxyType
from typing import NamedTuple

from hazmat.core.bulk import changed_blindly
from hazmat.core.facts import TANK, Test, Uncertainty, Unit
from hazmat.core.findings import result_words
from hazmat.core.identity import Plate
from hazmat.core.law import LawDay
from hazmat.core.measures import COVERAGE, HALF_WIDTH_TO_SPREAD, MG_KG_IN_PER_CENT, figure_words, rounded_words

ONE = Decimal(1)
NO_WORDS: Mapping[str, str] = MappingProxyType({})

WATER_KG_L = Decimal(1)
"""Density of water to the nearest hundredth. Source: definition of the litre and kilogram, near enough for sinking."""


class Reading(NamedTuple):
    """What one piece of evidence says.

    `klass`: the class it speaks for under the law, None for nothing; `bound`: the worst class that it leaves possible,
    where it establishes no more than that; `band`: as `klass`, for the safety band; `decides_band`: the band goes by
    it, and is not only raised; `wants`: columns of the next acts that it sets; `mend`: key of the sentence for the
    person who keeps the register; `at`: where it stands in the line; `values`: words for the slots.
    """

    key: str
    klass: str | None = None
    establishes: bool = False
    bound: str | None = None
    band: str | None = None
    decides_band: bool = False
    band_key: str | None = None
    wants: tuple[tuple[str, str], ...] = ()
    mend: str | None = None
    unread: bool = False
    sinks: bool = False
    at: str = ""
    space: str = TANK
    values: Mapping[str, str] = NO_WORDS

    @property
    def pattern(self) -> tuple[object, ...]:
        """All that a decision hangs on; places and words are left out."""
        return self[:11]


class Bench(NamedTuple):
    """What a reader of evidence needs: the unit, its plate, the law (None: none in force), the handling book."""

    unit: Unit
    plate: Plate
    law: LawDay | None
    house: LawDay

    def klass(self, value: Decimal, sign: str) -> str | None:
        return self.law.class_of(value, sign) if self.law else None

    def class_words(self, klass: str | None) -> str:
        return self.law.book.class_words[klass].says if self.law and klass else ""

    def why(self, key: str) -> str:
        return self.house.book.whys[key].says


def read_tests(bench: Bench) -> list[Reading]:
    """A reading of every test, in order; screens of one sample that contradict each other no longer lift a class."""
    tests = bench.unit.tests
    found = [_read_test(bench, test, f"tests[{place}]") for place, test in enumerate(tests)]
    if len(tests) == 1:
        return found
    disputed = _contradictions(tests)
    return [
        r._replace(key="screen_contradicts", klass=None, mend="screen_contradicts")
        if r.at in disputed and r.key == "screen_above"
        else r
        for r in found
    ]


def _read_test(bench: Bench, test: Test, at: str) -> Reading:
    unread = _not_read_yet(test)
    if unread:
        return Reading(
            "unread", at=at, space=test.space, unread=True, mend="unread", values={"what": bench.why(unread)}
        )
    if test.how == "laboratory":
        return _laboratory(bench, test, at)
    if test.how == "screen":
        return _screen(bench, test, at)
    return _float_test(test, at) if test.how == "density" else _maker_label(bench, test, at)


def _not_read_yet(test: Test) -> str | None:
    """Why this test cannot be read yet, or None. Such a test takes hands to the highest care."""
    if test.how in ("wipe", "similar_unit"):
        return test.how
    if test.matrix != "oil":
        return "matrix"
    if test.congeners or test.factor or test.congener_sum in ("six", "seven"):
        return "congeners"
    return "unit" if test.unit == "ug/100cm2" else None


# ---------------------------------------------------------------------- figures by weight


class Weighed(NamedTuple):
    """A result in mg/kg: `lawful` where its basis is by weight or the density was reported with it."""

    sign: str
    value: Decimal
    factor: Decimal
    lawful: bool
    words: str


def _weigh(test: Test, house: LawDay, document: bool = False) -> Weighed | None:
    """The result in mg/kg, or None where nothing was found and no limit given (a bare nought counts as nothing found).

    `document`: a maker's ppm is by weight. A figure without a lawful basis is converted at the cautious density.
    """
    sign, value = test.sign, test.value
    if not value:
        sign, value = "<", test.reporting_limit
    if not value or test.unit is None:
        return None
    words = result_words(sign, value, test.unit)
    said_by_weight = test.unit == "ppm" and (test.basis == "weight" or (document and test.basis is None))
    by_volume = test.unit == "mg/L" or (test.unit == "ppm" and test.basis == "volume")
    if test.unit in ("mg/kg", "%") or said_by_weight:
        if test.unit != "%":
            return Weighed(sign, value, ONE, True, words)
        return Weighed(sign, value * MG_KG_IN_PER_CENT, MG_KG_IN_PER_CENT, True, words)
    if by_volume and test.density_kg_l:
        factor = 1 / test.density_kg_l
        by_mass = value / test.density_kg_l
        known = f"{words} at {figure_words(test.density_kg_l)} kg/L, which is {rounded_words(by_mass)} mg/kg"
        return Weighed(sign, by_mass, factor, True, known)
    cautious = house.number("cautious_density")
    return Weighed(sign, value / cautious, 1 / cautious, False, words)


def _half_width(given: Uncertainty, value: Decimal, factor: Decimal) -> Decimal:
    """Expanded uncertainty in mg/kg at k = 2 or as reported, whichever is wider; k missing reads as 2."""
    reported = value * given.value / 100 if given.kind == "percent" else given.value * factor
    return reported * COVERAGE / given.k if given.k and given.k < COVERAGE else reported


def _upper(test: Test, weighed: Weighed, house: LawDay) -> tuple[Decimal, str]:
    """The figure with its expanded uncertainty in mg/kg, and which sentence says so.

    None reported: the spread of two laboratories (IEC 61619:1997, clause 14) over 2.77, at k = 2.
    """
    value = weighed.value
    if test.uncertainty:
        return value + _half_width(test.uncertainty, value, weighed.factor), "band_by_lab"
    spread = house.number("spread_constant") + house.number("spread_share") * value
    return value + COVERAGE * spread / HALF_WIDTH_TO_SPREAD, "band_by_spread"


def _band(test: Test, weighed: Weighed, house: LawDay) -> tuple[str, str, dict[str, str]]:
    """The band of a laboratory figure, the sentence that explains it, and its words."""
    if weighed.sign == ">":
        return house.book.top, "band_over_limit", {}
    if weighed.sign == "<":
        return house.class_of(weighed.value, "<"), "band_below_limit", {"limit": figure_words(weighed.value)}
    upper, key = _upper(test, weighed, house)
    return house.class_of(upper, "="), key, {"upper": rounded_words(upper)}


# ---------------------------------------------------------------------- laboratory


def _laboratory(bench: Bench, test: Test, at: str) -> Reading:
    weighed = _weigh(test, bench.house)
    if weighed is None:
        return Reading("lab_nothing", at=at, space=test.space, mend="lab_nothing", values={"space": test.space})
    later = _later(bench.unit, test, weighed) if bench.unit.history else "nothing_added"
    sample = "mixed" if test.composite else "own"
    settles = bench.law is not None and bench.law.establishes(
        "laboratory", "lawful" if weighed.lawful else "not_lawful", "incomplete", later, sample
    )
    if not weighed.lawful and not settles:
        return _no_basis(bench, test, weighed, at)
    band, band_key, band_words = _band(test, weighed, bench.house)
    klass = bench.klass(weighed.value, weighed.sign)
    words, said = _with_uncertainty(test, weighed), bench.class_words(klass)
    values = {"space": test.space, "figure": words, "class": said, **band_words}
    if not settles and (later == "maybe_added" or sample == "mixed"):
        why = bench.why("later_oil" if later == "maybe_added" else "mixed")
        harm = weighed.sign != "<"
        return Reading(
            "lab_raises",
            at=at,
            space=test.space,
            klass=klass if harm else None,
            band=band if harm else None,
            mend="lab_raises",
            values={**values, "why": why},
        )
    return _counts(bench, weighed, klass, settles)._replace(
        at=at, space=test.space, band=band, decides_band=True, band_key=band_key, values=values
    )


def _counts(bench: Bench, weighed: Weighed, klass: str | None, settles: bool) -> Reading:
    """A figure that counts: it establishes; or, as "less than", leaves classes open; or no law asks for it."""
    if not settles or bench.law is None:
        return Reading("lab_adds")
    if weighed.sign == "<" and klass != bench.law.book.classes[0]:
        return Reading("lab_bounds", bound=klass)
    return Reading("lab_allows" if weighed.sign == ">" else "lab_establishes", klass=klass, establishes=True)


def _with_uncertainty(test: Test, weighed: Weighed) -> str:
    given = test.uncertainty
    if given is None or weighed.sign != "=":
        return weighed.words
    return f"{weighed.words} ± {figure_words(given.value)}{' %' if given.kind == 'percent' else ''}"


def _no_basis(bench: Bench, test: Test, weighed: Weighed, at: str) -> Reading:
    """A figure by volume without its density: read high, it may raise; it never lowers."""
    harm = weighed.sign != "<"
    value = test.value or test.reporting_limit or Decimal(0)
    values = {
        "space": test.space,
        "unit": test.unit or "",
        "figure": weighed.words,
        "at_usual": rounded_words(value / bench.house.number("usual_density")),
        "at_worst": rounded_words(weighed.value),
        "usual_density": figure_words(bench.house.number("usual_density")),
    }
    band = bench.house.book.top if weighed.sign == ">" else bench.house.class_of(weighed.value, "=")
    return Reading(
        "no_basis", at=at, space=test.space,
        klass=bench.klass(weighed.value, weighed.sign) if harm else None,
        band=band if harm else None,
        wants=(("unit_of_measure", "asked"),), mend="no_basis", values=values,
    )  # fmt: skip


def _later(unit: Unit, test: Test, weighed: Weighed) -> str:
    """Whether oil nobody measured, or worse oil than the result, was or may have been added after the sample."""
    for event in unit.history:
        worse = event.what != "drained" and event.fluid_mg_kg is not None and event.fluid_mg_kg > weighed.value
        if worse or changed_blindly(event):
            last = (event.on.latest or date.max) if event.on else date.max
            if test.on is None or last >= test.on:
                return "maybe_added"
    return "nothing_added"


# ---------------------------------------------------------------------- screens


def _screen(bench: Bench, test: Test, at: str) -> Reading:
    void = _void(bench, test)
    direction, set_point = _direction(test)
    if void is None and direction is None:
        void = "colour"
    if void is None and set_point is None:
        void = "set_point"
    if void or set_point is None:
        words = {"space": test.space, "why": bench.why(void or "set_point")}
        return Reading(
            "screen_void", at=at, space=test.space, wants=(("screen", "repeat"),), mend="screen_void", values=words
        )
    words = {"space": test.space, "set_point": figure_words(set_point)}
    settles = bench.law is not None and bench.law.establishes("screen", "lawful", "incomplete", "nothing_added", "own")
    if direction == "below":
        below = bench.klass(set_point, "<") if settles else None
        return Reading("screen_below", klass=below, establishes=settles, at=at, space=test.space, values=words)
    klass, band = bench.klass(set_point, "above"), bench.house.class_of(set_point, "above")
    return Reading(
        "screen_above",
        establishes=settles,
        at=at,
        space=test.space,
        klass=klass,
        band=band,
        values={**words, "class": bench.class_words(klass)},
    )


def _void(bench: Bench, test: Test) -> str | None:
    """Why a screen does not count, or None. Method 9079 is for dry hydrocarbon oils, with a control."""
    tests = bench.unit.tests
    sinks = len(tests) > 1 and any(t.how == "density" and _sinks(t) and t.space == test.space for t in tests)
    if sinks or bench.unit.fluid not in (None, "mineral") or bench.plate.reads == "not_pcb":
        return "fluid"
    if test.wet:
        return "wet"
    if test.expired:
        return "expired"
    return "control" if test.control_ok is False else None


def _direction(test: Test) -> tuple[str | None, Decimal | None]:
    """Above or below, and of what: by the colour seen, else by a sign or number that an instrument showed."""
    if test.colour in ("yellow", "blue_violet"):
        return ("above" if test.colour == "yellow" else "below"), test.set_point
    if test.colour is None and test.value:
        return ("below" if test.sign == "<" else "above"), test.value
    return None, test.set_point


def _contradictions(tests: tuple[Test, ...]) -> set[str]:
    """Screens above a set point of a sample that another screen puts below a lower or equal one."""
    shown = [(f"tests[{place}]", t, *_direction(t)) for place, t in enumerate(tests) if t.how == "screen" and t.sample]
    below = [(t.sample, t.space, limit) for _, t, way, limit in shown if way == "below" and limit]
    return {
        at
        for at, t, way, limit in shown
        if way == "above" and limit and any((t.sample, t.space) == one[:2] and one[2] <= limit for one in below)
    }


# ---------------------------------------------------------------------- density, documents


def _sinks(test: Test) -> bool | None:
    if test.sinks is not None or test.density_kg_l is None:
        return test.sinks
    return test.density_kg_l > WATER_KG_L


def _float_test(test: Test, at: str) -> Reading:
    sinks = _sinks(test)
    if sinks is None:
        return Reading("empty_test", at=at, space=test.space, mend="empty_test", values={"space": test.space})
    return Reading("sinks" if sinks else "floats", at=at, space=test.space, sinks=sinks, values={"space": test.space})


def _maker_label(bench: Bench, test: Test, at: str) -> Reading:
    """A maker's document: it may establish with records of every fluid since; alone it can only raise."""
    weighed = _weigh(test, bench.house, document=True)
    if weighed is None:
        return Reading(
            "label_alone", at=at, space=test.space, wants=(("history", "asked"),), values={"figure": "no concentration"}
        )
    later = [e.fluid_mg_kg for e in bench.unit.history if e.what != "drained"]
    complete = bench.unit.service_records == "all" and None not in later and not test.contrary
    figure = "lawful" if weighed.lawful else "not_lawful"
    records = "complete" if complete else "incomplete"
    if bench.law and bench.law.establishes("maker_label", figure, records, "nothing_added", "own"):
        classes = [
            bench.law.class_of(weighed.value, weighed.sign),
            *(bench.law.class_of(x, "=") for x in later if x is not None),
        ]
        klass = max(classes, key=lambda name: bench.law.rank[name] if bench.law else 0)
        figures = [weighed.value, *(x for x in later if x is not None)]
        words = weighed.words if max(figures) == weighed.value else f"{figure_words(max(figures))} mg/kg"
        return Reading(
            "label_establishes",
            at=at,
            space=test.space,
            klass=klass,
            establishes=True,
            values={"figure": words, "class": bench.class_words(klass)},
        )
    harm = weighed.sign != "<"
    return Reading(
        "label_alone", at=at, space=test.space,
        klass=bench.klass(weighed.value, weighed.sign) if harm else None,
        band=bench.house.class_of(weighed.value, "=" if weighed.sign != ">" else ">") if harm else None,
        wants=(("history", "asked"),), values={"figure": weighed.words},
    )  # fmt: skip
