"""Evidence about oil spaces: what each test, mark, plate and change of fluid says, and what it may do.

A reading may establish a class (only where a row of the law says so), lift what is presumed (evidence of harm always
may), decide or raise the safety band, or say nothing. A low reading that does not establish lowers nothing.
"""

from datetime import date
from decimal import Decimal

from hazmat.core.bulk import put_in
from hazmat.core.documents import read_document, takes_similar
from hazmat.core.facts import Test
from hazmat.core.measures import figure_words, rounded_words
from hazmat.core.reading import NO_WORDS, Context, Reading
from hazmat.core.weigh import Weighed, as_words, band_of_figure, stricter, summed, weigh

__all__ = ["NO_WORDS", "WATER_KG_L", "Context", "Reading", "read_tests"]

ASK_DENSITY = (("unit_of_measure", "asked"),)
ASK_HISTORY = (("history", "asked"),)
REPEAT, UNFIT = (("screen", "repeat"),), (("screen", "unfit"),)
UNREAD = (("evidence", "unread"),)

WATER_KG_L = Decimal(1)
"""Density of water to the nearest hundredth. Source: definition of the litre and kilogram, near enough for sinking."""


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
    unread = _not_read_yet(context, test)
    if unread:
        found = Reading("unread", unread=True, mend="unread", wants=UNREAD, values={"what": context.why(unread)})
    elif test.how == "laboratory":
        found = _laboratory(context, test)
    elif test.how == "screen":
        found = _screen(context, test)
    elif test.how == "density":
        found = _float_test(test)
    else:
        found = read_document(context, test)
    words = dict(found.values)
    words["where"] = context.where(test.space)
    return Reading._make((*found.pattern, at, test.space, words))


def _not_read_yet(context: Context, test: Test) -> str | None:
    """Why this test cannot be read yet, or None. Such a test takes hands to the highest care."""
    if test.how == "wipe" or (test.how == "similar_unit" and not takes_similar(context)):
        return test.how
    if test.matrix != "oil":
        return "matrix"
    if (test.congeners or test.factor or test.congener_sum in ("six", "seven")) and summed(test, context.law) is None:
        return "congeners"
    return "unit" if test.unit == "ug/100cm2" else None


# ---------------------------------------------------------------------- laboratory


def _laboratory(context: Context, test: Test) -> Reading:
    weighed = weigh(test, context.house, law=context.law)
    if weighed is None:
        return Reading("lab_nothing", mend="lab_nothing")
    why = _does_not_speak(context, test)
    accredited = {True: "yes", False: "no", None: "unknown"}[test.accredited]
    settles = _settles(context, weighed, why, accredited)
    if not weighed.lawful and not settles:
        return _no_basis(context, test, weighed)
    band, band_key, band_words = band_of_figure(test, weighed, context.house)
    klass = context.klass(weighed.value, weighed.sign, test.space)
    values = {"figure": as_words(test, weighed), "class": context.class_words(klass), **band_words}
    harm = klass if weighed.sign != "<" else None
    if why and not settles:
        values["why"] = context.why(why)
        return Reading("lab_raises", klass=harm, band=band, mend="lab_raises", values=values)
    if not settles and _settles(context, weighed, why, "yes"):
        key = "lab_not_accredited"
        return Reading(key, harm, False, None, band, True, band_key, mend=key, values=values)
    key = _how_it_counts(context, weighed, klass, settles)
    bound = klass if key == "lab_bounds" else None
    counts = klass if key in ("lab_establishes", "lab_allows") else None
    return Reading(key, counts, counts is not None, bound, band, True, band_key, values=values)


def _settles(context: Context, weighed: Weighed, why: str | None, accredited: str) -> bool:
    """Whether the law lets this laboratory figure establish a class."""
    return context.law is not None and context.law.establishes(
        route="laboratory",
        figure="lawful" if weighed.lawful else "not_lawful",
        records="incomplete",
        later="maybe_added" if why in ("later_oil", "rest") else "nothing_added",
        sample="own" if why in (None, "later_oil", "rest") else "mixed",
        contrary="none",
        accredited=accredited,
    )


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
    klass = context.klass(weighed.value, weighed.sign, test.space) if weighed.sign != "<" else None
    strict = stricter(test, weighed)
    values = {
        "unit": test.unit or "",
        "figure": as_words(test, weighed),
        "class": context.class_words(klass),
        "at_usual": rounded_words(strict.reported / usual),
        "at_worst": rounded_words(strict.value),
        "usual_density": figure_words(usual),
    }
    band = None if strict.sign == "<" else context.house.class_of(strict.value, strict.sign)
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
        route="screen", figure="lawful", records="incomplete", later="nothing_added", sample="own", contrary="none",
        accredited="unknown",
    )  # fmt: skip
    words = {"set_point": figure_words(set_point)}
    if direction == "below":
        klass = context.klass(set_point, "<", test.space) if settles else None
        return Reading("screen_below", klass=klass, establishes=settles, values=words)
    shown = "=" if direction == "shows" else "above"
    klass, band = context.klass(set_point, shown, test.space), context.house.class_of(set_point, shown)
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
