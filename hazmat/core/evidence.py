"""Evidence about oil spaces: what each test, mark, plate and change of fluid says, and what it may do.

A reading may establish a class (only where a row of the law says so), lift what is presumed (evidence of harm always
may), decide or raise the safety band, or say nothing. A low reading that does not establish lowers nothing.
"""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from types import MappingProxyType
from typing import Any, NamedTuple

from hazmat.core.bulk import put_in
from hazmat.core.facts import TANK, Test, Unit
from hazmat.core.findings import spoken
from hazmat.core.identity import Plate
from hazmat.core.law import LawDay
from hazmat.core.measures import Measure, figure_words, rounded_words
from hazmat.core.weigh import Weighed, as_words, band_of_figure, weigh

ASK_DENSITY = (("unit_of_measure", "asked"),)
ASK_HISTORY = (("history", "asked"),)
REPEAT, UNFIT = (("screen", "repeat"),), (("screen", "unfit"),)
UNREAD = (("evidence", "unread"),)
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
    def pattern(self) -> tuple[Any, ...]:
        """All that a decision hangs on; places and words are left out."""
        return self[:PATTERN]


PATTERN = Reading._fields.index("at")
"""Fields before this place make the pattern of a reading; the rest are places and words. Source: the class above."""


class Context(NamedTuple):
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

    def where(self, space: str) -> str:
        """An oil space in words: a drum, capacitor or bushing is spoken of as a whole."""
        if space != TANK:
            return f"the {spoken(space)}"
        return "the tank" if self.house.book.kinds[self.unit.kind] == "other" else "it"


def read_tests(context: Context) -> list[Reading]:
    """A reading of every test, in order; usable screens of one sample that contradict no longer lift a class."""
    tests = context.unit.tests
    found = [_read_test(context, test, f"tests[{place}]") for place, test in enumerate(tests)]
    if len(tests) == 1:
        return found
    disputed = _contradictions(tests, found)
    found = [
        r._replace(key="screen_contradicts", klass=None, establishes=False, mend="screen_contradicts")
        if place in disputed
        else r
        for place, r in enumerate(found)
    ]
    return [
        r._replace(key="screen_after") if r.key == "screen_above" and _unanswered(tests, found, place) else r
        for place, r in enumerate(found)
    ]


def _read_test(context: Context, test: Test, at: str) -> Reading:
    unread = _not_read_yet(test)
    if unread:
        found = Reading("unread", unread=True, mend="unread", wants=UNREAD, values={"what": context.why(unread)})
    elif test.how == "laboratory":
        found = _laboratory(context, test)
    elif test.how == "screen":
        found = _screen(context, test)
    elif test.how == "density":
        found = _float_test(test)
    else:
        found = _maker_label(context, test)
    words = dict(found.values)
    words["where"] = context.where(test.space)
    return Reading._make((*found.pattern, at, test.space, words))


def _not_read_yet(test: Test) -> str | None:
    """Why this test cannot be read yet, or None. Such a test takes hands to the highest care."""
    if test.how in ("wipe", "similar_unit"):
        return test.how
    if test.matrix != "oil":
        return "matrix"
    if test.congeners or test.factor or test.congener_sum in ("six", "seven"):
        return "congeners"
    return "unit" if test.unit == "ug/100cm2" else None


# ---------------------------------------------------------------------- laboratory


def _laboratory(context: Context, test: Test) -> Reading:
    weighed = weigh(test, context.house)
    if weighed is None:
        return Reading("lab_nothing", mend="lab_nothing")
    why = _does_not_speak(context, test)
    settles = context.law is not None and context.law.establishes(
        "laboratory",
        "lawful" if weighed.lawful else "not_lawful",
        "incomplete",
        "maybe_added" if why in ("later_oil", "rest") else "nothing_added",
        "own" if why in (None, "later_oil", "rest") else "mixed",
    )
    if not weighed.lawful and not settles:
        return _no_basis(context, test, weighed)
    band, band_key, band_words = band_of_figure(test, weighed, context.house)
    klass = context.klass(weighed.value, weighed.sign)
    values = {"figure": as_words(test, weighed), "class": context.class_words(klass), **band_words}
    if why and not settles:
        values["why"] = context.why(why)
        harm = klass if weighed.sign != "<" else None
        return Reading("lab_raises", klass=harm, band=band, mend="lab_raises", values=values)
    key = _how_it_counts(context, weighed, klass, settles)
    bound = klass if key == "lab_bounds" else None
    counts = klass if key in ("lab_establishes", "lab_allows") else None
    return Reading(key, counts, counts is not None, bound, band, True, band_key, values=values)


def _how_it_counts(context: Context, weighed: Weighed, klass: str | None, settles: bool) -> str:
    """A figure that counts: it establishes; or, as "less than", leaves classes open; or no law asks for it."""
    if not settles or context.law is None:
        return "lab_adds"
    if weighed.sign == "<" and klass != context.law.book.classes[0]:
        return "lab_bounds"
    return "lab_allows" if weighed.sign == ">" else "lab_establishes"


def _does_not_speak(context: Context, test: Test) -> str | None:
    """Why a sample does not speak for what is in this item now, or None."""
    unit = context.unit
    if test.composite:
        return "mixed"
    if unit.count > 1:
        return "lot"
    rest = context.house.number("retrofill_rest")
    for event in unit.history:
        last = (event.on.latest or date.max) if event.on else date.max
        if put_in(event) and (test.on is None or last >= test.on):
            return "later_oil"
        if event.what == "retrofilled" and test.on and test.on.toordinal() - last.toordinal() < rest:
            return "rest"
    return None


def _no_basis(context: Context, test: Test, weighed: Weighed) -> Reading:
    """A figure by volume without its density: read high, it may raise; it never lowers."""
    usual = context.house.number("usual_density")
    klass = context.klass(weighed.value, weighed.sign) if weighed.sign != "<" else None
    values = {
        "unit": test.unit or "",
        "figure": as_words(test, weighed),
        "class": context.class_words(klass),
        "at_usual": rounded_words(weighed.reported / usual),
        "at_worst": rounded_words(weighed.value),
        "usual_density": figure_words(usual),
    }
    band = None if weighed.sign == "<" else context.house.class_of(weighed.value, weighed.sign)
    return Reading("no_basis", klass=klass, band=band, wants=ASK_DENSITY, mend="no_basis", values=values)


# ---------------------------------------------------------------------- screens


def _screen(context: Context, test: Test) -> Reading:
    direction, set_point = _direction(context, test)
    void = _void(context, test, direction)
    if void is None and direction is None:
        void = "colour"
    if void is None and set_point is None:
        void = "set_point"
    if void or set_point is None or direction is None:
        wants = UNFIT if void == "fluid" else REPEAT
        return Reading("screen_void", wants=wants, mend="screen_void", values={"why": context.why(void or "set_point")})
    settles = context.law is not None and context.law.establishes(
        "screen", "lawful", "incomplete", "nothing_added", "own"
    )
    words = {"set_point": figure_words(set_point)}
    if direction == "below":
        klass = context.klass(set_point, "<") if settles else None
        return Reading("screen_below", klass=klass, establishes=settles, values=words)
    shown = "=" if direction == "shows" else "above"
    klass, band = context.klass(set_point, shown), context.house.class_of(set_point, shown)
    if direction == "above" and not _capped(context, test):
        band = context.house.class_of(max(set_point, context.house.number("band_50")), "above")
    key = "screen_shows" if direction == "shows" else "screen_above"
    words["class"] = context.class_words(klass)
    return Reading(key, klass=klass, establishes=settles, band=band, values=words)


def _capped(context: Context, test: Test) -> bool:
    """Whether a usable screen of the same sample says below the third band, which an "above" alone leaves open."""
    return any(
        t.sample
        and (t.sample, t.space, t.colour) == (test.sample, test.space, "blue_violet")
        and t.set_point is not None
        and t.set_point <= context.house.number("band_50")
        and _void(context, t, "below") is None
        for t in context.unit.tests
    )


def _void(context: Context, test: Test, direction: str | None) -> str | None:
    """Why a screen does not count, or None. Method 9079 is for dry hydrocarbon oils, with a control.

    A liquid that sinks voids a screen below; one above it would only take evidence of harm away.
    """
    sinks = direction == "below" and any(
        _sinks(t) and t.space == test.space for t in context.unit.tests if t.how == "density"
    )
    if sinks or context.unit.fluid not in (None, "mineral") or context.plate.halogenated:
        return "fluid"
    if test.wet:
        return "wet"
    if test.expired:
        return "expired"
    return "control" if test.control_ok is False else None


def _direction(context: Context, test: Test) -> tuple[str | None, Decimal | None]:
    """Above, below or shows, and of what in mg/kg: by the colour seen, else by what an instrument showed."""
    if test.colour in ("yellow", "blue_violet"):
        return ("above" if test.colour == "yellow" else "below"), test.set_point
    weighed = weigh(test, context.house) if test.colour is None else None
    if weighed is None:
        return None, test.set_point
    return {"<": "below", ">": "above"}.get(weighed.sign, "shows"), weighed.value


def _contradictions(tests: tuple[Test, ...], found: list[Reading]) -> set[int]:
    """Places of usable screens above a set point of a sample that another usable one puts below a lower or equal."""
    shown = [
        (place, t, r.key, Decimal(r.values["set_point"]))
        for place, (t, r) in enumerate(zip(tests, found, strict=True))
        if t.sample and r.key in ("screen_above", "screen_below")
    ]
    return {
        place
        for place, test, key, limit in shown
        if key == "screen_above"
        and any(
            other == "screen_below" and (t.sample, t.space) == (test.sample, test.space) and lower <= limit
            for _, t, other, lower in shown
        )
    }


def _unanswered(tests: tuple[Test, ...], found: list[Reading], place: int) -> bool:
    """Whether this screen was taken after every laboratory sample that counts for its space, by days that are known."""
    screen = tests[place]
    days = [t.on for t, r in zip(tests, found, strict=True) if r.decides_band and r.space == screen.space]
    return screen.on is not None and bool(days) and all(day is not None and day < screen.on for day in days)


# ---------------------------------------------------------------------- density, documents


def _sinks(test: Test) -> bool | None:
    if test.sinks is not None or test.density_kg_l is None:
        return test.sinks
    return test.density_kg_l > WATER_KG_L


def _float_test(test: Test) -> Reading:
    sinks = _sinks(test)
    if sinks is None:
        return Reading("empty_test", mend="empty_test")
    return Reading("sinks" if sinks else "floats", sinks=sinks)


def _maker_label(context: Context, test: Test) -> Reading:
    """A maker's document: it may establish with records of every fluid since; alone it can only raise."""
    weighed = weigh(test, context.house, document=True)
    if weighed is None:
        return Reading("label_nothing", wants=ASK_HISTORY)
    later = [event.fluid_mg_kg for event in context.unit.history if put_in(event)]
    known = [figure for figure in later if figure is not None]
    complete = context.unit.service_records == "all" and len(known) == len(later)
    figure = "lawful" if weighed.lawful else "not_lawful"
    records = "complete" if complete and not test.contrary else "incomplete"
    if context.law and context.law.establishes("maker_label", figure, records, "nothing_added", "own"):
        return _label_establishes(context, context.law, test, weighed, known)
    klass = context.klass(weighed.value, weighed.sign) if weighed.sign != "<" else None
    band = context.house.class_of(weighed.value, weighed.sign) if weighed.sign != "<" else None
    values = {"figure": as_words(test, weighed), "class": context.class_words(klass)}
    if test.contrary:
        return Reading("label_contrary", klass=klass, band=band, mend="label_contrary", values=values)
    if not weighed.lawful:
        return Reading(
            "label_no_basis",
            klass=klass,
            band=band,
            wants=ASK_DENSITY,
            mend="no_basis",
            values={**values, "unit": test.unit or ""},
        )
    return Reading("label_alone", klass=klass, band=band, wants=ASK_HISTORY, values=values)


def _label_establishes(context: Context, law: LawDay, test: Test, weighed: Weighed, later: list[Measure]) -> Reading:
    """By the worst of the document and of every fluid put in since."""
    classes = [law.class_of(weighed.value, weighed.sign), *(law.class_of(figure, "=") for figure in later)]
    klass = max(classes, key=law.rank.__getitem__)
    words = f"{figure_words(max(later))} mg/kg" if later and max(later) >= weighed.value else as_words(test, weighed)
    return Reading(
        "label_establishes",
        klass=klass,
        establishes=True,
        values={"figure": words, "class": context.class_words(klass)},
    )
